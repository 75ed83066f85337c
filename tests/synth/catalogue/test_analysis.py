"""The analysis in a process of its own: what it finds and troubles come back, a crash or a long wait is one line."""

import json
import os
import signal
from dataclasses import replace
from subprocess import TimeoutExpired

import numpy as np
import pytest
import soundfile
import soxr

from synth.base.errors import Trouble
from synth.catalogue import analysis
from synth.catalogue.analysis import Analysis, Stopped, analysed, found_of
from tests.synth.recording.drums import RATE_HZ, drums

pytestmark = pytest.mark.sampled(4)


@pytest.fixture(scope="module")
def recording(tmp_path_factory):
    path = tmp_path_factory.mktemp("recording") / "drums é.flac"
    soundfile.write(os.fsencode(path), drums(bars=24)[0], RATE_HZ)
    return path


@pytest.mark.proof
def test_the_process_finds_what_is_found_here(recording):
    assert found_of(recording) == analysed(recording)


def test_a_one_that_is_found_a_little_before_the_first_frame_comes_back(recording):
    found = analysed(recording)
    early = replace(found, grid=replace(found.grid, one_s=-0.0005, start_s=0.0))
    assert analysis._from_plain(json.loads(json.dumps(analysis._plain(early)))) == early


def test_a_refusal_comes_back_in_words(tmp_path):
    soundfile.write(tmp_path / "a.wav", np.zeros(30 * RATE_HZ), RATE_HZ)
    assert "no steady beat" in str(found_of(tmp_path / "a.wav").grid.refused)


def test_trouble_comes_back_in_words(tmp_path):
    (tmp_path / "a.wav").write_text("hello")
    with pytest.raises(Trouble, match="this is no sound that can be read"):
        found_of(tmp_path / "a.wav")


def test_a_file_that_is_not_there_needs_no_process(tmp_path, monkeypatch):
    monkeypatch.setattr(analysis, "begun", None)
    with pytest.raises(Trouble, match="no such file"):
        found_of(tmp_path / "a.wav")


@pytest.mark.parametrize("code", ["import os; os.abort()", "raise SystemExit(1)", "print('no JSON')"])
def test_a_crash_ends_the_process_alone(recording, monkeypatch, code):
    monkeypatch.setattr(analysis, "CODE", code)
    with pytest.raises(Trouble, match="reading it broke off"):
        found_of(recording)


def test_an_analysis_that_takes_too_long_is_stopped(recording):
    with pytest.raises(Trouble, match="takes too long"):
        Analysis(recording, patience_s=0.01).found()


@pytest.mark.skipif(not hasattr(signal, "SIGSTOP"), reason="no process can stand still here")
def test_standing_still_is_not_taking_too_long(recording, monkeypatch):
    """A phrase may sound on the board for an hour."""

    class Process:
        stdin = stdout = None
        looks, killed = 0, False

        def communicate(self, timeout=None):
            self.looks += 1
            if self.killed or self.looks > 3600:
                return b"", None
            if self.looks == 3600:
                made.stand_still(False)
            raise TimeoutExpired("analysis", timeout)

        def kill(self):
            self.killed = True

        def send_signal(self, which):
            """Real ones are sent below."""

        def wait(self):
            """It has ended."""

    process = Process()
    monkeypatch.setattr(analysis, "begun", lambda *_, **__: process)
    made = Analysis(recording, patience_s=10.0)
    made.stand_still(True)
    with pytest.raises(Trouble, match="reading it broke off"):  # not: takes too long
        made.found()
    process.looks, process.killed = 0, False
    with pytest.raises(Trouble, match="takes too long"):
        Analysis(recording, patience_s=10.0).found()
    assert process.looks == 11


@pytest.mark.skipif(not hasattr(signal, "SIGSTOP"), reason="no process can stand still here")
def test_it_stands_still_goes_on_and_is_stopped(recording):
    analysis = Analysis(recording)
    assert analysis.stand_still(True)
    _, status = os.waitpid(analysis._process.pid, os.WUNTRACED)
    assert os.WIFSTOPPED(status)
    analysis.stand_still(False)
    assert analysis.found().grid.refused is None
    analysis = Analysis(recording)
    analysis.stand_still(True)
    analysis.stop()
    with pytest.raises(Stopped):
        analysis.found()


def test_more_channels_rates_and_lengths_than_usual(tmp_path):
    """192 kHz, 8 kHz and 24 channels are read; other rates are refused."""
    song = drums(bars=16)[0]
    for rate_hz, channels in ((192_000, 1), (8_000, 1), (22_050, 24)):
        samples = soxr.resample(song, RATE_HZ, rate_hz)[:, None].repeat(channels, axis=1)
        soundfile.write(tmp_path / "a.wav", samples, rate_hz)
        assert analysed(tmp_path / "a.wav").grid.tempo_bpm == pytest.approx(124, abs=0.05)


def test_a_song_that_begins_on_its_first_frame(tmp_path):
    """Its one is found at 0 s give or take the accuracy of the grid, which may be a little less than 0."""
    soundfile.write(tmp_path / "a.wav", drums(bars=24, start_s=0.0)[0], RATE_HZ)
    grid = analysed(tmp_path / "a.wav").grid
    assert grid.refused is None
    assert grid.one_s == pytest.approx(0.0, abs=0.02)
