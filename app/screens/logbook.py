"""The logbook screen: what was practised, newest first."""

from typing import Any

from PySide6.QtCore import QAbstractTableModel, QDateTime, QLocale, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QVBoxLayout, QWidget

from app import theme as look
from app.widgets.controls import label, named
from app.words import spoken
from exercises.drills import drills
from exercises.logbook.record import TrialRecord
from exercises.logbook.store import Logbook
from exercises.words import Say

SHOWN = 500
Index = QModelIndex | QPersistentModelIndex


class TrialsModel(QAbstractTableModel):
    """The trials of a logbook as rows of text."""

    def __init__(self) -> None:
        super().__init__()
        self._rows: list[TrialRecord] = []
        self.columns = (
            self.tr("When"),
            self.tr("Drill"),
            self.tr("Rung"),
            self.tr("Played"),
            self.tr("Met"),
            self.tr("Spread"),
            self.tr("In words"),
        )

    def show_trials(self, records: list[TrialRecord]) -> None:
        """Replace the rows."""
        self.beginResetModel()
        self._rows = records
        self.endResetModel()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """One row a trial."""
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """One column a heading."""
        return 0 if parent.isValid() else len(self.columns)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = 0) -> Any:
        """The headings."""
        if role == Qt.ItemDataRole.DisplayRole and orientation == Qt.Orientation.Horizontal:
            return self.columns[section]
        return None

    def data(self, index: Index, role: int = 0) -> Any:
        """The text of a cell; the whole of it as a tool tip too, where it may be cut off."""
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return self._texts(self._rows[index.row()])[index.column()]
        return None

    def _texts(self, record: TrialRecord) -> tuple[str, ...]:
        when = QDateTime.fromString(record.when, Qt.DateFormat.ISODate).toLocalTime()
        known = drills().get(record.drill)
        result = record.result or {}
        met = f"{result['hits']} / {result['targets']}" if "hits" in result else ""
        spread = result.get("spread_ms")
        if record.void:
            words = self.tr("Void: {why}").format(why=record.void)
        else:
            words = " ".join(spoken(Say.from_json(say)) for say in result.get("verdict", ()))
        if record.simulated:
            words = self.tr("Simulated learner. {words}").format(words=words)
        return (
            QLocale().toString(when, QLocale.FormatType.ShortFormat),
            spoken(known.title()) if known else record.drill,
            str(record.rung),
            self.tr("{groove}, {tempo:.0f} BPM").format(groove=record.groove, tempo=record.tempo_bpm),
            met,
            self.tr("{ms:.0f} ms").format(ms=spread) if spread is not None else "",
            words,
        )


class LogbookScreen(QWidget):
    """A plain list of the latest trials."""

    def __init__(self, logbook: Logbook | None) -> None:
        super().__init__()
        self.setObjectName("screen")
        self._logbook = logbook
        self._model = TrialsModel()
        self._empty = label("", "lead", wrap=True)
        self._table = QTableView()
        self._table.setModel(self._model)
        self._table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self._table.setShowGrid(False)
        self._table.verticalHeader().hide()
        self._table.verticalHeader().setDefaultSectionSize(look.TARGET_PX)
        header = self._table.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setStretchLastSection(True)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        named(self._table, self.tr("Trials"), self.tr("One row a trial, the newest first."))
        column = QVBoxLayout(self)
        step = look.STEP_PX
        column.setContentsMargins(step * 5, step * 3, step * 5, step * 3)
        column.setSpacing(step * 2)
        column.addWidget(label(self.tr("Logbook"), "title"))
        column.addWidget(self._empty)
        column.addWidget(self._table, 1)

    def refresh(self) -> None:
        """Read the latest trials again."""
        records = self._logbook.trials(SHOWN) if self._logbook is not None else []
        self._model.show_trials(records)
        self._table.setVisible(bool(records))
        if self._logbook is None:
            self._empty.setText(self.tr("Nothing is being saved at present."))
        else:
            self._empty.setText(
                "" if records else self.tr("Nothing here yet. Your first trial will be the first line.")
            )
        self._empty.setVisible(not records)
