"""The commands with kits that are rendered once for all tests: a command by itself renders its own."""

from functools import cache

import pytest

from synth.sound.kit import Kit

_kit = cache(Kit)


@pytest.fixture(autouse=True)
def _rendered_once(monkeypatch):
    monkeypatch.setattr("synth.sound.kit.Kit", _kit)
