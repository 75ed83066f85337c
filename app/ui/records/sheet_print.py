"""The count sheet of a record in print: A4, one page or two."""

import math
from functools import partial

from PySide6.QtCore import QObject, QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen

from app.ui.base import theme as look
from app.ui.base.numbers_and_dates import number
from app.ui.base.paper import MARGIN, PAGE, pdf
from app.ui.records.record_words import RecordWords
from app.ui.records.sheet_lines import BARS_A_LINE, Pages, Places, SheetPainter
from synth.catalogue.recording import Recording
from synth.recording.grid import Grid

# Room of head and foot, in px of 1/96 inch.
HEAD, FOOT = 82.0, 30.0
# Highest line, the lowest of a single page and of one with lines of eight bars; and the room of a phrase's number.
HIGHEST, LEAST, LEAST_OF_TWO, NAME = 56.0, 24.0, 15.0, 40.0
# Sizes of the title: the largest in which it takes one line.
TITLES = (26, 23, 20, 17)
MOST_PAGES = 2


class SheetPrint(QObject):
    """The printed sheet of a recording by a grid."""

    def __init__(self, recording: Recording, grid: Grid, outline: bytes) -> None:
        super().__init__()
        self._recording, self._grid = recording, grid
        self._words = RecordWords(self)
        self._room = PAGE.height() - 2 * MARGIN - HEAD - FOOT
        self._pages = Pages.of(grid, outline)
        many, line_px = self._fit(self._pages)
        if line_px < LEAST_OF_TWO:
            self._pages = Pages.of(grid, outline, 2 * BARS_A_LINE)
            many, line_px = self._fit(self._pages)
        self.many = many
        self._places = Places.within(self._pages, MARGIN, 0.0, PAGE.width() - 2 * MARGIN, line_px, NAME)

    def _fit(self, pages: Pages) -> tuple[int, float]:
        """How many pages, and the height of a line: one page if its lines are high enough."""
        for many, least in ((1, LEAST), (MOST_PAGES, 0.0)):
            # A paragraph may be cut by the end of a page: a line of room for each page.
            tall = float(Places(pages, 0, 0, 0, 0, 1.0).tops()[-1]) + (many - 1)
            line_px = min(HIGHEST, many * self._room / max(1.0, tall))
            if line_px >= least:
                return many, line_px
        raise AssertionError("two pages hold any number of lines")

    def lines(self, page: int) -> range:
        """The lines of a page, from 0."""
        all_lines = len(self._pages.lines)
        share = math.ceil(all_lines / self.many)
        return range(page * share, min(all_lines, (page + 1) * share))

    def pdf(self) -> bytes:
        """The pages as PDF."""
        title = self.tr("Count sheet: {title}").format(title=self._words.title(self._recording))
        return pdf(title, [partial(self.draw, page=page) for page in range(self.many)])

    def draw(self, painter: QPainter, page: int) -> None:
        """Draw a page, from 0, in px of 1/96 inch."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        tops, lines = self._places.tops(), self.lines(page)
        self._head(painter)
        shift = float(tops[lines.start]) - MARGIN - HEAD
        SheetPainter(self._places, look.LIGHT, self.tr("Intro")).draw(painter, lines, tops, shift)
        self._foot(painter, page)

    def _head(self, painter: QPainter) -> None:
        wide = PAGE.width() - 2 * MARGIN
        words = self._words.title(self._recording)
        fonts = [look.font(size, serif=True, strong=True) for size in TITLES]
        title = next((each for each in fonts if QFontMetricsF(each).horizontalAdvance(words) <= wide), fonts[-1])
        words = QFontMetricsF(title).elidedText(words, Qt.TextElideMode.ElideRight, wide)
        self._text(painter, QRectF(MARGIN, MARGIN - 8, wide, 36), words, title, "ink")
        parts = [
            self._words.tempo(self._grid),
            self._words.length(self._recording),
            self.tr("phrases of {n} bars").format(n=number(self._grid.phrase_bars)),
            self._intro(),
            self._words.by(self._recording.confirmed_by if self._grid == self._recording.grid else ""),
        ]
        line = QRectF(MARGIN, MARGIN + 30, wide, 20)
        self._text(painter, line, "  ·  ".join(filter(None, parts)), look.font(14), "ink")
        painter.setPen(QPen(look.LIGHT.colour("ink"), 1))
        painter.drawLine(QPointF(MARGIN, MARGIN + 58), QPointF(MARGIN + wide, MARGIN + 58))

    def _intro(self) -> str:
        """The bars of the intro, by the grid that is printed; empty where nobody knows."""
        bars = self._grid.intro_bars
        if not bars:
            return "" if bars is None else self.tr("no intro")
        return self.tr("an intro of {bars}").format(bars=self._words.bars(bars))

    def _foot(self, painter: QPainter, page: int) -> None:
        legend = self.tr(
            "Four strokes a bar, the long stroke is the one; the heavier, the louder. Thick rule: intro. "
            "At the left the phrase, and above it the bar."
        )
        box = QRectF(MARGIN, PAGE.height() - MARGIN - 14, PAGE.width() - 2 * MARGIN, 14)
        small = look.font(10)
        self._text(painter, box, legend, small, "soft_ink")
        if self.many > 1:
            painter.setFont(small)
            painter.drawText(box, Qt.AlignmentFlag.AlignRight, f"{page + 1} / {self.many}")

    @staticmethod
    def _text(painter: QPainter, box: QRectF, text: str, font: QFont, colour: str) -> None:
        painter.setFont(font)
        painter.setPen(look.LIGHT.colour(colour))
        painter.drawText(box, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, text)
