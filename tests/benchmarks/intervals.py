"""How often the 95 % intervals of bias and drift hold the true value, where taps depend on each other.

Worlds: rows of errors whose neighbours are correlated (autoregressive of first order, normal steps, started in their
stationary state), for 8 to 64 taps and correlations at lag one of 0, 0.25 and 0.5; and taps of somebody who corrects
half of each error (phase correction, motor SD half of the clock's), whose true mean is zero. "before" is
Student's t for independent errors, as it was.
"""

from typing import Any

import numpy as np

from exercises.timing.dependence import half_width
from exercises.timing.distributions import t_quantile

MANY, SEED = 3000, 11
CORRELATIONS = (0.0, 0.25, 0.5)
TAPS = (8, 12, 16, 24, 32, 64)
WARM_UP = 100


def correlated(rng: np.random.Generator, n: int, correlation: float) -> np.ndarray:
    """Rows (MANY, n) of standard normal errors with that correlation of neighbours."""
    steps = rng.standard_normal((MANY, n)) * np.sqrt(1 - correlation**2)
    rows = np.empty((MANY, n))
    rows[:, 0] = steps[:, 0] / np.sqrt(1 - correlation**2)
    for at in range(1, n):
        rows[:, at] = correlation * rows[:, at - 1] + steps[:, at]
    return rows


def corrected(rng: np.random.Generator, n: int) -> np.ndarray:
    """Rows (MANY, n) of asynchronies of phase correction, in units of the clock's SD."""
    off, rows = np.zeros(MANY), np.empty((MANY, n))
    motor = 0.5 * rng.standard_normal((MANY, n + WARM_UP + 1))
    for at in range(n + WARM_UP):
        off = 0.5 * off + rng.standard_normal(MANY) + motor[:, at + 1] - motor[:, at]
        if at >= WARM_UP:
            rows[:, at - WARM_UP] = off
    return rows


def coverage(rows: np.ndarray, *, slope: bool) -> tuple[float, float]:
    """Share of rows whose interval holds zero: now, and for independent errors."""
    n = rows.shape[1]
    at = np.arange(n) - (n - 1) / 2
    left = at / (at @ at) if slope else np.full(n, 1 / n)
    found = rows @ left
    rest = rows - rows.mean(axis=1, keepdims=True) - (found[:, None] * at if slope else 0)
    plain = np.sqrt(np.square(rest).sum(axis=1) / (n - 1 - slope) * (left @ left)) * t_quantile(0.95, n - 1 - slope)
    wide = np.array([half_width(row, at if slope else None) for row in rows])
    return float(np.mean(np.abs(found) <= wide)), float(np.mean(np.abs(found) <= plain))


def figures() -> dict[str, dict[str, Any]]:
    """Coverage in each world; the goal holds from 16 taps on, below that no less than 93 %."""
    rng = np.random.default_rng(SEED)
    found = {}
    for n in TAPS:
        worlds = {f"correlated_{100 * each:.0f}": correlated(rng, n, each) for each in CORRELATIONS}
        for name, rows in (worlds | {"corrected": corrected(rng, n)}).items():
            for what in ("bias", "drift"):
                now, before = coverage(rows, slope=what == "drift")
                goal, met = ("93 to 97", 0.93 <= now <= 0.97) if n >= 16 else ("at least 93", now >= 0.93)
                found[f"{what}_{n}_taps_{name}"] = {
                    "value": round(100 * now, 1),
                    "unit": "%",
                    "goal": goal if name != "corrected" else "",
                    "met": met if name != "corrected" else None,
                    "note": f"before {100 * before:.1f}",
                }
    return found
