"""The latest trials as a list, the newest first."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any, cast

from PySide6.QtCore import (
    QAbstractTableModel,
    QDateTime,
    QEvent,
    QLocale,
    QModelIndex,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from app.ui.base import theme as look
from app.ui.base.numbers_and_dates import moment_words
from app.ui.base.words import groove_words, spoken, spoken_all
from app.ui.widgets.controls import named, plain_tip
from exercises.drills import drills, rung_now
from exercises.trial.marking import FEWEST_HITS
from exercises.trial.record import TrialRecord
from exercises.trial.trial import said
from synth.base.words import Say
from synth.device.faults import from_kept

Index = QModelIndex | QPersistentModelIndex
# Number of rows that determine the width of columns: measuring all would take longer than showing them.
MEASURED = 30


class TrialsModel(QAbstractTableModel):
    """The trials of a logbook as rows of text."""

    def __init__(self) -> None:
        super().__init__()
        self._rows: Sequence[TrialRecord] = ()
        self._all_invented = False
        self.columns = (
            self.tr("When"),
            self.tr("Drill"),
            self.tr("Rung"),
            self.tr("Played"),
            self.tr("Met"),
            self.tr("Spread"),
            self.tr("In words"),
        )

    def show_trials(self, records: Sequence[TrialRecord]) -> None:
        """Replace the rows."""
        self.beginResetModel()
        self._rows = records
        self._all_invented = all(record.simulated for record in records)
        self.endResetModel()

    def record(self, row: int) -> TrialRecord:
        """The trial of a row."""
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
            return self._text(self._rows[index.row()], index.column())
        if role == Qt.ItemDataRole.ToolTipRole:
            return plain_tip(self._text(self._rows[index.row()], index.column()))
        return None

    def _text(self, record: TrialRecord, column: int) -> str:
        result = record.result or {}
        match column:
            case 0:
                when = QDateTime.fromString(record.when, Qt.DateFormat.ISODate).toLocalTime()
                return moment_words(cast(datetime, when.toPython()))
            case 1:
                known = drills().get(record.drill)
                return spoken(known.title()) if known else record.drill
            case 2:
                return QLocale().toString(rung_now(record.drill, record.rung_id) or record.rung)
            case 3:
                tempo = QLocale().toString(float(record.tempo_bpm), "f", 0)
                heard = None if record.truth is None else record.truth.recorded
                groove = groove_words(record.groove) if heard is None else heard.title
                return self.tr("{groove}, {tempo} BPM").format(groove=groove, tempo=tempo)
            case 4:
                return f"{result['hits']} / {result['targets']}" if "hits" in result else ""
            case 5:
                spread = result.get("spread_ms")
                if spread is None or result.get("hits", 0) < FEWEST_HITS:
                    return ""
                return self.tr("{ms} ms").format(ms=QLocale().toString(float(spread), "f", 0))
        if record.void:
            words = self.tr("Void: {why}").format(why=spoken(from_kept(record.void)))
        else:
            words = spoken_all(said(result.get("right"), map(Say.from_json, result.get("verdict", ()))))
        if not record.simulated or self._all_invented:  # if all are simulated, the screen's head says so
            return words
        return self.tr("Simulated learner. {words}").format(words=words)


class TrialsTable(QTableView):
    """The list itself. ``opened`` brings the trial of a row that was chosen: by a double click, or by Return."""

    opened = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.trials = TrialsModel()
        self.doubleClicked.connect(self._open)
        self.setModel(self.trials)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()
        self._size_rows()
        self.setMinimumHeight(9 * look.TARGET_PX)
        header = self.horizontalHeader()
        header.setResizeContentsPrecision(MEASURED)  # the last column takes what is left and is not measured
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setStretchLastSection(True)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        about = self.tr("One row a trial, the newest first. A double click, or Return, opens it.")
        named(self, self.tr("Trials"), about)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open the chosen trial by Return."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentIndex().isValid():
            self._open(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def _open(self, index: Index) -> None:
        self.opened.emit(self.trials.record(index.row()))

    def _size_rows(self) -> None:
        self.verticalHeader().setDefaultSectionSize(max(look.TARGET_PX, round(look.px(look.TYPE.body) * 1.25) + 16))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.StyleChange:
            self._size_rows()

    def show_trials(self, records: Sequence[TrialRecord]) -> None:
        """Replace the rows; the first ones determine the width of the columns."""
        self.trials.show_trials(records)
        for column in range(len(self.trials.columns) - 1):
            self.resizeColumnToContents(column)
