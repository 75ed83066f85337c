"""Excerpts read by a process that lives as long as the program, and is begun anew after a crash."""

import atexit
import json
import os
import subprocess
import sys
import threading
from contextlib import suppress
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Samples
from synth.base.border import open_file, shown
from synth.base.errors import Trouble
from synth.base.process import begun, ended
from synth.base.words import Say
from synth.recording.parts import Bins, Weigh, joined
from synth.recording.refusals import CRASHED, NO_PROCESS, PATIENCE
from synth.score.metre import to_frames

# Longest time of one excerpt in s: five minutes of sound on a busy computer take some.
PATIENCE_S = 30.0
LONGEST_S = 1800.0
CODE = "from synth.recording.decoder import serve; serve()"
# Bytes of the pipe by which the sound comes, where that can be told (Linux): fewer turns between two processes.
PIPE_BYTES = 1 << 20


class Decoder:
    """A process that reads excerpts, one at a time, for any thread. It is started by the first.

    ``code`` is what it runs: ``serve``, with what weighs the sound if need be.
    """

    def __init__(self, patience_s: float = PATIENCE_S, code: str = CODE) -> None:
        self._patience_s, self._code = patience_s, code
        self._lock = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None

    def excerpt(self, path: Path | str, start_s: float, duration_s: float, rate_hz: int) -> Samples:
        """The sound from ``start_s`` on, (n, 2) float32 at ``rate_hz``; zeros outside the file.

        The recording is then decoded into memory, if it goes in there: its later excerpts are there at once.
        Raises ``Trouble`` where the file cannot be read, or the process crashes or takes too long; ``ValueError`` for
        more than half an hour.
        """
        return self.weighed(path, start_s, duration_s, rate_hz, rate_hz)[0]

    def weighed(
        self, path: Path | str, start_s: float, duration_s: float, rate_hz: int, played_hz: int
    ) -> tuple[Samples, Bins]:
        """The same, to be played at ``played_hz``, and what the process weighs of every bin of it, (2, bins)."""
        if not 0 <= duration_s <= LONGEST_S or not abs(start_s) < 1e6:
            raise ValueError(f"{duration_s:g} s from {start_s:g} s: at most {LONGEST_S:g} s expected")
        asked = {"start_s": start_s, "duration_s": duration_s, "rate_hz": rate_hz, "played_hz": played_hz}
        header, data = self._asked(path, **asked)
        sound, parts, at = np.frombuffer(data, header["dtype"], 2 * header["sent"]).reshape(-1, 2), [], 0
        for first, scale, frames in header["parts"]:
            parts.append((first, scale, sound[at : at + frames]))
            at += frames
        bins = np.frombuffer(data, np.float32, offset=sound.nbytes).reshape(2, -1)
        return joined(parts, header["frames"]), bins

    def close(self) -> None:
        """End the process; the next excerpt starts another."""
        with self._lock:
            self._end()

    def _asked(self, path: Path | str, **what: float) -> tuple[dict[str, Any], bytearray]:
        """What the process says, and the bytes that it gives."""
        with open_file(path):  # what is no file at all is refused at once
            pass
        name = shown(path)
        line = json.dumps({"path": os.fspath(path), **what}).encode() + b"\n"
        with self._lock:
            process = self._running(name)
            late = threading.Event()
            alarm = threading.Timer(self._patience_s, _give_up, (process, late))
            alarm.start()
            try:
                header, data = _answer(process, line)
            except (OSError, ValueError, EOFError):
                self._end()
                raise Trouble((PATIENCE if late.is_set() else CRASHED)(path=name)) from None
            finally:
                alarm.cancel()
                alarm.join()
        if "trouble" in header:
            raise Trouble(Say.from_json(header["trouble"]))
        return header, data

    def _running(self, name: str) -> "subprocess.Popen[bytes]":
        if self._process is not None and self._process.poll() is None:
            return self._process
        self._end()
        try:
            self._process = begun(self._code)
        except OSError as slip:
            raise Trouble(NO_PROCESS(path=name, why=slip.strerror)) from None
        atexit.register(self.close)
        _widen(self._process)
        return self._process

    def _end(self) -> None:
        process, self._process = self._process, None
        if process is not None:
            ended(process)
            atexit.unregister(self.close)


def _give_up(process: "subprocess.Popen[bytes]", late: threading.Event) -> None:
    late.set()
    process.kill()


def _answer(process: "subprocess.Popen[bytes]", line: bytes) -> tuple[dict[str, Any], bytearray]:
    """What the process says to a line, and the bytes that follow. ``EOFError`` where it ends before."""
    assert process.stdin is not None
    assert process.stdout is not None
    process.stdin.write(line)
    process.stdin.flush()
    header = json.loads(process.stdout.readline())
    data = bytearray(header.get("bytes", 0))
    view = memoryview(data)
    while len(view):
        got = process.stdout.readinto(view)  # type: ignore[attr-defined]
        if not got:
            raise EOFError
        view = view[got:]
    return header, data


def _widen(process: "subprocess.Popen[bytes]") -> None:
    if sys.platform == "linux":
        import fcntl

        assert process.stdout is not None
        with suppress(OSError):
            fcntl.fcntl(process.stdout, fcntl.F_SETPIPE_SZ, PIPE_BYTES)


def serve(weigh: Weigh | None = None) -> None:
    """What the process does: answers lines until there are no more.

    An answer is a line of JSON, the samples of its parts (where each begins, its scale, its frames), and its bins.
    """
    from synth.recording.excerpt import excerpt
    from synth.recording.kept import Kept, weighed

    kept = Kept(weigh=weigh)
    for line in sys.stdin.buffer:
        asked = json.loads(line)
        path, rate_hz, played_hz = asked["path"], asked["rate_hz"], asked["played_hz"]
        data: list[npt.NDArray[np.generic]] = []
        header: dict[str, Any] = {}
        with kept.held():
            try:
                which = (path, asked["start_s"], asked["duration_s"], rate_hz)
                found = kept.parts(*which, played_hz)
                if found is None:
                    samples = excerpt(*which)
                    found = [(0, 1.0, samples)], weighed(samples, played_hz, weigh)
                parts, bins = found
                data = [*(np.ascontiguousarray(samples) for _, _, samples in parts), bins]
                header = {
                    "bytes": sum(each.nbytes for each in data),
                    "frames": int(to_frames(asked["duration_s"], rate_hz)),
                    "sent": sum(len(samples) for _, _, samples in parts),
                    "dtype": data[0].dtype.str,
                    "parts": [(first, scale, len(samples)) for first, scale, samples in parts],
                }
            except Trouble as trouble:
                header = {"trouble": trouble.says.to_json()}
            sys.stdout.buffer.write(json.dumps(header).encode() + b"\n")
            for each in data:
                sys.stdout.buffer.write(each.data)
            sys.stdout.buffer.flush()
        if "trouble" not in header:
            kept.keep(path, played_hz)
