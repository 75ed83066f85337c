"""Files of every format that recordings are read from, made for the tests."""

import subprocess
from pathlib import Path

import numpy as np
import pytest
import soundfile

from synth.recording.decoders import ffmpeg

# Those of libsndfile, then those that take an ffmpeg program, with its encoders.
OWN_ENDINGS = ("wav", "aiff", "flac", "ogg", "mp3")
ENCODERS = {"aac.m4a": "aac", "alac.m4a": "alac", "aac": "aac", "mka": "flac"}

needs_ffmpeg = pytest.mark.skipif(ffmpeg() is None, reason="there is no ffmpeg program")


def written(path: Path, samples: np.ndarray, rate_hz: int) -> Path:
    """Write (n,) or (n, channels) in the format of the path's ending."""
    ending = path.name.partition(".")[2]
    if ending not in ENCODERS:
        with soundfile.SoundFile(path, "w", rate_hz, np.atleast_2d(samples.T).shape[0]) as file:
            for first in range(0, len(samples), rate_hz):  # a long write ends the process in the Vorbis encoder
                file.write(samples[first : first + rate_hz])
        return path
    source = path.with_name("source.wav")
    soundfile.write(source, samples, rate_hz, subtype="PCM_16")
    encoder = ENCODERS[ending]
    rate = ("-b:a", "160k", "-aac_coder", "fast") if encoder == "aac" else ()
    words = [ffmpeg(), "-v", "error", "-y", "-i", source, "-c:a", encoder, *rate, path]
    subprocess.run(words, check=True)
    source.unlink()
    return path
