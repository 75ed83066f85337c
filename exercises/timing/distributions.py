"""Quantiles of Student's t and Fisher's F."""

import math
from functools import lru_cache
from statistics import NormalDist


def f_share(f: float, above: int, below: int) -> float:
    """Cumulative distribution of Fisher's F at ``f``; ``ValueError`` for arguments out of range.

    Regularised incomplete beta function by continued fraction, Abramowitz & Stegun (1964) 26.6.2 and 26.5.8.
    """
    if f < 0 or above < 1 or below < 1:
        raise ValueError(f"F {f} with {above} and {below}: 0 or more, and a degree of freedom each, expected")
    a, b = above / 2, below / 2
    x = above * f / (above * f + below)
    if x in (0.0, 1.0):
        return x
    swap = x > (a + 1) / (a + b + 2)
    if swap:
        a, b, x = b, a, 1 - x
    front = math.exp(math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)) / a
    fraction = 0.0
    for m in range(120, 0, -1):  # backward; 120 terms give 1e-12 for thousands of degrees of freedom
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        fraction = even / (1 + odd / (1 + fraction))
    first = -(a + b) * x / (a + 1)
    share = front / (1 + first / (1 + fraction))
    return 1 - share if swap else share


@lru_cache(maxsize=1024)
def f_quantile(share: float, above: int, below: int) -> float:
    """Quantile ``share`` (0 to 1) of Fisher's F: the inverse of ``f_share``."""
    if not 0 < share < 1 or min(above, below) < 1:
        raise ValueError(f"share {share} with {above} and {below}: between 0 and 1, and degrees of freedom, expected")
    low, high = 0.0, 1.0
    while f_share(high, above, below) < share:
        low, high = high, 2 * high
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if f_share(middle, above, below) < share else (low, middle)
    return (low + high) / 2


def t_quantile(share: float, df: int) -> float:
    """The t that holds ``share`` (0 to 1) of Student's t between -t and t: t squared is Fisher's F with 1 and ``df``.

    Above 200 degrees of freedom the expansion in powers of 1 / df (Abramowitz & Stegun 26.7.5), exact to 1e-9 there.
    """
    if df <= 200:
        return math.sqrt(f_quantile(share, 1, df))
    x = NormalDist().inv_cdf((1 + share) / 2)
    return (
        x
        + (x**3 + x) / (4 * df)
        + (5 * x**5 + 16 * x**3 + 3 * x) / (96 * df**2)
        + (3 * x**7 + 19 * x**5 + 17 * x**3 - 15 * x) / (384 * df**3)
    )
