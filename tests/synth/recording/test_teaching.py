"""What a tutor makes of a recording: bars to count over, and a drum intro on its grid."""

from dataclasses import replace

import numpy as np
import pytest

from synth.base.errors import Trouble
from synth.recording.source import of_file
from synth.recording.teaching import INTROS, LEAD_IN_S, part_of, with_intro
from tests.synth.recording.test_source import GRID, PRINT, SOURCE, in_file_s, on_grid


@pytest.mark.parametrize(("first", "bars"), [(1, 8), (7, 3), (20, 1)])
def test_bars_from_any_bar_on(first, bars):
    part = part_of(SOURCE, first, bars)
    assert sorted(set(part.count.bar_number.tolist())) == list(range(first, first + bars))
    assert part.count.beats_s[0] == pytest.approx(LEAD_IN_S)
    assert in_file_s(part)[0] == pytest.approx(GRID.one_s + (first - 1) * 4 * GRID.beat_s)


def test_to_the_end_by_default_and_where_more_is_asked_for():
    whole, more = part_of(SOURCE), part_of(SOURCE, 1, 10_000)
    assert len(whole.count) == len(more.count)
    # What sounds beyond the last beat goes on until the file ends.
    assert whole.recorded.end_s - LEAD_IN_S + GRID.one_s == pytest.approx(GRID.duration_s, abs=0.05)
    for each in (whole, more, with_intro(SOURCE, 4, "four-on-the-floor")):
        assert each.duration_s == pytest.approx(each.recorded.end_s)
    assert part_of(SOURCE, 1, 8).tail_s == 0


@pytest.mark.parametrize("bars", INTROS)
@pytest.mark.parametrize("first", [1, 5])
def test_a_drum_intro_stands_on_the_grid_and_the_record_comes_in_on_the_one(bars, first):
    sound = with_intro(SOURCE, bars, "four-on-the-floor", first_bar=first)
    assert (sound.intro_bars, sound.count.bar_number[0]) == (bars, 1)
    assert (np.diff(sound.count.bar_number[sound.count.beat_in_bar == 1]) == 1).all()
    np.testing.assert_allclose(np.diff(sound.count.beats_s), GRID.beat_s, atol=1e-9)
    enters_s = sound.count.beats_s[4 * bars]
    assert sound.recorded.from_s + enters_s == pytest.approx(GRID.one_s + (first - 1) * 4 * GRID.beat_s)
    assert sound.recorded.start_s < enters_s < sound.recorded.start_s + 0.05
    kicks_s = sound.hits.only("kick").grid_s
    assert kicks_s.size >= 3 * bars  # a fill may take some out
    assert (sound.hits.grid_s < enters_s).all()
    off = (kicks_s - LEAD_IN_S) / GRID.beat_s
    assert on_grid(sound.recorded.from_s + kicks_s) or np.abs(off * 2 - np.round(off * 2)).max() < 1e-6


def test_what_cannot_be_made_says_so():
    with pytest.raises(Trouble, match="has bars 1 to"):
        part_of(SOURCE, 1000)
    with pytest.raises(Trouble, match="not in four"):
        with_intro(SOURCE, 8, "waltz")
    with pytest.raises(Trouble, match="waltzz"):
        with_intro(SOURCE, 8, "waltzz")
    for tempo_bpm in (30.0, 250.0):
        with pytest.raises(Trouble, match="A drum intro has 40 to 240"):
            with_intro(of_file("a.wav", replace(GRID, tempo_bpm=tempo_bpm), print=PRINT), 8, "four-on-the-floor")
