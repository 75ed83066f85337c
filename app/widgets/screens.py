"""One screen at a time, each with the room that it needs itself; what is larger than the window can be scrolled."""

from PySide6.QtCore import QCoreApplication, QSize, Qt
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QStackedWidget, QWidget

from app.widgets.controls import named


class Screens(QStackedWidget):
    """A stack that is no larger than the screen that is shown, whatever the others need."""

    def __init__(self) -> None:
        super().__init__()
        self.currentChanged.connect(lambda _: self.updateGeometry())

    def minimumSizeHint(self) -> QSize:
        """That of the screen that is shown."""
        shown = self.currentWidget()
        return QSize() if shown is None else shown.minimumSizeHint()

    def heightForWidth(self, width: int) -> int:
        """The least that the screen that is shown can do with."""
        shown = self.currentWidget()
        return -1 if shown is None or not shown.hasHeightForWidth() else least_height(shown, width)


def least_height(widget: QWidget, width: int) -> int:
    """The height below which something in a widget's layout would be cut at this width.

    Qt's own height for a width is the one that is preferred, which for parts that take what is left is nothing.
    """
    layout = widget.layout()
    return widget.heightForWidth(width) if layout is None else layout.totalMinimumHeightForWidth(width)


class Page(QWidget):
    """What stands in a ``Scrolled``: no part of it is squeezed below what it needs at the page's width."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("screen")

    def heightForWidth(self, width: int) -> int:
        """The least that the parts can do with."""
        return least_height(self, width)


class Scrolled(QScrollArea):
    """A place for something that may be larger than its room: as large as the room if it fits, else scrolled.

    It takes the keyboard only while there is something to scroll; its arrow keys scroll then.
    """

    def __init__(self, inner: QWidget) -> None:
        super().__init__()
        self.setObjectName("scrolled")
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        named(
            self,
            QCoreApplication.translate("HelpScreen", "Page"),
            QCoreApplication.translate("HelpScreen", "The arrow keys scroll it."),
        )
        self.setWidget(inner)
        self.verticalScrollBar().rangeChanged.connect(self._let_scroll)
        self._let_scroll(0, 0)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """The scroll bar shows that the keyboard is here."""
        super().focusInEvent(event)
        self._hold(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """It is elsewhere again."""
        super().focusOutEvent(event)
        self._hold(False)

    def _hold(self, held: bool) -> None:
        bar = self.verticalScrollBar()
        bar.setProperty("held", held)
        bar.style().polish(bar)

    def _let_scroll(self, _low: int, high: int) -> None:
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus if high else Qt.FocusPolicy.NoFocus)


def scrolled(inner: QWidget) -> Scrolled:
    """A place for something that may be larger than its room."""
    return Scrolled(inner)
