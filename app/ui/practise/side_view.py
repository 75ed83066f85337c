"""What the side task shows while a trial sounds: one thing at a time, and which key answers it.

It changes at most once in 1.5 s, far from the three flashes a second of WCAG 2.2, 2.3.1; colours come with a shape.
"""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui.base import theme as look
from app.ui.base.words import spoken
from exercises.trial.side_task import Shape, Task, Thing

# Okabe & Ito's palette (2008; from memory) tells these apart for the common colour-vision deficiencies.
HUES = {
    Shape.DISC: "#D55E00",
    Shape.TRIANGLE: "#E69F00",
    Shape.SQUARE: "#0072B2",
    Shape.CROSS: "#009E73",
}


# The side of a shape, and the largest: the sheet below wants its room, too.
SIDE_PX, LARGEST_PX = 72, 112


def _side_px() -> int:
    return min(LARGEST_PX, look.px(SIDE_PX))


class SideView(QWidget):
    """Shows a ``Thing`` or nothing. Set it; it redraws."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.thing: Thing | None = None
        self._means = ("", "")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("Side task"))

    def sizeHint(self) -> QSize:
        """A band above the sheet."""
        return QSize(480, _side_px() + look.px(24) + look.STEP_PX * 2)

    def show_task(self, task: Task | None) -> None:
        """Say beside the keys what they mean in this task."""
        self._means = ("", "")
        if task is Task.COLOUR:
            self._means = self.tr("red, orange"), self.tr("blue, green")
        elif task is Task.PARITY:
            self._means = self.tr("even"), self.tr("odd")
        self.update()

    def show_thing(self, thing: Thing | None) -> None:
        """Show another thing, or an empty place."""
        if thing != self.thing:
            self.thing = thing
            self.setAccessibleDescription(spoken(thing.says) if thing else self.tr("Nothing at the moment."))
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the thing in the middle and, at both sides of it, the keys with what they mean."""
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
        # Orange on light paper and blue on dark stand out too little (WCAG 2.2, 1.4.11): the outline does.
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
