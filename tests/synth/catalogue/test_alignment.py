"""Anchors: how much later one encoding is than another, where the truth is a shift that the test makes."""

from dataclasses import replace

import numpy as np
import pytest
import soxr

from synth.catalogue.alignment import RATE_HZ, AnchorWriter, later_s, moved_to
from tests.synth.catalogue.made import GRID
from tests.synth.recording.drums import drums

pytestmark = pytest.mark.sampled(3)


def anchors(samples: np.ndarray, blocks: int = 5) -> bytes:
    writer = AnchorWriter()
    for block in np.array_split(samples.astype(np.float32), blocks):
        writer.push(block)
    return writer.done()


@pytest.fixture(scope="module")
def song() -> np.ndarray:
    return drums(bars=48)[0]


def shifted(samples: np.ndarray, by: int) -> np.ndarray:
    return np.concatenate([np.zeros(by), samples]) if by >= 0 else samples[-by:]


@pytest.mark.parametrize("by", [0, 7, -40, 551, 1105, 2205, -2205])
def test_a_shift_is_found_to_a_fraction_of_a_millisecond(song, by):
    noisy = shifted(song, by) + 0.003 * np.random.default_rng(1).standard_normal(len(song) + by)
    late_s, apart_s = later_s(anchors(noisy), anchors(song))
    assert late_s == pytest.approx(by / RATE_HZ, abs=0.0003)
    assert apart_s < 0.001


def test_blocks_do_not_matter(song):
    assert anchors(song, 1) == anchors(song, 977)


def test_a_grid_moves_with_its_sound_and_is_no_longer_sure(song):
    theirs, ours = anchors(song), anchors(shifted(song, 551))
    moved = moved_to(GRID, ours, theirs, 181.0)
    assert moved.one_s == pytest.approx(GRID.one_s + 551 / RATE_HZ, abs=0.0003)
    assert not moved.sure
    assert (moved.phrase_first, moved.intro_bars) == (GRID.phrase_first, GRID.intro_bars)
    assert moved_to(GRID, theirs, theirs, 181.0) is GRID


def test_a_first_one_before_the_file_gives_way_to_the_next(song):
    grid = replace(GRID, one_s=0.02, start_s=0.02)
    moved = moved_to(grid, anchors(song[2205:]), anchors(song), 181.0)
    assert moved.one_s == pytest.approx(0.02 - 0.1 + 4 * grid.beat_s, abs=0.0003)
    assert (moved.phrase_first, moved.intro_bars) == (7, 15)


@pytest.mark.parametrize(
    "other",
    [
        lambda song: soxr.resample(song, RATE_HZ, RATE_HZ * 1.0005),
        lambda song: drums(bars=48, tempo_bpm=119, seed=3)[0],
        lambda song: np.random.default_rng(2).standard_normal(len(song)),
        lambda song: np.zeros(len(song)),
        lambda song: song[: 4 * RATE_HZ],
    ],
)
def test_another_speed_or_another_record_is_refused(song, other):
    """Half a per mille is 30 ms a minute."""
    assert moved_to(GRID, anchors(other(song)), anchors(song), 181.0) is None
