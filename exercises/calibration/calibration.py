"""What the equipment adds to every tap, how it was measured, and how sure that is.

Conventions: ``lag_ms`` is what to subtract from (tap minus sound) as the program reckons it; late is positive.

Two ways lead to it. By tapping: the learner's own relaxed taps to a click stand for zero, so lag and habit go
together. By microphone: click and key thump in one recording are the truth, so the lag alone goes and what remains is
the person. Bridges et al. 2020 (PeerJ 8:e9414) tell the two kinds of error apart: a constant lag can be
subtracted once it is known, jitter cannot; so every calibration carries its standard error.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from enum import StrEnum
from math import hypot, isfinite, sqrt
from typing import Any

import numpy as np

from exercises.timing.asynchrony import t_quantile
from synth.base.arrays import Seconds

# A fifth of the taps is left out at each end before the mean is taken: few outliers then move nothing, and little is
# lost where there are none. Its standard error comes from the winsorized variance (Tukey & McLaughlin 1963, Sankhya A
# 25, 331-352; Wilcox 2012, Introduction to Robust Estimation and Hypothesis Testing; both from memory).
TRIM = 0.2
# Taps shown as outliers: more than three times the scaled median deviation from the median (Leys et al. 2013, J. Exp.
# Soc. Psychol. 49, 764-766, from memory).
OUTLIER_AT = 3.0
MAD_TO_SD = 1.4826
# Taps asked for, and the fewest that a calibration stands on.
TAPS = 30
FEWEST = 8
# A stated uncertainty is twice the standard uncertainty, which covers about 95 % of a bell curve (Guide to the
# Expression of Uncertainty in Measurement, JCGM 100:2008, 6.2.2 and 6.3.3, from memory). All parts are standard
# uncertainties until then: an even spread over 1 ms, such as a stamp's, has 1/sqrt(12) ms.
COVERAGE = 2.0
# Not seen by any of the parts: how much the way from a sound's last known moment to the air wanders from one trial to
# the next, a shift that all taps of a trial share. On a sound server without a card, trials lay 0.4 ms (SD) from the
# calibration before them, 0.9 ms at worst, with other programs busy; a little more than the SD, for the worst.
WANDER_MS = 0.6
# What a constant lag may be at all. Wireless sound adds 100 to 300 ms (facts of the trade, from a toolbox's
# documentation); a lag below zero by more than a little means that the host reports too much.
LAG_RANGE_MS = (-150.0, 600.0)


class Method(StrEnum):
    """How a lag was measured."""

    TAPPING = "tapping"
    MICROPHONE = "microphone"


@dataclass(frozen=True, slots=True)
class Setup:
    """What a calibration belongs to: the output, how it is driven, and what is tapped on.

    ``device`` and ``host`` are PortAudio's names, ``latency_ms`` the whole latency that the host reports at
    ``sample_rate_hz``; ``source`` is "key", "mouse", "touch", "midi" or "mic", with the port's or microphone's name
    in ``input_name`` where it has one.
    """

    device: str
    host: str
    latency_ms: int
    sample_rate_hz: int
    source: str
    input_name: str = ""


@dataclass(frozen=True, slots=True)
class Calibration:
    """A lag in ms with its standard error, the spread of the single taps, and their number."""

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
        """Plain values, for the file of calibrations."""
        return asdict(self) | {"method": str(self.method)}

    def for_record(self) -> dict[str, Any]:
        """What the logbook keeps with a trial."""
        return {
            "method": str(self.method),
            "source": self.setup.source,
            "lag_ms": round(self.lag_ms, 3),
            "error_ms": round(self.error_ms, 3),
            "taps": self.taps,
            "when": self.when,
        }

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> "Calibration":
        """The reverse of ``to_json``; ``KeyError``, ``TypeError`` or ``ValueError`` on anything else."""
        values = {name: float(data[name]) for name in ("lag_ms", "error_ms", "spread_ms")}
        setup = Setup(**data["setup"])
        if not all(isinstance(text, str) for text in (setup.device, setup.host, setup.source, data["when"])):
            raise TypeError("names expected")
        return cls(setup, Method(data["method"]), taps=int(data["taps"]), when=data["when"], **values)


@dataclass(frozen=True, slots=True, eq=False)
class Middle:
    """The robust middle of some errors: ``middle_ms``, ``error_ms`` (standard error), ``spread_ms`` (robust SD).

    ``outliers`` marks the errors that lie far from the rest; they are shown, and trimmed with the others.
    """

    middle_ms: float
    error_ms: float
    spread_ms: float
    outliers: np.ndarray[Any, np.dtype[np.bool_]]

    @property
    def ci95_ms(self) -> tuple[float, float]:
        """The 95 % interval of the middle, by Student's t for what the trimming leaves."""
        n = len(self.outliers)
        half = t_quantile(0.95, max(n - 2 * int(TRIM * n) - 1, 1)) * self.error_ms
        return self.middle_ms - half, self.middle_ms + half


def middle(errors_ms: Seconds) -> Middle:
    """The 20 % trimmed mean with its standard error.

    ``ValueError`` for fewer than four, or what is not finite.
    """
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
    # Half the taps on one millisecond leave a deviation of zero: then nothing is far.
    far = np.abs(errors - median) > OUTLIER_AT * max(deviation, 1.0)
    return Middle(float(kept.mean()), error, deviation, far)


def combined_ms(*parts_ms: float) -> float:
    """Independent standard uncertainties together: the root of the sum of their squares."""
    return hypot(*parts_ms)


def stated_ms(*parts_ms: float) -> float:
    """The uncertainty that is shown: twice the combined standard uncertainty, about 95 %."""
    return COVERAGE * combined_ms(*parts_ms)
