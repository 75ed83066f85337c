"""The process that reads excerpts: what it gives, and that its crash is one line and no more."""

import os
import signal

import numpy as np
import pytest

from synth.base.errors import Trouble
from synth.recording.decoder import Decoder
from synth.recording.excerpt import excerpt
from tests.synth.recording.files import written

pytestmark = pytest.mark.sampled(3)

RATE_HZ = 44_100


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    samples = 0.1 * np.random.default_rng(2).standard_normal((5 * RATE_HZ, 2))
    path = written(tmp_path_factory.mktemp("files") / "a.flac", samples, RATE_HZ)
    return path.rename(path.with_name("a\udcff.flac"))  # no UTF-8


@pytest.fixture
def decoder():
    made = Decoder()
    yield made
    made.close()


def test_it_reads_what_is_read_here(decoder, path):
    found = decoder.excerpt(path, 1.5, 1.0, 48_000)
    np.testing.assert_allclose(found, excerpt(path, 1.5, 1.0, 48_000), rtol=0, atol=1e-4)
    np.testing.assert_allclose(decoder.excerpt(path, 1.5, 1.0, 48_000), found, rtol=0, atol=1e-4)
    assert decoder.excerpt(path, 1.5, 0.0, 48_000).shape == (0, 2)


def test_after_a_crash_there_is_a_line_and_another_process(decoder, path):
    decoder.excerpt(path, 0, 1, 48_000)
    os.kill(decoder._process.pid, signal.SIGSTOP)  # so that it is there to be asked, and never answers
    decoder._patience_s = 0.1
    with pytest.raises(Trouble, match="too long"):
        decoder.excerpt(path, 0, 1, 48_000)
    decoder._patience_s = 30
    assert len(decoder.excerpt(path, 0, 1, 48_000)) == 48_000
    os.kill(decoder._process.pid, signal.SIGKILL)
    decoder._process.wait()
    assert len(decoder.excerpt(path, 0, 1, 48_000)) == 48_000


def test_a_crash_while_reading_is_a_line(path):
    decoder = Decoder(code="import os; sys.stdin.readline(); os.abort()")
    with pytest.raises(Trouble, match="broke off"):
        decoder.excerpt(path, 0, 1, 48_000)
    decoder.close()


def test_trouble_in_the_process_is_trouble_here(decoder, tmp_path):
    (tmp_path / "a.wav").write_bytes(b"no sound" * 100)
    with pytest.raises(Trouble, match="no sound that can be read"):
        decoder.excerpt(tmp_path / "a.wav", 0, 1, 48_000)
    with pytest.raises(Trouble, match="no such file"):
        decoder.excerpt(tmp_path / "b.wav", 0, 1, 48_000)


@pytest.mark.parametrize(("start_s", "duration_s"), [(0, -1), (0, 1e9), (float("nan"), 1), (0, float("nan"))])
def test_a_wrong_call_is_an_error(decoder, path, start_s, duration_s):
    with pytest.raises(ValueError, match="expected"):
        decoder.excerpt(path, start_s, duration_s, 48_000)
