"""The queue: order, cancelling, standing still, and going on after the program was killed.

Real processes analyse; the catalogue is real. One file is a pipe-like stand-in: a process that never ends.
"""

import json
import threading
from datetime import date
from typing import ClassVar

import numpy as np
import pytest
import soundfile

from synth.base.words import Say
from synth.catalogue import queue as queue_module
from synth.catalogue.analysis import Stopped, analysed
from synth.catalogue.catalogue import Catalogue
from synth.catalogue.queue import WAITING, Progress, Queue
from synth.catalogue.recording import State
from tests.synth.recording.drums import RATE_HZ, drums

pytestmark = pytest.mark.sampled(3)

PATIENCE_S = 60


class Slow:
    """An analysis that ends when the test lets it, or when it is stopped."""

    begun: ClassVar = []
    there: ClassVar = threading.Semaphore(0)

    def __init__(self, path):
        self.path, self.still = path, []
        self._done, self._stopped = threading.Event(), False
        Slow.begun.append(self)
        Slow.there.release()

    def found(self):
        assert self._done.wait(PATIENCE_S)
        if self._stopped:
            raise Stopped
        return analysed(self.path)

    def let_go(self):
        self._done.set()

    def stop(self):
        self._stopped = True
        self._done.set()

    def stand_still(self, still):
        self.still.append(still)
        return True


@pytest.fixture
def slow(monkeypatch):
    monkeypatch.setattr(queue_module, "Analysis", Slow)
    Slow.begun, Slow.there = [], threading.Semaphore(0)
    return Slow


@pytest.fixture
def catalogue(tmp_path):
    return Catalogue(tmp_path / "data")


@pytest.fixture
def files(tmp_path):
    """Short sounds, each too short for a grid, and different."""
    made = []
    for number in range(4):
        path = tmp_path / f"{number}.wav"
        soundfile.write(path, 0.1 * np.random.default_rng(number).standard_normal(8000 + number), 8000)
        made.append(path)
    return made


@pytest.fixture
def queue_of(catalogue):
    made = []

    def make(told=lambda path, what: None, **options) -> Queue:
        made.append(Queue(catalogue, lambda: date(2030, 5, 2), told, **options))
        return made[-1]

    yield make
    for each in made:
        each.close()


def running(slow) -> Slow:
    assert slow.there.acquire(timeout=PATIENCE_S)
    return slow.begun[-1]


@pytest.mark.proof
def test_files_are_analysed_by_a_process_and_told(queue_of, catalogue, tmp_path):
    song, noise = tmp_path / "song.flac", tmp_path / "text.mp3"
    soundfile.write(song, drums(bars=16)[0], RATE_HZ)
    noise.write_text("no sound")
    told = {}
    queue = queue_of(lambda path, what: told.update({path: what}))
    queue.add([song, noise, tmp_path / "gone.wav"])
    assert queue.wait(PATIENCE_S)
    assert told[str(song)].grid.tempo_bpm == pytest.approx(124, abs=0.02)
    assert told[str(noise)].state is State.UNREADABLE
    assert isinstance(told[str(tmp_path / "gone.wav")], Say)
    assert len(catalogue) == 2
    assert queue.progress.over


def test_chosen_ones_come_first(queue_of, slow, files):
    queue = queue_of()
    queue.add(files[:3])
    first = running(slow)
    queue.add([files[2], files[3]], first=True)
    assert queue.progress == Progress(0, 4, str(files[0]))
    first.let_go()
    order = [first.path]
    for _ in range(3):
        order.append(running(slow).path)
        slow.begun[-1].let_go()
    assert queue.wait(PATIENCE_S)
    assert order == [str(files[at]) for at in (0, 2, 3, 1)]


def test_what_is_known_is_not_analysed_again(queue_of, slow, files):
    queue = queue_of()
    queue.add(files[:2])
    for _ in range(2):
        running(slow).let_go()
    assert queue.wait(PATIENCE_S)
    queue.add(files[:2])
    assert queue.wait(PATIENCE_S)
    assert len(slow.begun) == 2


def test_cancelling_ends_what_is_analysed_and_forgets_what_waits(queue_of, slow, files, catalogue):
    told = []
    queue = queue_of(lambda path, what: told.append(path))
    queue.add(files)
    running(slow)
    queue.cancel()
    assert queue.wait(PATIENCE_S)
    assert (told, len(slow.begun), len(catalogue)) == ([], 1, 0)
    assert not (catalogue.folder / WAITING).exists()
    queue.add(files[:1])
    running(slow).let_go()
    assert queue.wait(PATIENCE_S)
    assert told == [str(files[0])]


def test_it_stands_still_while_a_trial_sounds(queue_of, slow, files):
    queue = queue_of()
    queue.stand_still(True)
    queue.add(files[:2])
    assert queue.progress.standing
    assert not slow.begun
    queue.stand_still(False)
    first = running(slow)
    queue.stand_still(True)
    assert first.still == [True]
    queue.stand_still(False)
    assert first.still == [True, False]
    first.let_go()
    running(slow).let_go()
    assert queue.wait(PATIENCE_S)


def test_where_a_process_cannot_stand_still_its_file_begins_anew(queue_of, slow, files, monkeypatch):
    monkeypatch.setattr(slow, "stand_still", lambda self, still: False)
    queue = queue_of()
    queue.add(files[:1])
    running(slow)
    queue.stand_still(True)
    queue.stand_still(False)
    again = running(slow)
    assert again is not slow.begun[0]
    again.let_go()
    assert queue.wait(PATIENCE_S)


def test_it_goes_on_after_the_program_was_killed(queue_of, slow, files, catalogue):
    queue = queue_of()
    queue.add(files[:3])
    running(slow).let_go()
    running(slow)
    # What a kill leaves: what is on disk now. The file that is done is known, so it costs nothing.
    left = json.loads((catalogue.folder / WAITING).read_text())
    assert {str(files[1]), str(files[2])} <= set(left)
    queue.close()
    told = []
    after = queue_of(lambda path, what: told.append(path))
    assert after.progress.of == 2
    for _ in range(2):
        running(slow).let_go()
    assert after.wait(PATIENCE_S)
    assert told == [str(files[1]), str(files[2])]
    assert not (catalogue.folder / WAITING).exists()


def test_a_fault_of_the_program_takes_one_file_down(queue_of, slow, files, monkeypatch):
    faults, told = [], []
    monkeypatch.setattr(threading, "excepthook", lambda args: faults.append(args.exc_type))
    monkeypatch.setattr(slow, "found", lambda self: 1 // 0 if self.path == str(files[0]) else analysed(self.path))
    queue = queue_of(lambda path, what: told.append(path))
    queue.add(files[:2])
    running(slow)
    running(slow)
    while not queue.progress.over:
        queue.wait(PATIENCE_S)
    assert (faults, told) == ([ZeroDivisionError], [str(files[1])])


@pytest.mark.parametrize("data", [b"", b"{}", b'["\\u0000zz"]', b"[1]", b"[" * 100_000])
def test_a_hostile_list_of_what_waits_is_one_line(queue_of, catalogue, data):
    catalogue.folder.mkdir(parents=True)
    (catalogue.folder / WAITING).write_bytes(data)
    queue = queue_of()
    assert queue.progress.over
    assert len(catalogue.notices) == 1
