"""The records as a list."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView

from app.practice.records.shelf import By
from app.ui.base import theme as look
from app.ui.records.record_words import RecordWords
from app.ui.widgets.controls import named
from app.ui.widgets.rows_table import RowsModel, RowsTable
from synth.catalogue.recording import Recording

# Columns that large text leaves no room for: the page of the record has what they say.
FIRST_TO_GO = (2, 3)
# Where the list is narrower, rows have two lines; width of the last column, in which its longest usual text has two
# (at 100 % text size).
NARROW_PX, STAND_PX = 900, 156
# The order that a click on the head of a column gives.
ORDERS = {0: By.TITLE, 1: By.TEMPO, 4: By.STATE}


class RecordsModel(RowsModel[Recording]):
    """Records as rows of text; numbers stand at the right."""

    at_right = (1, 2)

    def __init__(self) -> None:
        super().__init__()
        self._missing: frozenset[str] = frozenset()
        self._words = RecordWords(self)
        self.columns = (self.tr("Record"), self.tr("Tempo"), self.tr("Length"), self.tr("Intro"), self.tr("Count"))
        self.usual = ("888.88 BPM", "8:88:88", self._words.bars(88))

    def show_records(self, rows: Sequence[Recording], missing: frozenset[str]) -> None:
        """Replace the rows."""
        self._missing = missing
        self.show_rows(rows)

    def row_of(self, print: str) -> int | None:
        """The row of a record by its id."""
        return next((row for row, each in enumerate(self._rows) if each.print == print), None)

    def text(self, recording: Recording, column: int) -> str:
        match column:
            case 0:
                return self._words.title(recording)
            case 1:
                return self._words.tempo(recording.grid)
            case 2:
                return self._words.length(recording)
            case 3:
                return self._words.intro(recording)
        return self._words.stand(recording, missing=recording.print in self._missing)


class RecordsTable(RowsTable):
    """The list itself. ``forgotten`` brings a record by Delete, ``ordered`` another order; ``moved``: another row."""

    forgotten = Signal(object)
    ordered = Signal(object)
    moved = Signal()

    def __init__(self) -> None:
        self.records = RecordsModel()
        self._sized = 0
        super().__init__(self.records, least_rows=4)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        header = self.horizontalHeader()
        header.setSectionsClickable(True)
        header.sectionClicked.connect(lambda at: self.ordered.emit(ORDERS[at]) if at in ORDERS else None)
        self.selectionModel().currentChanged.connect(lambda *_: self.moved.emit())
        named(
            self,
            self.tr("Your records"),
            self.tr("One row a record. A double click, or Return, opens it; Delete takes it out of the list."),
        )

    @property
    def record(self) -> Recording | None:
        """The record that is chosen."""
        index = self.currentIndex()
        return self.records.record(index.row()) if index.isValid() else None

    def choose(self, print: str) -> None:
        """Choose a record by its id."""
        row = self.records.row_of(print)
        if row is not None:
            self.selectRow(row)

    def show_records(self, rows: Sequence[Recording], missing: frozenset[str]) -> None:
        """Replace the rows; the record that is chosen stays so, and the first rows determine the columns."""
        chosen = self.record
        self.records.show_records(rows, missing)
        if chosen is not None:
            self.choose(chosen.print)
        if not self.currentIndex().isValid() and rows:
            self.selectRow(0)
        if rows:
            self._size_columns()
        self.moved.emit()

    def _size_columns(self) -> None:
        """Give the columns their widths, once for each text size."""
        if self._sized == look.px(1000) or not self.records.rowCount():
            return
        self._sized = look.px(1000)
        for column in FIRST_TO_GO:
            self.setColumnHidden(column, look.px(100) > look.LARGE)
        # By the longest texts that are usual: to ask thousands of rows would take longer than to show them.
        metrics = self.fontMetrics()
        for column, usual in enumerate(self.records.usual):
            texts = (usual, self.records.columns[column + 1])
            widest = max(map(metrics.horizontalAdvance, texts))
            self.setColumnWidth(column + 1, widest + 5 * look.STEP_PX)
        self._size_titles()

    def _size_titles(self) -> None:
        """Leave the titles what the other columns do not need, and two lines where that is little."""
        self._size_rows()
        wide = self.viewport().width()
        others = sum(self.columnWidth(at) for at in range(1, 4) if not self.isColumnHidden(at))
        rest = wide - others - look.px(STAND_PX)
        self.setColumnWidth(0, rest if self._lines() > 1 else wide * 3 // 10)

    def _lines(self) -> int:
        return 2 if self.viewport().width() < look.px(NARROW_PX) else 1

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._size_titles()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the chosen record out by Delete."""
        recording = self.record
        if recording is not None and event.key() == Qt.Key.Key_Delete:
            self.forgotten.emit(recording)
        else:
            super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.StyleChange:
            self._size_columns()
