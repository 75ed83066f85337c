"""Wrong answers: a line for each pair of expected and given answer, a dot for each time."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy

from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.charts.content import Content
from app.ui.charts.picture import Picture
from synth.base.words import Say

MOST_LINES = 6


@dataclass(frozen=True, slots=True)
class Confusion:
    """``expected`` was answered with ``given`` ``times`` times; both as shown to the learner."""

    expected: str
    given: str
    times: int


def confusions(said: Mapping[tuple[str, str], int], words: Mapping[str, Say]) -> list[Confusion]:
    """The most frequent pairs, in words where there are any."""

    def in_words(key: str) -> str:
        if key in words:
            return spoken(words[key])
        # Numbers are stored as floats, positions ("3.2") as text.
        return key.removesuffix(".0")

    pairs = sorted(said.items(), key=lambda each: -each[1])[:MOST_LINES]
    return [Confusion(in_words(expected), in_words(given), times) for (expected, given), times in pairs]


class ConfusionPicture(Picture):
    """A table of wrong answers. Arrow keys and mouse mark a line; ``said`` carries it in words."""

    def __init__(self) -> None:
        super().__init__()
        self._rows: Sequence[Confusion] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return QSize(520, (len(self._rows) + 1) * look.px(32) + 4)

    def minimumSizeHint(self) -> QSize:
        return QSize(280, self.sizeHint().height())

    def show_page(self, page: Content) -> bool:
        said = {} if page.mistakes is None else page.mistakes.said
        self._rows, self.marked = confusions(said, dict(page.answers)), None
        rows = self._rows
        self.setAccessibleDescription(" ".join(map(self.words, range(len(rows)))))
        self.said.emit(self.words(0) if rows else "")
        self.updateGeometry()
        self.update()
        return bool(rows)

    def count(self) -> int:
        return len(self._rows)

    def words(self, at: int) -> str:
        row = self._rows[at]
        text = (
            self.tr("It was {expected}, you said {given}: once.")
            if row.times == 1
            else self.tr("It was {expected}, you said {given}: {n} times.")
        )
        return text.format(expected=row.expected, given=row.given, n=row.times)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        at = int(event.position().y() / (self.height() / (len(self._rows) + 1))) - 1
        if 0 <= at < len(self._rows) and at != self.marked:
            self.mark(at)

    def paint(self, painter: QPainter, marked: int | None) -> None:
        line = self.height() / (len(self._rows) + 1)
        body, small = look.font(look.px(look.TYPE.body)), look.font(look.px(look.TYPE.small))
        width, dots = self.width() * 0.33, self.width() * 0.68
        side = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
        painter.setFont(small)
        painter.setPen(look.colour("soft_ink"))
        for x, text in ((4.0, self.tr("it was")), (width, self.tr("you said")), (dots, self.tr("times"))):
            painter.drawText(QRectF(x, 0, width, line), side, text)
        metrics = QFontMetricsF(body)
        most = max((row.times for row in self._rows), default=1)
        radius = min(line * 0.17, (self.width() - dots - 40) / max(1, min(most, 12)) / 2.6)
        for at, row in enumerate(self._rows):
            top = (at + 1) * line
            if at == marked:
                painter.fillRect(QRectF(0, top, self.width(), line), look.colour("wash"))
            painter.setPen(QPen(look.colour("rule"), 1))
            painter.drawLine(QPointF(0, top), QPointF(self.width(), top))
            painter.setFont(body)
            painter.setPen(look.colour("ink"))
            for x, text in ((4.0, row.expected), (width, row.given)):
                short = metrics.elidedText(text, Qt.TextElideMode.ElideRight, width - 12)
                painter.drawText(QRectF(x, top, width, line), side, short)
            shown = row.times if most <= 12 else round(12 * row.times / most)
            painter.setBrush(look.colour("pen"))
            painter.setPen(Qt.PenStyle.NoPen)
            for n in range(shown):
                painter.drawEllipse(QPointF(dots + radius + n * radius * 2.6, top + line / 2), radius, radius)
            painter.setPen(look.colour("soft_ink"))
            painter.setFont(small)
            number = QRectF(dots + shown * radius * 2.6 + 6, top, 60, line)
            painter.drawText(number, side, str(row.times))
