"""The page of one record: its count by ear and by keys, its sheet, and the sheet in print."""

import shutil
import subprocess
from dataclasses import replace

import pytest
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

import app.practice.records.shelf
import app.practice.records.trials_again
from app.practice.records.confirming import LEAD_S
from app.ui.base import theme
from app.ui.records.sheet_lines import Pages, Places, SheetPainter, weights_of
from app.ui.records.sheet_print import SheetPrint
from exercises.logbook.old_trials.remark import Remarked
from tests.app.flashes import frame
from tests.app.ui.records.made import OUTLINE, PLAIN
from tests.synth.catalogue.made import recording

pytestmark = pytest.mark.sampled(5)


def at(page, seconds: float) -> None:
    player = page.confirming.player
    player.now_s = player.start_s + seconds
    page.tick()


def test_it_is_heard_at_once_around_the_change_and_the_mark_goes_along(page, player):
    """The change is on bar 9: eight bars from bar 5, which begins at 8 s."""
    assert player.playing
    assert page.place.text() == "Bar 5 of 64  ·  phrase 1, bar 5  ·  0:08"
    at(page, LEAD_S + 8.5)
    assert page.place.text() == "Bar 9 of 64  ·  phrase 2, bar 1  ·  0:16"


# First one in s, tempo, bars of a phrase, bars before the first phrase, bars of the intro.
KEYS = {
    "E": (1.5, 120.0, 8, 7, 7),
    "L": (0.5, 120.0, 8, 0, 8),
    "F": (0.25, 120.0, 8, 0, 8),
    "H": (0.0, 60.0, 4, 0, 4),
    "D": (0.0, 240.0, 16, 0, 16),
    "P": (0.0, 120.0, 8, 1, 8),
    "K": (0.0, 120.0, 16, 0, 8),
    "I": (0.0, 120.0, 8, 1, 9),
}


def test_one_key_sets_right_and_another_takes_back(qtbot, page):
    """By hand: a beat is 0.5 s; a beat earlier than the first sound the first whole bar begins at 1.5 s, and phrases
    of 8, of which the first began on bar 1, begin on bar 8, with the end of the intro. "Here" is bar 10.
    """
    first_bar = page.confirming.bar
    for key, wanted in KEYS.items():
        page.confirming.mark(first_bar)  # it is heard from there again
        at(page, LEAD_S + 10.5)
        qtbot.keyClick(page, getattr(Qt.Key, f"Key_{key}"))
        grid = page.confirming.grid
        found = grid.one_s, grid.tempo_bpm, grid.phrase_bars, grid.phrase_first, grid.intro_bars
        assert found == pytest.approx(wanted), key
        assert "Set right, not yet confirmed" in page.about.text()
        qtbot.keyClick(page, Qt.Key.Key_U)
        assert page.confirming.grid == replace(PLAIN, sure=False)
        assert not page.keys["undo"].isEnabled()


def test_every_key_is_on_its_control_and_does_what_a_click_does(qtbot, page):
    for control in page.keys.values():
        assert control.hint.text()
        assert f"Key {control.hint.text()}." in control.accessibleDescription()
    qtbot.mouseClick(page.keys["later"], Qt.MouseButton.LeftButton)
    assert page.confirming.grid.one_s == 0.5


def test_four_taps_and_what_is_still_to_tap(qtbot, page):
    said = []
    for bar in range(4):
        at(page, LEAD_S + 1.0 + 2 * bar)
        qtbot.keyClick(page, Qt.Key.Key_T)
        said.append(page.notice.text())
    assert said[:3] == [
        "Tap the one of the next 3 bars too.",
        "Tap the one of the next 2 bars too.",
        "Tap the one of the next bar too.",
    ]
    assert page.confirming.grid.one_s == pytest.approx(1.0)


def test_space_stops_and_hears_again_and_the_voice_counts(qtbot, page, player):
    assert page.keys["hear"].words.text() == "Stop"
    qtbot.keyClick(page, Qt.Key.Key_Space)
    assert (player.playing, page.keys["hear"].words.text()) == (False, "Hear it")
    qtbot.keyClick(page, Qt.Key.Key_Space)
    assert player.playing
    qtbot.keyClick(page, Qt.Key.Key_V)
    assert page.confirming.voice
    assert page.keys["voice"].words.text() == "Count by clicks"


def test_return_confirms_and_who_did_is_kept(qtbot, window, page, catalogue):
    page.who.setCurrentIndex(1)
    page.who.activated.emit(1)
    qtbot.keyClick(page, Qt.Key.Key_L)
    qtbot.keyClick(page, Qt.Key.Key_Return)
    kept = catalogue.get(f"{4:032x}")
    assert (kept.state, kept.confirmed_by, kept.grid_version, kept.grid.one_s) == ("confirmed", "tutor", 2, 0.5)
    assert window.contents.stack.currentWidget() is window.contents.records.list
    assert window.session.keeper.now.confirmer == "tutor"
    assert "records are confirmed" in window.contents.records.list.line.text()  # the third


def test_escape_leaves_it_as_it_was_and_says_so(qtbot, window, page, catalogue, player):
    qtbot.keyClick(page, Qt.Key.Key_L)
    qtbot.keyClick(page, Qt.Key.Key_Escape)
    assert catalogue.get(f"{4:032x}").grid.one_s == 0.0
    assert not player.playing
    assert window.contents.records.list.line.text() == "The count of Delta is as it was."


def test_earlier_trials_are_offered_to_be_marked_again(qtbot, window, page, monkeypatch):
    monkeypatch.setattr(app.practice.records.trials_again, "trials_on", lambda *_: 2)
    page.keys["later"].click()
    page.confirm.click()
    records = window.contents.records.list
    assert records.offered.text() == "2 earlier trials on it were counted as it was before."
    asked = []
    monkeypatch.setattr(app.practice.records.shelf, "marked_again", lambda path, _: asked.append(path) or Remarked())
    records.again.click()
    qtbot.waitUntil(lambda: asked == [window.session.practice.learner.logbook.path])
    assert records.again.isHidden()


def test_a_record_without_a_count_says_why(window, catalogue, player):
    window.contents.records.open(catalogue.get(f"{5:032x}"))
    page = window.contents.records.page
    assert page.about.text() == "File not found. The tempo wanders."
    assert not page.confirm.isVisible()
    assert not page.files.grid.isVisible()  # it could not be heard
    assert not player.playing
    page.give()
    page.go_back()


# -- the drum intro --------------------------------------------------------------------------------------------------


def test_a_drum_intro_is_chosen_and_heard_into_the_record(qtbot, page, player):
    """At 120 BPM the intro's first beat comes 0.4 s after the start, and eight bars of it last 16 s."""
    said = []
    for _ in range(2):
        qtbot.keyClick(page, Qt.Key.Key_A)
        said.append(page.keys["front"].words.text())
    assert said == ["Drum intro: 4 bars", "Drum intro: 8 bars"]
    assert player.playing
    for seconds, words in (
        (0.1, "Drum intro: bar 1 of 8, then the record"),
        (0.4 + 2.1, "Drum intro: bar 2 of 8, then the record"),
        (0.4 + 15.9, "Drum intro: bar 8 of 8, then the record"),
        (0.4 + 16.1, "Bar 1 of 64  ·  phrase 1, bar 1  ·  0:00"),
        (0.4 + 18.1, "Bar 2 of 64  ·  phrase 1, bar 2  ·  0:02"),
    ):
        at(page, seconds)
        assert page.place.text() == words
    qtbot.keyClick(page, Qt.Key.Key_A)
    qtbot.keyClick(page, Qt.Key.Key_A)
    assert page.keys["front"].words.text() == "Drum intro: none"
    assert not player.playing


def test_in_the_drum_intro_no_one_of_the_record_can_be_tapped(qtbot, page):
    qtbot.keyClick(page, Qt.Key.Key_A)
    at(page, 3.0)
    qtbot.keyClick(page, Qt.Key.Key_T)
    assert page.notice.text() == "Tap the ones while the record sounds."


def test_what_is_set_right_behind_a_drum_intro_is_heard_from_its_start(qtbot, page, player):
    qtbot.keyClick(page, Qt.Key.Key_A)
    at(page, 3.0)
    plays = player.plays
    qtbot.keyClick(page, Qt.Key.Key_L)
    assert (player.plays, page.confirming.grid.one_s) == (plays + 1, 0.5)


def test_leaving_the_page_stops_the_sound(window, page, player):
    window.contents.show_tab(0)
    assert not player.playing


def test_the_focus_is_on_the_page_and_keys_work_from_any_control(qtbot, page):
    assert QApplication.focusWidget() is page.keys["hear"]
    page.sheet.setFocus()
    qtbot.keyClick(page.sheet, Qt.Key.Key_L)
    assert page.confirming.grid.one_s == 0.5


# -- the sheet -------------------------------------------------------------------------------------------------------


def test_a_click_and_the_arrow_keys_mark_a_bar(qtbot, page):
    page.stop()
    box = page.sheet.bar_box(19)
    qtbot.mouseClick(page.sheet, Qt.MouseButton.LeftButton, pos=box.center().toPoint())
    assert page.confirming.bar == 19
    for key, bar in (
        (Qt.Key.Key_Right, 20),
        (Qt.Key.Key_Left, 19),
        (Qt.Key.Key_Down, 27),
        (Qt.Key.Key_Up, 19),
        (Qt.Key.Key_End, 64),
        (Qt.Key.Key_Home, 1),
    ):
        qtbot.keyClick(page.sheet, key)
        assert page.confirming.bar == bar
    assert page.sheet.accessibleDescription() == "Bar 1 of 64  ·  phrase 1, bar 1  ·  0:00"


def test_a_phrase_is_a_paragraph_and_a_first_part_of_a_phrase_stands_at_its_end():
    """12 bars, the first whole phrase begins on bar 5: bars 1 to 4 in the last four columns, then 5 to 12."""
    grid = replace(PLAIN, phrase_first=4, steady_until_s=24.0)
    pages = Pages.of(grid, b"")
    (first,), (second,) = pages.lines
    assert [bar.number for bar in first.bars] == [1, 2, 3, 4]
    assert (first.column, first.phrase, second.column, second.phrase, second.begins) == (4, 1, 0, 2, True)
    assert [bar.in_phrase for bar in second.bars] == [1, 2, 3, 4, 5, 6, 7, 8]


def test_phrases_of_four_stand_two_in_a_line_and_of_sixteen_in_two_lines():
    four, sixteen = (Pages.of(replace(PLAIN, phrase_bars=bars), b"") for bars in (4, 16))
    assert [[chunk.phrase for chunk in line] for line in four.lines[:2]] == [[1, 2], [3, 4]]
    assert [[chunk.begins for chunk in line] for line in sixteen.lines[:3]] == [[True], [False], [True]]


def test_the_louder_the_heavier():
    """The first 32 beats are 7.5 dB softer, of a range of 12 dB at least."""
    weights = weights_of(OUTLINE, PLAIN.count())
    assert weights[:32].max() == pytest.approx(1 - 7.5 / 12, abs=0.03)
    assert weights[33:].min() == pytest.approx(1.0, abs=0.01)
    assert set(weights_of(b"", PLAIN.count())) == {0.5}


def test_every_point_of_a_bar_is_that_bar():
    places = Places.within(Pages.of(PLAIN, b""), 10, 10, 900, 40, 50)
    tops = places.tops()
    for number in (1, 8, 9, 33, 64):
        box = places.bar_box(number, tops)
        for corner in (box.topLeft() + QPointF(0.1, 0.1), box.center(), box.bottomRight() - QPointF(1, 1)):
            assert places.bar_at(corner, tops) == number
    assert places.bar_at(QPointF(12, 12), tops) is None
    assert places.bar_at(QPointF(400, 5000), tops) is None


def test_the_mark_moves_and_changes_its_two_bars_alone(page):
    """Nothing flashes: the rest of the sheet stays as it is."""
    page.stop()
    page._mark(9)
    before = frame(page.sheet)
    page.sheet.show_bar(10)
    changed = before != frame(page.sheet)
    rows, columns = changed.any(axis=tuple(range(2, changed.ndim))).nonzero()
    ratio = before.shape[1] / page.sheet.width()
    both = page.sheet.bar_box(9).united(page.sheet.bar_box(10)).adjusted(-2, -2, 2, 2)
    found = QRectF(
        QPointF(columns.min() / ratio, rows.min() / ratio), QPointF(columns.max() / ratio, rows.max() / ratio)
    )
    assert both.contains(found)


def test_the_sheet_is_as_wide_as_its_window(page):
    try:
        for scale, bar in ((1.0, 8), (2.0, 4)):
            theme.set_text_scale(scale)
            page.sheet.arrange()
            last = page.sheet.bar_box(bar)
            assert page.sheet.width() / 2 < last.right() <= page.sheet.width()
    finally:
        theme.set_text_scale(1.0)


# -- print -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("minutes", "pages"), [(2, 1), (7, 1), (14, 2), (120, 2)])
@pytest.mark.proof
def test_the_print_has_one_page_or_two(minutes, pages, tmp_path, qtbot):
    """Read back by poppler's pdftotext, another program, which ends every page by a form feed."""
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not installed")
    grid = replace(PLAIN, steady_until_s=60.0 * minutes, duration_s=60.0 * minutes)
    made = SheetPrint(recording(1, title="Delta", grid=grid).confirmed("tutor"), grid, OUTLINE)
    (tmp_path / "a.pdf").write_bytes(made.pdf())
    told = subprocess.run(["pdftotext", str(tmp_path / "a.pdf"), "-"], capture_output=True, text=True, check=True)
    assert told.stdout.count("\f") == made.many == pages
    assert {"Delta", "tutor"} <= set(told.stdout.split())
    lines = [line for page in range(pages) for line in made.lines(page)]
    assert lines == list(range(len(made._pages.lines)))


def words_of(path, name, made) -> str:
    """What poppler's pdftotext, another program, reads in a print."""
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not installed")
    (path / name).write_bytes(made.pdf())
    told = subprocess.run(["pdftotext", "-layout", path / name, "-"], capture_output=True, text=True, check=True)
    return told.stdout


@pytest.mark.parametrize(("bars", "words"), [(0, "no intro"), (1, "an intro of one bar"), (None, "Delta")])
def test_the_head_of_the_print_has_a_long_title_whole_the_intro_and_who_confirmed(bars, words, tmp_path, qtbot):
    grid = replace(PLAIN, intro_bars=bars)
    title = "Delta of a River in the Land of Long and Longer Names"
    known = recording(1, title=title, artist="Nobody", grid=grid).confirmed("tutor")
    head = words_of(tmp_path, "a.pdf", SheetPrint(known, grid, OUTLINE))
    assert f"Nobody: {title}" in head
    assert words in head
    assert ("intro" in head.split("Confirmed")[0]) is (bars is not None)
    assert "Confirmed by the tutor" in head
    # As it is set right meanwhile, nobody has confirmed it.
    head = words_of(tmp_path, "b.pdf", SheetPrint(known, replace(grid, one_s=1.0), OUTLINE))
    assert "Not confirmed by ear yet" in head


def test_no_number_touches_the_rule_of_the_line_above(qtbot):
    """In phrases of sixteen two lines stand close together, in the intro with a thick rule between them."""
    grid = replace(PLAIN, phrase_bars=16, intro_bars=16)
    places = Places.within(Pages.of(grid, OUTLINE), 0, 0, 700, 40, 40)
    image = QImage(QSize(700, 100), QImage.Format.Format_RGB32)
    image.fill(0xFFFFFFFF)
    painter = QPainter(image)
    SheetPainter(places, theme.LIGHT, "").draw(painter, range(2), places.tops())
    painter.end()
    rows = [any(image.pixel(x, y) != 0xFFFFFFFF for x in range(45, 700)) for y in range(35, 50)]
    assert rows.index(False) < len(rows) - 1 - rows[::-1].index(True)  # ink, white, ink


def test_lines_stay_on_the_page(qtbot):
    grid = replace(PLAIN, steady_until_s=840.0, duration_s=840.0)
    made = SheetPrint(recording(1, grid=grid), grid, OUTLINE)
    for page in range(made.many):
        image = QImage(QSize(794, 1123), QImage.Format.Format_RGB32)
        image.fill(0xFFFFFFFF)
        painter = QPainter(image)
        made.draw(painter, page)
        painter.end()
        edge = [image.pixel(x, y) & 0xFFFFFF for x in (10, 783) for y in range(0, 1123, 3)]
        edge += [image.pixel(x, y) & 0xFFFFFF for y in (10, 1112) for x in range(0, 794, 3)]
        assert set(edge) == {0xFFFFFF}
