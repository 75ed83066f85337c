"""A varied groove is another one that keeps its promise; even drums stay even."""

import numpy as np
import pytest

from synth.score.arranging.arrangement import arrange
from synth.score.evened import evened
from synth.score.grooves import groove, groove_files
from synth.score.hits import SHARP_DRUMS
from synth.score.variation import varied

NAMES = sorted(groove_files([]))


def first_bars(name: str, seed: int) -> frozenset[tuple[int, int]]:
    """Place, in hundredths of a beat, and voice of the hits in the first four bars of a record."""
    pattern = varied(groove(name, []), np.random.default_rng(seed))
    record = arrange(pattern, tempo_bpm=120, form="verse:8", seed=seed)
    hits, end_s = record.hits, float(record.count.ones_s[4]) - 0.05
    here = hits.grid_s < end_s
    return frozenset(
        zip(np.rint(200 * hits.grid_s[here]).astype(int).tolist(), hits.voice[here].tolist(), strict=True)
    )


@pytest.mark.sweep
@pytest.mark.parametrize("name", NAMES)
def test_no_two_of_twenty_records_have_the_same_four_bars(name):
    assert len({first_bars(name, seed) for seed in range(1, 21)}) == 20


@pytest.mark.sweep
@pytest.mark.parametrize("name", NAMES)
def test_named_beats_stay_and_no_drum_falls_silent(name):
    written = groove(name, [])
    a_beat = written.steps_per_bar / written.metre.beats_per_bar
    for seed in range(10):
        played = varied(written, np.random.default_rng(seed))
        assert set(played.lines) == set(written.lines)
        assert all(any(map(any, bars)) for bars in played.lines.values())
        for bar in range(played.bars):
            for beats, drums in ((written.kick_on, ("kick",)), (written.backbeat_on, SHARP_DRUMS)):
                for beat in beats:
                    step = round((beat - 1) * a_beat)
                    assert any(drum in played.lines and played.bar_of(drum, bar)[step] for drum in drums)


@pytest.mark.parametrize("name", ["four-on-the-floor", "backbeat", "soul", "latin-house"])
def test_even_drums_stay_even(name):
    even = evened(groove(name, []))
    for seed in range(10):
        for (bar,) in varied(even, np.random.default_rng(seed)).lines.values():
            half = len(bar) // 2
            assert bar[:half] == bar[half:]


def test_even_drums_leave_an_odd_bar_as_it_is():
    assert evened(groove("waltz", [])) == groove("waltz", [])
