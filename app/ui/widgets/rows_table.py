"""A table of records, one a row: its model of texts, and the view."""

from collections.abc import Sequence
from typing import Any, Generic, TypeVar

from PySide6.QtCore import QAbstractTableModel, QEvent, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from app.ui.base import theme as look
from app.ui.widgets.controls import plain_tip

Index = QModelIndex | QPersistentModelIndex
Record = TypeVar("Record")
LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class RowsModel(QAbstractTableModel, Generic[Record]):
    """Records as rows of text under ``columns``; those of ``at_right`` stand at the right."""

    columns: tuple[str, ...] = ()
    at_right: tuple[int, ...] = ()

    def __init__(self) -> None:
        super().__init__()
        self._rows: Sequence[Record] = ()

    def text(self, record: Record, column: int) -> str:
        """The text of a cell."""
        raise NotImplementedError

    def show_rows(self, records: Sequence[Record]) -> None:
        """Replace the rows."""
        self.beginResetModel()
        self._rows = records
        self.endResetModel()

    def record(self, row: int) -> Record:
        """The record of a row."""
        return self._rows[row]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self.columns)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = 0) -> Any:
        if role == Qt.ItemDataRole.DisplayRole and orientation == Qt.Orientation.Horizontal:
            return self.columns[section]
        return None

    def data(self, index: Index, role: int = 0) -> Any:
        """The text of a cell, also as its tool tip, as a cell may be cut off."""
        if role == Qt.ItemDataRole.DisplayRole:
            return self.text(self._rows[index.row()], index.column())
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(self.text(self._rows[index.row()], index.column()))
        if role == Qt.ItemDataRole.TextAlignmentRole and index.column() in self.at_right:
            return RIGHT
        return None


class RowsTable(QTableView):
    """The table, at least ``least_rows`` high. ``opened`` brings a record: by a double click, or by Return."""

    opened = Signal(object)

    def __init__(self, model: RowsModel[Any], least_rows: int) -> None:
        super().__init__()
        self._records, self._least_px = model, least_rows * look.TARGET_PX
        self.setModel(model)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()
        self._size_rows()
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setStretchLastSection(True)
        header.setDefaultAlignment(LEFT)
        self.doubleClicked.connect(self._open)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open the chosen record by Return."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self._open(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def _open(self, index: Index) -> None:
        self.opened.emit(self._records.record(index.row()))

    def _lines(self) -> int:
        """Lines of text in a row."""
        return 1

    def _size_rows(self) -> None:
        text_px = round(self._lines() * look.px(look.TYPE.body) * 1.25)
        row_px = max(look.TARGET_PX, text_px + 16)
        self.verticalHeader().setDefaultSectionSize(row_px)
        around_px = self.horizontalHeader().sizeHint().height() + 2 * self.frameWidth()
        self.setMinimumHeight(max(self._least_px, around_px + 2 * row_px))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.StyleChange:
            self._size_rows()
