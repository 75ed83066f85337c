"""Right or wrong as a shape: a filled disc with a tick, or an open ring."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from app.ui.base import theme as look

# The tick, in halves of the disc's height from its centre.
TICK = ((-0.42, 0.05), (-0.1, 0.38), (0.46, -0.34))


class VerdictSign(QWidget):
    """Hidden where nothing is marked."""

    def __init__(self) -> None:
        super().__init__()
        self.right: bool | None = None
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.hide()

    def sizeHint(self) -> QSize:
        """About as tall as the capitals of a verdict."""
        side = look.px(look.TYPE.title)
        return QSize(side, side)

    @property
    def taken_px(self) -> int:
        """The width that it takes from its heading, with the gap between them."""
        return 0 if self.isHidden() else self.sizeHint().width() + look.STEP_PX * 2

    def show_verdict(self, right: bool | None, heading: QLabel) -> None:
        """Show a verdict, and give its heading the weight: strong if right, light if wrong."""
        self.right = right
        self.setVisible(right is not None)
        self.updateGeometry()
        self.update()
        wrong = right is False
        if bool(heading.property("wrong")) is not wrong:
            heading.setProperty("wrong", wrong)
            heading.style().polish(heading)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        half, middle = self.width() / 2, QRectF(self.rect()).center()
        painter.setPen(QPen(look.colour("ink"), max(2.0, half / 7)))
        painter.setBrush(look.colour("ink") if self.right else Qt.BrushStyle.NoBrush)
        painter.drawEllipse(middle, half * 0.82, half * 0.82)
        if self.right:
            pen = QPen(look.colour("paper"), max(2.0, half / 5))
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
            painter.setPen(pen)
            painter.drawPolyline(QPolygonF([middle + QPointF(x * half * 0.9, y * half * 0.9) for x, y in TICK]))
        painter.end()
