"""Windows of a recording: a slip, a bend and another tempo are told from music that changes its pattern."""

import numpy as np
import pytest

from synth.recording.finding.steadiness import Lock, bent_s, runs_away, slipped_s

BEAT_S = 0.5
WINDOWS = 30


def windows(off_s, alike=0.9):
    rng = np.random.default_rng(0)
    off_s = np.broadcast_to(off_s, WINDOWS) + 0.0005 * rng.standard_normal(WINDOWS)
    return Lock(60 / BEAT_S, 0.0, 6.0 * np.arange(1, WINDOWS + 1), off_s, np.full(WINDOWS, alike), np.ones(WINDOWS))


AT = np.arange(WINDOWS)


@pytest.mark.parametrize("first", [3, 15, 26])
def test_a_part_that_slips_is_told(first):
    assert slipped_s(windows(0.1 * (first <= AT))) == pytest.approx(0.1, abs=0.002)


@pytest.mark.parametrize("off_s", [BEAT_S, BEAT_S / 2, BEAT_S / 4, BEAT_S / 3])
def test_another_part_of_the_pattern_is_no_slip(off_s):
    found = windows(off_s * (AT >= 24))
    assert slipped_s(found) is None
    assert bent_s(found) is None


def test_a_steady_recording_neither_slips_nor_bends():
    assert slipped_s(windows(0.0)) is None
    assert bent_s(windows(0.0)) is None
    assert not runs_away(windows(0.0))


def test_a_rising_tempo_bends():
    at = np.linspace(-1, 1, WINDOWS)
    assert bent_s(windows(0.008 * at**2)) == pytest.approx(0.008, abs=0.002)


def test_two_tempos_break():
    late_s = np.where(AT < 15, 0.006 * (AT - 7) / 7, 0.006 * (AT - 22) / 7)
    assert (bent_s(windows(late_s)) or 0) > 0.008


@pytest.mark.parametrize(("slope", "away"), [(0.01, True), (0.0, False)])
def test_a_part_of_another_tempo_runs_away(slope, away):
    found = windows(6.0 * slope * np.maximum(0, AT - 15))
    alike = np.where(AT < 15, 0.9, 0.2)
    assert runs_away(Lock(found.tempo_bpm, 0.0, found.at_s, found.off_s, alike, found.strong)) is away


def test_few_windows_tell_nothing():
    whole = windows(0.1 * (AT % 2))
    found = Lock(120.0, 0.0, *(each[:2] for each in (whole.at_s, whole.off_s * 0, whole.alike, whole.strong)))
    assert slipped_s(found) is None
    assert bent_s(found) is None
    assert not runs_away(found)
