"""A recording as what plays in a trial: what sounds lies on its grid, and where it cannot serve it says so."""

from dataclasses import replace

import numpy as np
import pytest

from synth.base.errors import Trouble
from synth.recording.grid import Grid
from synth.recording.source import MOST_STRETCH, in_phrases, near, of_file
from synth.score.arranging.sequence import cut, delayed
from synth.score.recorded import EARLY_S

PRINT = "5" * 32
GRID = Grid(
    tempo_bpm=120.0,
    one_s=1.3,
    start_s=0.1,
    steady_until_s=129.3,
    duration_s=140.0,
    phrase_bars=8,
    phrase_first=2,
    intro_bars=10,
    uncertainty_ms=3.0,
    tempo_confidence=1.0,
    one_confidence=1.0,
    phrase_confidence=1.0,
    sure=True,
)
SOURCE = of_file("song.wav", GRID, print=PRINT, title="A song")


def in_file_s(sound):
    """Where in the file each beat of an arrangement lies."""
    return sound.recorded.from_s + sound.count.beats_s * sound.recorded.speed


def on_grid(times_s, grid=GRID) -> bool:
    beats = (times_s - grid.one_s) / grid.beat_s
    return np.allclose(beats, np.round(beats), atol=1e-6)


@pytest.mark.parametrize("seed", range(6))
def test_an_excerpt_begins_with_a_phrase_and_lies_on_the_grid_of_the_file(seed):
    record = SOURCE.record("verse:8", phrase_bars=4, seed=seed)
    assert len(record.count) == 32
    assert (record.count.beat_in_bar[0], record.count.bar_in_phrase[0]) == (1, 1)
    part = record.excerpt(5, 12, lead_in_s=1.0)
    assert part.count.beats_s[0] == pytest.approx(1.0)
    assert on_grid(in_file_s(part))
    # Two bars of the first phrase are missing at the start: ones of phrases lie two bars after the first one.
    bars = np.round((in_file_s(record)[0] - GRID.one_s) / (4 * GRID.beat_s))
    assert bars % 4 == 2
    assert part.recorded.start_s == pytest.approx(1.0 - EARLY_S)
    assert part.recorded.end_s == pytest.approx(part.count.end_s - EARLY_S)


def test_different_seeds_draw_different_places_and_the_same_the_same():
    places = [float(in_file_s(SOURCE.record("verse:4", phrase_bars=4, seed=seed))[0]) for seed in range(20)]
    assert len(set(places)) > 5
    assert places == [float(in_file_s(SOURCE.record("verse:4", phrase_bars=4, seed=s))[0]) for s in range(20)]


def test_silence_delay_and_cut_leave_the_file_where_it_was():
    record = SOURCE.record("verse:8", phrase_bars=4, seed=1).excerpt(0, lead_in_s=0.5)
    beats_s = record.count.beats_s
    hushed = record.without(float(beats_s[4]), float(beats_s[8]))
    (first, second) = hushed.recorded.spans_s
    assert first == pytest.approx((0.5 - EARLY_S, beats_s[4] - EARLY_S))
    assert second == pytest.approx((beats_s[8] - EARLY_S, record.count.end_s - EARLY_S))
    later = cut(delayed(hushed, 2.0), 2.0 + float(beats_s[12]))
    assert on_grid(in_file_s(later))
    assert later.recorded.spans_s[0] == pytest.approx((2.5 - EARLY_S, 2.0 + beats_s[4] - EARLY_S))
    assert later.recorded.spans_s[1][1] == pytest.approx(2.0 + beats_s[12] - EARLY_S)


def test_beyond_its_end_nothing_sounds():
    beyond = SOURCE.sound.within(200.0, 210.0)
    assert beyond.start_s == beyond.end_s
    assert beyond.spans_s == ()


def test_at_another_tempo_the_same_sound_passes_faster():
    fast = SOURCE.at(126.0).record("verse:4", phrase_bars=4, seed=3).excerpt(0, lead_in_s=1.0)
    assert np.diff(fast.count.beats_s) == pytest.approx(60 / 126)
    assert fast.recorded.speed == pytest.approx(1.05)
    assert on_grid(in_file_s(fast))


@pytest.mark.parametrize(("bars", "expected"), [(2, {2}), (8, {8}), (10, {10}), (12, set(range(2, 11)))])
def test_as_many_bars_of_the_intro_are_left_as_are_asked_for_or_drawn_of_a_shorter_one(bars, expected):
    left = set()
    for seed in range(60):
        record = SOURCE.record(f"intro:{bars},verse:8", phrase_bars=4, seed=seed)
        intro_end_s = GRID.one_s + GRID.intro_bars * 4 * GRID.beat_s
        assert in_file_s(record)[4 * record.intro_bars] == pytest.approx(intro_end_s)
        left.add(record.intro_bars)
    assert left == expected


def test_phrases_are_counted_in_those_asked_for_where_they_divide():
    assert [SOURCE.phrase_bars(bars) for bars in (4, 8, 16)] == [4, 8, 8]
    count = GRID.count()
    by_four = in_phrases(count, 8, 4)
    assert set(by_four.bar_in_phrase.tolist()) == {0, 1, 2, 3, 4}
    starts = set(np.round(by_four.phrase_starts_s, 6))
    assert set(np.round(count.phrase_starts_s[1:], 6)) < starts
    assert (np.diff(by_four.phrase_number) >= 0).all()


def test_what_cannot_serve_says_so():
    with pytest.raises(Trouble, match="too short"):
        SOURCE.record("verse:80", phrase_bars=4, seed=0)
    with pytest.raises(Trouble, match="No intro"):
        replace(SOURCE, grid=replace(GRID, intro_bars=None)).record("intro:8,verse:8", phrase_bars=4, seed=0)
    for tempo_bpm in (39.0, 241.0):  # what drills are answered at (synth.score.metre)
        with pytest.raises(Trouble, match="Drills take 40 to 240"):
            replace(SOURCE, grid=replace(GRID, tempo_bpm=tempo_bpm)).record("verse:8", phrase_bars=4, seed=0)
    with pytest.raises(Trouble, match="single drums"):
        SOURCE.drums()
    with pytest.raises(Trouble, match="second record"):
        SOURCE.second(("backbeat",), np.random.default_rng(1))
    with pytest.raises(ValueError, match="without a grid"):
        of_file("song.wav", replace(GRID, refused=SOURCE.metre), print=PRINT)


def test_a_second_record_comes_at_the_tempo_of_the_first_if_it_is_near():
    other = of_file("other.wav", replace(GRID, tempo_bpm=125.0), print="6" * 32)
    both = replace(SOURCE, other=other)
    assert both.second(("backbeat",), np.random.default_rng(1)).tempo_bpm == SOURCE.tempo_bpm
    assert near(other.grid, 120.0)
    far = replace(other.grid, tempo_bpm=120 * (1 + MOST_STRETCH) + 0.1)
    assert not near(far, 120.0)
