"""The board for teaching: tempo typed and tapped in, what became of it, a MIDI file, a second record."""

import mido
import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

import synth.sound.loop
from app.practice.board.board_phrase import Beside, FileRecord, Hear
from app.session import Session
from app.ui.screens import board as board_module
from app.ui.screens.board import BoardScreen
from app.ui.widgets.screens import Screens
from synth.base.words import say
from synth.midi.writing import write_midi
from synth.score.arranging.arrangement import arrange
from synth.score.grooves import groove
from synth.sound.kit import take_at
from tests.app.later import Later
from tests.app.windows import open_alone
from tests.synth.recording.test_source import SOURCE

SILENCE = take_at(np.zeros((480, 2), "f4"), 0.0, 48_000)

pytestmark = [pytest.mark.usefixtures("unheard"), pytest.mark.sampled(4)]


@pytest.fixture
def screen(qtbot, practice):
    stack = Screens()
    screen = BoardScreen(Session(practice).board, stack)
    stack.addWidget(screen)
    open_alone(qtbot, stack, (900, 500))
    return screen


def press(qtbot, *keys: Qt.Key) -> None:
    for key in keys:
        qtbot.keyClick(QApplication.focusWidget(), key)


def test_a_tempo_is_typed_and_the_other_keys_still_work(screen, qtbot):
    """Return leads back to play; a letter or Space in the field is the screen's."""
    field = screen.line.field
    field.setFocus()
    field.selectAll()
    press(qtbot, Qt.Key.Key_1, Qt.Key.Key_2, Qt.Key.Key_7)
    assert screen.board.phrase.tempo_bpm == 96  # not before it is whole
    press(qtbot, Qt.Key.Key_Return)
    assert (screen.board.phrase.tempo_bpm, screen.board.phrase.own_tempo) == (127, True)
    assert QApplication.focusWidget() is screen.line.play
    field.setFocus()
    press(qtbot, Qt.Key.Key_P)
    assert screen.board.phrase.bars == 8
    press(qtbot, Qt.Key.Key_Space)
    assert screen.board.playing
    press(qtbot, Qt.Key.Key_Up)
    assert screen.board.phrase.tempo_bpm == 128


@pytest.mark.parametrize("by_mouse", [True, False])
def test_a_tempo_is_tapped_in(screen, qtbot, monkeypatch, by_mouse):
    moments = iter(10.0 + 60 / 133 * at for at in range(6))
    monkeypatch.setattr("app.ui.screens.board_line.now_s", lambda: next(moments))
    for _ in range(6):
        if by_mouse:
            qtbot.mouseClick(screen.line.tap, Qt.MouseButton.LeftButton)
        else:
            press(qtbot, Qt.Key.Key_T)
    assert screen.board.phrase.tempo_bpm == 133
    assert screen.line.field.text() == "133 BPM"


def test_what_becomes_of_the_tempo_with_another_groove_is_said(screen, qtbot):
    lead = screen._lead.text()
    press(qtbot, Qt.Key.Key_G)
    usual = screen.board.phrase.usual_bpm
    assert screen.board.phrase.tempo_bpm == usual
    assert screen._lead.text().endswith(f"usually has {usual}\N{NO-BREAK SPACE}BPM, so the tempo is {usual} now.")
    screen.choose(screen.board.phrase.at_tempo(77))
    assert screen._lead.text() == lead
    press(qtbot, Qt.Key.Key_G)
    assert screen.board.phrase.tempo_bpm == 77
    assert screen._lead.text().startswith("The tempo stays at 77, as you set it;")
    press(qtbot, Qt.Key.Key_F11)
    press(qtbot, Qt.Key.Key_G)
    assert screen._notice.text().startswith("The tempo stays at")


def test_a_midi_file_is_opened_and_left_for_a_groove(screen, qtbot, tmp_path, monkeypatch):
    path = tmp_path / "my waltz.mid"
    write_midi(path, arrange(groove("waltz"), tempo_bpm=118, form="verse:8", song=True))
    monkeypatch.setattr("app.ui.screens.board.open_file", lambda *_: path)
    press(qtbot, Qt.Key.Key_O)
    phrase = screen.board.phrase
    assert (screen.choices.title, phrase.hear, phrase.tempo_bpm) == ("my waltz.mid", Hear.SONG, 118)
    assert len(screen._sheet._count) == 12
    press(qtbot, Qt.Key.Key_Space)
    assert screen.board.playing
    press(qtbot, Qt.Key.Key_G)
    assert screen.board.phrase.file is None
    assert screen.choices.groove.findText("my waltz.mid") == -1


def test_a_broken_midi_file_is_told_and_changes_nothing(screen, qtbot, tmp_path, monkeypatch):
    path = tmp_path / "broken.mid"
    path.write_bytes(b"MThd")
    monkeypatch.setattr("app.ui.screens.board.open_file", lambda *_: path)
    before = screen.board.phrase
    press(qtbot, Qt.Key.Key_O)
    assert screen.board.phrase == before
    assert screen._notice.text().startswith("broken.mid")
    monkeypatch.setattr("app.ui.screens.board.open_file", lambda *_: None)
    press(qtbot, Qt.Key.Key_O)
    assert screen.board.phrase == before


def test_the_second_record_goes_through_its_places_and_has_those_of_the_bar(screen, qtbot):
    found = []
    for _ in Beside:
        press(qtbot, Qt.Key.Key_B)
        found.append(screen.board.phrase.beside)
    assert found == [*list(Beside)[1:], Beside.NONE]
    screen.choose(screen.board.phrase.with_groove("waltz"))
    assert not screen.choices.beside[Beside.FOUR].isEnabled()
    assert screen.choices.beside[Beside.THREE].isEnabled()


def test_thirty_two_bars_stand_on_the_sheet(screen, qtbot):
    for bars in (8, 16, 32, 4):
        press(qtbot, Qt.Key.Key_P)
        assert screen.board.phrase.bars == bars
        assert len(screen._sheet._count) == 4 * bars


def test_a_start_that_has_to_wait_says_so(screen, qtbot):
    """Thirty-two bars of a song take seconds to record."""
    screen.board.workers = later = Later()
    press(qtbot, Qt.Key.Key_P, Qt.Key.Key_Space)
    assert screen._lead.text() == "One moment: the sound is being made …"
    later.run()
    screen._tick()
    assert screen.board.playing
    assert screen._lead.text().startswith("Count aloud")


def test_the_phrase_is_saved_as_a_midi_file(screen, qtbot, tmp_path, monkeypatch):
    """What is heard of the record, once round at its tempo; read by mido, not by the program."""
    path, asked = tmp_path / "mine.mid", []
    monkeypatch.setattr(
        "app.ui.screens.board.save_as", lambda _, __, name, kinds: asked.append((name, kinds)) or path
    )
    screen.choose(screen.board.phrase.at_tempo(101))
    press(qtbot, Qt.Key.Key_H, Qt.Key.Key_H, Qt.Key.Key_S)
    assert screen.board.phrase.hear is Hear.KICK
    assert asked == [("Backbeat 101.mid", {"mid": "MIDI file"})]
    assert screen._notice.text() == "Saved as mine.mid: your record alone, without the voice and the second record."
    read = mido.MidiFile(path)
    notes = [message for track in read.tracks for message in track if message.type == "note_on" and message.velocity]
    # General MIDI 1, percussion key map: 35 and 36 are bass drums, channel 10 (9 from 0) is percussion.
    assert {(each.channel, each.note in (35, 36)) for each in notes} == {(9, True)}
    tempos = [message.tempo for track in read.tracks for message in track if message.type == "set_tempo"]
    assert tempos == [pytest.approx(60e6 / 101, abs=1)]
    assert read.length == pytest.approx(16 * 60 / 101, abs=0.01)
    screen.open_midi(path)  # and the board plays it
    assert len(screen._sheet._count) == 16


def test_what_cannot_be_saved_says_why_and_leaves_nothing(screen, qtbot, tmp_path, monkeypatch):
    path = tmp_path / "nowhere" / "mine.mid"
    monkeypatch.setattr("app.ui.screens.board.save_as", lambda *_: path)
    press(qtbot, Qt.Key.Key_S)
    assert "nowhere" in screen._notice.text()
    assert not path.exists()
    monkeypatch.setattr("app.ui.screens.board.save_as", lambda *_: None)
    screen.board.notice = None
    press(qtbot, Qt.Key.Key_S)
    assert screen.board.notice is None


# -- a record of the learner's own -----------------------------------------------------------------------------------


@pytest.fixture
def on_record(screen, monkeypatch):
    """The board with a recording; it is not read."""
    monkeypatch.setattr(synth.sound.loop, "recorded_take", lambda heard, rate: (heard.start_s, SILENCE))
    screen.choose(screen.board.phrase.with_record(FileRecord.of(SOURCE)))
    return screen


def test_a_drum_intro_is_put_before_a_record_by_one_key(on_record, qtbot):
    for bars in (4, 8, 16, 0):
        press(qtbot, Qt.Key.Key_A)
        assert on_record.board.phrase.intro == bars
        assert on_record.choices.intro[bars].isChecked()
        assert on_record.choices.intro[bars].isVisible()
        assert len(on_record.board.phrase.count()) == 4 * (bars + 8)  # the record's phrases are of eight
        assert on_record.board.notice is None


def test_grooves_take_no_drum_intro(screen, qtbot):
    press(qtbot, Qt.Key.Key_A)
    assert screen.board.phrase.intro == 0
    assert not any(part.isVisible() for part in screen.choices.intro.values())


def test_a_record_is_saved_as_a_sound_and_a_line_says_so(on_record, qtbot, monkeypatch, tmp_path):
    asked = []
    monkeypatch.setattr(board_module, "save_as", lambda *words: asked.append(words) or tmp_path / "out.mp3")
    monkeypatch.setattr(
        "app.practice.board.board.save_sound", lambda phrase, path: say(f"{path.name}: {phrase.intro}")
    )
    press(qtbot, Qt.Key.Key_A)
    press(qtbot, Qt.Key.Key_S)
    assert asked[0][2:] == ("A song 120.mp3", {"mp3": "Sound", "wav": "Sound", "flac": "Sound", "ogg": "Sound"})
    qtbot.waitUntil(lambda: on_record._notice.text() == "out.mp3: 4")
    assert "as a sound" in on_record.choices.save.accessibleDescription()
