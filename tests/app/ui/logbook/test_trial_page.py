"""An old trial, opened from the logbook by a row: its verdict, its sheet, its sound."""

from dataclasses import replace
from datetime import UTC, datetime

import msgspec
import numpy as np
import pytest
from PySide6.QtCore import Qt

from app.practice.trial.looking_back import LookingBack
from app.ui.window import Window
from exercises.drills import drill
from exercises.logbook.old_trials.again import ANOTHER_VERSION
from exercises.logbook.store import Logbook
from exercises.logbook.transfer import export, merge
from exercises.trial.kept.grid import Bars
from exercises.trial.kept.record import record
from exercises.trial.trial import Answer, Kind
from exercises.trial.versions import VERSION
from synth.base.errors import Trouble
from tests.app.windows import open_window

pytestmark = pytest.mark.sampled(4)

WHEN = datetime(2030, 5, 1, 18, 0, tzinfo=UTC)
LOGBOOK_TAB = 2


def kept(id, rung, answer, *, when=WHEN, **more):
    one = drill(id)
    trial = one.make(rung, 3)
    answer = answer(trial)
    result = None if "void" in more else one.mark(trial, answer)
    return record(trial, answer, result, when=when, **more)


def right(trial):
    return Answer(trial.targets_s, trial.expected)


def wrong(trial):
    values = [each for each in drill(trial.drill).answers(trial) if each != trial.expected]
    return Answer(trial.targets_s + 2 * trial.period_s, values[0] if values else None)


@pytest.fixture
def window(qtbot, practice, unheard) -> Window:
    return open_window(qtbot, practice, (1280, 800))


def opened(window, qtbot, *records):
    """The page of the latest of some trials, opened by Return on its row."""
    for each in records:
        window.session.practice.learner.logbook.add(each)
    contents = window.contents
    contents.show_tab(LOGBOOK_TAB)
    contents.logbook.screen.wait()
    table = contents.logbook.screen.content.table
    table.selectRow(0)
    table.setFocus()
    qtbot.keyClick(table, Qt.Key.Key_Return)
    assert contents.stack.currentWidget() is contents.logbook.page
    return contents.logbook.page


@pytest.mark.proof
@pytest.mark.parametrize("answer", [right, wrong])
def test_a_trial_opens_with_its_verdict_and_its_sheet(window, qtbot, answer):
    for id in ("one", "through", "intro", "stopped-bar", "in-line", "feel", "outro", "bring-in", "drum"):
        trial_record = kept(id, 2, answer)
        page = opened(window, qtbot, trial_record)
        result = trial_record.result
        assert (page.looking.trial.drill, page.sign.right) == (id, result["right"])
        assert page.heading.text().startswith("Right." if result["right"] else "Not yet.")
        assert page.sheet.isVisible()
        trial = trial_record.truth.trial(id, 2, 3, VERSION, trial_record.groove)
        if id != "drum":
            found = drill(id).sheet_marks(trial, trial_record.answer, drill(id).mark(trial, trial_record.answer))
            assert {mark.at_s for mark in found.marks} <= {mark.at_s for mark in page.sheet.truth.marks}
        assert page.strip.isHidden() == (result.get("hits", 0) < 3)
        if "hits" in result:
            assert len(page.sheet.marks) == len(trial_record.answer.taps_s)


def test_a_double_click_opens_it_and_escape_goes_back(window, qtbot):
    window.session.practice.learner.logbook.add(kept("one", 2, right))
    contents = window.contents
    contents.show_tab(LOGBOOK_TAB)
    contents.logbook.screen.wait()
    table = contents.logbook.screen.content.table
    table.doubleClicked.emit(table.trials.index(0, 1))
    assert contents.stack.currentWidget() is contents.logbook.page
    qtbot.keyClick(contents.logbook.page, Qt.Key.Key_Escape)
    assert contents.stack.currentWidget() is contents.logbook.screen


def test_it_is_heard_with_its_taps_and_the_sheet_follows(window, qtbot, player):
    page = opened(window, qtbot, kept("one", 2, right))
    assert page.notice.text() == ""
    qtbot.keyClick(page, Qt.Key.Key_H)
    assert player.playing
    count = page.looking.trial.count
    player.now_s = player.start_s + float(count.beats_s[5]) + 0.01
    page.tick()
    assert page.sheet.sounding == 5
    assert (page.hear.isVisible(), page.silence.isVisible()) == (False, True)
    qtbot.keyClick(page, Qt.Key.Key_H)
    assert not player.playing
    assert page.hear.isVisible()


def test_versions_of_a_wrong_answer_are_named_as_they_sound(window, qtbot, player):
    page = opened(window, qtbot, kept("faster", 2, wrong))
    names = [box.name.text() for box in page.versions.boxes if not box.isHidden()]
    assert [name.split(",")[0] for name in names] in (["the first", "the second"], ["the second", "the first"])
    qtbot.keyClick(page, Qt.Key.Key_H)
    for at, (start_s, end_s) in enumerate(page.looking.replaying._made.spans_s):
        player.now_s = player.start_s + (start_s + end_s) / 2
        page.tick()
        assert [box.property("state") for box in page.versions.boxes[:2]] == [
            "now" if each == at else "" for each in (0, 1)
        ]
        assert "sounds now" in page.versions.boxes[at].findChildren(type(page.notice))[1].text()


def test_leaving_the_page_ends_the_sound(window, qtbot, player):
    page = opened(window, qtbot, kept("one", 2, right))
    qtbot.keyClick(page, Qt.Key.Key_H)
    window.contents.show_tab(0)
    assert not player.playing


def test_a_trial_of_another_version_plays_the_drums_of_its_grid_and_says_so(window, qtbot, player):
    old = replace(kept("one", 2, wrong), version=VERSION - 1)
    page = opened(window, qtbot, old)
    assert page.notice.text() == str(ANOTHER_VERSION())
    qtbot.keyClick(page, Qt.Key.Key_H)
    assert player.playing


def test_the_sheet_of_another_version_shows_what_was_kept(window, qtbot):
    """The signs of the turns and the second record's ones, though the sound is another."""
    for id in ("turn", "in-line", "ahead", "outro"):
        trial_record = kept(id, 3, wrong)
        trial = trial_record.truth.trial(id, 3, 3, VERSION, trial_record.groove)
        found = drill(id).sheet_marks(trial, trial_record.answer, drill(id).mark(trial, trial_record.answer))
        page = opened(window, qtbot, replace(trial_record, version=VERSION - 1))
        assert page.looking.trial.drill == id
        assert page.notice.text()
        assert page.sheet.truth.marks == found.marks


def test_an_old_choice_plays_no_versions_of_drums_that_it_never_had(window, qtbot, player):
    page = opened(window, qtbot, replace(kept("drum", 6, wrong), version=VERSION - 1))
    assert page.versions.isHidden()
    qtbot.keyClick(page, Qt.Key.Key_H)
    assert player.playing


def test_a_void_trial_shows_its_count_and_why(window, qtbot, player):
    page = opened(window, qtbot, kept("one", 2, right, void="no taps"))
    assert page.heading.text().startswith("Void: ")
    assert page.sign.isHidden()
    assert page.strip.isHidden()
    qtbot.keyClick(page, Qt.Key.Key_H)
    assert player.playing


def test_what_cannot_be_opened_is_told(window, qtbot):
    gone = replace(kept("one", 2, right), version=VERSION + 7, truth=None)
    window.session.practice.learner.logbook.add(gone)
    contents = window.contents
    contents.show_tab(LOGBOOK_TAB)
    contents.logbook.screen.wait()
    table = contents.logbook.screen.content.table
    table.doubleClicked.emit(table.trials.index(0, 0))
    assert contents.stack.currentWidget() is contents.logbook.screen
    assert "Another version" in contents.logbook.screen.line.text()


def test_a_pupils_trial_from_an_imported_logbook_opens(window, qtbot, tmp_path):
    """With the pupil's own verdict, marked from the pupil's own truth, and in their name."""
    with Logbook.open(tmp_path / "pupil.sqlite3") as pupil:
        pupil.add(replace(kept("one", 2, wrong), learner="Ada"))
        export(pupil, tmp_path / "pupil.jsonl")
    merge(window.session.practice.learner.logbook, tmp_path / "pupil.jsonl")
    contents = window.contents
    contents.logbook.open_screen().show_learner("Ada")
    page = opened(window, qtbot)
    assert page.about.text().startswith("Ada, ")
    assert page.sign.right is False
    assert len(page.sheet.missed) == len(page.looking.trial.targets_s)


def test_taps_stand_where_they_were_marked(window, qtbot):
    trial_record = kept("one", 2, lambda trial: Answer(trial.targets_s + 0.03))
    page = opened(window, qtbot, trial_record)
    assert [mark.at_s for mark in page.sheet.marks] == trial_record.answer.taps_s.tolist()
    assert np.allclose([mark.error_ms for mark in page.sheet.marks], 0, atol=1e-6)  # from their own mean
    assert Kind(page.looking.trial.kind) is Kind.TAPS


def test_trials_before_the_latest_are_listed_on_request(window, qtbot, monkeypatch):
    """So that any can be opened; the list stays where it is."""
    monkeypatch.setattr("app.ui.logbook.screen.LATEST", 2)
    contents, book = window.contents, window.session.practice.learner.logbook
    for minute in range(5):
        book.add(kept("beat", 1, right, when=WHEN.replace(minute=minute)))
    screen = contents.logbook.open_screen()
    screen._question = replace(screen._question, listed=2)
    contents.show_tab(LOGBOOK_TAB)
    screen.wait()
    page = screen.content
    for rows in (2, 4, 5):
        assert page.table.trials.rowCount() == rows
        assert page._more.isHidden() == (rows == 5)
        if rows < 5:
            page._more.click()
            screen.wait()


@pytest.mark.parametrize("phrase_bars", [0, 1])
def test_a_count_that_no_sheet_can_show_is_refused(practice, phrase_bars):
    """A phrase of bars without end, or phrases without end: a logbook of others may have them."""
    found = kept("one", 2, right)
    beats = sum(each.beats for each in found.truth.numbers)
    half = beats // 2
    numbers = [Bars(1, 1, 1, 1, half, 4, phrase_bars)]
    numbers.append(Bars(900_000 * phrase_bars + 1, 1, 1 if phrase_bars else 900_000, 1, beats - half, 4, phrase_bars))
    truth = msgspec.structs.replace(found.truth, numbers=numbers)
    with pytest.raises(Trouble, match="more bars than a sheet"):
        LookingBack(replace(found, truth=truth), practice.player)
