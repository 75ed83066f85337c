"""Confirming by ear, without a window: what each key does to the count, and what is heard meanwhile.

The truth is that of drums rendered on their beats: which bar a time belongs to is counted by hand.
"""

from dataclasses import replace

import numpy as np
import pytest

from app.practice.records import confirming as module
from app.practice.records.confirming import BARS, LEAD_S, Confirming
from app.practice.records.heard import Counting, Stretch, counted, heard
from synth.base.errors import Trouble
from synth.base.words import say
from synth.catalogue.recording import State
from synth.device.faults import Fault, FaultKind
from synth.recording.decoder import Decoder
from synth.recording.grid import Grid
from synth.sound.loudness import weigh
from tests.app.later import Later
from tests.synth.catalogue.made import recording

pytestmark = pytest.mark.sampled(3)

# 120 BPM: a beat lasts 0.5 s, a bar 2 s, and there are 64 bars.
GRID = Grid(120.0, 0.25, 0.25, 128.25, 130.0, 8, 0, 8, 1.0, 1.0, 1.0, 1.0, False)
RECORDING = recording(1, grid=GRID, duration_s=130.0, path="/nowhere/1.flac")


@pytest.fixture(autouse=True)
def _mixed(monkeypatch):
    """Sounds of the right length; the samples say which grid they were counted by."""

    def sound(of, grid, stretch, counting, rate):
        return np.full((round(stretch.long_s * rate), 2), grid.one_s + 100 * (counting.way is not None), np.float32)

    monkeypatch.setattr(module, "heard", sound)


def outline(*parts: tuple[int, int]) -> bytes:
    """So many seconds at such a level, in quarters of a dB over silence."""
    return b"".join(bytes([level]) * (seconds * 10) for seconds, level in parts)


def at(player, seconds: float) -> None:
    player.now_s = player.start_s + seconds


@pytest.fixture
def confirming(player):
    return Confirming(RECORDING, player)


def test_the_strongest_change_is_in_the_middle_of_what_is_heard(player):
    """14 s of it are soft, then it is 10 dB louder: bar 8 begins at 14.25 s, four bars before it bar 4."""
    made = Confirming(RECORDING, player, outline((14, 160), (116, 200)))
    assert made.bar == 8 - BARS // 2
    made.hear()
    assert player.playing
    assert len(player.samples) == pytest.approx((16 + LEAD_S) * 48_000, abs=1)


def test_without_an_outline_the_end_of_the_intro_is(confirming):
    assert confirming.bar == 9 - BARS // 2


def test_a_slow_record_is_heard_for_four_bars(player):
    slow = replace(GRID, tempo_bpm=64.0)
    made = Confirming(replace(RECORDING, grid=slow), player)
    made.hear()
    assert len(player.samples) / 48_000 == pytest.approx(15 + LEAD_S, abs=0.01)


def test_the_mark_goes_with_the_sound_and_comes_back(confirming, player):
    confirming.mark(17)
    confirming.hear()
    for seconds, bar in ((0.0, 17), (LEAD_S + 1.9, 17), (LEAD_S + 2.1, 18), (LEAD_S + 15, 24)):
        at(player, seconds)
        confirming.tick()
        assert confirming.bar == bar
    player.playing = False
    confirming.tick()
    assert (confirming.bar, confirming.sounding, confirming._coming) == (17, False, None)


def test_stopped_the_bar_that_sounded_stays_marked(confirming, player):
    confirming.mark(17)
    confirming.toggle()
    at(player, LEAD_S + 5)
    confirming.tick()
    confirming.toggle()
    assert (confirming.bar, player.playing) == (19, False)


def test_a_beat_earlier_and_later_is_heard_at_once_at_the_same_place(confirming, player):
    confirming.hear()
    at(player, 4.0)
    confirming.later()
    assert (confirming.grid.one_s, player.plays, player.exchanges) == (pytest.approx(0.75), 1, 1)
    assert player.samples[0, 0] == pytest.approx(0.75)
    confirming.earlier()
    confirming.earlier()
    assert confirming.grid.one_s == pytest.approx(1.75)  # 0.25 - 0.5 is before the first sound: the bar after it
    confirming.undo()
    assert confirming.grid.one_s == pytest.approx(0.25)


def test_nothing_sounds_because_something_was_set(confirming, player):
    confirming.later()
    assert player.plays == 0


def test_half_and_double(confirming):
    confirming.half()
    assert (confirming.grid.tempo_bpm, confirming.bars) == (60.0, 32)
    confirming.double()
    confirming.double()
    assert confirming.grid.tempo_bpm == 240.0
    confirming.double()
    assert confirming.grid.tempo_bpm == 240.0
    assert confirming.notice is not None  # 480 BPM is no tempo


def test_four_taps_move_the_one(confirming, player):
    """Tapped on every third beat, 30 ms late as people are: the one is two beats later."""
    confirming.mark(1)
    confirming.hear()
    for bar in range(4):
        at(player, LEAD_S + 2 * bar + 1.0 + 0.03)
        confirming.tap()
    assert confirming.grid.one_s == pytest.approx(1.25)
    assert confirming.notice is None


def test_taps_all_over_the_bar_change_nothing(confirming, player):
    confirming.mark(1)
    confirming.hear()
    for seconds in (0.0, 2.5, 5.0, 7.5):
        at(player, LEAD_S + seconds)
        confirming.tap()
    assert (confirming.grid, confirming.notice) == (GRID, module.TAPS_APART())


def test_a_tap_after_a_rest_begins_again(confirming, player):
    confirming.mark(1)
    confirming.hear()
    for seconds, left in ((0.0, 3), (2.0, 2), (9.0, 3)):
        at(player, LEAD_S + seconds)
        confirming.tap()
        assert confirming.notice == module.TAP_MORE(n=left)


def test_a_tap_in_silence_says_that_it_must_sound(confirming):
    confirming.tap()
    assert confirming.notice == module.TAP_WHILE()


@pytest.mark.parametrize(("seconds", "bar"), [(4.1, 3), (5.7, 3), (5.8, 4), (6.3, 4)])
def test_here_is_the_bar_that_sounds_or_the_next_just_before_its_one(confirming, player, seconds, bar):
    """Bars 1 to 4 begin at 0, 2, 4, 6 s; half a beat before its one, at 5.75 s, "here" is bar 4."""
    confirming.mark(1)
    confirming.hear()
    at(player, LEAD_S + seconds)
    confirming.tick()
    confirming.intro_ends_here()
    assert confirming.grid.intro_bars == bar - 1


def test_phrases_start_where_they_are_said_to_and_have_other_lengths(confirming):
    confirming.mark(5)
    confirming.phrase_here()
    assert (confirming.grid.phrase_first, confirming.grid.phrase_bars) == (4, 8)
    confirming.phrase_length()
    assert (confirming.grid.phrase_first, confirming.grid.phrase_bars) == (4, 16)
    confirming.phrase_length()
    assert (confirming.grid.phrase_first, confirming.grid.phrase_bars) == (0, 4)


def test_on_the_first_bar_there_is_no_intro(confirming):
    confirming.mark(1)
    confirming.intro_ends_here()
    assert confirming.grid.intro_bars == 0


def test_with_the_end_of_the_intro_a_phrase_begins_unless_it_was_said_where(confirming):
    confirming.mark(6)
    confirming.intro_ends_here()
    assert (confirming.grid.intro_bars, confirming.grid.phrase_first) == (5, 5)
    confirming.undo()
    assert confirming.grid == confirming.recording.grid
    confirming.mark(3)
    confirming.phrase_here()
    confirming.mark(6)
    confirming.intro_ends_here()
    assert (confirming.grid.intro_bars, confirming.grid.phrase_first) == (5, 2)
    confirming.undo()
    confirming.undo()
    confirming.mark(8)
    confirming.intro_ends_here()
    assert (confirming.grid.intro_bars, confirming.grid.phrase_first) == (7, 7)


def test_changes_are_heard_from_the_bar_before(player):
    """Louder at 16.25 s, on bar 9, and at 64.25 s, on bar 33."""
    made = Confirming(RECORDING, player, outline((16, 140), (48, 170), (66, 200)))
    made.mark(1)
    heard_bars = []
    for way in (1, 1, 1, -1, -1):
        made.next_change(way)
        heard_bars.append((made.bar, made.notice is None))
    assert heard_bars == [(8, True), (32, True), (32, False), (8, True), (8, False)]


@pytest.mark.parametrize(
    ("sure", "octave", "one", "phrase", "asks"),
    [
        (True, 1.0, 0.9, 0.9, None),
        (False, 0.0, 0.1, 0.1, module.ASKS_OCTAVE),
        (False, 1.0, 0.1, 0.9, module.ASKS_ONE),
        (False, 1.0, 0.9, 0.1, module.ASKS_PHRASE),
    ],
)
def test_what_is_least_sure_is_to_be_heard_first(player, sure, octave, one, phrase, asks):
    grid = replace(GRID, sure=sure, octave_confidence=octave, one_confidence=one, phrase_confidence=phrase)
    made = Confirming(replace(RECORDING, grid=grid), player)
    assert (made.asks and made.asks.template) is asks
    made.later()
    assert made.asks is None


def test_the_voice_takes_the_place_of_the_clicks(confirming, player):
    confirming.hear()
    confirming.say_it(True)
    assert player.exchanges == 1
    assert player.samples[0, 0] == pytest.approx(100.25)


def test_what_is_confirmed_has_another_version_only_with_another_count(confirming):
    same = confirming.confirmed("learner")
    assert (same.grid_version, same.state, same.confirmed_by) == (1, State.CONFIRMED, "learner")
    confirming.later()
    confirming.later()
    changed = confirming.confirmed("tutor")
    assert (changed.grid_version, changed.confirmed_by) == (2, "tutor")
    assert changed.grid == confirming.grid


def test_a_sound_that_comes_after_the_stop_is_not_played(player):
    later = Later()
    made = Confirming(RECORDING, player, workers=later)
    made.hear()
    assert made.waiting
    made.stop()
    later.run()
    made.tick()
    assert (player.plays, made.sounding, made._coming) == (0, False, None)


def test_while_the_first_sound_is_mixed_a_key_counts_it_anew(player):
    later = Later()
    made = Confirming(RECORDING, player, workers=later)
    made.hear()
    made.later()
    later.run()
    made.tick()
    assert player.samples[0, 0] == pytest.approx(0.75)


def test_a_file_that_cannot_be_read_is_said(player, monkeypatch):
    def broken(*_):
        raise Trouble(say("The file is gone."))

    monkeypatch.setattr(module, "heard", broken)
    made = Confirming(RECORDING, player)
    made.hear()
    assert (str(made.notice), made.sounding, made.waiting) == ("The file is gone.", False, False)


def test_a_sound_that_breaks_off_is_said(confirming, player):
    confirming.hear()
    player.faults, player.playing = (Fault(FaultKind.REROUTED),), False
    confirming.tick()
    assert confirming.notice.template is module.STOPPED


def test_a_record_without_a_count_cannot_be_confirmed(player):
    with pytest.raises(ValueError, match="no count"):
        Confirming(replace(RECORDING, grid=Grid.none(say("no beat"), 130.0)), player)


# -- the sound -------------------------------------------------------------------------------------------------------


def test_clicks_stand_on_the_beats_and_low_ones_on_the_ones():
    """From 7.9 s on: beats every 0.5 s from 8.25 s, ones every 2 s."""
    made = counted(RECORDING.source().sound, GRID, Stretch(7.9, 12.4))
    assert made.hits.onset_s == pytest.approx(np.arange(9) * 0.5 + 0.35)
    assert [made.hits.voices[each] == "low_block" for each in made.hits.voice] == [True, False, False, False] * 2 + [
        True
    ]
    assert made.duration_s == pytest.approx(4.5)
    assert (made.recorded.from_s, made.recorded.start_s, made.recorded.end_s) == pytest.approx((7.9, 0.0, 4.5))


@pytest.mark.parametrize("way", [None, "bars", "letters"])
def test_every_count_of_a_stretch_is_as_long_as_the_stretch(way, monkeypatch, tmp_path):
    """So that one can take the place of another while it sounds."""
    noise = np.random.default_rng(1).normal(0, 0.1, (400_000, 2)).astype(np.float32)

    def read(self, path, start_s, duration_s, rate_hz, played_hz):
        part = noise[: round(duration_s * rate_hz)].copy()
        return part, weigh(part, played_hz)

    monkeypatch.setattr(Decoder, "weighed", read)
    sound = RECORDING.source().sound
    made = heard(sound, GRID, Stretch(7.9, 12.4), Counting(way), 48_000)
    assert made.shape == (216_000, 2)
    assert np.abs(made).max() > 0.05
