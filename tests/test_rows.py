"""Tests that walk a table fail with every row that fails."""

import pytest

from tests.rows import hold, walk


def test_every_row_that_fails_is_named_and_the_others_are_held_too():
    seen = []

    def check(number, other):
        seen.append(number)
        assert number == other == 2

    with pytest.raises(ExceptionGroup) as caught:
        hold([(1, 1), (2, 2), (3, check)], check)
    assert [error.__notes__ for error in caught.value.exceptions] == [["in row 1, 1"], ["in row 3, check"]]
    assert seen == [1, 2, 3]


ROWS = []


@walk("row, (key, value)", [1, 2], [("a", 3), ("b", 4)])
def _noted(row, key, value, fixture):
    ROWS.append((row, key, value, fixture))


def test_rows_are_the_product_of_tables_and_fixtures_are_the_same_for_all():
    _noted(fixture="given")
    assert [row[:3] for row in ROWS] == [(1, "a", 3), (1, "b", 4), (2, "a", 3), (2, "b", 4)]
    assert {row[3] for row in ROWS} == {"given"}
