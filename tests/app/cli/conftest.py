"""The commands with parser and kits that are made once for all tests: a command by itself makes its own."""

import hashlib
import shutil
from contextlib import redirect_stdout
from functools import cache
from io import StringIO
from pathlib import Path

import pytest

from app.cli import commands
from synth.base.border import open_file
from synth.catalogue.analysis import Found, analysed
from synth.recording.decoder import Decoder
from synth.recording.excerpt import excerpt
from synth.sound.kit import Kit
from synth.sound.loudness import weigh

_kit, _parser = cache(Kit), cache(commands.parser)
_found: dict[tuple[bytes, str], Found] = {}


@pytest.fixture(autouse=True)
def _made_once(monkeypatch):
    monkeypatch.setattr(commands, "parser", _parser)
    monkeypatch.setattr("synth.sound.kit.Kit", _kit)


class AnalysedHere:
    """An analysis in this process, once of each content and ending; what goes wrong is told of each file anew."""

    def __init__(self, path) -> None:
        with open_file(path):
            self.path = Path(path)

    def found(self) -> Found:
        key = hashlib.sha256(self.path.read_bytes()).digest(), self.path.suffix
        if key not in _found:
            _found[key] = analysed(self.path)
        return _found[key]

    def stop(self) -> None:
        pass

    def stand_still(self, still: bool) -> bool:
        return False


@pytest.fixture
def no_processes(monkeypatch):
    """Recordings are analysed and read in this process: to start one takes longer than what it does."""

    def read(self, path, start_s, duration_s, rate_hz, played_hz):
        samples = excerpt(path, start_s, duration_s, rate_hz)
        return samples, weigh(samples, played_hz)

    for module in ("analysis", "queue"):
        monkeypatch.setattr(f"synth.catalogue.{module}.Analysis", AnalysedHere)
    monkeypatch.setattr(Decoder, "weighed", read)


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> Path:
    """A trial as files, made by the command."""
    out = tmp_path_factory.mktemp("made") / "t"
    words = ["trial", "one", "--rung", "3", "--seed", "5", "--tempo", "120", "--out", str(out)]
    with redirect_stdout(StringIO()):
        assert commands.main(words) == 0
    return out


@pytest.fixture
def trial_json(tmp_path, made) -> Path:
    """A copy of it, by its ``trial.json``."""
    return Path(shutil.copytree(made, tmp_path / "t")) / "trial.json"
