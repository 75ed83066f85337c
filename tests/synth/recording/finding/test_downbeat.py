"""The share of variance between pieces of a recording, against SciPy's analysis of variance."""

from itertools import pairwise

import numpy as np
import pytest
from scipy.stats import f_oneway

from synth.recording.finding.downbeat import between


def test_the_share_between_pieces_gives_the_f_of_an_analysis_of_variance():
    rows = np.random.default_rng(0).standard_normal((46, 1)) + np.repeat(np.arange(6), 8)[2:, None] * 0.3
    for first in range(8):
        ends = [0, *range(first or 8, 46, 8), 46]
        pieces = [rows[a:b, 0] for a, b in pairwise(ends)]
        share, more = between(rows, 8)[first], len(pieces) - 1
        found = share / more / ((1 - share) / (46 - len(pieces)))
        assert found == pytest.approx(f_oneway(*pieces).statistic)


def test_pieces_are_parted_best_where_things_change():
    rows = np.repeat(np.random.default_rng(0).standard_normal((9, 12)), 8, axis=0)[3:]
    assert int(np.argmax(between(rows, 8))) == 5


def test_what_never_changes_has_no_parts():
    assert between(np.ones((40, 3)), 8) == pytest.approx(0)
