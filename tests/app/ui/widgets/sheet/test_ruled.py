"""Pictures of the help in ruled lines."""

from PySide6.QtGui import QFontMetricsF

from app.settings import Settings
from app.ui.base import theme
from app.ui.dress import apply
from app.ui.help.chapters import PAGES
from app.ui.help.help_page import translated
from app.ui.widgets.sheet.ruled import Ruled

WORDS = "4 bars left"


def test_large_words_of_a_box_shrink_to_its_room_and_no_further_than_to_small_ones(qtbot):
    apply(Settings(theme="light", text_percent=200))
    made = Ruled(PAGES["before"].ruling, translated)
    qtbot.addWidget(made)
    made.grab()  # dressed
    whole = made._width(WORDS)
    assert made._fitting(WORDS, whole + 1).pixelSize() == made.fontInfo().pixelSize()
    shrunk = made._fitting(WORDS, whole * 0.6)
    assert theme.TYPE.small <= shrunk.pixelSize() < made.fontInfo().pixelSize()
    assert QFontMetricsF(shrunk).horizontalAdvance(WORDS) <= whole * 0.6
    assert made._fitting(WORDS, 12) is None
