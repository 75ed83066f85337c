"""The side task's display during a trial: one item at a time, and the keys that answer it.

It changes at most once in 1.5 s (WCAG 2.2, 2.3.1 allows three flashes a second); every colour has its own shape.
"""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui.base import theme as look
from app.ui.base.words import spoken
from exercises.trial.side_task import Shape, Task, Thing

# Okabe & Ito's palette for colour-vision deficiencies (2008; from memory).
HUES = {
    Shape.DISC: "#D55E00",
    Shape.TRIANGLE: "#E69F00",
    Shape.SQUARE: "#0072B2",
    Shape.CROSS: "#009E73",
}


# Side of a shape at 100 % text size, and its upper limit, as the sheet below needs height, too.
SIDE_PX, LARGEST_PX = 72, 112


def _side_px() -> int:
    return min(LARGEST_PX, look.px(SIDE_PX))


class SideView(QWidget):
    """Shows a ``Thing`` or nothing."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.thing: Thing | None = None
        self._means = ("", "")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("Side task"))

    def sizeHint(self) -> QSize:
        return QSize(480, _side_px() + look.px(24) + look.STEP_PX * 2)

    def show_task(self, task: Task | None) -> None:
        """Set the meanings of the keys for this task."""
        self._means = ("", "")
        if task is Task.COLOUR:
            self._means = self.tr("red, orange"), self.tr("blue, green")
        elif task is Task.PARITY:
            self._means = self.tr("even"), self.tr("odd")
        self.update()

    def show_thing(self, thing: Thing | None) -> None:
        """Show another thing, or none."""
        if thing != self.thing:
            self.thing = thing
            self.setAccessibleDescription(spoken(thing.says) if thing else self.tr("Nothing at the moment."))
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the thing in the middle and a key with its meaning on either side."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        whole = QRectF(self.rect())
        self._draw_key(painter, whole, -1, self._means[0])
        self._draw_key(painter, whole, 1, self._means[1])
        if self.thing is not None:
            self._draw(painter, whole, self.thing)
        painter.end()

    def _draw_key(self, painter: QPainter, whole: QRectF, way: int, means: str) -> None:
        """An arrow on a key cap at the left (``way`` -1) or right (1) of the thing, its meaning beyond it."""
        side = float(look.px(32))
        apart = _side_px() / 2 + look.px(look.STEP_PX * 6)
        middle = whole.top() + look.STEP_PX + _side_px() / 2
        centre = QPointF(whole.center().x() + way * (apart + side / 2), middle)
        cap = QRectF(round(centre.x() - side / 2) + 0.5, round(centre.y() - side / 2) + 0.5, side, side)
        painter.setBrush(look.colour("sheet"))
        painter.setPen(QPen(look.colour("edge"), 1))
        painter.drawRoundedRect(cap, 4, 4)
        painter.setPen(QPen(look.colour("ink"), max(2.0, side / 16)))
        tip = QPointF(centre.x() + way * side * 0.28, centre.y())
        painter.drawLine(QPointF(centre.x() - way * side * 0.28, centre.y()), tip)
        for up in (-1, 1):
            painter.drawLine(tip, QPointF(tip.x() - way * side * 0.18, tip.y() + up * side * 0.18))
        painter.setFont(look.font(look.px(look.TYPE.body)))
        gap = look.STEP_PX * 1.5
        if way < 0:
            words = QRectF(whole.left(), cap.top(), cap.left() - gap - whole.left(), side)
        else:
            words = QRectF(cap.right() + gap, cap.top(), whole.right() - cap.right() - gap, side)
        towards = Qt.AlignmentFlag.AlignRight if way < 0 else Qt.AlignmentFlag.AlignLeft
        painter.drawText(words, towards | Qt.AlignmentFlag.AlignVCenter, means)

    def _draw(self, painter: QPainter, whole: QRectF, thing: Thing) -> None:
        centre = whole.center()
        if thing.shape is Shape.NONE:
            painter.setPen(look.colour("ink"))
            painter.setFont(look.font(_side_px() * 0.9, serif=True, strong=True))
            place = QRectF(whole.left(), whole.top(), whole.width(), _side_px() + look.STEP_PX * 2)
            painter.drawText(place, Qt.AlignmentFlag.AlignCenter, spoken(thing.says))
            return
        side = _side_px()
        box = QRectF(centre.x() - side / 2, whole.top() + look.STEP_PX, side, side)
        # The outline gives the contrast that orange lacks on light paper and blue on dark (WCAG 2.2, 1.4.11).
        painter.setPen(QPen(look.colour("ink"), 2))
        painter.setBrush(QColor(HUES[thing.shape]))
        if thing.shape is Shape.DISC:
            painter.drawEllipse(box)
        elif thing.shape is Shape.SQUARE:
            painter.drawRect(box)
        elif thing.shape is Shape.TRIANGLE:
            painter.drawPolygon(QPolygonF([QPointF(centre.x(), box.top()), box.bottomRight(), box.bottomLeft()]))
        else:
            cross = QPainterPath()
            cross.addRect(QRectF(box.left(), box.center().y() - side / 6, side, side / 3))
            upright = QPainterPath()
            upright.addRect(QRectF(centre.x() - side / 6, box.top(), side / 3, side))
            painter.drawPath(cross.united(upright))
        painter.setPen(look.colour("ink"))
        painter.setFont(look.font(look.px(look.TYPE.body)))
        painter.drawText(
            whole.adjusted(0, 0, 0, -2), Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignBottom,
            spoken(thing.says),
        )  # fmt: skip
