"""Loudness and true peak by others: pyloudnorm and scipy, imported where they are asked (two seconds)."""

import numpy as np

BLOCK, REACH = 256, 16


def loudness_lufs(sound: np.ndarray, rate_hz: int) -> float:
    """Integrated loudness of (frames, 2) by pyloudnorm 0.2.0."""
    import pyloudnorm

    return float(pyloudnorm.Meter(rate_hz).integrated_loudness(sound.astype(np.float64)))


def true_peak_dbtp(sound: np.ndarray) -> float:
    """True peak of (frames, 2) at fourfold oversampling by scipy's `resample_poly` (EBU R 128).

    Asked of the places alone where the highest can be: the filter reaches ten samples to either side, and lifts none
    above 2.25 times the highest of them.
    """
    from scipy.signal import resample_poly

    short = -len(sound) % BLOCK
    padded = np.pad(sound.astype(np.float64), ((REACH, short + REACH), (0, 0)))
    tops = np.abs(padded[REACH:-REACH]).reshape(-1, BLOCK * sound.shape[1]).max(axis=1)
    near = np.maximum(tops, np.maximum(np.append(tops[1:], 0), np.append(0, tops[:-1])))
    at = BLOCK * np.flatnonzero(near >= tops.max() / 2.25)
    blocks = np.lib.stride_tricks.sliding_window_view(padded, BLOCK + 2 * REACH, axis=0)[at]
    finer = resample_poly(blocks, 4, 1, axis=2)[..., 4 * REACH : -4 * REACH]
    return 20 * float(np.log10(np.abs(finer).max()))
