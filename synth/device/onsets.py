"""Where sounds begin in a recording: a click that is known, and thumps that are not.

Both are found to a fraction of a millisecond. The known click is a short sweep, found with its matched filter (North
1963, Proc. IEEE 51, 1016-1027, from memory): the peak is as narrow as the sweep's band is wide, and stands out of
noise by the sweep's length times its band. A thump (a key that lands, a clap) is but a change of energy: the noise is
whitened, the loud places are picked, and the start of each is the split of its surroundings into two variances that
explains them best, Akaike's criterion on the samples themselves (Maeda 1985, Zisin 38, 365-379, from memory), which
seismology uses for the first arrival of a wave.

Conventions: mono float32 recordings in [-1, 1]; onsets in seconds from the first sample, increasing.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Samples, Seconds
from synth.score.metre import to_frames

# The sweep of the click: within what the speaker and the microphone of a laptop let through, and short enough to be
# heard as one click (two sounds fuse below some 20 ms).
CLICK_S = 0.012
CLICK_BAND_HZ = (900.0, 7_000.0)

# A reflection may be louder than the sound that came straight, but it comes later: the first peak within this time
# before the highest one and above this share of it is the sound itself.
DIRECT_WITHIN_S = 0.008
DIRECT_SHARE = 0.5
# A click found this far above the noise of its own surroundings counts.
CLICK_ABOVE_NOISE_DB = 12.0
# How far single clicks may lie off the train's common place: jitter of a server, drift of two crystals over a minute.
TRAIN_SLACK_S = 0.02

# Loud places: energy in windows of 2 ms, against the median, which is the noise.
ENERGY_S = 0.002
THUMP_ABOVE_NOISE_DB = 13.0
# ... and this far above the 10 ms before, so that the tail of one sound is not taken for the next.
THUMP_ABOVE_BEFORE_DB = 9.0
BEFORE_S = 0.010
# A thump rings on, and a key goes up again: no second one sooner.
APART_S = 0.08
# What is looked at around a loud place. The start lies before the loudest part by at most the thump's rise.
LOOK_BACK_S = 0.008
WHITEN_FRAME = 1024


def click(sample_rate_hz: int = 48_000) -> Samples:
    """The click of the calibration: a sweep over ``CLICK_BAND_HZ`` in 12 ms with soft ends, peak 1; (frames,)."""
    n = round(CLICK_S * sample_rate_hz)
    t = np.arange(n) / sample_rate_hz
    low, high = CLICK_BAND_HZ
    phase = 2 * np.pi * (low * t + (high - low) * t**2 / (2 * CLICK_S))
    rise = max(n // 6, 1)
    window = np.ones(n)
    window[:rise] = 0.5 - 0.5 * np.cos(np.pi * np.arange(rise) / rise)
    window[-rise:] = window[:rise][::-1]
    return (np.sin(phase) * window).astype(np.float32)


def click_train(starts_s: Seconds, sample_rate_hz: int = 48_000, tail_s: float = 0.5) -> Samples:
    """Clicks on whole frames, as a mono recording to be played; float32 (frames,)."""
    one = click(sample_rate_hz)
    at = to_frames(starts_s, sample_rate_hz)
    if len(at) == 0 or at[0] < 0:
        raise ValueError("a train has one click or more, none before 0 s")
    made = np.zeros(int(at[-1]) + len(one) + round(tail_s * sample_rate_hz), np.float32)
    for start in at:
        made[start : start + len(one)] += one
    return made


@dataclass(frozen=True, slots=True, eq=False)
class Train:
    """Clicks found: ``onsets_s`` in the recording, one for each of ``index`` (of the train's clicks).

    ``above_noise_db``: how far the matched filter's peaks stand above its noise, the median of the clicks.
    """

    onsets_s: Seconds
    index: npt.NDArray[np.intp]
    above_noise_db: float


def find_train(recording: Samples, starts_s: Seconds, sample_rate_hz: int) -> Train:
    """Find the clicks of a train, which began at an unknown moment of the recording.

    The train must be irregular, so that it fits itself in one place only. An empty ``Train`` where it is not heard.
    """
    starts_s = np.asarray(starts_s, np.float64)
    one = click(sample_rate_hz).astype(np.float64)
    nothing = Train(np.empty(0), np.empty(0, np.intp), 0.0)
    span = round(float(starts_s[-1] - starts_s[0]) * sample_rate_hz)
    if len(recording) < span + len(one):
        return nothing
    matched = _correlate(np.asarray(recording, np.float64), one)
    strength = np.abs(_analytic(matched))
    # The whole train at once: the sum of the filter's answers at the distances of the clicks, in steps of 1 ms.
    step = max(sample_rate_hz // 1000, 1)
    coarse = strength[: len(strength) // step * step].reshape(-1, step).max(axis=1)
    coarse = np.minimum(coarse, 20 * np.median(coarse) + 1e-12)  # one loud bang is no train
    steps = np.rint((starts_s - starts_s[0]) * sample_rate_hz / step).astype(np.int64)
    places = len(coarse) - int(steps[-1])
    if places < 1:
        return nothing
    wide = np.maximum(coarse, np.maximum(np.roll(coarse, 1), np.roll(coarse, -1)))
    total = np.sum([wide[at : at + places] for at in steps], axis=0)
    first = int(np.argmax(total)) * step
    noise = float(np.median(strength)) / 1.1774 + 1e-12  # the median of a Rayleigh is 1.1774 of its sigma
    slack = round(TRAIN_SLACK_S * sample_rate_hz)
    onsets, index, above = [], [], []
    for number, start_s in enumerate(starts_s - starts_s[0]):
        middle = first + round(float(start_s) * sample_rate_hz)
        low, high = max(middle - slack, 0), min(middle + slack, len(strength))
        if high - low < 3:
            continue
        peak = low + int(np.argmax(strength[low:high]))
        over_db = 20 * float(np.log10(max(strength[peak], noise) / noise))
        if over_db < CLICK_ABOVE_NOISE_DB:
            continue
        onsets.append(_direct(strength, peak, sample_rate_hz) / sample_rate_hz)
        index.append(number)
        above.append(over_db)
    if len(onsets) < max(3, len(starts_s) // 2):
        return nothing
    # They must lie on a line: a train that is not there is found anywhere.
    found_s, at = np.asarray(onsets), np.asarray(index, np.intp)
    off_s = found_s - starts_s[at]
    good = np.abs(off_s - np.median(off_s)) < 0.003
    if good.sum() < max(3, len(starts_s) // 2):
        return nothing
    return Train(found_s[good], at[good], float(np.median(np.asarray(above)[good])))


def _direct(strength: Seconds, peak: int, sample_rate_hz: int) -> float:
    """The place, in samples with a fraction, of the first strong peak at or a little before the highest."""
    low = max(peak - round(DIRECT_WITHIN_S * sample_rate_hz), 1)
    near = strength[low : peak + 1]
    tops = low + np.flatnonzero(
        (near >= strength[low - 1 : peak])
        & (near > strength[low + 1 : peak + 2])
        & (near > DIRECT_SHARE * strength[peak])
    )
    return _fraction(strength, int(tops[0]) if len(tops) else peak)


def _fraction(values: Seconds, at: int) -> float:
    """The top of the parabola through a peak and its neighbours."""
    if not 0 < at < len(values) - 1:
        return float(at)
    left, middle, right = (float(values[at + d]) for d in (-1, 0, 1))
    bend = left - 2 * middle + right
    return at + (0.5 * (left - right) / bend if bend else 0.0)


def _fast_length(n: int) -> int:
    return 1 << max(n - 1, 1).bit_length()


def _correlate(whole: Seconds, part: Seconds) -> Seconds:
    """Cross-correlation; element i belongs to ``part`` beginning at sample i."""
    size = _fast_length(len(whole) + len(part))
    product = np.fft.rfft(whole, size) * np.conj(np.fft.rfft(part, size))
    return np.asarray(np.fft.irfft(product, size)[: len(whole)])


def _analytic(signal: Seconds) -> npt.NDArray[np.complex128]:
    """The analytic signal: its magnitude is the envelope, whatever the phase a speaker turns the click by."""
    size = _fast_length(len(signal))
    spectrum = np.fft.fft(signal, size)
    spectrum[1 : size // 2] *= 2
    spectrum[size // 2 + 1 :] = 0
    return np.asarray(np.fft.ifft(spectrum)[: len(signal)])


@dataclass(frozen=True, slots=True, eq=False)
class Thumps:
    """Sounds found: ``onsets_s``, ``above_noise_db`` of each, and ``noise`` (RMS of the recording between them)."""

    onsets_s: Seconds
    above_noise_db: Seconds
    noise: float


def find_thumps(
    recording: Samples,
    sample_rate_hz: int,
    without_s: Seconds | None = None,
    clear_s: tuple[float, float] = (0.005, 0.12),
) -> Thumps:
    """Find every sound that begins suddenly, but those around the moments ``without_s`` (the clicks).

    ``clear_s``: how much before and after each such moment is left out.
    """
    sound = np.asarray(recording, np.float64)
    if len(sound) < 8 * WHITEN_FRAME:
        return Thumps(np.empty(0), np.empty(0), 0.0)
    keep = np.ones(len(sound), bool)
    for at_s in () if without_s is None else without_s:
        low, high = round((at_s - clear_s[0]) * sample_rate_hz), round((at_s + clear_s[1]) * sample_rate_hz)
        keep[max(low, 0) : max(high, 0)] = False
    white = whitened(sound)
    square = np.where(keep, white**2, 0.0)
    width = max(round(ENERGY_S * sample_rate_hz), 2)
    sums = np.concatenate([np.zeros(1), np.cumsum(square)])
    energy = (sums[width:] - sums[:-width]) / width
    whole = np.concatenate([np.zeros(1), np.cumsum(keep)])
    full = (whole[width:] - whole[:-width]) == width
    if full.sum() < width:
        return Thumps(np.empty(0), np.empty(0), 0.0)
    floor = float(np.median(energy[full])) + 1e-18
    limit = floor * 10 ** (THUMP_ABOVE_NOISE_DB / 10)
    onsets, above = [], []
    at, apart, back = 0, round(APART_S * sample_rate_hz), round(LOOK_BACK_S * sample_rate_hz)
    long = round(BEFORE_S * sample_rate_hz)
    before = np.full(len(energy), floor)
    before[long:] = np.maximum((sums[long : len(energy)] - sums[: len(energy) - long]) / long, floor)
    loud = np.flatnonzero((energy > np.maximum(limit, before * 10 ** (THUMP_ABOVE_BEFORE_DB / 10))) & full)
    while True:
        rest = loud[np.searchsorted(loud, at) :]
        if not len(rest):
            break
        start = int(rest[0])
        top = start + int(np.argmax(energy[start : start + apart // 2]))
        low = max(start - back, 0)
        dark = np.flatnonzero(~keep[low:start])
        low += int(dark[-1]) + 1 if len(dark) else 0
        begin = first_change(white[low : top + width])
        if start - low >= width * 2:  # else it began within the gap
            onsets.append((low + begin) / sample_rate_hz)
            above.append(10 * np.log10(energy[top] / floor))
        at = top + apart
    quiet = sound[: len(energy)][full & (energy < limit)]
    return Thumps(np.asarray(onsets), np.asarray(above), float(np.sqrt(np.mean(quiet**2))) if len(quiet) else 0.0)


def first_change(samples: Seconds) -> int:
    """The sample at which the variance changes: the least of n1 log var1 + n2 log var2 over all splits."""
    n = len(samples)
    if n < 16:
        return 0
    square = np.asarray(samples, np.float64) ** 2
    sums = np.cumsum(square)
    k = np.arange(8, n - 8)
    before, after = sums[k - 1] / k, (sums[-1] - sums[k - 1]) / (n - k)
    tiny = 1e-12 * sums[-1] / n + 1e-30
    return int(k[np.argmin(k * np.log(before + tiny) + (n - k) * np.log(after + tiny))])


def whitened(sound: Seconds) -> Seconds:
    """The recording with its steady noise made equally strong at all frequencies, without moving anything in time.

    The noise's spectrum is the median over frames, so that single sounds leave no mark on it. A zero-phase filter of
    ``WHITEN_FRAME`` taps would ring before an onset; its minimum-phase equal (through the cepstrum) does not.
    """
    n = WHITEN_FRAME
    frames = sound[: len(sound) // n * n].reshape(-1, n) * np.hanning(n)
    power = np.median(np.abs(np.fft.rfft(frames, axis=1)) ** 2, axis=0)
    smooth = np.convolve(np.pad(power, 4, mode="edge"), np.ones(9) / 9, mode="valid")
    floor = max(1e-4 * float(smooth.max()), 1e-20)  # what no noise reaches is not blown up beyond 40 dB
    log_gain = -0.5 * np.log(smooth + floor)
    cepstrum = np.fft.irfft(log_gain, n)
    fold = np.zeros(n)
    fold[0] = fold[n // 2] = 1
    fold[1 : n // 2] = 2
    response = np.fft.irfft(np.exp(np.fft.rfft(cepstrum * fold, n)), n)
    size = _fast_length(len(sound) + n)
    made = np.fft.irfft(np.fft.rfft(sound, size) * np.fft.rfft(response, size), size)
    return np.asarray(made[: len(sound)])
