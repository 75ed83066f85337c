"""A recording as a take: as loud as asked for, from its file and from memory, and silent where it is to be."""

from dataclasses import replace

import numpy as np
import pytest

from synth.base.bins import BIN_S
from synth.recording.decoder import Decoder
from synth.recording.excerpt import excerpt
from synth.recording.kept import Kept
from synth.recording.parts import joined
from synth.score.arranging.arrangement import arrange
from synth.score.grooves import groove
from synth.score.recorded import Recorded
from synth.sound.kit import Kit
from synth.sound.loudness import k_weighted, weigh
from synth.sound.mixdown import mixdown
from synth.sound.recorded import recorded_take
from tests.synth.recording.files import written
from tests.synth.sound.measures import loudness_lufs, true_peak_dbtp

RATE, LONG_S = 48_000, 24.0
SONG = arrange(groove("deep-house"), tempo_bpm=120, form="intro:4,verse:8", seed=2, song=True)


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    return written(tmp_path_factory.mktemp("files") / "a.flac", mixdown(SONG, Kit(0, 44_100)), 44_100)


@pytest.fixture(params=["from its file", "from memory"])
def reader(request, path, monkeypatch):
    """The decoder answers in this process, from its file or once all of it was read."""
    kept = Kept(weigh=weigh)

    def read(self, path, start_s, duration_s, rate_hz, played_hz):
        if request.param == "from its file":
            samples = excerpt(path, start_s, duration_s, rate_hz)
            return samples, weigh(samples, played_hz)
        kept.keep(path, played_hz)
        kept.wait()
        parts, bins = kept.parts(path, start_s, duration_s, rate_hz, played_hz)
        return joined(parts, round(duration_s * rate_hz)), bins

    monkeypatch.setattr(Decoder, "weighed", read)


def stretch(path, from_s, long_s, **more):
    return Recorded("0" * 32, str(path), "", 1, from_s, 0.0, long_s, **more)


@pytest.mark.proof
@pytest.mark.parametrize(("from_s", "long_s", "speed"), [(0.0, 20.0, 1.0), (3.217, 11.0, 1.0), (5.5, 15.0, 1.043)])
def test_a_trial_of_it_is_as_loud_as_any(reader, path, from_s, long_s, speed):
    """-18 LUFS within 0.5 LU by pyloudnorm 0.2.0, true peak at most -1 dBTP at fourfold oversampling (EBU R 128)."""
    part = replace(SONG.excerpt(0, 2 * int(long_s)), hits=SONG.hits.only(), tail_s=0.0)
    made = mixdown(replace(part, recorded=stretch(path, from_s, long_s, speed=speed)), Kit(0, RATE))
    assert loudness_lufs(made, RATE) == pytest.approx(-18, abs=0.5)
    assert true_peak_dbtp(made) <= -1


@pytest.mark.proof
def test_its_energies_are_those_of_the_filter(reader, path):
    """In half seconds: within 5 % of the samples weighted frame by frame (BS.1770, ``k_weighted``)."""
    _, take = recorded_take(stretch(path, 3.217, 12.0), RATE)
    frames = RATE // 2
    true = np.square(k_weighted(take.samples, RATE)).reshape(-1, 2 * frames).sum(axis=1)
    assert take.energy.reshape(len(true), -1).sum(axis=1) == pytest.approx(true, rel=0.05)
    highest = np.abs(take.samples).reshape(len(take.energy), -1).max(axis=1)
    assert (take.peak[:-1] >= highest * 0.999).all()


def test_where_it_is_silent_it_has_no_energy(reader, path):
    _, whole = recorded_take(stretch(path, 2.0, 8.0), RATE)
    _, take = recorded_take(stretch(path, 2.0, 8.0, silences=((2.0, 4.0),)), RATE)
    silent = slice(round(2.02 / BIN_S), round(3.96 / BIN_S))
    assert not take.samples[2 * RATE + 480 : 4 * RATE - 480].any()
    assert not take.energy[silent].any()
    assert not take.peak[silent].any()
    after = whole.samples[6 * RATE :]  # pytest.approx takes two seconds for so many numbers
    assert (np.abs(take.samples[6 * RATE :] - after) <= np.maximum(0.1 * np.abs(after), 1e-3)).all()
