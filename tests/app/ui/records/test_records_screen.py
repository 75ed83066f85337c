"""The page Records: the list by keys and by mouse, files dropped on it, and the analysis that goes on behind it."""

from dataclasses import replace

import pytest
from PySide6.QtCore import QCoreApplication, QMimeData, QPoint, QPointF, QRect, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QApplication, QWidget

from app.practice.board.board_phrase import Hear
from app.practice.records.own_records import ANY, OwnRecords
from app.practice.records.shelf import Shelf
from app.practice.trial.attempt import Phase
from app.ui.heading import BOARD, PRACTISE, RECORDS, SETTINGS
from app.ui.records import screen as module
from synth.base.words import say
from synth.catalogue.queue import Progress
from tests.app.windows import open_window

pytestmark = pytest.mark.sampled(5)

COPY, LEFT, NONE = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


class Waiting:
    """Stands in for the queue."""

    def __init__(self) -> None:
        self.progress, self.added, self.still = Progress(0, 0), [], []

    def add(self, paths, *, first=False):
        self.added += paths
        self.progress = Progress(0, len(self.added))

    def stand_still(self, still):
        self.still.append(still)

    def cancel(self):
        self.progress = Progress(0, 0)

    def close(self):
        pass


@pytest.fixture
def waiting(screen):
    made = screen.shelf._queue = Waiting()
    return made


@pytest.fixture
def fresh(qtbot, practice, catalogue):
    """A window whose page Records was not opened; its list is read."""
    practice.records = OwnRecords(lambda: catalogue)
    assert practice.records.catalogue is catalogue
    yield (opened := open_window(qtbot, practice, (1280, 800)))
    opened.session.shelf.close()


def column(screen, at: int) -> list[str]:
    model = screen.table.records
    return [model.data(model.index(row, at), Qt.ItemDataRole.DisplayRole) for row in range(model.rowCount())]


def dragged(*urls: str) -> QMimeData:
    data = QMimeData()
    data.setUrls([QUrl(url) for url in urls])
    return data


def test_every_record_has_its_row(qtbot, screen):
    qtbot.waitUntil(lambda: bool(screen.shelf.missing))
    screen.redraw()
    assert column(screen, 0) == ["alpha", "Bravo", "Zeta: Charlie", "Delta", "Echo"]
    assert column(screen, 1) == ["120.00 BPM"] * 4 + [""]
    assert column(screen, 2) == ["2:10"] * 5
    assert column(screen, 3) == ["8 bars"] * 4 + [""]
    assert column(screen, 4) == [
        "Confirmed by you",
        "Confirmed by the tutor",
        "File not found. Sure, not confirmed by ear yet",
        "Unsure: hear it, and confirm",
        "File not found. The tempo wanders.",
    ]


def test_at_200_per_cent_titles_stand_whole_in_two_lines(qtbot, window, catalogue, request):
    """In every row of the list, and two rows are seen at least."""
    long = "A long title that was invented for this test"
    catalogue.keep(replace(catalogue.get(f"{1:032x}"), title=long, artist="A band that was invented, too"))
    request.addfinalizer(lambda: window.change({"text_percent": 100, "language": "en"}))
    window.change({"text_percent": 200, "language": "es"})
    window.contents.show_tab(RECORDS)
    table = window.contents.records.open_list().table
    for size in ((1280, 800), (900, 600)):
        window.resize(*size)
        qtbot.waitUntil(lambda: table.records.rowCount() > 0 and table.viewport().width() > 400)
        QApplication.processEvents()
        for row in range(table.records.rowCount()):
            index = table.records.index(row, 0)
            cell = table.visualRect(index)
            room = QRect(0, 0, cell.width() - 8, 1000)
            words = table.fontMetrics().boundingRect(room, Qt.TextFlag.TextWordWrap, index.data())
            assert words.height() <= cell.height(), (size, index.data())
        assert table.viewport().height() >= 2 * table.rowHeight(0)


def test_usual_titles_stand_whole_in_a_small_window(qtbot, window, screen, catalogue):
    """900 x 600 at 100 %, where all columns are shown, in two lines."""
    title = "A song with a title"
    catalogue.keep(replace(catalogue.get(f"{1:032x}"), title=title, artist="A band that was invented"))
    window.resize(900, 600)
    table = screen.table
    screen.redraw()
    qtbot.waitUntil(lambda: table.records.index(0, 0).data().endswith(title))
    QApplication.processEvents()
    for column in (0, 4):
        index = table.records.index(0, column)
        cell = table.visualRect(index)
        room = QRect(0, 0, cell.width() - 8, 1000)
        words = table.fontMetrics().boundingRect(room, Qt.TextFlag.TextWordWrap, index.data())
        assert words.height() <= cell.height(), index.data()


def test_search_order_and_the_unsure_alone(qtbot, screen):
    qtbot.keyClick(screen, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    assert QApplication.focusWidget() is screen.search
    qtbot.keyClicks(screen.search, "zzz")
    assert screen.empty.isVisible()
    assert screen.empty.text() == "No record in the list is like that."
    screen.search.clear()
    assert screen.empty.isHidden()
    qtbot.keyClicks(screen.search, "zeta")
    assert column(screen, 0) == ["Zeta: Charlie"]
    screen.search.clear()
    screen.order.setCurrentIndex(2)
    screen.order.activated.emit(2)
    assert column(screen, 0)[0] == "Delta"
    screen.table.horizontalHeader().sectionClicked.emit(0)
    assert (column(screen, 0)[0], screen.order.currentText()) == ("alpha", "By title")
    screen.unsure.click()
    assert column(screen, 0) == ["Delta"]


def test_return_opens_and_delete_takes_out_and_back(qtbot, window, screen, catalogue):
    screen.table.choose(f"{4:032x}")
    qtbot.keyClick(screen.table, Qt.Key.Key_Return)
    assert window.contents.stack.currentWidget() is window.contents.records.page
    qtbot.keyClick(window.contents.records.page, Qt.Key.Key_Escape)
    assert window.contents.stack.currentWidget() is screen
    qtbot.keyClick(screen.table, Qt.Key.Key_Delete)
    assert column(screen, 0) == ["alpha", "Bravo", "Zeta: Charlie", "Echo"]
    assert screen.line.text() == "Delta is out of the list. Its file is where it was."
    screen.back.click()
    assert screen.table.record.title == "Delta"
    assert len(catalogue) == 5


def test_files_and_folders_that_are_dropped_are_added(qtbot, screen, waiting, tmp_path):
    (tmp_path / "music").mkdir()
    (tmp_path / "music" / "one.mp3").touch()
    data = dragged(QUrl.fromLocalFile(str(tmp_path / "music")).toString(), "data:text/plain,a")
    enter = QDragEnterEvent(QPoint(5, 5), COPY, data, LEFT, NONE)
    screen.dragEnterEvent(enter)
    assert enter.isAccepted()
    screen.dropEvent(QDropEvent(QPointF(5, 5), COPY, data, LEFT, NONE))
    qtbot.waitUntil(lambda: bool(waiting.added))
    assert waiting.added == [tmp_path / "music" / "one.mp3"]
    qtbot.waitUntil(lambda: bool(screen.line.text()))
    assert screen.line.text() == "One file waits for its analysis."


def test_what_is_no_file_is_not_taken(screen):
    data = dragged("data:text/plain,a")
    event = QDragEnterEvent(QPoint(5, 5), COPY, data, LEFT, NONE)
    event.ignore()
    screen.dragEnterEvent(event)
    assert not event.isAccepted()


def test_chosen_files_and_a_chosen_folder_are_added(qtbot, screen, waiting, monkeypatch, tmp_path):
    (tmp_path / "a.mp3").touch()
    monkeypatch.setattr(module, "open_files", lambda *_: [tmp_path / "a.mp3"])
    monkeypatch.setattr(module, "open_folder", lambda *_: None)
    qtbot.keyClick(screen, Qt.Key.Key_O, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: bool(waiting.added))
    screen.folder.click()
    assert waiting.added == [tmp_path / "a.mp3"]


def test_how_far_the_analysis_is_and_that_it_stops(screen, waiting):
    waiting.progress = Progress(3, 12, "/music/Long way.mp3")
    screen.tick()
    assert screen.far.text() == "Analysis: 3 of 12 done. Now: Long way.mp3"
    assert (screen.bar.value(), screen.bar.maximum()) == (3, 12)
    waiting.progress = Progress(3, 12, "", standing=True)
    screen.tick()
    assert screen.far.text() == "The analysis waits while a trial sounds."
    screen.cancel.click()
    assert screen.far.isHidden()


def test_the_analysis_stands_still_while_anything_sounds(window, waiting, player):
    player.playing = True
    window._look_after_records()
    player.playing = False
    window._look_after_records()
    assert waiting.still == [True, False]


def test_a_record_that_is_analysed_appears(screen, waiting, catalogue):
    new = replace(next(iter(catalogue)), print="f" * 32, title="Foxtrot", path="/nowhere/f.flac")
    catalogue.keep(new)
    screen.shelf._told.append(("/nowhere/f.flac", new))
    screen.tick()
    assert "Foxtrot" in column(screen, 0)


def test_trouble_is_said(screen, waiting):
    screen.shelf._told.append(("/nowhere/f.flac", say("The file went away.")))
    screen.tick()
    assert screen.line.text() == "The file went away."


def test_practise_on_it(window, screen, practice):
    """From the list to the result: the record is named, and with the result who has confirmed its count."""
    screen.table.choose(f"{3:032x}")
    screen.practise.click()
    contents = window.contents
    assert contents.tabs.checkedId() == PRACTISE
    assert (practice.wish.record, practice.chooses) == (f"{3:032x}", True)
    row = contents.practise.choosing.wishes
    assert (row.record.currentText(), row.isVisible()) == ("Bravo", True)
    contents.practise.go_on()
    player, place = practice.player, contents.practise.place
    assert (practice.phase, place.text()) == (Phase.SOUNDING, "On: Bravo")
    player.now_s = player.start_s + float(practice.trial.targets_s[0])
    practice.attempt.tap(_tap(player.now_s))
    player.now_s = player.start_s + practice.trial.duration_s + 1
    contents.practise.tick()
    assert practice.phase is Phase.MARKED
    assert place.text() == "On: Bravo. The tutor has confirmed its count by ear."


def test_a_title_that_may_hold_the_tempo_is_shown_after_the_tempo_was_said(window, screen, practice):
    screen.table.choose(f"{3:032x}")
    screen.practise.click()
    practice.choose(replace(practice.wish, drill="tempo"))
    window.contents.practise.go_on()
    place = window.contents.practise.place
    assert (practice.phase, place.text()) == (Phase.SOUNDING, "On a record of yours")
    player = practice.player
    player.now_s = player.start_s + float(practice.trial.targets_s[0])
    practice.attempt.tap(_tap(player.now_s))
    player.now_s = player.start_s + practice.trial.duration_s + 1
    window.contents.practise.tick()
    assert (practice.phase, place.text()) == (Phase.ASKING, "On a record of yours")
    practice.answer_with("100")
    window.contents.practise.redraw()
    assert practice.phase is Phase.MARKED
    assert place.text().startswith("On: Bravo.")


def test_count_it_on_the_board(window, screen):
    screen.table.choose(f"{3:032x}")
    assert screen.to_board.isEnabled()
    screen.to_board.click()
    contents = window.contents
    assert contents.tabs.checkedId() == BOARD
    phrase = contents.board.board.phrase
    assert (phrase.file.name, phrase.file.recorded) == ("Bravo", True)
    assert contents.board.choices.groove.currentText() == "Bravo"
    assert "no sound in this file" in str(contents.board.board.notice)  # it is an empty one
    assert "sound" in contents.board.choices.save.accessibleDescription()  # no MIDI file: it has no notes
    assert not contents.board.choices.hear[Hear.KICK].isEnabled()


def _tap(at_s: float):
    from app.inputs.taps import Tap

    return Tap(at_s, "key", True)


def test_an_unsure_record_is_not_practised_on(screen):
    screen.table.choose(f"{4:032x}")
    assert not screen.practise.isEnabled()
    assert not screen.to_board.isEnabled()


def test_the_share_of_records_is_offered_once_three_are_confirmed(window, catalogue, practice):
    window.contents.show_tab(SETTINGS)
    assert window.contents.settings._records.isHidden()
    catalogue.keep(catalogue.get(f"{4:032x}").confirmed("learner"))
    practice.records.changed()
    window.contents.show_tab(RECORDS)
    window.contents.show_tab(SETTINGS)
    assert not window.contents.settings._records.isHidden()
    window.contents.settings._records.setValue(50)
    assert window.session.keeper.now.records_percent == 50


def test_an_empty_list_says_what_to_do(screen, catalogue):
    for each in list(catalogue):
        catalogue.forget(each.print)
    screen.redraw()
    assert screen.empty.isVisible()
    assert screen.table.isHidden()


def test_a_list_is_read_behind_the_page(qtbot, practice, catalogue):
    practice.records = OwnRecords(lambda: catalogue)
    window = open_window(qtbot, practice)
    window.contents.show_tab(RECORDS)
    screen = window.contents.records.open_list()
    qtbot.waitUntil(lambda: screen.table.records.rowCount() == 5)
    assert screen.empty.isHidden()
    window.session.shelf.close()


def test_drills_that_take_no_record_or_two_say_so(window, practice):
    window.contents.show_tab(PRACTISE)
    window.contents.practise.choose_freely()
    for drill, words in (
        ("drum", "The drum is not practised on your own records: their count does not tell one drum from another."),
        ("in-line", "This drill takes two of your records, whose tempos differ by 6 % at most."),
    ):
        window.contents.practise.choose(replace(practice.wish, drill=drill, record=ANY))
        row = window.contents.practise.choosing.wishes
        assert words in row.mode_words.text()
        assert row.record.isEnabled() == (drill == "in-line")
        assert row._groove.isEnabled() == (drill == "drum")


def test_a_drill_of_single_drums_plays_them_though_a_record_is_chosen(practice, window):
    practice.choose(replace(practice.wish, drill="drum", record=ANY, rung=1))
    practice.start()
    assert practice.trial.recorded is None


def test_the_page_is_made_ahead_while_nothing_sounds(fresh, player):
    pages = fresh.contents.records
    assert fresh.session.shelf_loaded
    player.playing = True
    for _ in range(3):
        fresh._look_after_records()
    assert pages.list is None
    player.playing = False
    for _ in range(2):  # its modules, where no test has read them yet, and itself
        fresh._look_after_records()
    assert pages.list is not None
    assert not pages.list.isVisible()
    assert fresh.contents.stack.currentWidget() is fresh.contents.practise


def test_without_records_no_page_is_made_ahead(fresh, catalogue):
    for each in list(catalogue):
        catalogue.forget(each.print)
    for _ in range(3):
        fresh._look_after_records()
    assert fresh.contents.records.list is None


def test_rows_come_a_turn_after_the_head_of_the_page(qtbot, fresh, monkeypatch):
    asked = []
    rows = Shelf.rows
    monkeypatch.setattr(Shelf, "rows", lambda shelf: asked.append(1) or rows(shelf))
    fresh.contents.show_tab(RECORDS)
    screen = fresh.contents.records.list
    # Layout and paint are posted events; keys come before the next turn, which a timer begins.
    QCoreApplication.sendPostedEvents()
    assert screen.files.isVisible()
    assert (asked, screen.table.isVisible(), screen.search.isVisible()) == ([], False, False)
    qtbot.waitUntil(screen.table.isVisible)
    assert asked == [1]
    assert len(column(screen, 0)) == 5


def test_the_first_record_takes_the_keyboard_also_behind_another_program(qtbot, fresh, catalogue):
    recordings = list(catalogue)
    for each in recordings:
        catalogue.forget(each.print)
    fresh.contents.show_tab(RECORDS)
    screen = fresh.contents.records.list
    qtbot.waitUntil(screen.files.hasFocus)
    other = QWidget()
    qtbot.addWidget(other)
    other.show()
    other.activateWindow()
    qtbot.waitUntil(lambda: not fresh.isActiveWindow())
    catalogue.keep(recordings[0])
    screen.redraw()
    assert fresh.focusWidget() is screen.table
