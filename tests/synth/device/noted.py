"""Callbacks of an invented device, noted as the sound thread would."""

import numpy as np

RATE_HZ, BLOCK = 48_000, 512


def fill(clock, seconds, *, lead_s=0.1, drift=0.0, late_s=lambda n: np.zeros(n), start_s=50.0, frame=0, report=True):
    """Note callbacks of a device that plays frame f at start_s + f / rate * (1 + drift); give that truth."""
    count = round(seconds * RATE_HZ / BLOCK)
    frames = frame + np.arange(count) * BLOCK
    heard = start_s + (frames - frame) / RATE_HZ * (1 + drift)
    late = late_s(count)
    for f, h, one in zip(frames, heard, late, strict=True):
        clock.notes.note(int(f), h - lead_s + one, lead_s - one if report else 0.0, 0)
    return lambda f: start_s + (f - frame) / RATE_HZ * (1 + drift)


def late(seed, scale_s=0.004):
    """Callbacks that come late by an exponential time, never early."""
    return lambda n: np.random.default_rng(seed).exponential(scale_s, n)
