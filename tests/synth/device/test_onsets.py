"""Onsets in a simulated room: what was put in is known to a fraction of a sample."""

import numpy as np
import pytest

from synth.device.onsets import CLICK_S, click, click_train, find_thumps, find_train, first_change, whitened
from tests.synth.device import room

RATE_HZ = room.RATE_HZ


def scene(seed: int, **how):
    """A train of sixteen clicks and a key that lands between them: recording, starts, offset, thumps."""
    random = np.random.default_rng(seed)
    starts_s = np.cumsum(random.uniform(0.7, 1.1, 16))
    offset_s = float(random.uniform(0.6, 1.6))
    thumps_s = np.cumsum(random.uniform(0.5, 0.8, 24)) + 1.0
    clear = np.min(np.abs(offset_s + starts_s - thumps_s[:, None] + 0.05), axis=1) > 0.12
    thumps_s = thumps_s[clear & (thumps_s < offset_s + starts_s[-1])]
    one = click(RATE_HZ).astype(float)
    seconds = offset_s + starts_s[-1] + 1
    return (
        room.recording(one, offset_s + starts_s, thumps_s, seed, seconds=seconds, **how),
        starts_s,
        offset_s,
        thumps_s,
    )


@pytest.mark.proof
@pytest.mark.parametrize("noise_rms", [0.0005, 0.002, 0.006])
def test_clicks_and_thumps_are_found_to_under_a_millisecond(noise_rms):
    """Laptop band, reverb and room noise."""
    recorded, starts_s, offset_s, thumps_s = scene(3, noise_rms=noise_rms)
    train = find_train(recorded, starts_s, RATE_HZ)
    assert len(train.index) == 16
    assert np.abs(train.onsets_s - offset_s - starts_s[train.index]).max() < 0.0002
    found = find_thumps(recorded, RATE_HZ, train.onsets_s)
    off_s = np.array([np.min(np.abs(thumps_s - at_s)) for at_s in found.onsets_s])
    assert len(found.onsets_s) >= 0.8 * len(thumps_s)
    assert off_s.max() < 0.001


def test_a_reflection_louder_than_the_straight_sound_does_not_move_the_click():
    """The straight sound at 60 % of a reflection that comes 4 ms later."""
    starts_s = np.array([0.3, 1.1, 1.7, 2.6])
    played = click_train(starts_s, RATE_HZ).astype(float)
    heard = 0.6 * played
    heard[192:] += played[:-192]
    train = find_train(heard.astype(np.float32), starts_s, RATE_HZ)
    np.testing.assert_allclose(train.onsets_s, starts_s, atol=1e-4)


@pytest.mark.parametrize("turned", [-1.0, 1.0])
def test_a_speaker_that_turns_the_phase_round_moves_nothing(turned):
    starts_s = np.array([0.3, 1.1, 1.7, 2.6])
    heard = turned * 0.1 * click_train(starts_s, RATE_HZ)
    train = find_train(heard.astype(np.float32), starts_s, RATE_HZ)
    np.testing.assert_allclose(train.onsets_s, starts_s, atol=2e-5)


@pytest.mark.proof
def test_noise_holds_no_train():
    """Nothing is found where nothing was played, in noise or in thumps or in silence."""
    random = np.random.default_rng(4)
    starts_s = np.cumsum(random.uniform(0.7, 1.1, 12))
    hiss = (0.1 * random.normal(size=14 * RATE_HZ)).astype(np.float32)
    knocks = room.recording(click(RATE_HZ), np.empty(0), np.arange(1.0, 12.0, 0.61), 5, seconds=14)
    for recorded in (hiss, knocks, np.zeros(14 * RATE_HZ, np.float32), hiss[:100]):
        assert len(find_train(recorded, starts_s, RATE_HZ).index) == 0


def test_a_room_at_rest_holds_no_thump():
    hum = room.noise(8 * RATE_HZ, np.random.default_rng(6), 0.01).astype(np.float32)
    assert len(find_thumps(hum, RATE_HZ).onsets_s) == 0
    assert len(find_thumps(hum[:100], RATE_HZ).onsets_s) == 0


def test_what_lies_around_the_clicks_is_left_out():
    """A thump is passed over when it is one of the moments to be left out, and only that one."""
    at_s = np.array([1.0, 1.7, 2.5])
    recorded = room.recording(click(RATE_HZ), np.empty(0), at_s, 7, seconds=4)
    np.testing.assert_allclose(find_thumps(recorded, RATE_HZ).onsets_s, at_s, atol=1e-3)
    np.testing.assert_allclose(find_thumps(recorded, RATE_HZ, at_s[1:2]).onsets_s, at_s[[0, 2]], atol=1e-3)


@pytest.mark.proof
def test_twice_as_loud_changes_no_onset():
    """A law: the onsets do not depend on the level."""
    recorded, starts_s, _, _ = scene(8)
    quiet, loud = (find_train(k * recorded, starts_s, RATE_HZ).onsets_s for k in (np.float32(0.25), np.float32(0.5)))
    np.testing.assert_allclose(quiet, loud, atol=1e-9)
    quiet, loud = (find_thumps(k * recorded, RATE_HZ).onsets_s for k in (np.float32(0.25), np.float32(0.5)))
    np.testing.assert_array_equal(quiet, loud)


def test_the_change_of_variance_is_found():
    """Noise of 1, then of 10: Maeda's criterion (1985) finds the sample, give or take a few."""
    random = np.random.default_rng(9)
    samples = np.concatenate([random.normal(size=300), 10 * random.normal(size=200)])
    assert abs(first_change(samples) - 300) <= 3
    assert first_change(np.ones(4)) == 0


def test_whitening_makes_noise_even_and_rings_only_after():
    random = np.random.default_rng(10)
    sound = room.noise(4 * RATE_HZ, random, 0.01)
    sound[2 * RATE_HZ] += 1.0
    white = whitened(sound)
    power = np.mean(np.abs(np.fft.rfft(white[: 64 * 1024].reshape(-1, 1024), axis=1)) ** 2, axis=0)
    low, high = power[4:40].mean(), power[200:400].mean()
    assert 0.3 < low / high < 3
    before, after = white[2 * RATE_HZ - 200 : 2 * RATE_HZ - 4], white[2 * RATE_HZ : 2 * RATE_HZ + 200]
    assert np.abs(after).max() > 20 * np.abs(before).max()


def test_the_click_is_short_and_within_bounds():
    """12 ms, peak at most 1, silent at its ends: two sounds within some 20 ms are heard as one (common practice)."""
    one = click(RATE_HZ)
    assert len(one) == round(CLICK_S * RATE_HZ)
    assert np.abs(one).max() <= 1
    assert max(abs(one[0]), abs(one[-1])) < 0.01


def test_a_train_needs_a_click():
    with pytest.raises(ValueError, match="one click or more"):
        click_train(np.empty(0))
    with pytest.raises(ValueError, match="none before 0 s"):
        click_train(np.array([-0.1]))
