"""The analysis in a process of its own: grids and troubles come back, a crash or a long wait is one line."""

import os

import numpy as np
import pytest
import soundfile

from synth.base.errors import Trouble
from synth.recording.finding import analysis
from synth.recording.finding.analysis import analysed, grid_of
from tests.synth.recording.drums import RATE_HZ, drums


@pytest.fixture(scope="module")
def recording(tmp_path_factory):
    path = tmp_path_factory.mktemp("recording") / "drums é.flac"
    soundfile.write(os.fsencode(path), drums(bars=24)[0], RATE_HZ)
    return path


def test_the_process_finds_what_is_found_here(recording):
    assert grid_of(recording) == analysed(recording)


def test_a_refusal_comes_back_in_words(tmp_path):
    soundfile.write(tmp_path / "a.wav", np.zeros(30 * RATE_HZ), RATE_HZ)
    assert "no steady beat" in str(grid_of(tmp_path / "a.wav").refused)


def test_trouble_comes_back_in_words(tmp_path):
    (tmp_path / "a.wav").write_text("hello")
    with pytest.raises(Trouble, match="this is no sound that can be read"):
        grid_of(tmp_path / "a.wav")


def test_a_file_that_is_not_there_needs_no_process(tmp_path, monkeypatch):
    monkeypatch.setattr(analysis.subprocess, "run", None)
    with pytest.raises(Trouble, match="no such file"):
        grid_of(tmp_path / "a.wav")


@pytest.mark.parametrize("code", ["import os; os.abort()", "raise SystemExit(1)", "print('no JSON')"])
def test_a_crash_ends_the_process_alone(recording, monkeypatch, code):
    monkeypatch.setattr(analysis, "CODE", code)
    with pytest.raises(Trouble, match="the analysis broke off"):
        grid_of(recording)


def test_an_analysis_that_takes_too_long_is_stopped(recording):
    with pytest.raises(Trouble, match="takes too long"):
        grid_of(recording, patience_s=0.01)
