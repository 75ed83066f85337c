"""Work that is done by an executor, or at once where there is none."""

from collections.abc import Callable
from concurrent.futures import Executor, Future
from typing import ParamSpec, TypeVar

from synth.base.errors import Trouble
from synth.base.words import Say

P = ParamSpec("P")
T = TypeVar("T")


def submitted(workers: Executor | None, work: Callable[P, T], *args: P.args, **options: P.kwargs) -> Future[T]:
    """What ``work`` gives, in ``workers``; without any it is done here and now, ``Trouble`` included."""
    if workers is not None:
        return workers.submit(work, *args, **options)
    done: Future[T] = Future()
    try:
        done.set_result(work(*args, **options))
    except Trouble as trouble:
        done.set_exception(trouble)
    return done


def said(done: Future[T], words: Callable[[T], Say]) -> Say:
    """What is said of work that is done: ``words`` of its result, or why there is none."""
    try:
        return words(done.result())
    except Trouble as trouble:
        return trouble.says
