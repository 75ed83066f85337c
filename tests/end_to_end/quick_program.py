"""The real program on a clock that runs some times as fast as life: ``... quick_program shown.jsonl 12 BEGUN``.

Two doors lead out of the program to time: ``synth/device/clock.py``, which alone asks for it, and
``synth/device/portaudio.py``, where the sound goes. Here the clock's seconds are multiplied, and the sound goes to a
device that takes it as much faster. The stamps of the window system run along. Nothing else is replaced: window,
practice, planner, logbook, settings and the worker that renders are those of ``python -m app``, and its files stand
in the same data folder.

What the program shows is written to the file named, one JSON object a line whenever it changes, so that somebody
outside knows what to press. Its moments are ``time.perf_counter()`` seconds, one clock for all processes on Linux.
"""

import json
import os
import sys
import threading
import time
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from synth.device import clock, stamps, stream_faults
from synth.device import portaudio as device

# How often the device fetches, in true seconds; how much it keeps in store, and how far the ear is from it.
FETCH_S, BUFFER_S, LEAD_S = 0.004, 0.1, 0.02
# How often the window is looked at, in true milliseconds: less than any of its pages stands.
WATCH_MS = 12
# How often it is told where a pointer finds things, in true seconds.
PLACES_S = 0.05


class QuickTime:
    """Seconds that pass ``times`` as fast as those of the computer, from the moment at which it is made.

    It is ``begun`` then: an aware date and time.
    """

    def __init__(self, times: float, begun: datetime) -> None:
        self.times = times
        self._origin_s, self._begun = time.perf_counter(), begun.astimezone(UTC)
        self._due = threading.local()

    def now_s(self) -> float:
        """The quick clock; a device that serves a block late says when that was due (see ``at``)."""
        due_s = getattr(self._due, "at_s", None)
        return (time.perf_counter() - self._origin_s) * self.times if due_s is None else due_s

    def at(self, due_s: float | None) -> None:
        """For the calling thread it is that moment from now on; with ``None`` time passes for it again.

        A millisecond by which this computer is late would be ``times`` as many on the quick clock, more than a sound
        device may stray; how well the program's clock line follows a true device is told by the other tests here.
        """
        self._due.at_s = due_s

    def utc_now(self) -> datetime:
        """The date and time at which the quick clock has arrived."""
        return self._begun + timedelta(seconds=self.now_s())

    def true_s(self, quick_s: float) -> float:
        """A moment of the quick clock in ``time.perf_counter()`` seconds."""
        return self._origin_s + quick_s / self.times


class When:
    """The two moments that PortAudio hands to a callback."""

    def __init__(self, called_s: float, heard_s: float) -> None:
        self.currentTime, self.outputBufferDacTime = called_s, heard_s


class QuickDevice:
    """A sound output without a sound that takes blocks as fast as the quick clock runs."""

    channels = 2
    description = "a device in quick time"

    def __init__(self, quick: QuickTime, sample_rate_hz: int, block_frames: int, callback: device.Callback) -> None:
        self.latency = BUFFER_S * quick.times
        self._quick, self._block_s = quick, block_frames / sample_rate_hz
        self._out, self._callback = np.zeros((block_frames, 2), np.float32), callback
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._serve, name="quick sound", daemon=True)

    def start(self) -> None:
        """Begin to fetch."""
        self._thread.start()

    def close(self) -> None:
        """Fetch no more."""
        self._over.set()
        self._thread.join()

    def _serve(self) -> None:
        due_s = self._quick.now_s()
        lead_s = min(LEAD_S * self._quick.times, 0.9)
        while not self._over.wait(FETCH_S):
            self._quick.at(None)
            until_s = self._quick.now_s()
            while due_s < until_s:
                self._quick.at(due_s)
                self._callback(self._out, len(self._out), When(due_s, due_s + lead_s), None)
                due_s += self._block_s


def hasten(times: float, begun: datetime) -> QuickTime:
    """Let the program's clock and loudspeaker run so many times as fast; to be called before anything is imported."""
    quick = QuickTime(times, begun)
    clock.now_s, clock.utc_now = quick.now_s, quick.utc_now
    clock.awake_s = quick.now_s
    # A computer may still be as busy as ever: what it is allowed stays as long in true seconds.
    stream_faults.SILENCE_S *= times
    stream_faults.START_S *= times
    lead = stamps.StampClock.to_clock
    stamps.StampClock.to_clock = lambda self, stamp_ms, now_s: lead(self, round(stamp_ms * times), now_s)
    device.open_device = lambda *, device, sample_rate_hz, block_frames, latency_s, callback: QuickDevice(
        quick, sample_rate_hz, block_frames, callback
    )
    return quick


class KeptWaiting:
    """For how long the thread that made it was ready to run and had no processor: so loaded is the computer."""

    def __init__(self) -> None:
        """Linux (Documentation/scheduler/sched-stats.rst, ``/proc/<pid>/schedstat``)."""
        self._file = None
        with suppress(OSError):
            self._file = os.open("/proc/thread-self/schedstat", os.O_RDONLY)

    def now_s(self) -> float:
        """Seconds in all until now; 0 where the system does not tell."""
        return 0.0 if self._file is None else int(os.pread(self._file, 100, 0).split()[1]) / 1e9


def main(shown_to: Path, times: float, begun: datetime) -> int:
    """Open the window as ``python -m app`` does, from first paint to close, and write what it shows to a file."""
    quick = hasten(times, begun)
    import app.ui.window
    from app.ui.start import open_window

    class ToldWindow(app.ui.window.Window):
        """Tells what is shown as soon as it changes."""

        def take(self, *words, **more) -> None:
            super().take(*words, **more)
            from PySide6.QtCore import Qt, QTimer

            self._waited = KeptWaiting()
            self._told, self._beat_s, self._longest_s = None, time.perf_counter() - self._waited.now_s(), 0.0
            self._placed_s = 0.0
            self._watch = QTimer(self)
            self._watch.setTimerType(Qt.TimerType.PreciseTimer)
            self._watch.timeout.connect(self._look)
            self._watch.start(WATCH_MS)

        def _look(self) -> None:
            now_s = time.perf_counter()
            beat_s = now_s - self._waited.now_s()
            self._longest_s, self._beat_s = max(self._longest_s, beat_s - self._beat_s), beat_s
            seen = shown(self)
            if self.isActiveWindow() and seen != self._told:
                self._told = seen
                told = seen | due(self.session.practice, quick) | {"stood_still_s": self._longest_s}
                with shown_to.open("a") as file:
                    file.write(json.dumps(told) + "\n")
                self._longest_s = 0.0
            if now_s > self._placed_s + PLACES_S:
                self._placed_s = now_s
                with shown_to.with_name("places.jsonl").open("a") as file:  # a replaced one would wait for the disk
                    file.write(json.dumps(places(self)) + "\n")

    app.ui.window.Window = ToldWindow
    return open_window({})


def shown(window) -> dict:
    """What the window shows: its page, what stands at its head, its next steps, and what is asked."""
    from PySide6.QtWidgets import QPushButton

    from exercises.trial.trial import Kind

    practice, page = window.session.practice, window.contents.stack.currentWidget()
    next_steps = [
        each.text()
        for each in page.findChildren(QPushButton)
        if each.property("kind") == "next" and each.isVisible() and each.isEnabled()
    ]
    if page is not window.contents.practise:
        place = f" {page.page + 1}" if hasattr(page, "page") and isinstance(page.page, int) else ""
        return {"page": f"{type(page).__name__}{place}", "phase": "", "next": next_steps}
    trial, today, attempt = practice.trial, practice.today, practice.attempt
    return {
        "page": "PractiseScreen",
        "phase": practice.phase.value,
        "heading": page.heading.text(),
        "place": page.place.text(),
        "next": next_steps,
        "at": 0 if today is None else today.at,
        "counts": [] if today is None else list(today.counts),
        "trials": [] if today is None else [item.trials for item in today.plan.items],
        "drills": [] if today is None else [item.drill for item in today.plan.items],
        "spent_s": 0.0 if today is None else today.spent_s,
        "drill": "" if trial is None else trial.drill,
        "again": practice.again,
        "by_taps": attempt is not None and attempt.by_taps,
        "asks": (Kind.NONE if attempt is None else attempt.asks).value,
        "choices": [] if trial is None else [choice.key for choice in trial.choices],
        "expected": None if trial is None else trial.expected,
    }


def places(window) -> dict[str, tuple[int, int]]:
    """Where on the screen sheet, buttons and number fields are that can be clicked, by their words or names.

    A choice stands by its key.
    """
    from PySide6.QtWidgets import QAbstractButton, QSpinBox

    page = window.contents.stack.currentWidget()
    buttons = [each for each in page.findChildren(QAbstractButton) if each.isVisible() and each.isEnabled()]
    found = {each.text() or each.accessibleName(): each for each in buttons}
    found |= {each.accessibleName(): each for each in page.findChildren(QSpinBox)}
    if page is window.contents.practise:
        found |= {f"choice {key}": each for key, each in getattr(page.panel.body, "offers", {}).items()}
        found["sheet"] = page.sheet
    return {
        name: each.mapToGlobal(each.rect().center()).toTuple() for name, each in found.items() if each.isVisible()
    }


def due(practice, quick: QuickTime) -> dict:
    """When the targets of a trial that sounds are heard, in true seconds."""
    from app.practice.trial.attempt import Phase

    if practice.phase is not Phase.SOUNDING:
        return {}
    start_s = practice.player.heard_start_s()
    return {"targets_s": [quick.true_s(start_s + float(target)) for target in practice.trial.targets_s]}


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), float(sys.argv[2]), datetime.fromisoformat(sys.argv[3])))
