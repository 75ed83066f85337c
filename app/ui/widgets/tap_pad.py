"""The pad of a calibration: any key, a click or a touch is a tap, each acknowledged by a pen stroke."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from app.ui.base import theme as look
from app.ui.widgets.controls import label, row
from app.ui.widgets.sheet.pen_strokes import EvenStrokes

RULED_PX = 72


class TapPad(QFrame):
    """Shows what counts as a tap, how many are still wanted, and a stroke a tap on a rule below."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)
        step = look.STEP_PX
        self.wanted = label("", "lead")
        words = row(label(self.tr("Any key; or click or touch here."), "soft"), None, self.wanted)
        column = QVBoxLayout(self)
        column.setContentsMargins(step * 2, step * 2, step * 2, step * 2)
        column.addLayout(words)
        column.addSpacing(RULED_PX)
        for each in self.findChildren(QWidget):
            each.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.strokes = EvenStrokes()

    def begin(self) -> None:
        """An empty pad."""
        self.strokes.begin()
        self.update()

    def show_wanted(self, taps: int) -> None:
        """Tell how many taps are still wanted."""
        self.wanted.setText(self.tr("Taps still wanted: {n}").format(n=taps))

    def show_tap(self) -> None:
        """Acknowledge a tap; only its stroke is painted."""
        self.strokes.add()
        for box in self.strokes.changed(self._ruled(), 1):
            self.update(box.toAlignedRect())

    def _ruled(self) -> QRectF:
        step = look.STEP_PX * 2
        return QRectF(step, self.height() - step - RULED_PX, self.width() - 2 * step, RULED_PX)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the rule and the strokes on the card."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ruled = self._ruled()
        foot = round(ruled.bottom()) - 0.5
        painter.setPen(QPen(look.colour("rule"), 1))
        painter.drawLine(QPointF(ruled.left(), foot), QPointF(ruled.right(), foot))
        self.strokes.draw(painter, ruled, 1)
        painter.end()
