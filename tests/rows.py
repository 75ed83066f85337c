"""Tests over a table whose rows take less time than a test of its own costs: 4 ms, with workers 7."""

from collections.abc import Callable, Iterable
from functools import wraps
from inspect import signature
from itertools import product

import pytest


def hold(rows: Iterable[tuple], check: Callable[..., None]) -> None:
    """Call ``check`` with every row, and fail with all rows that failed, each by its name and with its traceback."""
    failed = []
    for row in rows:
        try:
            check(*row)
        except (Exception, pytest.fail.Exception) as error:
            error.add_note(f"in row {', '.join(map(_name, row))}")
            failed.append(error)
    if failed:
        raise BaseExceptionGroup("some rows fail", failed)


def _name(each: object) -> str:
    """A drill by its id, a function by its name, a value as it is written."""
    return getattr(each, "id", None) or getattr(each, "__name__", None) or repr(each)


def walk(names: str, *tables: Iterable) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """In place of ``parametrize``: one test, which holds its function over all rows of the tables' product.

    ``names`` are its parameters that a row fills, those of a table in brackets where a row of it is several; the
    others are fixtures, one for all rows.
    """
    filled = names.replace("(", "").replace(")", "").split(", ")
    rows = [sum((each if isinstance(each, tuple) else (each,) for each in row), ()) for row in product(*tables)]

    def walks(check):
        asked = signature(check)

        @wraps(check)
        def test(**fixtures):
            hold(rows, lambda *row: check(**dict(zip(filled, row, strict=True)), **fixtures))

        test.__signature__ = asked.replace(
            parameters=[each for name, each in asked.parameters.items() if name not in filled]
        )
        return test

    return walks
