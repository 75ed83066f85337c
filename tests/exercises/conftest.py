"""Trials by the thousand, for tests that look at truth and marks alone."""

import pytest

from tests.exercises.quiet import leave_out_drums


@pytest.fixture(autouse=True)
def _kept_takes(kept_takes):
    pass


@pytest.fixture
def quiet(monkeypatch):
    """Records in which nothing sounds, and groove files that are read once."""
    leave_out_drums(monkeypatch)
