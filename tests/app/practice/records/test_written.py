"""A record as a sound file: what is in it where, and that nothing is half written."""

from dataclasses import replace

import numpy as np
import pytest
import soundfile

from app.practice.records import written
from app.practice.records.heard import Counting
from app.practice.records.written import RATE_HZ, Wanted, write
from synth.base.errors import Trouble
from synth.recording.source import of_file
from synth.recording.teaching import LEAD_IN_S
from tests.synth.recording.drums import RATE_HZ as OWN_HZ
from tests.synth.recording.drums import drums
from tests.synth.recording.test_source import GRID, PRINT

BEAT_S, START_S, BARS = 60 / 120, 0.25, 8
MADE = replace(
    GRID, one_s=START_S, start_s=START_S, steady_until_s=START_S + 16, duration_s=16.75, phrase_first=0, intro_bars=0
)


@pytest.fixture(scope="module")
def file(tmp_path_factory):
    path = tmp_path_factory.mktemp("record") / "song.wav"
    soundfile.write(path, drums(120.0, BARS, start_s=START_S)[0], OWN_HZ)
    return path


def wanted(file, intro=0, way=None):
    return Wanted(of_file(str(file), MADE, print=PRINT, title="A song").sound, MADE, Counting(way), intro)


def near(samples, at_s, long_s=0.08):
    """Peak of some ms from a time on."""
    first = round(at_s * RATE_HZ)
    return float(np.abs(samples[first : first + round(long_s * RATE_HZ)]).max())


@pytest.mark.proof
@pytest.mark.parametrize("ending", written.ENDINGS)
def test_it_is_a_sound_of_its_kind_for_own_use(file, tmp_path, ending):
    out = tmp_path / f"out{ending}"
    said = write(out, wanted(file, way="bars"))
    assert str(said) == f"{out} is written. It is for your own use, as the record is."
    sound = soundfile.info(out)  # libsndfile, by itself
    assert sound.format == {".ogg": "OGG", ".mp3": "MP3", ".wav": "WAV", ".flac": "FLAC"}[ending]
    assert sound.duration == pytest.approx(MADE.duration_s + LEAD_IN_S - START_S, abs=0.06)


@pytest.mark.proof
def test_behind_a_drum_intro_the_whole_record_comes_on_the_one(file, tmp_path):
    """By hand: four bars of 2 s, then the record's eight; its crash is on its first one."""
    out = tmp_path / "out.wav"
    write(out, wanted(file, intro=4))
    samples, _ = soundfile.read(out)
    assert len(samples) / RATE_HZ == pytest.approx(LEAD_IN_S + 8 + MADE.duration_s - START_S, abs=0.02)
    for beat in (0, 4, 12, 16, 20, 24):
        assert near(samples, LEAD_IN_S + beat * BEAT_S) > 0.1, beat
    assert near(samples, 0, LEAD_IN_S - 0.01) < 1e-3


def test_what_goes_wrong_is_said_and_nothing_is_half_written(file, tmp_path, monkeypatch):
    out = tmp_path / "out.wav"
    with pytest.raises(Trouble, match="the name must end with"):
        write(tmp_path / "out.txt", wanted(file))
    with pytest.raises(Trouble, match="too long for one sound: at most 15 minutes"):
        write(out, replace(wanted(file), grid=replace(MADE, duration_s=901.0)))
    with pytest.raises(Trouble, match="the program was closed"):
        write(out, wanted(file), lambda: True)
    with pytest.raises(Trouble, match="A drum intro has 40 to 240"):
        write(out, replace(wanted(file, intro=8), grid=replace(MADE, tempo_bpm=30.0)))
    assert list(tmp_path.iterdir()) == []
