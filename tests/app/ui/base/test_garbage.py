"""Garbage is collected by the window's thread."""

import gc
import threading
import weakref

from app.ui.base.garbage import collect_due, collect_here


class Knot:
    """Refers to itself: only the collector frees it."""

    def __init__(self) -> None:
        self.knot = self


def knots(n: int) -> "weakref.ref[Knot]":
    """More of them than the youngest generation may hold, and a look at one."""
    made = [Knot() for _ in range(n)]
    return weakref.ref(made[0])


def test_no_thread_collects_by_itself_and_the_window_does_it_later(qapp):
    """By weak references, of Python's own (the module weakref): dead is what they no longer find."""
    collect_here()
    seen = []
    thread = threading.Thread(target=lambda: seen.append(knots(2 * gc.get_threshold()[0])))
    thread.start()
    thread.join()
    assert seen[0]() is not None
    collect_due()
    assert seen[0]() is None
