"""Onsets in a recording: a known click, and unknown thumps, both to a fraction of a millisecond.

The click is a short sweep, detected with its matched filter (North 1963, Proc. IEEE 51, 1016-1027, from memory): the
width of the peak is the inverse of the bandwidth, its gain over noise the time-bandwidth product. A thump (a key
that lands, a clap) is a change of energy: the noise is whitened, loud windows are picked, and the onset is the split
of the surrounding samples into two variances by Akaike's criterion (Maeda 1985, Zisin 38, 365-379, from memory), as
for first arrivals in seismology.

Conventions: mono float32 recordings in [-1, 1]; onsets in seconds from the first sample, increasing.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Samples, Seconds
from synth.score.metre import to_frames

# Duration and band of the click: within the range of a laptop's speaker and microphone, and short enough to be heard
# as one click (two sounds fuse below some 20 ms).
CLICK_S = 0.012
CLICK_BAND_HZ = (900.0, 7_000.0)

# A reflection may be louder than the direct sound but comes later: take the first peak within this many seconds
# before the highest one and above this share of it.
DIRECT_WITHIN_S = 0.008
DIRECT_SHARE = 0.5
# Level of a detected click above the local noise.
CLICK_ABOVE_NOISE_DB = 12.0
# Tolerance of single clicks in seconds: server jitter, drift of two crystals over a minute.
TRAIN_SLACK_S = 0.02

# Window of the energy in seconds; its median is the noise.
ENERGY_S = 0.002
THUMP_ABOVE_NOISE_DB = 13.0
# Level above the 10 ms before, so that a decay is no new onset.
THUMP_ABOVE_BEFORE_DB = 9.0
BEFORE_S = 0.010
# Seconds between two thumps: sounds decay, and keys are released.
APART_S = 0.08
# Seconds searched before a loud window; the onset precedes the maximum by at most the rise time.
LOOK_BACK_S = 0.008
WHITEN_FRAME = 1024


def click(sample_rate_hz: int = 48_000) -> Samples:
    """The calibration click: a sweep over ``CLICK_BAND_HZ`` in 12 ms with smooth ends, peak 1; (frames,)."""
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
    """Clicks on whole frames, mono, float32 (frames,). ``ValueError`` for no click, or one before 0 s."""
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
    """Clicks found: ``onsets_s`` in the recording, and ``index`` of each in the train.

    ``above_noise_db``: median level of the matched filter's peaks above its noise.
    """

    onsets_s: Seconds
    index: npt.NDArray[np.intp]
    above_noise_db: float


def find_train(recording: Samples, starts_s: Seconds, sample_rate_hz: int) -> Train:
    """Find the clicks of a train that starts at an unknown time; an empty ``Train`` where it is not found.

    The train must be irregular, so that it matches itself at one shift only.
    """
    starts_s = np.asarray(starts_s, np.float64)
    one = click(sample_rate_hz).astype(np.float64)
    nothing = Train(np.empty(0), np.empty(0, np.intp), 0.0)
    span = round(float(starts_s[-1] - starts_s[0]) * sample_rate_hz)
    if len(recording) < span + len(one):
        return nothing
    matched = _correlate(np.asarray(recording, np.float64), one)
    strength = np.abs(_analytic(matched))
    # Sum the filter output at the clicks' distances for every shift, in steps of 1 ms.
    step = max(sample_rate_hz // 1000, 1)
    coarse = strength[: len(strength) // step * step].reshape(-1, step).max(axis=1)
    coarse = np.minimum(coarse, 20 * np.median(coarse) + 1e-12)  # clip: a single loud sound is no train
    steps = np.rint((starts_s - starts_s[0]) * sample_rate_hz / step).astype(np.int64)
    places = len(coarse) - int(steps[-1])
    if places < 1:
        return nothing
    wide = np.maximum(coarse, np.maximum(np.roll(coarse, 1), np.roll(coarse, -1)))
    total = np.sum([wide[at : at + places] for at in steps], axis=0)
    first = int(np.argmax(total)) * step
    noise = float(np.median(strength)) / 1.1774 + 1e-12  # median of a Rayleigh distribution: 1.1774 sigma
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
    # The clicks must agree on the train's start: spurious peaks do not.
    found_s, at = np.asarray(onsets), np.asarray(index, np.intp)
    off_s = found_s - starts_s[at]
    good = np.abs(off_s - np.median(off_s)) < 0.003
    if good.sum() < max(3, len(starts_s) // 2):
        return nothing
    return Train(found_s[good], at[good], float(np.median(np.asarray(above)[good])))


def _direct(strength: Seconds, peak: int, sample_rate_hz: int) -> float:
    """Position, in fractional samples, of the first strong peak at or shortly before the highest."""
    low = max(peak - round(DIRECT_WITHIN_S * sample_rate_hz), 1)
    near = strength[low : peak + 1]
    tops = low + np.flatnonzero(
        (near >= strength[low - 1 : peak])
        & (near > strength[low + 1 : peak + 2])
        & (near > DIRECT_SHARE * strength[peak])
    )
    return _fraction(strength, int(tops[0]) if len(tops) else peak)


def _fraction(values: Seconds, at: int) -> float:
    """Vertex of the parabola through a peak and its neighbours."""
    if not 0 < at < len(values) - 1:
        return float(at)
    left, middle, right = (float(values[at + d]) for d in (-1, 0, 1))
    bend = left - 2 * middle + right
    return at + (0.5 * (left - right) / bend if bend else 0.0)


def _fast_length(n: int) -> int:
    return 1 << max(n - 1, 1).bit_length()


def _correlate(whole: Seconds, part: Seconds) -> Seconds:
    """Cross-correlation; element i is for ``part`` starting at sample i."""
    size = _fast_length(len(whole) + len(part))
    product = np.fft.rfft(whole, size) * np.conj(np.fft.rfft(part, size))
    return np.asarray(np.fft.irfft(product, size)[: len(whole)])


def _analytic(signal: Seconds) -> npt.NDArray[np.complex128]:
    """Analytic signal: its magnitude is the envelope, whatever the phase response of the speaker."""
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
    """Find all sudden sounds except those around ``without_s`` (the clicks).

    ``clear_s``: seconds excluded before and after each of these times.
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
        if start - low >= width * 2:  # else it began in the excluded part
            onsets.append((low + begin) / sample_rate_hz)
            above.append(10 * np.log10(energy[top] / floor))
        at = top + apart
    quiet = sound[: len(energy)][full & (energy < limit)]
    return Thumps(np.asarray(onsets), np.asarray(above), float(np.sqrt(np.mean(quiet**2))) if len(quiet) else 0.0)


def first_change(samples: Seconds) -> int:
    """Sample at which the variance changes: minimises n1 log var1 + n2 log var2 over all splits."""
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
    """Whiten the stationary noise of a recording without shifting anything in time.

    The noise spectrum is the median over frames, unaffected by single sounds. The filter has minimum phase (through
    the cepstrum): a zero-phase filter of ``WHITEN_FRAME`` taps would ring before an onset.
    """
    n = WHITEN_FRAME
    frames = sound[: len(sound) // n * n].reshape(-1, n) * np.hanning(n)
    power = np.median(np.abs(np.fft.rfft(frames, axis=1)) ** 2, axis=0)
    smooth = np.convolve(np.pad(power, 4, mode="edge"), np.ones(9) / 9, mode="valid")
    floor = max(1e-4 * float(smooth.max()), 1e-20)  # limits the gain to 40 dB
    log_gain = -0.5 * np.log(smooth + floor)
    cepstrum = np.fft.irfft(log_gain, n)
    fold = np.zeros(n)
    fold[0] = fold[n // 2] = 1
    fold[1 : n // 2] = 2
    response = np.fft.irfft(np.exp(np.fft.rfft(cepstrum * fold, n)), n)
    size = _fast_length(len(sound) + n)
    made = np.fft.irfft(np.fft.rfft(sound, size) * np.fft.rfft(response, size), size)
    return np.asarray(made[: len(sound)])
