"""A process of its own that renders the sounds of the trials that may come next while one is heard.

In a thread it would delay taps by 10 ms. The process has the lowest priority and no Qt, and ends when the pipe of its
requests closes, however the program ended.
"""

import os
import pickle
import subprocess
import sys
from collections.abc import Mapping, Sequence
from contextlib import suppress
from queue import Empty, SimpleQueue
from threading import Event, Thread
from typing import BinaryIO

from app.practice.trial.next_trial import Request, make_ready
from synth.base.process import begun, ended
from synth.device.clock import now_s
from synth.sound.kit import Kit, Take, TakeKey
from synth.sound.pool import POOL, KitKey

# What the process writes: once that it listens, then the takes of each request by kit.
Reply = tuple[Request | None, dict[KitKey, dict[TakeKey, Take]]]
# Longest wait for sounds that are there, in s: the program would have made them itself by then.
PATIENCE_S = 0.3
CODE = "from app.practice.trial.takes_ahead import serve; serve()"


class TakesAhead:
    """The process, as the program sees it; started by the first ``expect``. Not for several threads at a time."""

    def __init__(self) -> None:
        self.process: subprocess.Popen[bytes] | None = None
        self.listens = Event()
        self._replies: SimpleQueue[Reply] = SimpleQueue()
        self._reader: Thread | None = None
        self._over = False

    def expect(self, requests: Sequence[Request]) -> None:
        """Render the sounds of these, the likeliest first, in place of those asked for before."""
        if self.process is None and not self._over:
            self._start()
        self._send("expect", list(requests))

    def fetch(self, request: Request) -> None:
        """Put what was rendered for a request into the pool; nothing if it was not expected."""
        if not self.listens.is_set():
            return
        self._send("give", request)
        until_s, given = now_s() + PATIENCE_S, None
        with suppress(Empty):
            while given != request:  # an answer may have come too late
                given, found = self._replies.get(timeout=max(0.0, until_s - now_s()))
            for key, takes in found.items():
                POOL.kit(*key).add(takes)

    def close(self) -> None:
        """End the process for good."""
        self._over = True
        self.listens.clear()
        process, reader, self.process, self._reader = self.process, self._reader, None, None
        if process is not None and reader is not None:
            process.kill()
            reader.join()
            ended(process)

    def _start(self) -> None:
        try:
            self.process = begun(CODE, lowest=True)
        except OSError:
            self._over = True
            return
        self._reader = Thread(target=self._read, args=(self.process.stdout,), name="takes", daemon=True)
        self._reader.start()

    def _read(self, pipe: BinaryIO) -> None:
        with suppress(EOFError, OSError, pickle.UnpicklingError):
            while True:
                reply: Reply = pickle.load(pipe)
                if reply[0] is not None:
                    self._replies.put(reply)
                elif not self._over:
                    self.listens.set()
        self.listens.clear()

    def _send(self, word: str, what: object) -> None:
        if self.process is not None and self.process.stdin is not None:
            with suppress(OSError):  # it has ended
                self.process.stdin.write(pickle.dumps((word, what)))
                self.process.stdin.flush()


def serve() -> None:
    """What the process does: renders what is expected, and gives from another thread what is there of it."""
    coming: SimpleQueue[list[Request]] = SimpleQueue()
    made: dict[Request, Mapping[KitKey, Kit]] = {}

    def say(reply: Reply) -> None:
        pickle.dump(reply, sys.stdout.buffer, protocol=5)
        sys.stdout.buffer.flush()

    def listen() -> None:
        try:
            say((None, {}))
            while True:
                word, what = pickle.load(sys.stdin.buffer)
                if word == "expect":
                    coming.put(what)
                else:
                    say((what, {key: kit.takes for key, kit in list(made.get(what, {}).items())}))
        finally:  # the program has ended
            os._exit(0)

    Thread(target=listen, daemon=True).start()
    while True:
        requests = coming.get()
        made.clear()
        for request in requests:
            if not coming.empty():
                break
            made[request] = POOL.fresh()
            with suppress(Exception):  # the program makes it, and tells
                trial = make_ready(*request).trial
                if trial.entry is not None:
                    trial.blend(float(trial.targets_s[0]), request[2])
