"""Errors that are taken to be independent, whose interval is the classical one."""

import numpy as np
import pytest

from exercises.timing import dependence


@pytest.fixture
def independent(monkeypatch):
    """The one correlation is 0; what was kept for the others is not used."""
    monkeypatch.setattr(dependence, "CORRELATIONS", np.zeros(1))
    monkeypatch.setattr(dependence, "PRIOR", np.ones(1))
    monkeypatch.setattr(dependence, "WIDER", 0.0)
    for kept in ("_level", "_powers"):
        monkeypatch.setattr(dependence, kept, getattr(dependence, kept).__wrapped__)
