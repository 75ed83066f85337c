"""The count of a record from a file; the record as a sound, and its sheet as PDF."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

import app.practice.records.shelf
from app.ui.records import record_files as module
from synth.base.words import say
from synth.catalogue.exchange.jams import jams_of
from tests.app.ui.records.made import PLAIN

pytestmark = pytest.mark.sampled(5)


def beats_file(path, tempo_bpm=120.0, bars=60, off_s=0.0):
    """A line a beat as ``render --beats`` writes them; every second beat is ``off_s`` late."""
    rows = ((0.5 + n * 60 / tempo_bpm + off_s * (n % 2), n // 4 + 1, n % 4 + 1) for n in range(4 * bars))
    path.write_text("".join(f"{at_s:.4f}\t{bar}.{beat}\n" for at_s, bar, beat in rows))
    return path


@pytest.fixture
def refused(window, catalogue):
    """The page of a record that was refused, whose file is there."""
    echo = catalogue.get(f"{5:032x}")
    Path(echo.path).touch()
    window.contents.records.open(echo)
    return window.contents.records.page


@pytest.fixture
def give(monkeypatch):
    """Chooses a file of a count for a page."""

    def given(page, path):
        monkeypatch.setattr(module, "open_file", lambda *_: path)
        page.files.grid.click()

    return given


def test_a_refused_record_gets_its_count_from_a_file_and_is_confirmed(
    qtbot, window, refused, catalogue, player, monkeypatch, tmp_path
):
    page = refused
    assert page.about.text() == "The tempo wanders."
    assert "a line a beat" in page.helps.text()
    assert QApplication.focusWidget() is page.files.grid
    monkeypatch.setattr(module, "open_file", lambda *_: beats_file(tmp_path / "beats.txt"))
    qtbot.keyClick(page, Qt.Key.Key_O)
    assert page.confirming.grid.tempo_bpm == pytest.approx(120.0)
    assert page.confirming.grid.one_s == pytest.approx(0.5)
    assert player.playing
    assert page.confirm.isVisible()
    assert page.helps.isHidden()
    assert "Set right, not yet confirmed" in page.about.text()
    assert catalogue.get(f"{5:032x}").state == "refused"  # until it is confirmed
    qtbot.keyClick(page, Qt.Key.Key_Return)
    kept = catalogue.get(f"{5:032x}")
    assert (kept.state, kept.confirmed_by, kept.grid_version) == ("confirmed", "learner", 2)
    assert kept.grid.refused is None


def test_left_without_confirming_it_stays_refused(qtbot, window, refused, catalogue, give, tmp_path):
    give(refused, beats_file(tmp_path / "beats.txt"))
    qtbot.keyClick(refused, Qt.Key.Key_Escape)
    assert catalogue.get(f"{5:032x}").state == "refused"
    assert window.contents.records.list.line.text() == "The count of Echo is as it was."


def test_a_file_that_gives_no_count_is_refused_in_words(refused, give, tmp_path):
    wanders = "the tempo wanders: beats are up to 40\N{NO-BREAK SPACE}ms away"
    for path, why in (
        (beats_file(tmp_path / "off.txt", off_s=0.08), wanders),
        (beats_file(tmp_path / "long.txt", bars=90), "after the end of the sound"),
        (beats_file(tmp_path / "short.txt", bars=1), "too few beats for a grid"),
        (beats_file(tmp_path / "a.jams"), "no JAMS file"),
        (tmp_path / "gone.txt", "no such file"),
    ):
        give(refused, path)
        assert why in refused.notice.text()
        assert path.name in refused.notice.text()
        assert refused.confirming is None


def test_a_jams_file_and_one_key_back(qtbot, page, give, tmp_path):
    """Where there is a count, that of a file takes its place, and Take back brings the first one again."""
    before = page.confirming.grid
    path = tmp_path / "a.jams"
    path.write_text(json.dumps(jams_of(replace(PLAIN, one_s=1.5))))
    give(page, path)
    assert page.confirming.grid.one_s == pytest.approx(1.5)
    give(page, tmp_path / "none.txt")
    assert "none.txt" in page.notice.text()
    assert page.confirming.grid.one_s == pytest.approx(1.5)
    qtbot.keyClick(page, Qt.Key.Key_U)
    assert page.confirming.grid == before


def test_a_record_is_saved_as_it_is_heard(qtbot, page, player, monkeypatch, tmp_path):
    asked = []
    monkeypatch.setattr(
        app.practice.records.shelf, "write", lambda out, wanted, over: asked.append(wanted) or say("It is done.")
    )
    monkeypatch.setattr(module, "save_as", lambda *_: tmp_path / "out.mp3")
    qtbot.keyClick(page, Qt.Key.Key_V)
    qtbot.keyClick(page, Qt.Key.Key_A)
    qtbot.keyClick(page, Qt.Key.Key_S)
    assert not player.playing
    qtbot.waitUntil(lambda: page.notice.text() == "It is done.")
    (wanted,) = asked
    assert (wanted.intro, wanted.counting.way, wanted.grid) == (4, "bars", page.confirming.grid)


def test_a_sound_of_the_list_is_not_written_over(page, monkeypatch, catalogue):
    own = Path(catalogue.get(f"{2:032x}").path)
    monkeypatch.setattr(module, "save_as", lambda *_: own)
    page.files.sound.click()
    assert "would replace the sound of a record of yours" in page.notice.text()
    assert not page.shelf.writing


def test_the_sheet_is_saved_or_said_why_not(qtbot, page, monkeypatch, tmp_path):
    monkeypatch.setattr(module, "save_as", lambda *_: tmp_path / "sheet.pdf")
    page.files.pdf.click()
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF")
    assert "sheet.pdf is written." in page.notice.text()
    (tmp_path / "file").touch()
    monkeypatch.setattr(module, "save_as", lambda *_: tmp_path / "file" / "sheet.pdf")
    qtbot.keyClick(page, Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)
    assert page.notice.text()
    assert "written" not in page.notice.text() or "not" in page.notice.text()
