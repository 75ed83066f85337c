"""Calibration by microphone in a simulated room whose lag is known, and recordings that cannot serve."""

import numpy as np
import pytest

from exercises.calibration.microphone import Heard, click_starts_s, clipped, hear
from synth.device.onsets import click
from tests.synth.device import room

RATE_HZ = room.RATE_HZ


def sitting(
    seed: int, lag_ms: float = 43.0, *, taps: int = 24, ppm: float = 40.0, rate_error_ms: float = 2.31, **how
):
    """A calibration as it might go: recording, starts, what the program says was heard, and its taps.

    The keyboard is polled at 125 Hz: its taps lie evenly over ``rate_error_ms`` times root twelve.
    """
    random = np.random.default_rng(seed)
    starts_s = click_starts_s(random, 14)
    offset_s = float(random.uniform(0.5, 2.0))
    true_clicks_s = offset_s + starts_s
    thumps_s = offset_s + 0.5 + np.cumsum(random.uniform(0.42, 0.75, taps))
    seconds = max(true_clicks_s[-1], thumps_s[-1]) + 1
    recording = room.recording(click(RATE_HZ).astype(float), true_clicks_s, thumps_s, seed, seconds=seconds, **how)
    to_clock = lambda at_s: 5_000.0 + at_s * (1 + ppm * 1e-6)  # noqa: E731 - the microphone's crystal is not the clock
    heard_s = to_clock(true_clicks_s) + random.normal(0, 0.0002, len(starts_s))
    poll_ms = rate_error_ms * np.sqrt(12)
    taps_s = to_clock(thumps_s) + lag_ms * 1e-3 + random.uniform(-poll_ms / 2, poll_ms / 2, taps) * 1e-3
    return recording, starts_s, heard_s, taps_s


@pytest.mark.proof
@pytest.mark.parametrize("lag_ms", [-8.0, 43.0, 210.0])
def test_the_lag_is_found_within_two_standard_errors_and_a_millisecond(lag_ms):
    """Our goal: after calibration by microphone the mean is good to 2 ms."""
    recording, starts_s, heard_s, taps_s = sitting(1, lag_ms)
    found = hear(recording, RATE_HZ, starts_s, heard_s, taps_s)
    assert found.heard is Heard.GOOD, found.say
    assert abs(found.lag.middle_ms - lag_ms) <= 2 * found.lag.error_ms + 0.5
    assert abs(found.lag.middle_ms - lag_ms) <= 2
    assert found.lag.error_ms < 1
    assert len(found.onsets_s) == len(found.index) == 14


@pytest.mark.proof
def test_a_sharp_keyboard_is_known_to_a_fraction_of_a_millisecond():
    recording, starts_s, heard_s, taps_s = sitting(2, 43.0, rate_error_ms=0.29)
    found = hear(recording, RATE_HZ, starts_s, heard_s, taps_s)
    assert found.lag.middle_ms == pytest.approx(43.0, abs=0.4)
    assert found.lag.spread_ms < 0.8


@pytest.mark.proof
def test_taps_that_made_no_sound_and_sounds_that_were_no_taps_do_no_harm():
    recording, starts_s, heard_s, taps_s = sitting(3)
    extra = np.sort(np.concatenate([taps_s[::2], taps_s[:4] + 0.211]))
    found = hear(recording, RATE_HZ, starts_s, heard_s, extra)
    assert found.heard is Heard.GOOD
    assert found.lag.middle_ms == pytest.approx(43.0, abs=2)


def kind(seed: int, **how) -> Heard:
    recording, *times = sitting(seed, **how)
    return hear(recording, RATE_HZ, *times).heard


@pytest.mark.proof
def test_what_went_wrong_is_told_apart():
    """Silent microphone, clipped input, no click, no thump, a noisy room, too few taps: each has its own sentence."""
    recording, starts_s, heard_s, taps_s = sitting(4)
    outcomes = {
        Heard.SILENT: np.zeros_like(recording),
        Heard.CLIPPED: np.clip(recording * 30, -1, 1),
    }
    for expected, heard in outcomes.items():
        assert hear(heard, RATE_HZ, starts_s, heard_s, taps_s).heard is expected
    assert hear(recording[:0], RATE_HZ, starts_s, heard_s, taps_s).heard is Heard.SILENT
    assert kind(4, click_peak=0.0) is Heard.NO_CLICK
    assert kind(4, thump_peak=0.0) is Heard.NO_THUMP
    assert kind(4, noise_rms=0.03) is Heard.NOISY
    assert hear(recording, RATE_HZ, starts_s, heard_s, taps_s[:5]).heard is Heard.FEW
    assert hear(
        recording, RATE_HZ, starts_s, heard_s, np.sort(taps_s + np.linspace(0, 5, len(taps_s)) % 0.31)
    ).heard in (
        Heard.SCATTERED,
        Heard.FEW,
    )


def test_one_full_scale_sample_is_not_clipping():
    sound = np.zeros(1000, np.float32)
    sound[[10, 300, 700]] = 1.0
    assert not clipped(sound)
    for at in (100, 400, 800):
        sound[at : at + 5] = -1.0
    assert clipped(sound)
