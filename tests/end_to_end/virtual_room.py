"""A microphone on the desk: a source of the sound server that hears the desk's speaker through a simulated room.

The room is a process of delay, reflections and noise between the recording of the desk's sink and a pipe that the
sound server takes for a microphone. The thump of a key is mixed in at the sample that sounded when the key was
pressed, as the recording and the injector of the keys tell; the program takes no part in it.
"""

import json
import os
import subprocess
import threading
import time
from pathlib import Path

import numpy as np
from scipy.signal import fftconvolve

from exercises.microphone import CLICKS, GAP_RANGE_S
from tests.end_to_end.desk import RATE_HZ, Desk, Hand, Recorder, wait_for
from tests.synth import room

BEHIND_S = 0.25  # the pipe runs this much behind the recording, so that a thump is known before its sample is written
TAIL_S = 0.20


class VirtualRoom:
    """Feeds the microphone until it is closed. Use as a context manager.

    ``distance_s``: how long the sound takes from the speaker to the microphone, where the ear is too. ``thump(at_s)``
    tells of a key that landed at a moment of the clock. ``speaker`` and ``keys``: how loudly each is heard.
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
        self._speaker, self._keys, self._noise_rms = speaker, keys, noise_rms
        self._random = np.random.default_rng(seed)
        impulse = np.zeros(int(TAIL_S * RATE_HZ))
        impulse[0] = 1.0
        reflections = room.reverb(impulse, self._random, t60_s=0.3)
        self._answer = np.concatenate([np.zeros(round(distance_s * RATE_HZ)), room.band(reflections, 450, 9_000)])
        self._thumps: list[float] = []
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

    def thump(self, at_s: float) -> None:
        """A key landed."""
        self._thumps.append(at_s)

    def _feed(self) -> None:
        """Write what the microphone hears, a little behind the recording."""
        assert self._recorder is not None
        pipe = os.open(self._pipe, os.O_WRONLY | os.O_NONBLOCK)
        try:
            at = self._recorder.count
            tail, keys, done = np.zeros(len(self._answer)), np.zeros(RATE_HZ), 0
            while not self._stopped.is_set():
                time.sleep(0.02)
                end = self._recorder.count - round(BEHIND_S * RATE_HZ)
                if end - at < 512:
                    continue
                played = self._recorder.samples(at)[: end - at].astype(np.float64)
                heard = fftconvolve(played, self._answer) * self._speaker
                heard[: len(tail)] += tail[: len(heard)]
                new_tail = np.zeros(len(self._answer))
                new_tail[: len(heard) - len(played)] = heard[len(played) :]
                if len(tail) > len(heard):
                    new_tail[: len(tail) - len(heard)] += tail[len(heard) :]
                tail, heard = new_tail, heard[: len(played)]
                while done < len(self._thumps):  # written ahead: they begin later than what is written now
                    origin_s, sample_s = self._recorder.line()
                    place = (self._thumps[done] - origin_s) / sample_s - at
                    sound = room.thump(self._random, self._keys * self._random.uniform(0.7, 1.3))
                    if place >= 0 and self._keys:
                        need = int(place) + len(sound) + 128
                        keys = np.concatenate([keys, np.zeros(max(need - len(keys), 0))])
                        room.place(keys, sound, place / RATE_HZ)
                    done += 1
                keys = np.concatenate([keys, np.zeros(max(len(heard) - len(keys), 0))])
                heard = heard + keys[: len(heard)] + room.noise(len(heard), self._random, self._noise_rms)
                keys = keys[len(heard) :]
                at = end
                data = memoryview(np.clip(heard, -1, 1).astype(np.float32).tobytes())
                tries = 0
                while len(data) and tries < 25:
                    try:
                        data = data[os.write(pipe, data) :]
                    except BlockingIOError:  # full; nobody listens to the microphone if it stays so
                        time.sleep(0.01)
                        tries += 1
        except BrokenPipeError:
            return
        finally:
            os.close(pipe)


def calibrate_by_microphone(recorder: Recorder, hand: Hand, place: VirtualRoom, home: Path, seed: int = 3) -> dict:
    """Open the bench of the running program, press keys between the clicks, and give what it kept for keys."""
    for key in ("Control_L", "4"):
        hand.down(key)
    for key in ("4", "Control_L"):
        hand.up(key)
    time.sleep(1.0)
    found = _measure(recorder, hand, place, home, seed) or _measure(recorder, hand, place, home, seed + 1)
    assert found is not None, "no calibration was kept, twice"
    for key in ("Control_L", "1"):
        hand.down(key)
    for key in ("1", "Control_L"):
        hand.up(key)
    time.sleep(0.5)
    return found


def _measure(recorder: Recorder, hand: Hand, place: VirtualRoom, home: Path, seed: int) -> dict | None:
    """One run of clicks; None when nothing was kept: a stalled computer makes a measurement void, as it should."""
    since = recorder.count
    hand.press("m")
    wait_for(lambda: np.any(np.abs(recorder.samples(since)) > 1e-3), 8, "no click was heard")
    random = np.random.default_rng(seed)
    end_s = time.perf_counter() + CLICKS * float(np.mean(GAP_RANGE_S)) - 1
    while time.perf_counter() < end_s:
        time.sleep(random.uniform(0.4, 0.6))
        place.thump(hand.press("space"))
    path, end_s = home / "calibrations.json", time.perf_counter() + 6
    while time.perf_counter() < end_s and not path.exists():
        time.sleep(0.05)
    kept = json.loads(path.read_text())["calibrations"] if path.exists() else []
    return next((each for each in kept if each["setup"]["source"] == "key"), None)
