"""The focus ring: outside the control and with a gap, so that the control does not look chosen."""

from weakref import WeakSet

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QScrollBar,
    QWidget,
)
from shiboken6 import isValid

from app.ui.base import theme as look
from app.ui.widgets.screens import Scrolled

GAP_PX, WIDTH_PX = 2, 2
RINGED = (QAbstractButton, QAbstractSpinBox, QComboBox, QLineEdit)
MOVES = (QEvent.Type.Move, QEvent.Type.Resize, QEvent.Type.Show, QEvent.Type.Hide, QEvent.Type.ParentChange)


# Rings do not receive the signal themselves: a window that is collected while it has the focus would send it to a
# ring that is partly collected.
_rings: WeakSet["FocusRing"] = WeakSet()


def _tell(_before: QWidget | None, now: QWidget | None) -> None:
    for ring in list(_rings):
        if isValid(ring):
            ring.follow(now)


class FocusRing(QWidget):
    """An overlay of a window that follows the keyboard focus; widgets that paint themselves show it themselves."""

    # A class default: events may still arrive when this object's attributes have been collected with its window.
    _round: QWidget | None = None

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._watched: list[QWidget] = []
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAttribute(Qt.WidgetAttribute.WA_NoSystemBackground)
        self.hide()
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        if not application.property("rings"):
            application.setProperty("rings", True)
            application.focusChanged.connect(_tell)
        _rings.add(self)

    def follow(self, now: QWidget | None) -> None:
        """Surround the focused control if it is in this window; for a scrolled page, its scroll bar."""
        for each in self._watched:
            if isValid(each):
                each.removeEventFilter(self)
        self._watched, self._round = [], None
        if now is not None and now.window() is self.parentWidget():
            if isinstance(now, Scrolled):
                self._round = now.bar
            elif isinstance(now, RINGED):
                self._round = now
        part: QWidget | None = self._round
        while part is not None:
            part.installEventFilter(self)
            self._watched.append(part)
            part = None if part.isWindow() else part.parentWidget()
        self._place()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow moves of the control, of its parents and of a scrolled page."""
        if event.type() in MOVES:
            self._place()
        return False

    def _place(self) -> None:
        control, window = self._round, self.parentWidget()
        if control is None or not isValid(control) or not control.isVisible() or window is None:
            self.hide()
            return
        around = self._wanted()
        holder: QWidget | None = control.parentWidget()
        while holder is not None and holder is not window:  # clipped like its page
            above = holder.parentWidget()
            if isinstance(above, QAbstractScrollArea) and above.viewport() is holder:
                around &= QRect(holder.mapTo(window, QPoint()), holder.size())
            holder = above
        self.setGeometry(around)
        self.setVisible(not around.isEmpty())
        self.raise_()
        self.update()

    def _wanted(self) -> QRect:
        """The ring's outer edge in window coordinates, before clipping."""
        window = self.parentWidget()
        assert self._round is not None
        assert window is not None
        out = 0 if isinstance(self._round, QScrollBar) else GAP_PX + WIDTH_PX  # a bar has its own margin
        corner = self._round.mapTo(window, QPoint())
        return QRect(corner, self._round.size()).adjusted(-out, -out, out, out)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the ring, clipped like its page."""
        if self._round is None or not isValid(self._round):
            return
        half = WIDTH_PX / 2
        ring = QRectF(self._wanted().translated(-self.pos())).adjusted(half, half, -half, -half)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(look.colour("ink"), WIDTH_PX))
        painter.drawRoundedRect(ring, 6 + GAP_PX, 6 + GAP_PX)
        painter.end()
