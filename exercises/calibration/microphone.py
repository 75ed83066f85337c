"""Calibration by microphone: clicks and key thumps in one recording.

The microphone hears both, so their distance is the acoustic reference and no two device clocks need to agree. A line
from the recorded clicks to their output times maps the recording to the common clock; the program's times of the
taps minus the mapped thumps are the lag.

Not included: a key lands a few milliseconds after its contact closes, and sound takes 2.9 ms a metre, so the
microphone belongs near the ear or at the headphones. A keyboard's delay is constant (Pinet et al. 2017, Behav. Res.
Methods 49, 1163-1176).
"""

from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from exercises.calibration.lag import FEWEST, LAG_RANGE_MS, Middle, middle
from synth.base.arrays import Samples, Seconds
from synth.base.words import Say, Template
from synth.device.onsets import Thumps, Train, find_thumps, find_train

# Number of clicks and range of their gaps in seconds: irregular, so that a recording matches at one shift only, and
# long enough for a tap between.
CLICKS = 20
GAP_RANGE_S = (0.75, 1.15)
FIRST_CLICK_S = 0.8
# Peak of a silent recording, -72 dBFS (a quiet room is louder).
SILENT_PEAK = 0.00025
# Clipped: so many samples in a row above this level, so many times.
CLIPPED_AT, CLIPPED_RUN, CLIPPED_TIMES = 0.985, 3, 3
# Level of the clicks above the noise in dB below which the room is too noisy.
NOISY_BELOW_CLICK_DB = 26.0
# Seconds within which the distance of tap and thump agrees with the commonest one.
AGREE_S = 0.012
# Most spread of the lags (a keyboard polled at 125 Hz alone gives 2.31 ms, uniform over 8 ms).
SCATTER_LIMIT_MS = 6.0

CALIBRATED = Template("mic.calibrated", "The equipment adds {lag} ± {error} ms.")
SILENT = Template("mic.silent", "The microphone hears nothing. Choose another, or look whether it is muted.")
CLIPPED = Template(
    "mic.clipped", "The microphone is too loud and cuts the sound off. Turn its level down, and try again."
)
NO_CLICK = Template(
    "mic.no_click",
    "The microphone did not hear the clicks. Turn the volume up a little, or bring it nearer to the speaker.",
)
NOISY = Template(
    "mic.noisy", "The room is too noisy to hear the key. Try again when it is quieter, or press more firmly."
)
NO_THUMP = Template(
    "mic.no_thump", "The clicks were heard, but no key. Press more firmly, and put the microphone near the keyboard."
)
FEW = Template(
    "mic.few",
    "Too few taps could be used: {n}. At least {least} are needed. Keep tapping between the clicks until they end.",
)
SCATTERED = Template(
    "mic.scattered",
    "The taps and the sounds of the key did not agree. Press one key firmly, with nothing else sounding.",
)


class Heard(StrEnum):
    """Outcome of a recording."""

    GOOD = "good"
    SILENT = "silent"
    CLIPPED = "clipped"
    NO_CLICK = "no click"
    NOISY = "noisy"
    NO_THUMP = "no thump"
    FEW = "few taps"
    SCATTERED = "scattered"


@dataclass(frozen=True, slots=True, eq=False)
class Hearing:
    """Outcome of a recording with its sentence; with ``GOOD`` also the lag.

    ``lag`` summarises ``lags_ms``, the lags of the taps in order. ``line_ms`` is the residual SD of the clicks,
    ``rate_ppm`` the microphone's rate relative to the output; ``onsets_s`` are the recorded clicks ``index``.
    """

    heard: Heard
    say: Say
    lag: Middle | None = None
    lags_ms: Seconds | None = None
    line_ms: float = 0.0
    rate_ppm: float = 0.0
    onsets_s: Seconds = field(default_factory=lambda: np.empty(0))
    index: npt.NDArray[np.intp] = field(default_factory=lambda: np.empty(0, np.intp))


def click_starts_s(random: np.random.Generator, clicks: int = CLICKS) -> Seconds:
    """Onsets of the clicks in the played sound, in seconds."""
    return FIRST_CLICK_S + np.concatenate([[0.0], np.cumsum(random.uniform(*GAP_RANGE_S, clicks - 1))])


def hear(recording: Samples, sample_rate_hz: int, starts_s: Seconds, heard_s: Seconds, taps_s: Seconds) -> Hearing:
    """Measure the lag of taps in a recording.

    ``recording``: mono, [-1, 1]. ``starts_s``: clicks in the rendered sound; ``heard_s``: their output times on the
    common clock; ``taps_s``: taps on the same clock.
    """
    sound = np.asarray(recording, np.float32)
    if len(sound) == 0 or float(np.abs(sound).max()) < SILENT_PEAK:
        return Hearing(Heard.SILENT, SILENT())
    if clipped(sound):
        return Hearing(Heard.CLIPPED, CLIPPED())
    train = find_train(sound, starts_s, sample_rate_hz)
    if not len(train.index):
        return Hearing(Heard.NO_CLICK, NO_CLICK())
    to_clock = _line(train.onsets_s, np.asarray(heard_s)[train.index])
    rest_s = np.asarray(heard_s)[train.index] - to_clock(train.onsets_s)
    facts = {"line_ms": 1e3 * float(rest_s.std()), "onsets_s": train.onsets_s, "index": train.index}
    rate_ppm = (to_clock.slope - 1) * -1e6
    thumps = find_thumps(sound, sample_rate_hz, train.onsets_s)
    lags_s = _pair(np.asarray(taps_s), to_clock(thumps.onsets_s))
    if len(lags_s) >= FEWEST:
        found = middle(1e3 * lags_s)
        if found.spread_ms <= SCATTER_LIMIT_MS:
            say = CALIBRATED(lag=f"{found.middle_ms:z.1f}", error=f"{max(2 * found.error_ms, 0.1):.1f}")
            return Hearing(Heard.GOOD, say, found, 1e3 * lags_s, rate_ppm=rate_ppm, **facts)  # type: ignore[arg-type]
        return Hearing(Heard.SCATTERED, SCATTERED(), **facts)  # type: ignore[arg-type]
    kind, say = _why_not(train, thumps, len(taps_s), len(lags_s))
    return Hearing(kind, say, **facts)  # type: ignore[arg-type]


def _why_not(train: Train, thumps: Thumps, taps: int, used: int) -> tuple[Heard, Say]:
    """Why too few taps could be used although the clicks were heard."""
    if taps < FEWEST:
        return Heard.FEW, FEW(n=taps, least=FEWEST)
    if len(thumps.onsets_s) >= taps // 2:
        return Heard.SCATTERED, SCATTERED()
    if thumps.noise > 0 and noisy(train, thumps):
        return Heard.NOISY, NOISY()
    if len(thumps.onsets_s) < max(used, 3):
        return Heard.NO_THUMP, NO_THUMP()
    return Heard.FEW, FEW(n=used, least=FEWEST)


# RMS of a room in which a firm key press is not detectable (simulated rooms: 13 dB below its 2 ms peak).
NOISE_LIMIT = 0.008


def noisy(train: Train, thumps: Thumps) -> bool:
    """Whether noise is to blame rather than the key: loud in itself, or close to the clicks."""
    return thumps.noise > NOISE_LIMIT or train.above_noise_db < NOISY_BELOW_CLICK_DB


def clipped(sound: Samples) -> bool:
    """Whether the wave is clipped repeatedly: a single full-scale sample may be chance."""
    edge = np.abs(sound) >= CLIPPED_AT
    if not edge.any():
        return False
    runs = np.diff(np.flatnonzero(np.diff(np.concatenate([[False], edge, [False]]).astype(np.int8))))[::2]
    return int((runs >= CLIPPED_RUN).sum()) >= CLIPPED_TIMES


@dataclass(frozen=True, slots=True)
class _Line:
    """Maps seconds of the recording to the common clock."""

    origin_s: float
    at_s: float
    slope: float

    def __call__(self, recorded_s: Seconds) -> Seconds:
        return self.at_s + (np.asarray(recorded_s) - self.origin_s) * self.slope


def _line(recorded_s: Seconds, heard_s: Seconds) -> _Line:
    """Least-squares line."""
    x, y = recorded_s - recorded_s.mean(), heard_s - heard_s.mean()
    return _Line(float(recorded_s.mean()), float(heard_s.mean()), float(x @ y / (x @ x)))


def _pair(taps_s: Seconds, thumps_s: Seconds) -> Seconds:
    """Tap minus thump in seconds for those that belong together, in the order of the taps.

    The lag is unknown and may exceed a gap between taps; as people tap unevenly, only the true distance is common to
    most pairs.
    """
    if not len(taps_s) or not len(thumps_s):
        return np.empty(0)
    low, high = (limit * 1e-3 for limit in LAG_RANGE_MS)
    far = (taps_s[:, None] - thumps_s[None, :]).ravel()
    far = np.sort(far[(far >= low) & (far <= high)])
    if not len(far):
        return np.empty(0)
    many = np.searchsorted(far, far + AGREE_S, side="right") - np.arange(len(far))
    best = int(np.argmax(many))
    common = float(np.median(far[best : best + int(many[best])]))
    made = []
    for tap_s in taps_s:
        lag_s = tap_s - thumps_s[np.argmin(np.abs(tap_s - common - thumps_s))]
        if abs(lag_s - common) <= AGREE_S:
            made.append(float(lag_s))
    return np.asarray(made)
