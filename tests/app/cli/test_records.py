"""The command `records grid`."""

import json

import numpy as np
import pytest
import soundfile

from app.cli.commands import main
from tests.synth.recording.drums import RATE_HZ, drums


@pytest.fixture(scope="module")
def recording(tmp_path_factory):
    path = tmp_path_factory.mktemp("recording") / "drums.flac"
    samples, beats_s = drums(bars=24)
    soundfile.write(path, samples, RATE_HZ)
    return path, beats_s


def test_a_grid_as_json(recording, capsys):
    path, _ = recording
    assert main(["records", "grid", str(path), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    keys = {"tempo_bpm", "sure", "confirmed_by", "phrase_bars", "intro_bars", "uncertainty_ms", "steady_until_s"}
    assert keys <= set(told)
    assert told["tempo_bpm"] == pytest.approx(124, abs=0.01)
    assert (told["confirmed_by"], told["phrase_bars"], told["intro_bars"]) == (None, 8, 8)


def test_beats_are_written_as_render_writes_them(recording, tmp_path, capsys):
    path, beats_s = recording
    before = path.read_bytes()
    assert main(["records", "grid", str(path), "--beats", str(tmp_path / "beats.txt")]) == 0
    assert "124.00 BPM" in capsys.readouterr().out
    rows = [line.split("\t") for line in (tmp_path / "beats.txt").read_text().splitlines()]
    assert [place for _, place in rows[:5]] == ["1.1", "1.2", "1.3", "1.4", "2.1"]
    assert np.array([float(at_s) for at_s, _ in rows]) == pytest.approx(beats_s[: len(rows)], abs=0.003)
    assert path.read_bytes() == before


def test_a_refusal_is_one_line_and_nothing_is_written(tmp_path, capsys):
    path = tmp_path / "silence.wav"
    soundfile.write(path, np.zeros(30 * RATE_HZ), RATE_HZ)
    assert main(["records", "grid", str(path), "--beats", str(tmp_path / "beats.txt"), "--json"]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.count("\n") == 1
    assert "no steady beat" in told.err
    assert [each.name for each in tmp_path.iterdir()] == ["silence.wav"]


def test_beats_never_replace_the_sound(recording, capsys):
    path, _ = recording
    assert main(["records", "grid", str(path), "--beats", str(path)]) == 2
    assert "would replace the sound" in capsys.readouterr().err
