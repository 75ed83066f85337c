"""What the side task shows while a trial sounds: one thing at a time, and which key answers it.

It changes at most once in 1.5 s, far from the three flashes a second of WCAG 2.2, 2.3.1; colours come with a shape.
"""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app import theme as look
from app.words import spoken
from exercises.side_task import Shape, Thing

# Okabe & Ito's palette (2008; from memory) tells these apart for the common colour-vision deficiencies.
HUES = {
    Shape.DISC: "#D55E00",
    Shape.TRIANGLE: "#E69F00",
    Shape.SQUARE: "#0072B2",
    Shape.CROSS: "#009E73",
}


class SideView(QWidget):
    """Shows a ``Thing`` or nothing. Set it; it redraws."""

    def __init__(self, theme: look.Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._thing: Thing | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("Side task"))

    def sizeHint(self) -> QSize:
        """A band above the sheet."""
        return QSize(480, 88 + look.px(24))

    def set_theme(self, theme: look.Theme) -> None:
        """Draw in another theme from now on."""
        self._theme = theme
        self.update()

    def show_thing(self, thing: Thing | None) -> None:
        """Show another thing, or an empty place."""
        if thing != self._thing:
            self._thing = thing
            self.setAccessibleDescription(spoken(thing.says) if thing else self.tr("Nothing at the moment."))
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the keys at both sides and the thing in the middle."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        whole = QRectF(self.rect())
        painter.setPen(self._theme.colour("soft_ink"))
        painter.setFont(look.font(look.px(look.TYPE.lead)))
        middle = Qt.AlignmentFlag.AlignVCenter
        painter.drawText(whole.adjusted(8, 0, 0, 0), middle | Qt.AlignmentFlag.AlignLeft, "←")
        painter.drawText(whole.adjusted(0, 0, -8, 0), middle | Qt.AlignmentFlag.AlignRight, "→")
        if self._thing is not None:
            self._draw(painter, whole, self._thing)
        painter.end()

    def _draw(self, painter: QPainter, whole: QRectF, thing: Thing) -> None:
        centre = whole.center()
        if thing.shape is Shape.NONE:
            painter.setPen(self._theme.colour("ink"))
            painter.setFont(look.font(min(96, look.px(64)), serif=True, strong=True))
            painter.drawText(whole, Qt.AlignmentFlag.AlignCenter, spoken(thing.says))
            return
        box = QRectF(centre.x() - 36, whole.top() + 8, 72, 72)
        # Orange on light paper and blue on dark stand out too little (WCAG 2.2, 1.4.11): the outline does.
        painter.setPen(QPen(self._theme.colour("ink"), 2))
        painter.setBrush(QColor(HUES[thing.shape]))
        if thing.shape is Shape.DISC:
            painter.drawEllipse(box)
        elif thing.shape is Shape.SQUARE:
            painter.drawRect(box)
        elif thing.shape is Shape.TRIANGLE:
            painter.drawPolygon(QPolygonF([QPointF(centre.x(), box.top()), box.bottomRight(), box.bottomLeft()]))
        else:
            cross = QPainterPath()
            cross.addRect(QRectF(box.left(), box.center().y() - 12, 72, 24))
            upright = QPainterPath()
            upright.addRect(QRectF(centre.x() - 12, box.top(), 24, 72))
            painter.drawPath(cross.united(upright))
        painter.setPen(self._theme.colour("ink"))
        painter.setFont(look.font(look.px(look.TYPE.body)))
        painter.drawText(
            whole.adjusted(0, 0, 0, -2), Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignBottom,
            spoken(thing.says),
        )  # fmt: skip
