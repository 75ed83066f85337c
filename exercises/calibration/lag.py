"""Latency that the equipment adds to every tap, and its uncertainty.

Conventions: ``lag_ms`` is to be subtracted from (tap minus sound) as computed by the program; late is positive.

By tapping, the learner's own relaxed taps to a click define zero, which removes lag and habit together. By
microphone, click and key thump in one recording are the reference, which removes the lag alone. A constant lag can
be subtracted, jitter cannot (Bridges et al. 2020, PeerJ 8:e9414), so every calibration carries its standard error.
"""

from dataclasses import asdict, dataclass
from enum import StrEnum
from math import hypot, isfinite, sqrt
from typing import Any

import numpy as np

from exercises.timing.distributions import t_quantile
from synth.base.arrays import Seconds

# Share of the taps trimmed at each end: robust against few outliers at little loss of precision. The standard error
# comes from the winsorized variance (Tukey & McLaughlin 1963, Sankhya A 25, 331-352; Wilcox 2012, Introduction to
# Robust Estimation and Hypothesis Testing; both from memory).
TRIM = 0.2
# Outliers: more than three scaled median absolute deviations from the median (Leys et al. 2013, J. Exp. Soc.
# Psychol. 49, 764-766, from memory).
OUTLIER_AT = 3.0
MAD_TO_SD = 1.4826
# The fewest taps for a calibration.
FEWEST = 8
# Coverage factor of a displayed uncertainty: twice the standard uncertainty, about 95 % (Guide to the Expression of
# Uncertainty in Measurement, JCGM 100:2008, 6.2.2 and 6.3.3, from memory). A uniform distribution over 1 ms has
# 1/sqrt(12) ms.
COVERAGE = 2.0
# ms, SD of the latency from one trial to the next, common to all taps of a trial and not measured otherwise. Without
# a sound card and with other programs busy it was 0.4 ms, at worst 0.9 ms.
WANDER_MS = 0.6
# Plausible lags in ms. Wireless sound adds 100 to 300 ms (from a toolbox's documentation); a clearly negative lag
# means that the host reports too much.
LAG_RANGE_MS = (-150.0, 600.0)


class Method(StrEnum):
    """How a lag was measured."""

    TAPPING = "tapping"
    MICROPHONE = "microphone"


@dataclass(frozen=True, slots=True)
class Setup:
    """What a calibration is valid for: output device and its settings, and input.

    ``device`` and ``host`` are PortAudio's names, ``latency_ms`` the total latency that the host reports at
    ``sample_rate_hz``; ``source`` is "key", "mouse", "touch", "midi" or "mic", ``input_name`` its port or
    microphone. ``place`` is where a sound server plays what it gets there; empty where that is not known.
    """

    device: str
    host: str
    latency_ms: int
    sample_rate_hz: int
    source: str
    input_name: str = ""
    place: str = ""


@dataclass(frozen=True, slots=True)
class Calibration:
    """A lag in ms with its standard error, the spread of the taps, and their number.

    ``ValueError`` for a lag, error or spread out of range.
    """

    setup: Setup
    method: Method
    lag_ms: float
    error_ms: float
    spread_ms: float
    taps: int
    when: str

    def __post_init__(self) -> None:
        low, high = LAG_RANGE_MS
        if not low <= self.lag_ms <= high:
            raise ValueError(f"lag {self.lag_ms} ms: {low:g} to {high:g} expected (is it in seconds or samples?)")
        if not (isfinite(self.error_ms) and self.error_ms >= 0 and isfinite(self.spread_ms) and self.spread_ms >= 0):
            raise ValueError(f"error {self.error_ms} ms, spread {self.spread_ms} ms: 0 or more expected")

    def to_json(self) -> dict[str, Any]:
        """Plain values for the file of calibrations."""
        return asdict(self) | {"method": str(self.method)}

    def for_record(self) -> dict[str, Any]:
        """Plain values stored with a trial."""
        return {
            "method": str(self.method),
            "source": self.setup.source,
            "lag_ms": round(self.lag_ms, 3),
            "error_ms": round(self.error_ms, 3),
            "taps": self.taps,
            "when": self.when,
        }


@dataclass(frozen=True, slots=True, eq=False)
class Middle:
    """Robust location of errors: ``middle_ms``, ``error_ms`` (standard error), ``spread_ms`` (robust SD).

    ``outliers`` marks errors far from the rest, for display.
    """

    middle_ms: float
    error_ms: float
    spread_ms: float
    outliers: np.ndarray[Any, np.dtype[np.bool_]]

    @property
    def ci95_ms(self) -> tuple[float, float]:
        """95 % interval of the location by Student's t, with the degrees of freedom left by trimming."""
        n = len(self.outliers)
        half = t_quantile(0.95, max(n - 2 * int(TRIM * n) - 1, 1)) * self.error_ms
        return self.middle_ms - half, self.middle_ms + half


def middle(errors_ms: Seconds) -> Middle:
    """20 % trimmed mean with its standard error. ``ValueError`` for fewer than four, or not finite."""
    errors = np.asarray(errors_ms, np.float64)
    n = errors.size
    if errors.ndim != 1 or n < 4 or not np.all(np.isfinite(errors)):
        raise ValueError(f"{n} errors: four finite milliseconds or more expected")
    ordered = np.sort(errors)
    cut = int(TRIM * n)
    kept = ordered[cut : n - cut]
    winsorized = np.clip(ordered, kept[0], kept[-1])
    error = float(winsorized.std(ddof=1)) / ((1 - 2 * cut / n) * sqrt(n))
    median = float(np.median(errors))
    deviation = MAD_TO_SD * float(np.median(np.abs(errors - median)))
    # Half of the taps in one millisecond make the deviation zero: use at least 1 ms.
    far = np.abs(errors - median) > OUTLIER_AT * max(deviation, 1.0)
    return Middle(float(kept.mean()), error, deviation, far)


def combined_ms(*parts_ms: float) -> float:
    """Combine independent standard uncertainties: root of the sum of squares."""
    return hypot(*parts_ms)


def stated_ms(*parts_ms: float) -> float:
    """Uncertainty for display: twice the combined standard uncertainty, about 95 %."""
    return COVERAGE * combined_ms(*parts_ms)
