"""What is seen of a page of the help: its words, its pictures, the count sheets of its example."""

import numpy as np
from PySide6.QtCore import QLocale
from PySide6.QtWidgets import QBoxLayout, QSizePolicy, QVBoxLayout

from app.ui.base import theme as look
from app.ui.help.help_page import HelpPage, Strip, translated
from app.ui.help.sounds import Example
from app.ui.widgets.controls import label
from app.ui.widgets.screens import ScrollPage
from app.ui.widgets.sheet.count_sheet import CountSheet, Mark
from app.ui.widgets.sheet.ruled import Ruled
from app.ui.widgets.sheet.timing_strip import TimingStrip
from exercises.timing.asynchrony import asynchrony
from synth.base.arrays import Seconds
from synth.score.metre import Count

# Wider lines of text are hard to read (about 90 letters).
WORDS_PX = 800
# A sheet's least height, alone and stacked. At 100 % text size it fills the rest of the page; with larger text, which
# makes the page scroll, its figures keep their size.
LEAST_PX, STACKED_LEAST_PX = 200, 160
LARGE_PX, STACKED_LARGE_PX = 490, 240


class PageView(ScrollPage):
    """A page with its example, if it has one."""

    def __init__(self, page: HelpPage, heard: Example | None) -> None:
        super().__init__()
        self._page, self._heard = page, heard
        self.sheets: list[CountSheet] = []
        self._beside: list[QBoxLayout] = []
        step = look.STEP_PX
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(step * 2)
        column.addWidget(label(translated(page.title), "title", wrap=True))
        for text, kind in ((page.lead, "lead"), (page.body, "body")):
            words = label(translated(text), kind, wrap=True)
            words.setMaximumWidth(look.px(WORDS_PX))
            column.addWidget(words)
        if page.ruling is not None:
            picture = Ruled(page.ruling, translated)
            picture.setAccessibleName(translated(page.title))
            column.addWidget(picture)
        if page.strips:
            column.addLayout(self._strips())
        if page.caption:
            column.addWidget(label(translated(page.caption), "small", wrap=True))
        if page.ways and heard is not None:
            sheets = QVBoxLayout() if page.stacked else self._side_by_side(step * 2)
            for way, count in zip(page.ways, heard.counts, strict=True):
                sheet = self._sheet(way, count, heard)
                sheet.setMinimumWidth(step * 40)
                sheets.addWidget(sheet)
            column.addLayout(sheets, 1)
        else:
            column.addStretch(1)
        self.arrange()

    def _sheet(self, way: str, count: Count, heard: Example) -> CountSheet:
        sheet = CountSheet()
        # Take the remaining height, but never make the page scroll.
        sheet.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        sheet.show_count(count, way=way)
        if len(heard.taps_s):
            errors = dict(zip(heard.pairs[:, 1].tolist(), heard.errors_ms.tolist(), strict=True))
            marks = tuple(
                Mark(float(at_s), errors.get(tap), bool(at_s >= heard.counted_from_s))
                for tap, at_s in enumerate(heard.taps_s)
            )
            sheet.show_marks(marks, np.delete(heard.targets_s, heard.pairs[:, 0]))
        self.sheets.append(sheet)
        return sheet

    def _side_by_side(self, gap_px: int) -> QBoxLayout:
        """A layout for pictures side by side, or stacked with large text."""
        made = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        made.setSpacing(gap_px)
        self._beside.append(made)
        return made

    def _strips(self) -> QBoxLayout:
        """The page's strips side by side, each with its name and figures."""
        line = self._side_by_side(look.STEP_PX * 4)
        for strip in self._page.strips:
            errors_ms = np.array(strip.own_ms)
            if self._heard is not None:
                errors_ms = self._heard.errors_ms[strip.first : strip.last]
            drawn = TimingStrip()
            drawn.show_errors(errors_ms, strip.period_ms, strip.uncertainty_ms)
            part = QVBoxLayout()
            part.setSpacing(0)
            words = translated(strip.name)
            if strip.figures:
                words = f"{words}: {self._figures(strip, errors_ms)}"
            part.addWidget(label(words, "body", wrap=True))
            part.addWidget(drawn)
            line.addLayout(part, 1)
        return line

    def _figures(self, strip: Strip, errors_ms: Seconds) -> str:
        """Bias and spread of a worked example, computed as for a result."""
        found = asynchrony(errors_ms)
        assert found.bias_ms is not None
        assert found.bias_ci95_ms is not None
        assert found.spread_ms is not None
        whole = QLocale().toString
        half_ms = (found.bias_ci95_ms[1] - found.bias_ci95_ms[0]) / 2
        bias = round(found.bias_ms)
        words = self.tr("bias {bias} ± {half} ms, spread {spread} ms").format(
            bias=f"{'+' if bias > 0 else '−' if bias < 0 else ''}{whole(abs(bias))}",
            half=whole(round(half_ms)),
            spread=whole(round(found.spread_ms)),
        )
        if strip.uncertainty_ms:
            words += self.tr(", uncertainty {ms} ms").format(ms=whole(round(strip.uncertainty_ms)))
        return words

    def arrange(self) -> None:
        """Arrange for the text size."""
        directions = QBoxLayout.Direction
        large = look.px(100) > 100
        least_px, stacked_px = (LARGE_PX, STACKED_LARGE_PX) if large else (LEAST_PX, STACKED_LEAST_PX)
        for sheet in self.sheets:
            sheet.setMinimumHeight(stacked_px if self._page.stacked else least_px)
        for line in self._beside:
            line.setDirection(directions.TopToBottom if look.px(100) > 150 else directions.LeftToRight)

    def show_sounding(self, at_s: float | None) -> None:
        """Mark the beat that sounds at a second of the example; None: nothing does."""
        counts = () if self._heard is None else self._heard.counts
        for sheet, count in zip(self.sheets, counts, strict=True):
            beat = None
            if at_s is not None and count.beats_s[0] <= at_s < count.end_s:
                beat = int(np.searchsorted(count.beats_s, at_s, side="right")) - 1
            sheet.show_sounding(beat)
