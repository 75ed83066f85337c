"""Prints: near for encodings of one record, far for others; the encoders are libsndfile's and ffmpeg's."""

from dataclasses import replace

import numpy as np
import pytest

from synth.catalogue.prints import SAME_DB, PrintWriter, alike, distance_db
from synth.recording.reading import read_mono
from tests.synth.catalogue.made import recording
from tests.synth.recording.drums import RATE_HZ, drums
from tests.synth.recording.files import needs_ffmpeg, written

pytestmark = pytest.mark.sampled(3)


def print_of(blocks) -> bytes:
    writer = PrintWriter(RATE_HZ)
    for block in blocks:
        writer.push(np.asarray(block, np.float32))
    return writer.done()


@pytest.fixture(scope="module")
def song() -> np.ndarray:
    return drums(bars=16)[0]


@pytest.mark.proof
@pytest.mark.parametrize("ending", ["flac", "ogg", "mp3", pytest.param("aac.m4a", marks=needs_ffmpeg)])
def test_an_encoding_is_the_same_record(tmp_path, song, ending):
    path = written(tmp_path / f"a.{ending}", 0.5 * song, RATE_HZ)
    assert distance_db(print_of(read_mono(path, RATE_HZ)), print_of([song])) < SAME_DB / 2


def test_a_delay_is_the_same_record(song):
    """25 ms: what an MP3 without the frame that tells its delay comes late."""
    late = np.concatenate([np.zeros(round(0.025 * RATE_HZ)), song])
    assert distance_db(print_of([late]), print_of([song])) < SAME_DB / 2


def test_another_record_is_far(song):
    other = song + 0.1 * np.sin(2 * np.pi * 311 * np.arange(len(song)) / RATE_HZ)
    assert distance_db(print_of([other]), print_of([song])) > SAME_DB


def test_blocks_do_not_matter(song):
    assert print_of([song]) == print_of(np.array_split(song, 333))


@pytest.mark.parametrize("samples", [np.zeros(0), np.zeros(RATE_HZ), np.zeros(30 * RATE_HZ)])
def test_what_is_short_or_silent_has_no_print(samples):
    assert print_of([samples]) == b""
    assert distance_db(b"", b"") == float("inf")


def test_the_nearest_of_the_same_length_come_first():
    made = [recording(1, sound=bytes([100] * 256)), recording(2, sound=bytes([101] * 256))]
    assert alike(bytes([101] * 256), 181.2, made) == made[::-1]
    assert alike(bytes([101] * 256), 190.0, made) == []
    assert alike(bytes([120] * 256), 181.2, made) == []
    assert alike(b"", 181.0, [replace(made[0], sound=b"")]) == []
