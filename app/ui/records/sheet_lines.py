"""The count sheet of a whole recording: its lines, where they stand and how they are drawn, on screen and in print.

A bar is four strokes, the first one longer; the heavier a stroke, the louder the beat. A phrase is a paragraph.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from app.ui.base import theme as look
from synth.base.arrays import Floats
from synth.catalogue.outline import beat_levels_db
from synth.recording.grid import Grid
from synth.score.metre import Count

# Bars of a line on the screen, at most; in print twice as many where it is long.
BARS_A_LINE = 8
# Loudest and softest beats of a recording lie at least so many dB apart, so that noise is not drawn as dynamics.
LEAST_RANGE_DB = 12.0
# Width of a stroke as a share of a line's height: that of the softest beat and of the loudest.
THIN, THICK = 0.022, 0.11
# It is never wider than this share of a beat's room.
WIDEST = 0.22
# Shares of a line's height: top of the one's stroke and of the others, their foot, the rule, the figures and the room
# for them, which clears the rule of the line above.
ONE_TOP, BEAT_TOP, FOOT, RULE, FIGURE = 0.38, 0.55, 0.84, 0.92, 0.27
FIGURES_FROM, FIGURES_TO = 0.05, 0.35
# And the space before a paragraph.
GAP = 0.36


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar: its number, that within its phrase, its first row in the count and that after its last."""

    number: int
    in_phrase: int
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Chunk:
    """Bars of one phrase side by side, from ``column`` on; ``begins``: the phrase does."""

    phrase: int
    begins: bool
    column: int
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Pages:
    """What is drawn of a recording: lines of chunks, each chunk up to ``wide`` bars, ``beside`` of them in a line."""

    count: Count
    weights: Floats
    intro_bars: int
    beats_per_bar: int
    wide: int
    beside: int
    lines: tuple[tuple[Chunk, ...], ...]
    line_of: dict[int, int] = field(default_factory=dict)

    @classmethod
    def of(cls, grid: Grid, outline: bytes, bars_a_line: int = BARS_A_LINE) -> "Pages":
        """Those of a grid. ``ValueError`` where it was refused."""
        count = grid.count()
        wide = min(grid.phrase_bars, bars_a_line)
        beside = max(1, bars_a_line // wide)
        lines = tuple(_lines(_chunks(_bars(count), count, wide), beside))
        line_of = {bar.number: at for at, line in enumerate(lines) for chunk in line for bar in chunk.bars}
        return cls(
            count, weights_of(outline, count), grid.intro_bars or 0, grid.beats_per_bar, wide, beside, lines, line_of
        )

    @property
    def bars(self) -> int:
        """The number of the last bar."""
        return int(self.count.bar_number[-1])


def weights_of(outline: bytes, count: Count) -> Floats:
    """How heavy each beat is drawn, 0 to 1, (n,); all alike where nothing is known of the loudness."""
    if not outline:
        return np.full(len(count), 0.5)
    level_db = beat_levels_db(outline, count)
    high = float(np.percentile(level_db, 98))
    low = min(float(np.percentile(level_db, 5)), high - LEAST_RANGE_DB)
    weights: Floats = np.clip((level_db - low) / (high - low), 0.0, 1.0)
    return weights


def _bars(count: Count) -> list[Bar]:
    edges = np.flatnonzero(np.diff(count.bar_number, prepend=-1)).tolist()
    return [
        Bar(int(count.bar_number[first]), int(count.bar_in_phrase[first]), first, last)
        for first, last in zip(edges, [*edges[1:], len(count)], strict=True)
    ]


def _chunks(bars: Iterable[Bar], count: Count, wide: int) -> list[Chunk]:
    chunks: list[Chunk] = []
    where: tuple[int, int] | None = None
    for bar in bars:
        phrase = int(count.phrase_number[bar.first])
        place = phrase, max(0, bar.in_phrase - 1) // wide
        if place == where:
            before = chunks[-1]
            chunks[-1] = Chunk(before.phrase, before.begins, before.column, (*before.bars, bar))
        else:
            begins = where is None or where[0] != phrase
            chunks.append(Chunk(phrase, begins, max(0, bar.in_phrase - 1) % wide, (bar,)))
        where = place
    return chunks


def _lines(chunks: list[Chunk], beside: int) -> Iterable[tuple[Chunk, ...]]:
    """Chunks in lines; what sounds before the first bar has a line of its own."""
    line: list[Chunk] = []
    for chunk in chunks:
        if line and (len(line) == beside or line[0].phrase == 0):
            yield tuple(line)
            line = []
        line.append(chunk)
    if line:
        yield tuple(line)


@dataclass(frozen=True, slots=True)
class Places:
    """Where lines stand, in px: from ``left`` and ``top``, each ``line_px`` high.

    ``name_px`` is the room of a phrase's number before its bars, ``bar_px`` that of a bar.
    """

    pages: Pages
    left: float
    top: float
    name_px: float
    bar_px: float
    line_px: float

    @classmethod
    def within(cls, pages: Pages, left: float, top: float, width: float, line_px: float, name_px: float) -> "Places":
        """As wide as there is room."""
        bar_px = (width / pages.beside - name_px) / pages.wide
        return cls(pages, left, top, name_px, bar_px, line_px)

    def tops(self) -> Floats:
        """The top of each line, and the end of the last, (lines + 1,)."""
        begins = np.array([line[0].begins for line in self.pages.lines[1:]] + [False])
        steps = self.line_px + np.where(begins, self.line_px * GAP, 0.0)
        found: Floats = self.top + np.concatenate([[0.0], np.cumsum(steps)])
        return found

    def chunk_left(self, beside: int) -> float:
        """Where the bars of a chunk begin."""
        return self.left + self.name_px + beside * (self.name_px + self.pages.wide * self.bar_px)

    def bar_box(self, number: int, tops: Floats) -> QRectF | None:
        """The room of a bar; None for one that is not there."""
        line = self.pages.line_of.get(number)
        if line is None:
            return None
        for beside, chunk in enumerate(self.pages.lines[line]):
            for at, bar in enumerate(chunk.bars):
                if bar.number == number:
                    x = self.chunk_left(beside) + (chunk.column + at) * self.bar_px
                    return QRectF(x, float(tops[line]), self.bar_px, self.line_px)
        return None

    def bar_at(self, at: QPointF, tops: Floats) -> int | None:
        """The bar at a point; None beside them."""
        line = int(np.searchsorted(tops, at.y(), side="right")) - 1
        if not 0 <= line < len(self.pages.lines):
            return None
        for bar in (bar for chunk in self.pages.lines[line] for bar in chunk.bars):
            box = self.bar_box(bar.number, tops)
            if bar.number > 0 and box is not None and box.left() <= at.x() < box.right():
                return bar.number
        return None


class SheetPainter:
    """Draws lines of a sheet with a painter, in a theme."""

    def __init__(self, places: Places, theme: look.Theme, intro: str) -> None:
        self._places, self._theme, self._intro = places, theme, intro

    def draw(self, painter: QPainter, lines: range, tops: Floats, shift_px: float = 0.0) -> None:
        """Draw these lines, ``shift_px`` higher than they stand."""
        places = self._places
        name_px = min(places.line_px * 0.5, places.name_px * 0.42)
        small = look.font(min(places.line_px * FIGURE, name_px * 0.75), serif=True)
        name = look.font(name_px, serif=True, strong=True)
        for line in lines:
            top = float(tops[line]) - shift_px
            for beside, chunk in enumerate(places.pages.lines[line]):
                left = places.chunk_left(beside)
                if chunk.begins and chunk.phrase > 0:
                    painter.setFont(name)
                    painter.setPen(self._theme.colour("ink"))
                    box = QRectF(left - places.name_px, top, places.name_px * 0.7, places.line_px * RULE)
                    painter.drawText(
                        box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom, str(chunk.phrase)
                    )
                painter.setFont(small)
                if chunk.phrase > 0:
                    painter.setPen(self._theme.colour("soft_ink"))
                    box = self._figures(left - places.name_px, top, places.name_px * 0.7)
                    right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                    painter.drawText(box, right, str(chunk.bars[0].number))
                for at, bar in enumerate(chunk.bars):
                    self._bar(painter, bar, left + (chunk.column + at) * places.bar_px, top)

    def _figures(self, left: float, top: float, width: float) -> QRectF:
        """The room of a number above a line."""
        line_px = self._places.line_px
        return QRectF(left, top + line_px * FIGURES_FROM, width, line_px * (FIGURES_TO - FIGURES_FROM))

    def _bar(self, painter: QPainter, bar: Bar, x: float, top: float) -> None:
        places, pages = self._places, self._places.pages
        line_px, beat_px = places.line_px, places.bar_px / pages.beats_per_bar
        foot = top + line_px * RULE
        in_intro = 0 < bar.number <= pages.intro_bars
        painter.setPen(
            QPen(self._theme.colour("soft_ink" if in_intro else "rule"), line_px / (14 if in_intro else 44))
        )
        painter.drawLine(QPointF(x + beat_px * 0.1, foot), QPointF(x + places.bar_px - beat_px * 0.25, foot))
        painter.setPen(self._theme.colour("soft_ink"))
        if bar.number > 0:
            words = str(bar.in_phrase)
            if bar.number == 1 and pages.intro_bars:
                words = f"{words}  {self._intro}"
            room = self._figures(x + beat_px * 0.3, top, places.bar_px * 2)
            painter.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words)
        for row in range(bar.first, bar.last):
            beat = int(pages.count.beat_in_bar[row])
            weight = float(pages.weights[row])
            wide_px = line_px * (THIN + (THICK - THIN) * weight)
            pen = QPen(self._theme.colour("ink"), min(wide_px, WIDEST * beat_px))
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            painter.setPen(pen)
            at = x + (beat - 0.5) * beat_px
            head = top + line_px * (ONE_TOP if beat == 1 else BEAT_TOP)
            painter.drawLine(QPointF(at, head), QPointF(at, top + line_px * FOOT))
        if bar.number == pages.intro_bars and pages.intro_bars:
            end = x + places.bar_px - beat_px * 0.25
            painter.setPen(QPen(self._theme.colour("soft_ink"), line_px / 14))
            painter.drawLine(QPointF(end, top + line_px * BEAT_TOP), QPointF(end, foot))
