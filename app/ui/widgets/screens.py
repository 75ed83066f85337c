"""A stack with the size of its current screen, and a scroll area for content larger than the window."""

from PySide6.QtCore import QCoreApplication, QSize, Qt
from PySide6.QtGui import QHideEvent, QMoveEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QScrollBar, QStackedWidget, QWidget

from app.ui.base import theme as look
from app.ui.widgets.controls import named

# The width of a scroll bar, and that of a screen's margin at the right.
BAR_PX, MARGIN_PX = 2 * look.STEP_PX, 5 * look.STEP_PX
# Largest size of the welcome's pages (at 100 % text size), centred in a larger window.
WIDEST_PX, TALLEST_PX = 1200, 720
# Below this width (at 100 % text size) their words and pictures are stacked.
SIDE_BY_SIDE_PX = 800


class Screens(QStackedWidget):
    """A stack with the size of its current screen."""

    def __init__(self) -> None:
        super().__init__()
        self.currentChanged.connect(lambda _: self.updateGeometry())

    def minimumSizeHint(self) -> QSize:
        shown = self.currentWidget()
        return QSize() if shown is None else shown.minimumSizeHint()

    def heightForWidth(self, width: int) -> int:
        shown = self.currentWidget()
        return -1 if shown is None or not shown.hasHeightForWidth() else least_height(shown, width)


def least_height(widget: QWidget, width: int) -> int:
    """The least height at this width that cuts nothing in a widget's layout.

    Qt's height for a width is the preferred one, which is 0 for parts that take the remaining space.
    """
    layout = widget.layout()
    return widget.heightForWidth(width) if layout is None else layout.totalMinimumHeightForWidth(width)


def inset(room: QSize) -> tuple[int, int]:
    """Margins in px, beside and above, of the welcome's pages in a room."""
    beside = max(look.STEP_PX * 5, (room.width() - look.px(WIDEST_PX)) // 2)
    return beside, max(look.STEP_PX * 3, (room.height() - look.px(TALLEST_PX)) // 2)


class ScrollPage(QWidget):
    """The content of a ``Scrolled``: no part becomes lower than it needs at the page's width."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("screen")

    def heightForWidth(self, width: int) -> int:
        return least_height(self, width)


class Scrolled(QScrollArea):
    """A scroll area whose content takes the whole area if it fits.

    Its ``bar`` lies in the right margin: of the parent if that has one, else of the content, which must leave 16 px.
    It takes the focus and the arrow keys only while there is something to scroll. A rule marks more content below.
    """

    def __init__(self, inner: QWidget) -> None:
        super().__init__()
        self.setObjectName("scrolled")
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        named(
            self,
            QCoreApplication.translate("HelpScreen", "Page"),
            QCoreApplication.translate("HelpScreen", "The arrow keys scroll it."),
        )
        self._more = QFrame(self)
        self._more.setObjectName("rule")
        self.bar = QScrollBar(Qt.Orientation.Vertical, self)
        self.destroyed.connect(self.bar.deleteLater)  # it may be a child of this one's parent
        own = self.verticalScrollBar()
        own.rangeChanged.connect(self._let_scroll)
        own.valueChanged.connect(self._show_value)
        self.bar.valueChanged.connect(own.setValue)
        self.setWidget(inner)
        self._let_scroll(0, own.maximum())

    def _let_scroll(self, _low: int, high: int) -> None:
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus if high else Qt.FocusPolicy.NoFocus)
        self.bar.setRange(0, high)
        self._show_value(self.verticalScrollBar().value())
        self._place()

    def _show_value(self, value: int) -> None:
        self.bar.setValue(value)
        self._more.setVisible(value < self.verticalScrollBar().maximum())

    def _place(self) -> None:
        """Place the bar at the right edge of the margin and the rule at the lower edge."""
        parent = self.parentWidget()
        margin_px = 0 if parent is None else parent.width() - self.geometry().right() - 1
        outside = parent is not None and margin_px >= BAR_PX
        holder = parent if outside else self
        if self.bar.parentWidget() is not holder:
            self.bar.setParent(holder)
        right = self.geometry().right() + 1 + min(margin_px, MARGIN_PX) if outside else self.width()
        self.bar.setGeometry(right - BAR_PX, self.y() if outside else 0, BAR_PX, self.height())
        self.bar.setPageStep(self.verticalScrollBar().pageStep())
        self.bar.setSingleStep(self.verticalScrollBar().singleStep())
        self.bar.setVisible(self.bar.maximum() > 0 and (not outside or self.isVisible()))
        self.bar.raise_()
        self._more.setGeometry(0, self.height() - 1, self.width(), 1)
        self._more.raise_()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._place()

    def moveEvent(self, event: QMoveEvent) -> None:
        super().moveEvent(event)
        self._place()

    def showEvent(self, event: QShowEvent) -> None:
        """Show the bar too."""
        super().showEvent(event)
        self._place()

    def hideEvent(self, event: QHideEvent) -> None:
        """Hide the bar too."""
        super().hideEvent(event)
        if self.bar.parentWidget() is not self:
            self.bar.hide()


def scrolled(inner: QWidget) -> Scrolled:
    """A scroll area for a widget that may be larger than the window."""
    return Scrolled(inner)
