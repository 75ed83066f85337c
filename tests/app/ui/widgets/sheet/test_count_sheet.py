"""How a count sheet is laid out."""

from itertools import pairwise

import numpy as np
import pytest
from PySide6.QtCore import QPointF, QRectF

from app.ui.base import theme
from app.ui.widgets.sheet.count_sheet import CountSheet, Mark
from app.ui.widgets.sheet.sheet_places import LOWEST_PX, Places, place_blocks
from synth.score.arranging.arrangement import arrange
from synth.score.grooves import grooves
from synth.score.metre import steady_count

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


def test_seven_phrases_side_by_side_can_be_read():
    """Their bars are as tall as the page is wide for, not lower than the least."""
    assert place_blocks(WIDTH_PX, HEIGHT_PX, 7, 4).line_px >= 1.3 * LOWEST_PX


@pytest.mark.parametrize("height_px", [224, 260, 400, 700])
def test_a_pick_up_stands_on_the_page(height_px):
    """The last beats of bar 0, above bar 1: in a low sheet their line lay above its edge."""
    record = arrange(grooves()["backbeat"], tempo_bpm=120.0, form="intro:8,verse:16", exceptions=["pick-up"])
    inner = QRectF(32, 24, WIDTH_PX, height_px - 48)
    places = Places.of(record.count, inner)
    assert record.count.bar_in_phrase[0] == 0
    tops = [places.line_of(beat)[1] for beat in range(len(record.count))]
    assert tops[0] == min(tops) >= inner.top() - 1e-6
    assert max(tops) + places.blocks.line_px <= inner.bottom() + 1e-6


@pytest.mark.parametrize("first", [0, 16, 20])
def test_empty_halves_of_phrases_at_the_ends_take_no_room(first):
    """Of phrases in halves side by side the first or the last may have no bar: the others take the whole width."""
    count = steady_count(120.0, [8, 8, 8]).excerpt(first, 48)
    inner = QRectF(32, 24, WIDTH_PX, HEIGHT_PX)
    places = Places.of(count, inner)
    assert places.blocks.lines == 4
    lefts = [places.line_of(beat)[0] for beat in range(len(count))]
    assert min(lefts) == lefts[0] == inner.left()
    assert max(lefts) + places.blocks.column_px == pytest.approx(inner.right())


def test_larger_text_wants_a_higher_sheet_up_to_a_limit(qtbot, request):
    """As high as its lines need to be read at that size; small text, an empty sheet and few bars want no more."""
    request.addfinalizer(lambda: theme.set_text_scale(1.0))
    made = CountSheet()
    qtbot.addWidget(made)
    assert made.readable_px(1200, 208, 600) == 208
    made.show_count(steady_count(120.0, [4, 4, 4]))
    assert made.readable_px(1200, 208, 600) == 208
    theme.set_text_scale(2.0)
    high = made.readable_px(1200, 208, 600)
    assert 2 * LOWEST_PX - 1 <= made._line_at(1200, high) <= 2 * LOWEST_PX + 1
    assert 224 <= made.readable_px(1200, 208, 230) <= 230  # as far as it may
    assert made.readable_px(1200, high - 8, 600) == high - 8  # near enough
    made.show_count(steady_count(120.0, [4]), blank=True)
    assert made.readable_px(1200, 208, 600) == 208


@pytest.fixture
def sheet(qtbot):
    """A count of seven beats that begins on a three, so that its first and its last bar are cut short."""
    theme.load_fonts()
    theme.set_text_scale(1.0)
    made = CountSheet()
    qtbot.addWidget(made)
    made.resize(1200, 260)
    made.show_count(steady_count(120.0, [4]).excerpt(2, 13))
    return made


def _ruled(sheet) -> int:
    """How many rules there are under the left edge of the print."""
    image = sheet.grab().toImage()
    colour = theme.LIGHT.colour("rule")
    column = [image.pixelColor(36, y) == colour for y in range(4, image.height() - 4)]
    return sum(now and not before for before, now in pairwise(column))


def test_a_bar_that_is_cut_short_has_its_rule(sheet):
    """The first begins on the three, the last ends after the three: four bars, four rules."""
    assert _ruled(sheet) == 4
    sheet.show_marks((), np.array([0.0]))
    assert _ruled(sheet) == 4


def test_shifts_are_written_so_that_they_can_be_read_or_not_at_all(sheet, qapp):
    """Never smaller than the smallest type of the program; larger with large text where it fits."""
    sizes = {}
    for scale in (1.0, 2.0):
        theme.set_text_scale(scale)
        sizes[scale] = [font and font.pixelSize() for font in map(sheet._tag, (20.0, 40.0, 110.0))]
    theme.set_text_scale(1.0)
    small = theme.TYPE.small
    assert sizes[1.0] == [None, small, 20]
    assert sizes[2.0][0] is None
    assert small < sizes[2.0][1] < sizes[2.0][2] == 2 * small


def test_a_stroke_tells_its_shift_under_the_mouse_and_to_a_screen_reader(sheet):
    """Written beside it or not: 25 ms late are a twentieth of a beat at 120 BPM."""
    beat = 6  # the one of the third bar
    sheet.show_marks((Mark(float(sheet._count.beats_s[beat]) + 0.025, 25.0),), np.empty(0))
    sheet.grab()
    told = {sheet.shift_at(QPointF(x, y)) for x in range(0, 1200, 4) for y in range(0, 260, 4)}
    assert told == {"", "+25\N{NO-BREAK SPACE}ms"}
    assert "+25" in sheet.accessibleDescription()
