"""A microphone on the desk: a source of the sound server that hears the desk's speaker through a simulated room.

The room is a process of delay, reflections and noise between the recording of the desk's sink and a pipe that the
sound server takes for a microphone. The thump of a key is mixed in at the sample that sounded when the key was
pressed, as the recording and the injector of the keys tell; the program takes no part in it.
"""

import contextlib
import os
import subprocess
import threading
import time

import numpy as np
from scipy.signal import fftconvolve

from tests.end_to_end.desk import RATE_HZ, Desk, Recorder, hurry, wait_for
from tests.synth.device import room

# The pipe runs this much behind the recording, so that a thump is known before its sample is written. A piece is
# reckoned as soon as the recording is so far ahead of it, and written in steps of 4 ms.
BEHIND_S, AHEAD_S = 0.25, 0.12
PIECE, STEP = 960, 192
TAIL_S = 0.20


class VirtualRoom:
    """Feeds the microphone until it is closed. Use as a context manager.

    ``distance_s``: how long the sound takes from the speaker to the microphone, where the ear is too. ``thump(at_s)``
    tells of a key that landed at a moment of the clock. ``speaker`` (which may be changed at any time) and ``keys``:
    how loudly each is heard.
    """

    def __init__(
        self,
        desk: Desk,
        *,
        distance_s: float = 0.0015,
        speaker: float = 1.0,
        keys: float = 0.1,
        noise_rms: float = 0.001,
        seed: int = 1,
    ) -> None:
        self._desk = desk
        self.distance_s = distance_s
        self._recorder: Recorder | None = None
        self._thread: threading.Thread | None = None
        self.speaker, self._keys, self._noise_rms = speaker, keys, noise_rms
        self._random = np.random.default_rng(seed)
        impulse = np.zeros(int(TAIL_S * RATE_HZ))
        impulse[0] = 1.0
        reflections = room.reverb(impulse, self._random, t60_s=0.3)
        self._answer = np.concatenate([np.zeros(round(distance_s * RATE_HZ)), room.band(reflections, 450, 9_000)])
        self._thumps: list[tuple[float, float]] = []
        self._stopped = threading.Event()
        self._pipe = desk.folder / f"microphone-{seed}-{time.perf_counter_ns()}"

    def __enter__(self) -> "VirtualRoom":
        found = self._pactl(
            "load-module",
            "module-pipe-source",
            "source_name=microphone",
            f"file={self._pipe}",
            "format=float32le",
            f"rate={RATE_HZ}",
            "channels=1",
        )
        self._module = found.strip()
        self._pactl("set-default-source", "microphone")
        return self

    def hear(self, recorder: Recorder) -> None:
        """Let the microphone hear what a recorder hears.

        It was begun after the microphone was there: streams follow the server's default source when that changes.
        """
        self._recorder = recorder
        self._thread = threading.Thread(target=self._feed, daemon=True)
        self._thread.start()

    def __exit__(self, *exc: object) -> None:
        self._stopped.set()
        if self._thread is not None:
            self._thread.join()
        self._pactl("unload-module", self._module)

    def _pactl(self, *words: str) -> str:
        done = subprocess.run(["pactl", *words], env=self._desk.env, capture_output=True, text=True, timeout=10)
        assert done.returncode == 0, done.stderr
        return done.stdout

    def thump(self, at_s: float, peak: float | None = None) -> None:
        """A key landed, or something louder."""
        self._thumps.append((at_s, self._keys if peak is None else peak))

    def _feed(self) -> None:
        """Write what the microphone hears, a little behind the recording."""
        assert self._recorder is not None
        pipe = os.open(self._pipe, os.O_WRONLY | os.O_NONBLOCK)
        try:
            wait_for(lambda: self._recorder.count > RATE_HZ, 10, "the recorder hears nothing")
            at, told = self._recorder.count, -np.inf
            tail, keys, done = np.zeros(len(self._answer)), np.zeros(RATE_HZ), 0
            while not self._stopped.is_set():
                end = at + PIECE
                if self._recorder.count < end + AHEAD_S * RATE_HZ:
                    time.sleep(0.005)
                    continue
                if at - told > 5 * RATE_HZ:
                    (origin_s, sample_s), told = self._recorder.line(), at
                played = self._recorder.samples(at)[: end - at].astype(np.float64)
                heard = fftconvolve(played, self._answer) * self.speaker
                heard[: len(tail)] += tail[: len(heard)]
                new_tail = np.zeros(len(self._answer))
                new_tail[: len(heard) - len(played)] = heard[len(played) :]
                if len(tail) > len(heard):
                    new_tail[: len(tail) - len(heard)] += tail[len(heard) :]
                tail, heard = new_tail, heard[: len(played)]
                while done < len(self._thumps):  # written ahead: they begin later than what is written now
                    at_s, peak = self._thumps[done]
                    place = (at_s - origin_s) / sample_s - at
                    sound = room.thump(self._random, peak * self._random.uniform(0.7, 1.3))
                    if place >= 0 and peak:
                        need = int(place) + len(sound) + 128
                        keys = np.concatenate([keys, np.zeros(max(need - len(keys), 0))])
                        room.place(keys, sound, place / RATE_HZ)
                    done += 1
                keys = np.concatenate([keys, np.zeros(max(len(heard) - len(keys), 0))])
                heard = heard + keys[: len(heard)] + room.noise(len(heard), self._random, self._noise_rms)
                keys = keys[len(heard) :]
                data = memoryview(np.clip(heard, -1, 1).astype(np.float32).tobytes())
                hurry(0)  # from here on it stands for hardware, as the screen does
                for first in range(0, PIECE, STEP):  # at its own moment, as a converter hands it over
                    due_s = origin_s + (at + first + STEP) * sample_s + BEHIND_S
                    time.sleep(max(due_s - time.perf_counter(), 0))
                    with contextlib.suppress(BlockingIOError):  # full: nobody listens to the microphone
                        os.write(pipe, data[first * 4 : (first + STEP) * 4])
                hurry(0, first=False)
                at = end
        except BrokenPipeError:
            return
        finally:
            os.close(pipe)
