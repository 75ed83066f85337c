"""Records: form, phrases, fills, excerpts and their truth."""

import json
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from synth.base.errors import Trouble
from synth.score.arranging.arrangement import Arrangement, arrange
from synth.score.arranging.truth import Truth
from synth.score.form import Form
from synth.score.grooves import grooves, parse_groove
from synth.score.hits import SHARP_DRUMS, Hits
from synth.score.metre import Metre

pytestmark = pytest.mark.sampled(4)

GROOVES = grooves()


def record(
    name: str = "backbeat", seed: int = 0, tempo_bpm: float = 120.0, form: str = "intro:8,verse:16"
) -> Arrangement:
    return arrange(GROOVES[name], tempo_bpm=tempo_bpm, form=form, seed=seed)


def bar_of(arrangement: Arrangement, bar: int, softest: float = 0.0) -> set[tuple[float, str]]:
    """Where in the bar, in beats, which drum sounds louder than ``softest``."""
    bar_s = arrangement.count.ones_s[bar - 1]
    length_s = 60.0 / arrangement.tempo_bpm * arrangement.metre.beats_per_bar
    hits = arrangement.hits
    inside = (hits.velocity > softest) & (hits.grid_s >= bar_s - 1e-6) & (hits.grid_s < bar_s + length_s - 1e-6)
    beats = (hits.grid_s[inside] - bar_s) / length_s * arrangement.metre.beats_per_bar
    return {
        (round(at, 3), hits.voices[voice])
        for at, voice in zip(beats.tolist(), hits.voice[inside].tolist(), strict=True)
    }


def test_eight_bars_at_120_last_16_seconds() -> None:
    """A bar of 4/4 lasts 240/BPM seconds, two at 120 (de Clercq 2016, MTO 22(3), calls that the ideal bar)."""
    arrangement = record(form="verse:8")
    assert arrangement.count.end_s == pytest.approx(16.000, abs=1e-9)
    np.testing.assert_allclose(np.diff(arrangement.count.ones_s), 2.0, atol=1e-9)


def test_kick_and_backbeat_sound_through_the_record(subtests: pytest.Subtests) -> None:
    """Outside fills, every bar has the groove's kick and backbeat on their beats."""
    for name in sorted(GROOVES):
        with subtests.test(name=name):
            groove = GROOVES[name]
            arrangement = record(name, tempo_bpm=groove.usual_tempo_bpm, form="intro:8,verse:8")
            for bar in (1, 2, 3, 6, 7, 9, 10, 14):
                there = bar_of(arrangement, bar)
                for beat in groove.kick_on:
                    assert any(abs(at - (beat - 1)) < 2e-3 for at, drum in there if drum == "kick")
                for beat in groove.backbeat_on:
                    assert any(abs(at - (beat - 1)) < 2e-3 for at, drum in there if drum in SHARP_DRUMS)


def test_same_seed_same_record() -> None:
    """A record is rebuilt bit for bit from its seed, and another seed gives another."""
    first, again, other = record(seed=5), record(seed=5), record(seed=6)
    np.testing.assert_array_equal(first.hits.onset_s, again.hits.onset_s)
    np.testing.assert_array_equal(first.hits.velocity, again.hits.velocity)
    assert len(first.hits) != len(other.hits) or not np.array_equal(first.hits.voice, other.hits.voice)


@settings(max_examples=20)
@given(seed=st.integers(0, 10_000), name=st.sampled_from(sorted(GROOVES)))
def test_every_phrase_brings_something_new(seed: int, name: str) -> None:
    """The second bar of a phrase is never drum for drum that of the phrase before."""
    arrangement = record(name, seed, GROOVES[name].usual_tempo_bpm, "intro:8,verse:16,outro:8")
    seconds = [bar_of(arrangement, bar) for bar in range(2, 33, 4)]
    assert all(before != after for before, after in pairwise(seconds))


@settings(max_examples=20)
@given(seed=st.integers(0, 10_000), name=st.sampled_from(sorted(GROOVES)))
def test_every_phrase_lets_the_one_be_found(seed: int, name: str) -> None:
    """No bar of intro or verse is the same counted from another beat, ghost notes aside: the one can be found."""
    arrangement = record(name, seed, GROOVES[name].usual_tempo_bpm, "intro:8,verse:16")
    per_bar = arrangement.metre.beats_per_bar
    for bar in range(2, 25, 4):
        sounds = bar_of(arrangement, bar, softest=0.5)
        for beat in range(1, per_bar):
            assert sounds != {(round((at + beat) % per_bar, 3), drum) for at, drum in sounds}


def test_the_truth_has_the_keys_of_the_design() -> None:
    """truth.json: names with units, lists of one row a beat, sections with their bars; survives the way to disk."""
    truth = record().truth(48_000)
    data = json.loads(json.dumps(truth.to_json()))
    keys = "sample_rate_hz tempo_bpm metre beats_s beat_in_bar bar_number bar_in_phrase ones_s phrase_starts_s"
    assert set(data) >= {*keys.split(), "sections", "intro_bars", "seed", "version"}
    assert data["sections"] == [
        {"name": "intro", "start_s": 0.0, "bars": 8},
        {"name": "verse", "start_s": 16.0, "bars": 16},
    ]
    assert (data["metre"], data["intro_bars"], len(data["beats_s"])) == ("4/4", 8, 96)
    assert data["phrase_starts_s"] == [0.0, 8.0, 16.0, 24.0, 32.0, 40.0]
    assert data["ones_s"] == data["beats_s"][::4]
    assert Truth.from_json(data).to_json() == truth.to_json()


@pytest.mark.parametrize(
    "spoil", [{"beats_s": None}, {"metre": 5}, {"sections": [3]}, {"seed": "x"}, {"beats_s": [1, 0]}]
)
def test_a_wrong_truth_is_trouble(spoil: dict[str, object]) -> None:
    """A truth with a wrong or missing key is told by that key."""
    data = record().truth(48_000).to_json() | spoil
    with pytest.raises(Trouble, match="cannot be read"):
        Truth.from_json(data)


def test_a_truth_without_a_key_is_told_by_it() -> None:
    """The missing key is named."""
    data = record().truth(48_000).to_json()
    del data["metre"]
    with pytest.raises(Trouble, match="'metre' is missing"):
        Truth.from_json(data)


def test_the_beats_file_has_a_line_a_beat() -> None:
    """Seconds, a tab, bar.beat."""
    lines = record().truth(48_000).beats_text().splitlines()
    assert lines[:2] == ["0.000000\t1.1", "0.500000\t1.2"]
    assert lines[-1] == "47.500000\t24.4"


@given(first=st.integers(0, 90), beats=st.integers(1, 6) | st.none(), lead_in_s=st.sampled_from([0.0, 0.5]))
def test_an_excerpt_keeps_count_and_sound_together(first: int, beats: int | None, lead_in_s: float) -> None:
    """Playback may start on any beat: hits and beats move by the same time, numbers stay."""
    whole = record()
    part = whole.excerpt(first, beats, lead_in_s)
    by_s = lead_in_s - whole.count.beats_s[first]
    assert part.count.beats_s[0] == pytest.approx(lead_in_s)
    assert part.count.bar_number[0] == whole.count.bar_number[first]
    kicks = part.hits.only("kick").onset_s
    all_kicks = np.maximum(whole.hits.only("kick").onset_s + by_s, 0.0)  # none before the first frame
    assert all(np.abs(all_kicks - kick).min() < 1e-9 for kick in kicks)
    grid_s = whole.hits.only("kick").grid_s + by_s
    inside = (grid_s > lead_in_s - 1e-9) & (grid_s < part.count.end_s - 0.03)
    assert inside.sum() <= len(kicks) <= inside.sum() + 1
    assert part.sections[0].start_s == pytest.approx(lead_in_s)


def test_a_hit_shifted_as_early_as_may_be_goes_with_its_beat() -> None:
    """A snare 40 ms before two and four: an excerpt from the two on begins with it, and one up to it does without."""
    early = parse_groove("shift snare: -40 ms\nkick |x...x...x...x...|\nsnare|....x.......x...|", "early")
    whole = arrange(early, tempo_bpm=120, form="verse:4", signals=["crash"])
    assert whole.excerpt(1, 2, lead_in_s=0.1).hits.only("snare").onset_s == pytest.approx([0.06], abs=0.003)
    assert len(whole.excerpt(0, 1).hits.only("snare")) == 0


def test_the_excerpt_holds_a_section_only_as_far_as_it_is_heard() -> None:
    """Four beats from the seventh bar's two: two bars of intro are touched, no verse."""
    part = record().excerpt(25, 4)
    assert [(section.name, section.bars) for section in part.sections] == [("intro", 2)]


def test_the_excerpt_holds_an_exception_only_as_far_as_it_is_heard() -> None:
    """Half time entered in its fifth bar of eight lasts four; a false fill is over in the bar after it."""
    whole = arrange(
        GROOVES["backbeat"],
        tempo_bpm=120,
        form="intro:8,verse:16,chorus:8",
        exceptions=["half-time section", "false fill"],
        seed=3,
    )
    half = next(odd for odd in whole.exceptions if odd.kind == "half-time section")
    fill = next(odd for odd in whole.exceptions if odd.kind == "false fill")
    bar_s = 2.0

    def told(first_s: float, bars: int | None = None) -> list[tuple[str, float, int]]:
        part = whole.excerpt(round(2 * first_s), None if bars is None else 4 * bars, lead_in_s=0.5)
        return [(odd.kind, odd.start_s - 0.5, odd.bars) for odd in part.exceptions]

    assert ("half-time section", 0.0, half.bars - 4) in told(half.start_s + 4 * bar_s)
    assert ("half-time section", 0.0, 2) in told(half.start_s + 4 * bar_s, 2)
    assert ("half-time section", 4.0, 1) in told(half.start_s - 4.0, 3)
    assert "half-time section" not in {kind for kind, _, _ in told(half.start_s + half.bars * bar_s)}
    next_one_s = float(whole.count.ones_s[whole.count.ones_s > fill.start_s + 1e-6][0])
    assert "false fill" not in {kind for kind, _, _ in told(next_one_s)}
    before_s = next_one_s - bar_s
    assert ("false fill", pytest.approx(fill.start_s - before_s), 0) in told(before_s)


@pytest.mark.parametrize(
    "text", ["", "intro", "intro:0", "intro:x", "intr:8", "intro:8,,verse:8", "verse:99999", "intro:-4"]
)
def test_a_form_that_cannot_be_read_is_trouble(text: str) -> None:
    """Bad form texts are answered in one line."""
    with pytest.raises(Trouble) as trouble:
        Form.parse(text)
    assert str(trouble.value).startswith(f"Form {text!r}")
    assert "\n" not in str(trouble.value)


def test_a_form_reads_and_prints_itself() -> None:
    """The form's text is its own inverse; a remainder makes a short phrase."""
    form = Form.parse("intro:8,verse:6")
    assert (str(form), form.bars, form.intro_bars) == ("intro:8,verse:6", 14, 8)
    assert form.phrases(4) == ((4, 4), (4, 2))


def test_tempo_out_of_range_is_a_wrong_call() -> None:
    """Tempo outside 40 to 240 is refused with the limits."""
    with pytest.raises(ValueError, match="40 to 240"):
        record(tempo_bpm=500)


def test_hits_are_checked() -> None:
    """Unsorted hits and voices that do not exist are refused."""
    two = np.array([1.0, 0.5])
    with pytest.raises(ValueError, match="sorted"):
        Hits(two, np.zeros(2, np.int16), np.ones(2, np.float32), ("kick",))
    with pytest.raises(ValueError, match="outside"):
        Hits(two[::-1], np.ones(2, np.int16), np.ones(2, np.float32), ("kick",))
    assert Hits.of(two, [0, 0], [1, 0.5], ("kick",)).velocity.tolist() == [0.5, 1.0]


def test_six_eight_counts_two_beats() -> None:
    """A compound groove is counted in dotted quarters."""
    waltz = parse_groove(
        "metre: 6/8\nsteps: 12\nkick on: 1\nbackbeat on: 2\nkick |X.....  ......|\nsnare|...... x.....|", "w"
    )
    arrangement = arrange(waltz, tempo_bpm=80, form="verse:4")
    assert arrangement.metre == Metre(6, 8)
    assert arrangement.count.end_s == pytest.approx(4 * 2 * 60 / 80)
