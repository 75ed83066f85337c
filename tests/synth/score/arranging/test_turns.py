"""What tells that a phrase turns, what departs from whole phrases, and the song: all of it in the truth."""

import json

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from synth.score.arranging.arrangement import Arrangement, arrange
from synth.score.arranging.fills import CLUB_FAMILIES, FILL_BEATS
from synth.score.arranging.truth import Truth
from synth.score.arranging.turns import (
    BANDS,
    BY_MACHINE,
    LAST_BARS,
    LIKELY,
    Signal,
    after,
    draw_signals,
    turn_size,
    usual_signals,
)
from synth.score.departures import Departure
from synth.score.grooves import grooves
from synth.score.hits import DRUMS, PITCHED, SHARP_DRUMS
from synth.score.rows import VELOCITY

pytestmark = pytest.mark.sampled(4)

GROOVES = grooves()
FORM = "intro:8,verse:16,build:8,drop:16,break:8,outro:8"
DRUM_SET = tuple(DRUMS)


def record(seed: int = 0, *exceptions: str, name: str = "backbeat", form: str = FORM, **more: object) -> Arrangement:
    return arrange(GROOVES[name], tempo_bpm=120, form=form, seed=seed, exceptions=exceptions, **more)  # type: ignore[arg-type]


def heard(arrangement: Arrangement, first_s: float, last_s: float, *names: str) -> int:
    """How many hits of these voices fall into [first, last)."""
    onset_s = arrangement.hits.only(*names).grid_s
    return int(((onset_s >= first_s - 1e-6) & (onset_s < last_s - 0.02)).sum())


def done(arrangement: Arrangement, kind: Departure) -> tuple[float, int]:
    found = [(odd.start_s, odd.bars) for odd in arrangement.exceptions if odd.kind == kind]
    assert len(found) == 1
    return found[0]


@settings(max_examples=25)
@given(seed=st.integers(0, 9_999), song=st.booleans())
def test_every_turn_is_told_where_the_count_has_it(seed: int, song: bool) -> None:
    """A turn stands in the truth at every phrase start but the first, with one signal at least."""
    arrangement = record(seed, song=song)
    np.testing.assert_allclose([turn.time_s for turn in arrangement.turns], arrangement.count.phrase_starts_s[1:])
    assert all(turn.signals for turn in arrangement.turns)


@settings(max_examples=25)
@given(seed=st.integers(0, 9_999))
def test_the_signals_told_are_the_signals_heard(seed: int) -> None:
    """Crash and impact sound on the turn, rises end on it, silent beats are silent, and only where told."""
    arrangement = record(seed, song=True)
    hits = arrangement.hits
    for turn in arrangement.turns:
        at = turn.time_s
        for signal, voice in ((Signal.CRASH, "crash"), (Signal.IMPACT, "impact"), (Signal.DOWN_SWEEP, "down_sweep")):
            assert heard(arrangement, at, at + 0.05, voice) == (signal in turn.signals), signal
        rising = ((Signal.RISER, "riser"), (Signal.REVERSED_CRASH, "reversed_crash"), (Signal.FILTER, "filter"))
        for signal, voice in rising:
            rises = hits.only(voice)
            ends = np.abs(rises.onset_s + rises.duration_s - at) < 1e-6
            assert ends.sum() == (signal in turn.signals), signal
        if Signal.BEAT_WITHOUT_DRUMS in turn.signals:
            assert not heard(arrangement, at - 0.5, at, *DRUM_SET)
        if Signal.BAR_WITHOUT_DRUMS in turn.signals:
            assert not heard(arrangement, at - 2.0, at, *DRUM_SET)


def sounds(arrangement: Arrangement, bar: int, *names: str) -> set[tuple[int, str]]:
    """Place in the bar (from 1), in twenty-fourths of a beat, and voice of every hit of these voices, ghosts too."""
    hits, beat_s = arrangement.hits.only(*names), 60.0 / arrangement.tempo_bpm
    at = np.rint((hits.grid_s - arrangement.count.ones_s[bar - 1]) / beat_s * 24).astype(int)
    inside = (at >= 0) & (at < 24 * arrangement.metre.beats_per_bar)
    return {(place, hits.voices[voice]) for place, voice in zip(at[inside].tolist(), hits.voice[inside], strict=True)}


WITHOUT_CRASH = tuple(set(DRUMS) - {"crash"})
EVEN = "intro:8,verse:16,chorus:8,drop:16,break:8,outro:8"
LAST_BAR = set(LAST_BARS)


@settings(max_examples=15)
@given(seed=st.integers(0, 9_999), name=st.sampled_from(["backbeat", "techno", "waltz"]))
def test_a_fill_sounds_where_it_is_told_and_nowhere_else(seed: int, name: str) -> None:
    """A phrase's last bar is played as the pattern has it but where a fill or a silence is told."""
    arrangement = record(seed, name=name, form=EVEN)
    every = GROOVES[name].bars
    assert every in (1, 2)
    for turn in arrangement.turns:
        last = int(np.searchsorted(arrangement.count.ones_s, turn.time_s - 1e-6))
        ends, usual = (sounds(arrangement, bar, *WITHOUT_CRASH) for bar in (last, last - every))
        assert (ends != usual) == bool(LAST_BAR & set(turn.signals)), turn
        if Signal.FILL in turn.signals:
            assert len(LAST_BAR & set(turn.signals)) == 1
            assert {voice for _, voice in ends - usual} & {"snare", "clap", "high_tom", "mid_tom", "low_tom"}, turn


@pytest.mark.proof
@settings(max_examples=15)
@example(seed=3)  # the hat hand plays open hats when the groove's own are dropped
@given(seed=st.integers(0, 9_999))
def test_layers_come_and_go_where_they_are_told(seed: int) -> None:
    """New voices, lost ones and another hat pattern in a phrase's second and third bars are told, and no others."""
    arrangement = record(seed, form=EVEN, song=True)
    voices = (*WITHOUT_CRASH, *PITCHED)
    hats = {"closed_hat", "open_hat", "pedal_hat", "ride"}
    told = {str(signal): 0 for signal in Signal}
    for turn in arrangement.turns:
        one = int(np.searchsorted(arrangement.count.ones_s, turn.time_s - 1e-6)) + 1
        before, after = (
            set.union(*(sounds(arrangement, bar, *voices) for bar in (first + 1, first + 2)))
            for first in (one - 4, one)
        )
        gone, come = (
            {voice for _, voice in x} - {voice for _, voice in y} for x, y in ((before, after), (after, before))
        )
        for signal in turn.signals:
            told[signal] += 1
        if Signal.HAT_CHANGE in turn.signals:
            assert {row for row in before ^ after if row[1] in hats}, turn
            come, gone = come - hats, gone - hats
        assert (Signal.LAYER_IN in turn.signals) == bool(come - {"bass"}), turn
        assert (Signal.LAYER_OUT in turn.signals) == bool(gone), turn
        assert (Signal.BASS_IN in turn.signals) == ("bass" in come), turn
    assert min(told[signal] for signal in (Signal.LAYER_IN, Signal.LAYER_OUT, Signal.BASS_IN)) > 0


def test_at_least_ten_kinds_of_signal_are_drawn() -> None:
    """Over a few seeds every kind of turn signal comes up (our goal: at least ten kinds)."""
    made = [record(seed, song=True, name="techno") for seed in range(12)]
    drawn = {signal for each in made for turn in each.turns for signal in turn.signals}
    assert drawn == {str(signal) for signal in Signal}
    assert len(drawn) >= 10


def test_a_rung_can_narrow_the_signals() -> None:
    """Only the kinds asked for are drawn; unknown ones are refused with the near ones."""
    drawn = {signal for turn in record(signals=["crash"]).turns for signal in turn.signals}
    assert drawn & set(LIKELY) == {"crash"}
    with pytest.raises(ValueError, match="Did you mean crash"):
        record(signals=["crush"])


@pytest.mark.parametrize("bars", [4, 8, 16, 32])
def test_the_song_enters_when_the_intro_is_over(bars: int) -> None:
    """Not a pitched note in the intro; on the one after it bass, chords and lead within the bar."""
    arrangement = record(form=f"intro:{bars},verse:8", song=True)
    pitched = arrangement.hits.only(*PITCHED)
    enters_s = bars * 2.0
    assert arrangement.intro_bars == bars
    assert pitched.grid_s.min() >= enters_s - 1e-6
    first_bar = {pitched.voices[voice] for voice in pitched.voice[pitched.grid_s < enters_s + 2.0]}
    assert {"bass", "stab", "pluck"} <= first_bar
    assert pitched.pitch.min() >= 28
    assert pitched.duration_s.min() > 0
    assert "bass in" in next(turn.signals for turn in arrangement.turns if abs(turn.time_s - enters_s) < 1e-6)


def test_the_song_leaves_the_drums_as_they_were() -> None:
    """Drums with and without a song are hit for hit the same, but in a break, where they may fall silent."""
    form = FORM.replace("break", "bridge")
    bare, full = (record(4, song=song, form=form).hits.only(*DRUM_SET).onset_s for song in (False, True))
    np.testing.assert_array_equal(bare, full)


@settings(max_examples=20)
@given(seed=st.integers(0, 9_999), name=st.sampled_from(sorted(GROOVES)))
def test_a_pick_up_comes_before_bar_one(seed: int, name: str) -> None:
    """Beats of bar 0, of no phrase, with drums in them; bar 1 follows after exactly so many beats."""
    arrangement = record(seed, Departure.PICK_UP, name=name, form="verse:4")
    count = arrangement.count
    beats = int((count.bar_number == 0).sum())
    assert 1 <= beats < arrangement.metre.beats_per_bar
    assert count.beat_in_bar[:beats].tolist()[-1] == arrangement.metre.beats_per_bar
    assert not count.bar_in_phrase[:beats].any()
    assert count.phrase_starts_s[0] == pytest.approx(beats * 0.5)
    assert heard(arrangement, 0, beats * 0.5, *DRUM_SET)
    assert done(arrangement, Departure.PICK_UP) == (0.0, 0)
    assert arrangement.sections[0].start_s == pytest.approx(beats * 0.5)


def test_a_tag_adds_two_bars_to_a_section() -> None:
    """A phrase of two bars hangs on to a section's end, and the section is two bars longer."""
    arrangement = record(1, Departure.TAG, form="intro:8,verse:16,drop:16")
    start_s, bars = done(arrangement, Departure.TAG)
    lengths = np.diff(np.append(arrangement.count.phrase_starts_s, arrangement.count.end_s)) / 2.0
    assert bars == 2
    assert sorted(np.rint(lengths).astype(int).tolist()) == [2] + [4] * 10
    assert lengths[np.searchsorted(arrangement.count.phrase_starts_s, start_s - 1e-6)] == pytest.approx(2)
    assert sorted(section.bars for section in arrangement.sections) in ([8, 16, 18], [10, 16, 16])
    ends = [section.start_s + 2 * section.bars for section in arrangement.sections]
    assert any(abs(start_s + 4.0 - end_s) < 1e-6 for end_s in ends)


def test_a_six_bar_phrase_has_six_bars() -> None:
    """One phrase of six among the fours, told with its place."""
    arrangement = record(2, Departure.SIX_BAR_PHRASE)
    start_s, bars = done(arrangement, Departure.SIX_BAR_PHRASE)
    starts = arrangement.count.phrase_starts_s
    lengths = np.rint(np.diff(np.append(starts, arrangement.count.end_s)) / 2.0).astype(int)
    assert bars == 6
    assert lengths[np.searchsorted(starts, start_s - 1e-6)] == 6
    assert sorted(set(lengths.tolist())) == [4, 6]
    with pytest.raises(ValueError, match="no exception"):
        record(2, Departure.SIX_BAR_PHRASE, phrase_bars=6)


@settings(max_examples=10)
@given(seed=st.integers(0, 9_999), kind=st.sampled_from([Departure.TAG, Departure.SIX_BAR_PHRASE]))
def test_a_phrase_of_another_length_is_heard_as_one(seed: int, kind: Departure) -> None:
    """A tag goes on as the phrase before it did; in a phrase of six nothing tells of a turn after the fourth bar."""
    arrangement = record(seed, kind, form=EVEN)
    start_s, bars = done(arrangement, kind)
    one = int(np.searchsorted(arrangement.count.ones_s, start_s - 1e-6)) + 1
    every = GROOVES["backbeat"].bars
    same = (
        [(one, one - 4)] if kind == Departure.TAG else [(one + at, one + at - every) for at in range(every, bars - 1)]
    )
    for bar, usual in same:
        assert sounds(arrangement, bar, *WITHOUT_CRASH) == sounds(arrangement, usual, *WITHOUT_CRASH)
    ends_s = start_s + 2.0 * bars
    assert any(abs(turn.time_s - ends_s) < 1e-6 for turn in arrangement.turns) or ends_s == arrangement.count.end_s


def test_a_false_fill_turns_nothing() -> None:
    """A fill in mid-phrase: its hits are there, no phrase starts after it."""
    arrangement = record(3, Departure.FALSE_FILL)
    start_s, _ = done(arrangement, Departure.FALSE_FILL)
    plain = record(3)
    ends_s = np.ceil(start_s / 2.0 + 1e-6) * 2.0
    assert np.abs(arrangement.count.phrase_starts_s - ends_s).min() > 1.0
    ours, theirs = ((a.hits.grid_s >= start_s - 1e-6) & (a.hits.grid_s < ends_s - 1e-6) for a in (arrangement, plain))
    assert arrangement.hits.voice[ours].tolist() != plain.hits.voice[theirs].tolist()


@settings(max_examples=10)
@given(seed=st.integers(0, 9_999))
def test_a_break_without_drums_is_silent_but_for_the_song(seed: int) -> None:
    """No drum in the phrase told (a crash on its one may ring), yet something pitched moves."""
    arrangement = record(seed, Departure.BREAK_WITHOUT_DRUMS)
    start_s, bars = done(arrangement, Departure.BREAK_WITHOUT_DRUMS)
    assert not heard(arrangement, start_s, start_s + bars * 2.0, *(set(DRUMS) - {"crash"}))
    assert heard(arrangement, start_s, start_s + bars * 2.0, *PITCHED)


@pytest.mark.proof
def test_a_break_of_a_song_may_end_without_drums() -> None:
    """In about every second record its last phrase has none, and no fill is told there; the drop brings them back."""
    silent = 0
    for seed in range(40):
        made = record(seed, song=True)
        break_s, end_s = (
            next(each.start_s for each in made.sections if each.name == name) for name in ("break", "outro")
        )
        heard_there = heard(made, end_s - 8.0, end_s, *(set(DRUMS) - {"crash"}))
        silent += not heard_there
        assert heard(made, break_s, end_s, *PITCHED)
        if not heard_there:
            turn = next(turn for turn in made.turns if abs(turn.time_s - end_s) < 1e-6)
            assert not LAST_BAR & set(turn.signals)
            assert "layer in" in turn.signals
    assert 10 <= silent <= 30


def test_a_tease_needs_an_intro() -> None:
    with pytest.raises(ValueError, match="intro expected"):
        record(0, Departure.TEASE, form="verse:8")


def test_half_time_puts_the_backbeat_on_three() -> None:
    """In the section told the snare falls on 3, not on 2 and 4 (common practice); the count goes on."""
    arrangement = record(5, Departure.HALF_TIME, form="intro:8,verse:8,drop:8")
    start_s, bars = done(arrangement, Departure.HALF_TIME)
    assert bars == 8
    assert start_s in [section.start_s for section in arrangement.sections]
    for bar in (0, 1, 4, 5):
        one_s = start_s + bar * 2.0
        sharp = arrangement.hits.only(*SHARP_DRUMS)
        loud = sharp.onset_s[
            (sharp.velocity > 0.6) & (sharp.onset_s >= one_s - 1e-6) & (sharp.onset_s < one_s + 1.99)
        ]
        np.testing.assert_allclose(loud - one_s, [1.0], atol=0.03)


@settings(max_examples=10)
@given(seed=st.integers(0, 9_999))
def test_a_turn_without_fill_gives_no_sign(seed: int) -> None:
    """The phrase turns in the count; nothing drawn foretells it or falls on it."""
    arrangement = record(seed, Departure.SILENT_TURN)
    at, _ = done(arrangement, Departure.SILENT_TURN)
    turn = next(turn for turn in arrangement.turns if abs(turn.time_s - at) < 1e-6)
    assert not set(turn.signals) & set(LIKELY)


@settings(max_examples=15)
@given(seed=st.integers(0, 9_999), name=st.sampled_from(sorted(GROOVES)), form=st.sampled_from(["intro:4", FORM]))
def test_all_exceptions_at_once_are_all_told(seed: int, name: str, form: str) -> None:
    """Whatever the groove and however short the form, everything asked for is done, told and survives JSON."""
    arrangement = record(seed, *Departure, name=name, form=form, song=True)
    assert {odd.kind for odd in arrangement.exceptions} == set(Departure)
    data = json.loads(json.dumps(arrangement.truth(48_000).to_json()))
    assert Truth.from_json(data).to_json() == data
    assert {odd["kind"] for odd in data["exceptions"]} == {str(kind) for kind in Departure}
    assert [turn["signals"] for turn in data["turns"]] == [list(turn.signals) for turn in arrangement.turns]
    np.testing.assert_allclose(
        [turn["time_s"] for turn in data["turns"]], [turn.time_s for turn in arrangement.turns]
    )


def test_an_unknown_exception_offers_the_near_ones() -> None:
    """A mistyped exception is a wrong call that names the nearest."""
    with pytest.raises(ValueError, match="Did you mean pick-up"):
        record(0, "pickup")


@pytest.mark.proof
@given(first=st.integers(0, 250), beats=st.integers(1, 40) | st.none())
def test_an_excerpt_keeps_notes_and_signs_within_it(first: int, beats: int | None) -> None:
    """Held notes go on from the first beat, none outlasts the end, turns are those inside, rises end on turns."""
    whole = record(7, song=True)
    beats = None if beats is None or first + beats > len(whole.count) else beats
    part = whole.excerpt(first, beats)
    by_s = -whole.count.beats_s[first]
    end_s = part.count.end_s
    held = part.hits.duration_s > 0
    if beats is not None:
        assert (part.hits.onset_s + part.hits.duration_s)[held].max(initial=0) <= end_s + 1e-6
    assert [turn.time_s for turn in part.turns] == pytest.approx(
        [turn.time_s + by_s for turn in whole.turns if 0 <= round(turn.time_s + by_s, 6) < round(end_s, 6)]
    )
    pads = whole.hits.only("pad")
    sounding = (pads.onset_s + by_s < -0.03) & (pads.onset_s + pads.duration_s + by_s > 0.2)
    assert (part.hits.only("pad").onset_s == 0).sum() >= sounding.sum()


def test_turns_grow_with_the_bars_that_they_close():
    """Hypermetre (Rothstein 1989, Phrase Rhythm in Tonal Music, from memory): 4, 8, 16 and 32 bars, rising."""
    assert [turn_size(bars, section_ends=False) for bars in (4, 8, 12, 16, 24, 32)] == [1, 2, 1, 3, 2, 4]
    assert [turn_size(bars, section_ends=True) for bars in (4, 8, 16)] == [3, 3, 4]
    crashes = [after(frozenset({Signal.CRASH}), size)[0, VELOCITY] for size in (1, 2, 3, 4)]
    assert crashes == sorted(set(crashes))
    assert list(FILL_BEATS) == sorted(FILL_BEATS)


def test_no_more_than_a_third_of_the_inner_turns_carry_a_fill():
    """Of 2 000 turns of each size, of bands and of machines; by chance alone a share strays by 1 % (SD)."""
    draw = np.random.default_rng(7)
    for family in (BANDS[0], "techno"):
        for size in (1, 2, 3, 4):
            drawn = [draw_signals(draw, size, usual_signals(family)) for _ in range(2000)]
            assert np.mean([bool({Signal.FILL, Signal.ROLL} & signals) for signals in drawn]) <= 1 / 3
    large = np.mean([len(draw_signals(draw, 4)) for _ in range(500)])
    small = np.mean([len(draw_signals(draw, 1)) for _ in range(500)])
    assert large > small + 1


@pytest.mark.parametrize("name", ["backbeat", "waltz", "disco"])
def test_a_band_does_not_turn_by_machine(name):
    for seed in range(10):
        assert not {signal for turn in record(seed, name=name).turns for signal in turn.signals} & set(BY_MACHINE)


def test_a_roll_thickens_into_its_turn():
    """Strokes a beat and their force rise through its one, two or four bars."""
    rolls = set()
    for seed in range(24):
        made = record(seed, name="techno", form="verse:64", phrase_bars=8, signals=("snare roll", "crash"))
        snares = made.hits.only("snare")
        for turn in made.turns:
            if Signal.ROLL not in turn.signals:
                continue
            start = turn.time_s - 16.0
            own = snares.where((snares.grid_s > start - 0.01) & (snares.grid_s < turn.time_s - 0.01))
            bars = round((turn.time_s - own.grid_s.min()) / 2.0)
            rolls.add(bars)
            halves = np.histogram(own.grid_s, np.linspace(turn.time_s - 2.0 * bars, turn.time_s, 3) - 0.01)[0]
            assert halves[1] >= 1.5 * halves[0]
            assert np.polyfit(own.grid_s, own.velocity, 1)[0] > 0
    assert rolls == {1, 2, 4}


def test_an_echo_dies_away_over_the_new_phrase():
    """The groove's sharp drum, softer each time, and more often the larger the turn."""
    echoes = {len(rows): rows for rows in (after(frozenset({Signal.ECHO}), size, "rim") for size in (1, 2, 3, 4))}
    assert list(echoes) == [1, 2, 3, 4]
    assert np.all(np.diff(echoes[4][:, VELOCITY]) < 0)
    made = record(3, name="techno", signals=("echo",))
    for turn in made.turns:
        assert heard(made, turn.time_s + 0.2, turn.time_s + 0.3, "clap") == ("echo" in turn.signals)


def test_a_false_turn_is_a_crash_where_nothing_turns():
    made = record(3, Departure.FALSE_TURN, form="verse:32")
    start_s, _ = done(made, Departure.FALSE_TURN)
    assert heard(made, start_s, start_s + 0.05, "crash") == 1
    assert np.abs(made.count.phrase_starts_s - start_s).min() > 1.0
    assert np.abs(made.count.ones_s - start_s).min() < 1e-6


@pytest.mark.parametrize("name", ["four-on-the-floor", "techno", "disco"])
def test_the_kick_rests_in_a_club_fill_and_plays_on_in_one_by_hand(name):
    """The last beat of a phrase that ends with a fill, over 20 seeds (common practice)."""
    kicks = 0
    for seed in range(20):
        arrangement = record(seed, name=name, form="verse:8", signals=("fill",))
        last_s = arrangement.count.phrase_starts_s[1] - 60 / arrangement.tempo_bpm
        kicks += heard(arrangement, last_s, last_s + 0.45, "kick")
    if GROOVES[name].family in CLUB_FAMILIES:
        assert kicks == 0
    elif {4} <= set(GROOVES[name].kick_on):
        assert kicks >= 20
