"""The ladder: a line for each drill, with the rung that fits the learner and its interval."""

from collections.abc import Sequence

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy

from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.charts.content import Content
from app.ui.charts.picture import Picture
from exercises.drills import drills
from exercises.progress.overview import LadderRow

# Horizontal space around a drill's name.
ROUND_NAME_PX = 18


def draw_ladder(
    painter: QPainter,
    box: QRectF,
    places: Sequence[LadderRow],
    theme: look.Theme,
    *,
    name_font: QFont,
    small_font: QFont,
    marked: int | None = None,
) -> None:
    """Draw the ladder into ``box``: a line of rung numbers, then a line a drill, all of one height.

    A dot marks the rung, a bar its 95 % interval; a drill not yet begun has an empty line.
    """
    line = box.height() / (len(places) + 1)
    metrics = QFontMetricsF(name_font, painter.device())
    titles = [spoken(drills()[place.drill].title()) for place in places]
    most = max(place.rungs for place in places)
    left = box.left() + _names_width(box.width(), places, metrics, QFontMetricsF(small_font, painter.device()))
    unit = (box.right() - left) / most

    def x_of(rung: float) -> float:
        return left + (rung - 0.5) * unit

    painter.setFont(small_font)
    painter.setPen(theme.colour("soft_ink"))
    for rung in range(1, most + 1):
        cell = QRectF(x_of(rung) - unit / 2, box.top(), unit, line)
        painter.drawText(cell, Qt.AlignmentFlag.AlignCenter, str(rung))
    for at, (place, title) in enumerate(zip(places, titles, strict=True)):
        top = box.top() + (at + 1) * line
        middle = top + line / 2
        reached = place.rung is not None
        if at == marked:
            painter.fillRect(QRectF(box.left(), top, box.width(), line), theme.colour("wash"))
        painter.setPen(QPen(theme.colour("rule"), 1))
        painter.drawLine(QPointF(box.left(), top), QPointF(box.right(), top))
        painter.setFont(name_font)
        painter.setPen(theme.colour("ink" if reached else "soft_ink"))
        name = QRectF(box.left() + 4, top, left - box.left() - 8, line)
        short = metrics.elidedText(title, Qt.TextElideMode.ElideRight, name.width())
        painter.drawText(name, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, short)
        painter.setPen(QPen(theme.colour("edge"), 1))
        tall = line * 0.1
        xs = map(x_of, range(1, place.rungs + 1))
        painter.drawLines([QLineF(x, middle - tall, x, middle + tall) for x in xs])
        if place.rung is None:
            continue
        painter.setPen(QPen(theme.colour("ink"), max(1.0, line * 0.06)))
        low, high = x_of(place.low), x_of(place.high)
        ends = [QLineF(x, middle - line * 0.2, x, middle + line * 0.2) for x in (low, high)]
        painter.drawLines([QLineF(low, middle, high, middle), *ends])
        painter.setBrush(theme.colour("pen"))
        painter.setPen(QPen(theme.colour("sheet"), max(0.8, line * 0.05)))
        painter.drawEllipse(QPointF(x_of(place.rung), middle), line * 0.25, line * 0.25)
        painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(theme.colour("rule"), 1))
    painter.drawLine(box.bottomLeft(), box.bottomRight())


def _names_width(width: float, places: Sequence[LadderRow], names: QFontMetricsF, figures: QFontMetricsF) -> float:
    """Width of the names in px: that of the longest, unless the rung numbers would touch."""
    longest = max(names.horizontalAdvance(spoken(drills()[place.drill].title())) for place in places) + ROUND_NAME_PX
    rungs = max(place.rungs for place in places) * figures.horizontalAdvance("00") * 1.2
    return min(longest, max(width * 0.42, width - rungs))


class LadderPicture(Picture):
    """The ladder on the screen. Up and down move between drills, Return or a click chooses one.

    ``said`` carries a line in words, ``chosen`` the id of a drill that has been practised.
    """

    chosen = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self._places: Sequence[LadderRow] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.MinimumExpanding)

    def sizeHint(self) -> QSize:
        return QSize(560, (len(self._places) + 1) * look.px(30) + 4)

    def minimumSizeHint(self) -> QSize:
        """Wide enough for the names and ten rungs."""
        return QSize(380, self.sizeHint().height())

    def show_page(self, page: Content) -> bool:
        places = self._places = page.places
        self.marked = None
        self.updateGeometry()
        self.setAccessibleDescription(" ".join(self.words(at) for at in range(len(places)) if places[at].answers))
        self.said.emit("")
        self.update()
        return True

    def count(self) -> int:
        return len(self._places)

    def words(self, at: int) -> str:
        place = self._places[at]
        title = spoken(drills()[place.drill].title())
        if place.rung is None:
            return self.tr("{drill}: not enough answers yet.").format(drill=title)
        return self.tr("{drill}: rung {rung} of {rungs} (95 %: {low} to {high}), from {n} answers.").format(
            drill=title,
            rung=place.rung,
            rungs=place.rungs,
            low=round(place.low),
            high=round(place.high),
            n=place.answers,
        )

    def cut(self, at: int) -> bool:
        """Whether a drill's name is cut."""
        names, small = (QFontMetricsF(look.font(look.px(px))) for px in (look.TYPE.body, look.TYPE.small))
        needed = names.horizontalAdvance(spoken(drills()[self._places[at].drill].title())) + 8
        return needed > _names_width(self.width() - 4, self._places, names, small)

    def _at(self, y: float) -> int | None:
        at = int(y / (self.height() / (len(self._places) + 1))) - 1 if self._places else -1
        return at if 0 <= at < len(self._places) else None

    def _choose(self, at: int | None) -> None:
        if at is not None and self._places[at].last is not None:
            self.chosen.emit(self._places[at].drill)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        at = self._at(event.position().y())
        if at is not None and at != self.marked:
            self.mark(at)
        self.setToolTip("" if at is None or not self.cut(at) else spoken(drills()[self._places[at].drill].title()))
        practised = at is not None and self._places[at].last is not None
        self.setCursor(Qt.CursorShape.PointingHandCursor if practised else Qt.CursorShape.ArrowCursor)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Choose the clicked drill."""
        if event.button() is Qt.MouseButton.LeftButton:
            self._choose(self._at(event.position().y()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Up, down, Home and End move the marker; Return chooses."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.marked is not None:
            self._choose(self.marked)
        else:
            super().keyPressEvent(event)

    def paint(self, painter: QPainter, marked: int | None) -> None:
        if self._places:
            draw_ladder(
                painter,
                QRectF(self.rect()).adjusted(2, 0, -2, -2),
                self._places,
                look.worn(),
                name_font=look.font(look.px(look.TYPE.body)),
                small_font=look.font(look.px(look.TYPE.small)),
                marked=marked,
            )
