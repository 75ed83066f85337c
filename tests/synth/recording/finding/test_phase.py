"""The attack of beats whose place is known: sharp, loose, with an echo ahead, and with kick and backbeat apart."""

import numpy as np
import pytest

from synth.recording.finding.phase import CELL_S, attack

BEATS_S = 0.5 + 0.5 * np.arange(200)


def edges(onsets_s, loud=1.0):
    """Strokes that decay over 10 ms, in cells of 0.5 ms."""
    out = np.full(int(102 / CELL_S), 0.01)
    shape = np.exp(-np.arange(60) * CELL_S / 0.01)
    for at in np.rint(onsets_s / CELL_S).astype(int):
        out[at : at + 60] = np.hypot(out[at : at + 60], loud * shape)
    return out.astype(np.float16)


@pytest.mark.parametrize("late_s", [-0.01, 0.0, 0.004, 0.008])
def test_a_sharp_attack_is_found_to_the_millisecond(late_s):
    assert attack(edges(BEATS_S + late_s), BEATS_S) == pytest.approx(late_s, abs=0.001)


def test_loose_players_are_found_in_their_middle():
    late_s = 0.004 * np.clip(np.random.default_rng(0).standard_normal(200), -2, 2)
    assert attack(edges(BEATS_S + late_s), BEATS_S) == pytest.approx(np.mean(late_s), abs=0.002)


def test_an_echo_ahead_is_passed_over():
    both = np.hypot(edges(BEATS_S), edges(BEATS_S - 0.008, 0.08)).astype(np.float16)
    assert attack(both, BEATS_S) == pytest.approx(0, abs=0.001)


def test_the_beat_lies_between_a_kick_and_a_late_backbeat():
    late_s = np.where(np.arange(200) % 2, 0.008, 0.0)
    assert attack(edges(BEATS_S + late_s), BEATS_S) == pytest.approx(0.004, abs=0.001)


def test_too_few_beats_tell_nothing():
    assert attack(edges(BEATS_S), BEATS_S[:5]) == 0
