"""The commands with parser and kits that are made once for all tests: a command by itself makes its own."""

from functools import cache

import pytest

from app.cli import commands
from synth.sound.kit import Kit

_kit, _parser = cache(Kit), cache(commands.parser)


@pytest.fixture(autouse=True)
def _made_once(monkeypatch):
    monkeypatch.setattr(commands, "parser", _parser)
    monkeypatch.setattr("synth.sound.kit.Kit", _kit)
