"""Ctrl-C from the first moment on: noted at once, and acted upon where nothing is half done.

Python raises ``KeyboardInterrupt`` between any two of its instructions: in the middle of an import, or within a slot
of Qt, which drops it. This module is imported first of all, and so imports nothing large. While Python itself
starts, ``run`` has the signal blocked: it waits for ``note`` (signal(7): the mask is inherited).
"""

import signal

_came = False


def note() -> object:
    """From here on Ctrl-C is only noted; returns the handler of before. One that was ignored goes on to be."""
    before = signal.getsignal(signal.SIGINT)
    if before is signal.default_int_handler:
        try:
            signal.signal(signal.SIGINT, _note)
        except ValueError:  # another thread than the main one
            return None
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})
    return before


def _note(*_: object) -> None:
    global _came
    _came = True


def came() -> bool:
    """Whether Ctrl-C was noted."""
    return _came


def act() -> None:
    """From here on Ctrl-C raises ``KeyboardInterrupt``; at once where it was noted."""
    global _came
    if signal.getsignal(signal.SIGINT) is _note:
        signal.signal(signal.SIGINT, signal.default_int_handler)
    if _came:
        _came = False
        raise KeyboardInterrupt


def put_back(before: object) -> None:
    """The handler of before ``note``."""
    ours = signal.default_int_handler, _note
    if before in ours and signal.getsignal(signal.SIGINT) in ours and before is not signal.getsignal(signal.SIGINT):
        signal.signal(signal.SIGINT, _note if before is _note else signal.default_int_handler)
