"""How a count sheet is laid out."""

import pytest

from app.widgets.count_sheet import LOWEST_PX, place_blocks

# A result's sheet in a window of 1280 x 800 px, its margins taken off: what is left beside verdict and strip.
WIDTH_PX, HEIGHT_PX = 1134, 186


@pytest.mark.parametrize("phrases", [1, 2, 3])
def test_long_phrases_are_broken_where_their_bars_could_not_be_read(phrases):
    """Eight bars under each other would be lower than can be read; halves of four bars side by side are not."""
    place = place_blocks(WIDTH_PX, HEIGHT_PX, phrases, 8)
    assert place.lines == 4
    assert place.line_px >= LOWEST_PX
    assert place.columns % 2 == 0  # both halves of a phrase stand in one row


def test_phrases_that_can_be_read_stay_whole():
    """Several phrases in one piece each, as they are written, where there is room."""
    assert place_blocks(WIDTH_PX, 2 * 8 * LOWEST_PX, 2, 8).lines == 8
    assert place_blocks(WIDTH_PX, HEIGHT_PX, 6, 4).lines == 4
