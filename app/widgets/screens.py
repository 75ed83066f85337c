"""One screen at a time, each with the room that it needs itself; what is larger than the window can be scrolled."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QFrame, QScrollArea, QStackedWidget, QWidget


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
        """That of the screen that is shown."""
        shown = self.currentWidget()
        return -1 if shown is None or not shown.hasHeightForWidth() else shown.heightForWidth(width)


def scrolled(inner: QWidget) -> QScrollArea:
    """A place for something that may be larger than its room: as large as the room if it fits, else scrolled."""
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidget(inner)
    return area
