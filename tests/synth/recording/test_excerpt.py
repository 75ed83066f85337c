"""Excerpts: the same sound at the same time as reading on gives, in every format."""

from functools import cache

import numpy as np
import pytest
import soundfile

from synth.base.errors import Trouble
from synth.recording.excerpt import excerpt, stereo
from synth.recording.kept import Kept
from synth.recording.parts import joined
from synth.recording.reading import read_mono
from tests.synth.recording.files import ENCODERS, OWN_ENDINGS, needs_ffmpeg, written

pytestmark = pytest.mark.sampled(20)

RATE_HZ = 44_100
# What reads too fast or too slowly by 9 millionths is 0.1 ms late at 11.7 s.
LONG_S = 12.3
MOST_LATE_S = 0.000097


@cache
def sound(channels: int = 2) -> np.ndarray:
    """Noise whose loudness changes all the time, (n, channels)."""
    rng = np.random.default_rng(5)
    n = int(LONG_S * RATE_HZ)
    loud = 0.05 + 0.2 * np.square(np.sin(np.arange(n) / 3000))
    return (loud[:, None] * rng.standard_normal((n, channels))).clip(-0.9, 0.9).astype(np.float32)


def late_s(found: np.ndarray, true: np.ndarray, rate_hz: int) -> float:
    """How much later ``found`` (n,) is than ``true`` (n,), by the peak of their correlation, 4 times as fine.

    That is to an eighth of a sample, 6 us at most.
    """
    size = 1 << (2 * len(true) - 1).bit_length()
    across = np.fft.rfft(found, size) * np.conj(np.fft.rfft(true, size))
    across[-1] = 0  # half of it would belong to the negative frequencies
    both = np.fft.irfft(across, 4 * size)
    at = int(np.argmax(both))
    return (at if at < 2 * size else at - 4 * size) / 4 / rate_hz


ENDINGS = [*OWN_ENDINGS, *(pytest.param(each, marks=needs_ffmpeg) for each in ENCODERS)]
STRETCHED = ["flac", pytest.param("aac.m4a", marks=needs_ffmpeg)]


@pytest.fixture(scope="module", params=ENDINGS)
def path(request, tmp_path_factory):
    return written(tmp_path_factory.mktemp("files") / f"a.{request.param}", sound(), RATE_HZ)


@pytest.mark.parametrize("rate_hz", [22_050, 48_000])
def test_an_excerpt_lies_where_reading_on_has_it(path, rate_hz, subtests):
    on = np.concatenate(list(read_mono(path, rate_hz)))
    for start_s in (0.0, 0.013, 3.0, 11.7):
        with subtests.test(start_s=start_s):
            found = excerpt(path, start_s, 0.5, rate_hz)
            assert found.shape == (rate_hz // 2, 2)
            assert found.dtype == np.float32
            first = round(start_s * rate_hz)
            true, mono = on[first : first + rate_hz // 2], found.mean(axis=1)
            assert abs(late_s(mono, true, rate_hz)) < MOST_LATE_S
            if path.suffix[1:] in OWN_ENDINGS:
                np.testing.assert_allclose(mono[100:-100], true[100:-100], rtol=0, atol=1e-4)


def excerpt_of(kept, path, start_s, duration_s, rate_hz, played_hz=None):
    found = kept.parts(path, start_s, duration_s, rate_hz, played_hz or rate_hz)
    return None if found is None else joined(found[0], round(duration_s * rate_hz))


@pytest.fixture(scope="module")
def kept(path):
    """The file, decoded at 48 kHz."""
    kept = Kept()
    assert excerpt_of(kept, path, 3.0, 0.5, 48_000) is None
    kept.keep(path, 48_000)
    kept.wait()
    return kept


def test_what_was_kept_is_the_same_excerpt(path, kept):
    for start_s in (0.0, 3.0, 11.7):
        found, read = excerpt_of(kept, path, start_s, 0.5, 48_000), excerpt(path, start_s, 0.5, 48_000)
        assert found.shape == read.shape
        assert abs(late_s(found[:, 0], read[:, 0], 48_000)) < MOST_LATE_S
        if path.suffix[1:] in OWN_ENDINGS:
            np.testing.assert_allclose(found[100:-100], read[100:-100], rtol=0, atol=1e-4)


@pytest.mark.parametrize("path", STRETCHED, indirect=True)
@pytest.mark.parametrize("rate_hz", [45_613, 50_881])
def test_what_was_kept_is_stretched_without_reading_it_again(path, kept, rate_hz):
    """Faster or slower, as a record beside another one: as from the file, but for 16 bits and two rates.

    What was kept is frames at 48 kHz, whatever it was read from: a file of either way to read stands for all.
    """
    for start_s in (0.0, 3.0, 11.7):
        found, read = (
            excerpt_of(kept, path, start_s, 0.5, rate_hz, 48_000),
            excerpt(path, start_s, 0.5, rate_hz),
        )
        assert found.shape == read.shape
        assert abs(late_s(found[:, 0], read[:, 0], rate_hz)) < MOST_LATE_S
        if path.suffix[1:] in OWN_ENDINGS:
            np.testing.assert_allclose(found[200:-200], read[200:-200], rtol=0, atol=2e-3)


def test_outside_the_file_there_is_silence(tmp_path):
    path = written(tmp_path / "a.wav", np.full((RATE_HZ, 2), 0.5, np.float32), RATE_HZ)
    found = excerpt(path, -0.5, 2.0, RATE_HZ)
    assert not found[: RATE_HZ // 2].any()
    np.testing.assert_allclose(found[RATE_HZ // 2 : RATE_HZ * 3 // 2], 0.5, rtol=0, atol=1e-4)
    assert not found[RATE_HZ * 3 // 2 :].any()
    assert not excerpt(path, 50.0, 1.0, 48_000).any()


@pytest.mark.parametrize(
    ("levels", "both"),
    [([0.5], (0.5, 0.5)), ([0.5, -0.1], (0.5, -0.1)), ([0.6, 0.3, 0.0], (0.3, 0.3))],
)
def test_one_channel_is_doubled_and_many_are_averaged(levels, both):
    block = np.tile(np.float32(levels), (10, 1))
    assert stereo(block) == pytest.approx(np.tile(np.float32(both), (10, 1)))


def test_the_longest_unused_goes_first_and_what_is_too_long_is_not_kept(tmp_path):
    paths = [written(tmp_path / f"{n}.wav", sound()[: 5 * RATE_HZ], RATE_HZ) for n in range(3)]
    size = 5 * RATE_HZ * 4
    kept = Kept(most_bytes=2 * size)
    for path in paths:
        kept.keep(path, RATE_HZ)
        kept.wait()
        assert excerpt_of(kept, paths[0], 0, 1, RATE_HZ) is not None
    assert [excerpt_of(kept, path, 0, 1, RATE_HZ) is not None for path in paths] == [True, False, True]
    kept = Kept(most_bytes=size // 2)
    kept.keep(paths[0], RATE_HZ)
    kept.wait()
    assert excerpt_of(kept, paths[0], 0, 1, RATE_HZ) is None
    short = written(tmp_path / "short.wav", sound()[:RATE_HZ], RATE_HZ)
    for path in (short, paths[0]):  # tried again it would drive out the others
        kept.keep(path, RATE_HZ)
        kept.wait()
    assert excerpt_of(kept, short, 0, 1, RATE_HZ) is not None


def test_a_file_that_changed_is_read_again(tmp_path):
    path = written(tmp_path / "a.wav", sound()[:RATE_HZ], RATE_HZ)
    kept = Kept()
    kept.keep(path, RATE_HZ)
    kept.wait()
    written(path, sound()[: 2 * RATE_HZ], RATE_HZ)
    assert excerpt_of(kept, path, 0, 1, RATE_HZ) is None


@pytest.mark.parametrize("samples", [np.full((RATE_HZ, 1), np.nan), np.full((RATE_HZ, 25), 0.1)])
def test_what_cannot_be_read_is_trouble(tmp_path, samples):
    path = tmp_path / "a.wav"
    soundfile.write(path, samples, RATE_HZ, subtype="FLOAT")
    with pytest.raises(Trouble):
        excerpt(path, 0, 1, RATE_HZ)
    kept = Kept()
    kept.keep(path, RATE_HZ)
    kept.wait()
    assert excerpt_of(kept, path, 0, 1, RATE_HZ) is None
