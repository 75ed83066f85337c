"""Pictures of the help in ruled lines."""

import pytest
from PySide6.QtGui import QFontMetricsF

from app.settings import Settings
from app.ui.base import theme
from app.ui.base.language import speak
from app.ui.dress import apply
from app.ui.help.chapters import PAGES
from app.ui.help.help_page import translated
from app.ui.widgets.sheet.ruled import BESIDE_PX, Box, Ruled

pytestmark = pytest.mark.sampled(4)

WORDS = "4 bars left"


def test_large_words_of_a_box_shrink_to_its_room_and_no_further_than_to_small_ones(qtbot):
    apply(Settings(theme="light", text_percent=200))
    made = Ruled(PAGES["before"].ruling, translated)
    qtbot.addWidget(made)
    made.grab()  # dressed
    whole, line = made._width(WORDS), made.fontMetrics().height()
    font, text = made._fitting(WORDS, whole + 1, line)
    assert (font.pixelSize(), text) == (made.fontInfo().pixelSize(), WORDS)
    font, text = made._fitting(WORDS, whole * 0.6, line)
    assert theme.TYPE.small <= font.pixelSize() < made.fontInfo().pixelSize()
    assert max(map(QFontMetricsF(font).horizontalAdvance, text.split("\n"))) <= whole * 0.6
    assert made._fitting(WORDS, 12, line) is None


def test_with_height_for_two_lines_words_are_larger_in_two(qtbot):
    apply(Settings(theme="light", text_percent=200))
    made = Ruled(PAGES["before"].ruling, translated)
    qtbot.addWidget(made)
    made.grab()  # dressed
    whole, line = made._width(WORDS), made.fontMetrics().height()
    font, text = made._fitting(WORDS, whole * 0.7, 2 * line)
    assert (font.pixelSize(), text.split("\n")) == (made.fontInfo().pixelSize(), ["4 bars", "left"])


@pytest.mark.parametrize("page", [id for id, page in PAGES.items() if page.ruling is not None])
@pytest.mark.parametrize("language", ["en", "es"])
def test_at_200_per_cent_no_name_of_a_line_is_elided(qapp, qtbot, page, language, request):
    request.addfinalizer(lambda: speak(qapp, "en"))
    speak(qapp, language)
    apply(Settings(theme="light", text_percent=200))
    made = Ruled(PAGES[page].ruling, translated)
    qtbot.addWidget(made)
    made.resize(720, made.sizeHint().height())
    made.grab()  # dressed
    names = (720 - 6 * theme.STEP_PX) * 0.4
    for line in PAGES[page].ruling.lines:
        assert made._fitting(translated(line.name), names - 8, made._line_px()) is not None


@pytest.mark.parametrize("page", [id for id, page in PAGES.items() if page.ruling is not None])
@pytest.mark.parametrize("language", ["en", "es"])
def test_at_200_per_cent_words_of_a_box_cover_nothing(qapp, qtbot, page, language, request):
    """They stand in the box, or beside it up to the next one of the line or its end."""
    theme.load_fonts()
    request.addfinalizer(lambda: speak(qapp, "en"))
    speak(qapp, language)
    apply(Settings(theme="light", text_percent=200))
    made = Ruled(PAGES[page].ruling, translated)
    qtbot.addWidget(made)
    made.resize(680, made.sizeHint().height())
    made.grab()  # dressed
    inner = 680 - 6 * theme.STEP_PX
    unit = (inner - made._names_px(inner)) / made.ruling.units
    for line in made.ruling.lines:
        boxes = [each for each in line.things if isinstance(each, Box)]
        for each in boxes:
            words = translated(each.words)
            if made._fitting(words, (each.end - each.start) * unit - 2 - 2 * BESIDE_PX, made._line_px() - 12) is None:
                free = min((other.start for other in boxes if other.start > each.start), default=made.ruling.units)
                assert made._width(words) + 8 <= (free - each.end) * unit, words
