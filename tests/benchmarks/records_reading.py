"""An excerpt of 30 s of a learner's own recording, through the process that decodes, after it was read once.

A song of six minutes of noise in every format, at 44.1 kHz, asked for at 48 kHz. ``first``: the first excerpt of a
file that the process does not know yet, the worst of the formats.
"""

import tempfile
import time
from pathlib import Path
from typing import Any

import numpy as np

from synth.recording.decoder import Decoder
from tests.benchmarks.sound import figure
from tests.synth.recording.files import ENCODERS, OWN_ENDINGS, written

RATE_HZ, LONG_S, EXCERPT_S = 48_000, 360, 30.0
STARTS_S = (3.0, 100.0, 200.0, 310.0, 42.0)


def figures() -> dict[str, Any]:
    from synth.recording.decoders import ffmpeg

    rng = np.random.default_rng(1)
    samples = (0.1 * rng.standard_normal((LONG_S * 44_100, 2))).astype(np.float32)
    endings = (*OWN_ENDINGS, *(ENCODERS if ffmpeg() else ()))
    first: dict[str, float] = {}
    again: dict[str, float] = {}
    decoder = Decoder()
    try:
        with tempfile.TemporaryDirectory() as folder:
            for ending in endings:
                path = Path(folder) / f"song.{ending}"
                written(path, samples, 44_100)
                first[ending] = _took_s(decoder, path, 150.0)
                decoder.keep(path, RATE_HZ)
                time.sleep(8)  # in which it is decoded; a song is played for longer
                again[ending] = float(np.median([_took_s(decoder, path, at_s) for at_s in STARTS_S]))
    finally:
        decoder.close()
    worst, slow = max(again, key=lambda each: again[each]), max(first, key=lambda each: first[each])
    note = ", ".join(f"{ending} {1000 * took_s:.0f}" for ending, took_s in again.items())
    return {
        "excerpt_ms": figure(1000 * again[worst], "ms", "at most 50", again[worst] <= 0.05, note),
        "first_excerpt_ms": figure(1000 * first[slow], "ms", "", None, slow),
    }


def _took_s(decoder: Decoder, path: Path, start_s: float) -> float:
    begun = time.perf_counter()
    decoder.excerpt(path, start_s, EXCERPT_S, RATE_HZ)
    return time.perf_counter() - begun
