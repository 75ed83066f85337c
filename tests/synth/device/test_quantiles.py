"""Medians and quantiles, held to numpy's own."""

import numpy as np
import pytest

from synth.device.quantiles import median, quantile


@pytest.mark.parametrize("n", [1, 2, 3, 12, 48, 49, 4000])
def test_they_are_numpys_to_the_bit(n):
    draw = np.random.default_rng(n)
    for _ in range(40):
        values = draw.standard_normal(n) * 10 ** draw.uniform(-9, 3)
        assert median(values) == np.median(values)
        for share in (0.0, 0.25, 0.3, 0.5, 0.75, 1.0, draw.uniform()):
            assert quantile(values, share) == np.quantile(values, share)
