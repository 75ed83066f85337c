"""The latest trials as a list, the newest first."""

from collections.abc import Sequence
from datetime import datetime
from typing import cast

from PySide6.QtCore import QDateTime, QLocale, Qt

from app.ui.base.numbers_and_dates import moment_words
from app.ui.base.words import spoken, spoken_all
from app.ui.logbook.logbook_words import played_words
from app.ui.widgets.controls import named
from app.ui.widgets.rows_table import RowsModel, RowsTable
from exercises.drills import drills, rung_now
from exercises.trial.kept.record import TrialRecord
from exercises.trial.marking import FEWEST_HITS
from exercises.trial.result import said
from synth.base.words import Say
from synth.device.faults import from_kept

# Number of rows that determine the width of columns: measuring all would take longer than showing them.
MEASURED = 30


class TrialsModel(RowsModel[TrialRecord]):
    """The trials of a logbook as rows of text."""

    def __init__(self) -> None:
        super().__init__()
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
        self._all_invented = all(record.simulated for record in records)
        self.show_rows(records)

    def text(self, record: TrialRecord, column: int) -> str:
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
                return self.tr("{groove}, {tempo} BPM").format(groove=played_words(record), tempo=tempo)
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


class TrialsTable(RowsTable):
    """The list itself."""

    def __init__(self) -> None:
        self.trials = TrialsModel()
        super().__init__(self.trials, least_rows=9)
        self.horizontalHeader().setResizeContentsPrecision(MEASURED)  # the last column takes what is left, unmeasured
        about = self.tr("One row a trial, the newest first. A double click, or Return, opens it.")
        named(self, self.tr("Trials"), about)

    def show_trials(self, records: Sequence[TrialRecord]) -> None:
        """Replace the rows; the first ones determine the width of the columns."""
        self.trials.show_trials(records)
        for column in range(len(self.trials.columns) - 1):
            self.resizeColumnToContents(column)
