"""The pool of kits: what is kept, and what is asked of it from several threads."""

import sys
from threading import Event, Thread

from synth.sound.pool import Pool


def test_its_size_can_be_asked_while_another_thread_takes_kits_from_it():
    pool, over, fell = Pool(), Event(), []
    for seed in range(64):
        pool.kit(seed, 44100)

    def ask() -> None:
        try:
            while not over.is_set():
                assert pool.nbytes == 0
        except RuntimeError as error:
            fell.append(error)

    every = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    thread = Thread(target=ask)
    thread.start()
    try:
        for seed in range(2_000):  # without the lock it fell within 200, thirty times in a row
            pool.kit(seed % 64, 44100)
    finally:
        over.set()
        thread.join()
        sys.setswitchinterval(every)
    assert not fell


def test_the_kit_unused_for_longest_goes_when_there_is_no_room():
    pool = Pool(most_bytes=1)
    first, second = pool.kit(0, 44100), pool.kit(1, 44100)
    first.take("kick")
    second.take("kick")
    assert pool.kit(0, 44100) is first
    assert pool.nbytes == first.nbytes
    assert pool.kit(1, 44100) is not second
