"""An excerpt of 30 s of a learner's own recording, through the process that decodes, after it was read once.

Six minutes of noise in every format, at 44.1 kHz, asked for at 48 kHz. ``first``: the first excerpt of a
file that the process does not know yet, the worst of the formats.

Beside it a list of 3 000 recordings: loaded, looked at again with none of its files changed, and how long it takes
until an analysis that is cancelled is over; and a whole trial of each drill made of one, a song of ours.
"""

import tempfile
import time
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np

from exercises.drills import drills
from synth.catalogue.catalogue import Catalogue
from synth.catalogue.gathering import gathered
from synth.catalogue.queue import Queue
from synth.catalogue.seeking import key_of
from synth.recording.decoder import Decoder
from synth.recording.source import of_file
from synth.score.arranging.arrangement import arrange
from synth.score.grooves import groove
from synth.sound import recorded as program
from synth.sound.kit import Kit
from synth.sound.mixdown import mixdown
from tests.benchmarks.sound import figure
from tests.synth.catalogue.made import recording
from tests.synth.recording.files import ENCODERS, OWN_ENDINGS, written
from tests.synth.recording.test_source import GRID, PRINT

RATE_HZ, LONG_S, EXCERPT_S, MANY = 48_000, 360, 30.0, 3000
STARTS_S = (3.0, 100.0, 200.0, 310.0, 42.0)


def figures() -> dict[str, Any]:
    from synth.recording.decoders import ffmpeg

    rng = np.random.default_rng(1)
    samples = (0.1 * rng.standard_normal((LONG_S * 44_100, 2))).astype(np.float32)
    endings = (*OWN_ENDINGS, *(ENCODERS if ffmpeg() else ()))
    first: dict[str, float] = {}
    again: dict[str, float] = {}
    decoder = Decoder(code=program.CODE)
    try:
        with tempfile.TemporaryDirectory() as folder:
            for ending in endings:
                path = Path(folder) / f"song.{ending}"
                written(path, samples, 44_100)
                first[ending] = _took_s(decoder, path, 150.0)
                time.sleep(8)  # in which it is decoded; a song is played for longer
                again[ending] = float(np.median([_took_s(decoder, path, at_s) for at_s in STARTS_S]))
    finally:
        decoder.close()
    worst, slow = max(again, key=lambda each: again[each]), max(first, key=lambda each: first[each])
    note = ", ".join(f"{ending} {1000 * took_s:.0f}" for ending, took_s in again.items())
    return {
        "excerpt_ms": figure(1000 * again[worst], "ms", "at most 50", again[worst] <= 0.05, note),
        "first_excerpt_ms": figure(1000 * first[slow], "ms", "", None, slow),
        **_trial_figures(),
        **_list_figures(),
    }


def _trial_figures() -> dict[str, Any]:
    """A trial drawn from a recording, mixed and ready, after its file was read once: all drills that take one."""
    took: dict[str, float] = {}
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "song.flac"
        form = f"intro:16,verse:{LONG_S // 2 - 16}"
        song = arrange(groove("deep-house"), tempo_bpm=GRID.tempo_bpm, form=form, seed=2, song=True)
        written(path, mixdown(song, Kit(0, 44_100)), 44_100)
        grid = replace(GRID, one_s=0.0, start_s=0.0, steady_until_s=LONG_S, duration_s=LONG_S, intro_bars=16)
        source = of_file(str(path), grid, print=PRINT)
        program.decoder().weighed(path, 0.0, 0.0, RATE_HZ, RATE_HZ)
        time.sleep(8)  # in which all of it is decoded
        for one in drills().values():
            if one.records == 1:
                seconds = []
                for seed in range(5):
                    began = time.perf_counter()
                    one.make(len(one.rungs) // 2, seed, recording=source).samples(RATE_HZ)
                    seconds.append(time.perf_counter() - began)
                took[one.id] = float(np.median(seconds))
    note = ", ".join(f"{id} {1000 * seconds:.0f}" for id, seconds in took.items())
    usual = float(np.median(list(took.values())))
    return {"trial_on_record_ms": figure(1000 * usual, "ms", "at most 80", usual <= 0.08, f"median of {note}")}


def _list_figures() -> dict[str, Any]:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        catalogue = Catalogue(folder)
        paths = [folder / f"{number}.flac" for number in range(1, MANY + 1)]
        for number, path in enumerate(paths, 1):
            path.write_bytes(number.to_bytes(4, "big") * 20_000)
            catalogue.keep(recording(number, path=str(path), key=key_of(path), sound=bytes(256)), bytes(4000))
        Catalogue(folder)  # which writes its index
        begun = time.perf_counter()
        catalogue = Catalogue(folder)
        loaded_s = time.perf_counter() - begun
        begun = time.perf_counter()
        queue = Queue(catalogue, lambda: date(2030, 5, 2))
        queue.add(gathered([folder]))
        queue.wait()
        again_s = time.perf_counter() - begun
        song = written(folder / "song.wav", np.zeros((60 * 44_100, 2), np.float32), 44_100)
        queue.add([song])
        time.sleep(1)
        begun = time.perf_counter()
        queue.cancel()
        queue.wait()
        cancelled_s = time.perf_counter() - begun
    return {
        "list_loaded_s": figure(loaded_s, "s", "below 1", loaded_s < 1, f"{MANY} recordings"),
        "second_look_s": figure(again_s, "s", "below 5", again_s < 5, f"{MANY} files"),
        "cancelled_s": figure(cancelled_s, "s", "at most 0.2", cancelled_s <= 0.2),
    }


def _took_s(decoder: Decoder, path: Path, start_s: float) -> float:
    begun = time.perf_counter()
    decoder.excerpt(path, start_s, EXCERPT_S, RATE_HZ)
    return time.perf_counter() - begun
