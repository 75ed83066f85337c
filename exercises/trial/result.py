"""What became of an answer: its taps compared with their targets, and the marked result.

Names in ``_ms`` are milliseconds; early is negative, late is positive.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from exercises.timing.drift import Drift
from exercises.trial.trial import LOST_COUNT
from synth.base.arrays import Ints, Seconds
from synth.base.words import Say, Template

RIGHT, WRONG = Template("verdict.right", "Right."), Template("verdict.wrong", "Not yet.")


@dataclass(frozen=True, slots=True, eq=False)
class TapMarks:
    """Taps compared with their targets. Figures that the taps do not determine are None.

    ``targets``, ``hits``, ``missed`` and ``extra`` are counts. ``pairs`` (hits, 2) holds target index and tap index
    (among all taps of the answer); ``errors_ms`` (hits,) belong to them. ``bias_ms`` is the mean error,
    ``spread_ms`` its SD (n - 1), ``bias_ci95_ms`` the 95 % interval of the bias (see
    ``exercises.timing.dependence``). ``window_ms``: largest error of a hit. ``beat_tapped``: beat of the bar -> share
    of the taps nearest to it. ``counted``: index range of the taps that count (None: all). ``drift`` is the
    regression of the errors.
    """

    targets: int
    hits: int
    missed: int
    extra: int
    bias_ms: float | None
    spread_ms: float | None
    bias_ci95_ms: tuple[float, float] | None
    uncertainty_ms: float
    window_ms: float
    errors_ms: Seconds
    beat_tapped: Mapping[int, float]
    pairs: Ints
    counted: tuple[int, int] | None = None
    drift: Drift | None = None

    @property
    def bias_within_ms(self) -> tuple[float, float] | None:
        """Between what the bias surely lies: its interval, widened by the uncertainty on either side."""
        if self.bias_ci95_ms is None:
            return None
        return self.bias_ci95_ms[0] - self.uncertainty_ms, self.bias_ci95_ms[1] + self.uncertainty_ms

    def to_json(self) -> dict[str, Any]:
        """Plain values rounded to 0.001 ms."""
        ci = self.bias_ci95_ms
        return {
            **{name: getattr(self, name) for name in ("targets", "hits", "missed", "extra")},
            "bias_ms": _rounded(self.bias_ms),
            "spread_ms": _rounded(self.spread_ms),
            "bias_ci95_ms": None if ci is None else [_rounded(ci[0]), _rounded(ci[1])],
            "uncertainty_ms": round(self.uncertainty_ms, 3),
            "window_ms": round(self.window_ms, 3),
            "errors_ms": (np.round(self.errors_ms, 3) + 0.0).tolist(),
            "beat_tapped": {str(beat): round(share, 4) for beat, share in self.beat_tapped.items()},
        }


def said(right: bool | None, verdict: Iterable[Say]) -> tuple[Say, ...]:
    """A verdict with right or wrong before it; alone where nothing is marked."""
    return (*(() if right is None else (RIGHT() if right else WRONG(),)), *verdict)


@dataclass(frozen=True, slots=True, eq=False)
class Result:
    """A marked answer. ``right`` is None where nothing is marked; ``score`` is 0 to 1, else ``ValueError``.

    ``figures`` holds the drill's own figures (bars, beats and ms off; variances), with units in the names.
    """

    drill: str
    rung: int
    seed: int
    right: bool | None
    score: float
    verdict: tuple[Say, ...]
    taps: TapMarks | None = None
    given: str | float | None = None
    expected: str | float | None = None
    figures: Mapping[str, float | str | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not 0.0 <= self.score <= 1.0:
            raise ValueError(f"score {self.score}: 0 to 1 expected")

    def __str__(self) -> str:
        """Right or wrong, then the verdict, in English."""
        return " ".join(map(str, said(self.right, self.verdict)))

    @property
    def mistaken(self) -> str | float | None:
        """The answer given, unless it is right; None without one, and for a lost count."""
        return None if self.right or self.given == LOST_COUNT else self.given

    @property
    def text(self) -> str:
        """The verdict in English."""
        return " ".join(map(str, self.verdict))

    def to_json(self) -> dict[str, Any]:
        """Flat: figures of the taps, given and expected answer, verdict in English."""
        data: dict[str, Any] = {"drill": self.drill, "rung": self.rung, "seed": self.seed}
        data |= {"right": self.right, "score": round(self.score, 4)}
        if self.taps is not None:
            data |= self.taps.to_json()
        if self.given is not None or self.expected is not None:
            data |= {"given": self.given, "expected": self.expected}
        return data | dict(self.figures) | {"verdict": self.text}

    def to_record(self) -> dict[str, Any]:
        """For the logbook: without what the stored taps give again, the verdict translatable."""
        data = self.to_json()
        for name in ("drill", "rung", "seed", "errors_ms"):
            data.pop(name, None)
        return data | {"verdict": [say.to_json() for say in self.verdict]}


def _rounded(figure: float | None) -> float | None:
    return None if figure is None else round(figure, 3) + 0.0  # turns -0.0 into 0.0
