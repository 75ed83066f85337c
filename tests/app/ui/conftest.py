"""The window without sound: to mix a trial takes longer than to open a window."""

import pytest


@pytest.fixture(autouse=True)
def _unheard(unheard):
    pass
