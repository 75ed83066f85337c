"""A trial on a record in the logbook: which one played, and who has confirmed its count."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from PySide6.QtCore import Qt

from app.ui.heading import LOGBOOK
from exercises.drills import drill
from exercises.trial.kept.record import record
from exercises.trial.trial import Answer


@pytest.mark.proof
@pytest.mark.parametrize(
    ("number", "corrected", "words"),
    [
        (2, False, "You have confirmed its count by ear."),
        (3, False, "The tutor has confirmed its count by ear."),
        (1, False, "Its count is not confirmed by ear."),
        (3, True, "Its count was set right after this trial."),
    ],
)
def test_the_trial_page_names_the_record_and_who_confirmed_it(window, qtbot, catalogue, number, corrected, words):
    recording = catalogue.get(f"{number:032x}")
    trial = drill("one").make(3, 3, recording=recording.source())
    answer = Answer(trial.targets_s, None)
    result = drill("one").mark(trial, answer)
    when = datetime(2030, 5, 1, 18, 0, tzinfo=UTC)
    window.session.practice.learner.logbook.add(record(trial, answer, result, when=when))
    if corrected:
        catalogue.keep(recording.with_grid(replace(recording.grid, one_s=0.5)).confirmed("tutor"))
    contents = window.contents
    contents.show_tab(LOGBOOK)
    contents.logbook.screen.wait()
    table = contents.logbook.screen.content.table
    played = table.trials.data(table.trials.index(0, 3), Qt.ItemDataRole.DisplayRole)
    assert played == f"{recording.name}, 120 BPM"
    table.selectRow(0)
    table.setFocus()
    qtbot.keyClick(table, Qt.Key.Key_Return)
    told = contents.logbook.page.about.text()
    assert f"{recording.name}, 120" in told
    assert told.endswith(words)
