"""The calibrator's screen, driven by keys and mouse, on a silent player."""

from types import SimpleNamespace

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton

from app.inputs.calibrator import Stage
from app.inputs.taps import Tap
from app.ui.heading import SOUND
from app.ui.screens.calibration_card import IDLE_TICK_MS
from app.ui.window import Window
from synth.base.errors import Trouble
from synth.device.stream_clock import Line
from tests.app.inputs.test_tap_filter import touch
from tests.app.silent import StillClock
from tests.app.windows import open_window

pytestmark = pytest.mark.sampled(4)


class Clock(StillClock):
    """A stream's clock that has settled."""

    latency_s, drift_ppm, notes, estimated = 0.081, 12.0, SimpleNamespace(count=800), False

    def line(self) -> Line:
        return Line(0, 100.0, 1 / 48_000, 0.09, self.residual_ms, self.estimated)


@pytest.fixture
def window(qtbot, practice, player, monkeypatch) -> Window:
    """The window with the calibrator shown, and no devices but invented ones."""
    player.description = "Invented output (Host), 48000 Hz, 81 ms"
    player.clock, player.running, player.block_frames = Clock(), True, 512
    player.device, player.latency_s = None, 0.08
    monkeypatch.setattr("app.ui.screens.sound_card.outputs", lambda: [(0, "Invented output")])
    monkeypatch.setattr("app.ui.screens.sound_card.microphones", lambda: [(1, "Invented microphone")])
    return open_window(qtbot, practice, tab=SOUND)


def test_the_bench_tells_a_plain_verdict_and_lists_what_there_is(window):
    screen = window.contents.sound
    assert screen.isVisible()
    assert screen.verdict.text() == "Not calibrated. Good to 5\N{NO-BREAK SPACE}ms from one tap to the next."
    assert screen.advice.text().startswith(
        "It can be measured how steady you are. Not yet whether you are early or late: calibrate"
    )
    assert [screen.sound.output.itemText(row) for row in range(2)] == ["The computer's own choice", "Invented output"]
    assert screen.sound.input.itemText(1) == "Invented microphone"
    assert "81\N{NO-BREAK SPACE}ms" in screen.sound.facts.text()


def test_calibration_by_tapping_with_keys_alone(window, qtbot, player, practice):
    """K starts it, any key taps, the result is said with its outliers, and the verdict changes."""
    screen = window.contents.sound
    qtbot.keyClick(window, Qt.Key.Key_K)
    calibrator = screen.calibrator
    assert calibrator.stage is Stage.TAPPING
    qtbot.keyClick(window, Qt.Key.Key_Space)
    qtbot.keyClick(window, Qt.Key.Key_M)  # a key like any other now
    qtbot.mouseClick(screen.card.pad, Qt.MouseButton.LeftButton)
    assert [tap.source for tap in calibrator.taps] == ["key", "key", "mouse"]
    calibrator.taps.clear()
    off_s = np.random.default_rng(1).normal(-0.03, 0.01, len(calibrator.starts_s))
    off_s[9] = 0.2
    for at_s, off in zip(calibrator.starts_s, off_s, strict=True):
        calibrator.tap(Tap(player.start_s + float(at_s + off), "key", True))
    player.playing = False
    screen.card.tick()
    assert calibrator.stage is Stage.IDLE
    assert "before the click" in screen.card.way.text()
    assert "good to" not in screen.card.way.text()  # how good a tap is stands in the verdict alone
    assert "+200" in screen.card.outliers.text()
    assert screen.card.strip.isVisible()
    # The line stands where the sentence says, which an outlier does not move.
    assert screen.card.strip.middle_ms == calibrator.middle.middle_ms
    assert f"{-screen.card.strip.middle_ms:.0f} ms" in screen.card.way.text().replace("\N{NO-BREAK SPACE}", " ")
    assert "Zero is your own relaxed tap." in screen.verdict.text()
    assert practice.equipment.fitting("key") is not None
    # What was measured is no more told where it holds no more.
    player.latency_s = 0.32
    player.description = "Invented output (Host), 48000 Hz, 320 ms"
    screen.redraw()
    assert practice.equipment.fitting("key") is None
    assert "before the click" not in screen.card.way.text()
    assert not screen.card.strip.isVisible()
    assert screen.card.made.text() == "Calibration: made for other equipment than this."


def test_what_is_asked_while_it_is_measured_is_in_sight_with_large_text(window, qtbot):
    window.change({"text_percent": 200})
    qtbot.keyClick(window, Qt.Key.Key_K)
    card = window.contents.sound.card
    qtbot.waitUntil(lambda: card.pad.visibleRegion().boundingRect().height() == card.pad.height())


def test_escape_breaks_off_and_leaving_does_too(window, qtbot, player):
    screen = window.contents.sound
    qtbot.keyClick(window, Qt.Key.Key_K)
    qtbot.keyClick(window, Qt.Key.Key_Escape)
    assert screen.calibrator.stage is Stage.IDLE
    qtbot.keyClick(window, Qt.Key.Key_T)
    assert screen.calibrator.stage is Stage.TONE
    window.contents.show_tab(0)
    assert screen.calibrator.stage is Stage.IDLE
    assert not player.playing


def test_an_output_that_refuses_leaves_things_as_they_were(window, player):
    screen = window.contents.sound
    told = []
    screen.changed.connect(told.append)
    player.trouble = Trouble("The sound output 'Invented output' refuses 96000 Hz: choose another rate.")
    screen.sound.rate.setCurrentIndex(screen.sound.rate.findData(96_000))
    screen.sound.rate.activated.emit(screen.sound.rate.currentIndex())
    assert "refuses 96000\N{NO-BREAK SPACE}Hz" in screen.notice.text()
    assert player.sample_rate_hz == 48_000
    assert told == []
    player.trouble = None
    screen.sound.rate.setCurrentIndex(screen.sound.rate.findData(96_000))
    screen.sound.rate.activated.emit(screen.sound.rate.currentIndex())
    assert (player.sample_rate_hz, told[0]["sample_rate_hz"]) == (96_000, 96_000)


def test_without_sound_the_next_step_is_to_look_again(window, qtbot, player):
    """What the headline asks for is the one accent-filled button, has the keyboard, and goes when there is sound."""
    screen = window.contents.sound
    assert not screen.again.isVisible()
    window.contents.show_tab(0)
    player.running, player.trouble = False, Trouble("No sound output was found: connect one.")
    window.contents.show_tab(SOUND)
    assert screen.again.isVisible()
    assert screen.again.hasFocus()
    filled = [
        each for each in screen.findChildren(QPushButton) if each.property("kind") == "next" and each.isVisible()
    ]
    assert filled == [screen.again]
    player.running, player.trouble = True, None
    qtbot.mouseClick(screen.again, Qt.MouseButton.LeftButton)
    assert not screen.again.isVisible()
    assert not screen.notice.isVisible()


def test_a_device_that_was_connected_meanwhile_is_listed_when_one_looks_again(window, qtbot, player, monkeypatch):
    """The system's list is as old as the program's first stream: it is asked anew with none open."""
    screen, there = window.contents.sound, ["Invented output"]
    monkeypatch.setattr("app.ui.screens.sound_card.outputs", lambda: list(enumerate(there)))

    def rescan():
        assert (player.opens, player.closes) == (opens, closes + 1)
        there.append("Invented headphones")

    monkeypatch.setattr("app.ui.screens.sound.rescan", rescan)
    assert screen.anew.isVisible()
    opens, closes = player.opens, player.closes
    qtbot.mouseClick(screen.anew, Qt.MouseButton.LeftButton)
    assert screen.sound.output.findData("Invented headphones") > 0
    assert player.opens > opens


def test_devices_are_listed_once_the_output_is_open(window, player, monkeypatch):
    """A broken output is opened anew, for which the system is asked anew: the list is of that."""
    monkeypatch.setattr("app.ui.screens.sound_card.outputs", lambda: [(0, f"Invented output {player.opens}")])
    window.contents.show_tab(0)
    window.contents.show_tab(SOUND)
    assert window.contents.sound.sound.output.itemText(1) == f"Invented output {player.opens}"


def test_tapping_on_past_the_end_starts_nothing(window, qtbot, player):
    """Whoever calibrates with K: the tap after the last click is none for the button."""
    screen = window.contents.sound
    qtbot.keyClick(window, Qt.Key.Key_K)
    qtbot.keyClick(window, Qt.Key.Key_K)
    player.playing = False
    screen.card.tick()
    assert screen.calibrator.stage is Stage.IDLE
    qtbot.keyClick(window, Qt.Key.Key_K)
    assert screen.calibrator.stage is Stage.IDLE
    screen.card.rest.start(0)  # the learner's rest is over
    qtbot.waitUntil(lambda: not screen.card.rest.isActive())
    qtbot.keyClick(window, Qt.Key.Key_K)
    assert screen.calibrator.stage is Stage.TAPPING


def test_a_touch_of_the_pad_is_one_tap(window, qtbot):
    screen = window.contents.sound
    qtbot.keyClick(window, Qt.Key.Key_K)
    qtbot.waitUntil(screen.card.pad.isVisible)
    touch(screen.card.pad)
    assert [tap.source for tap in screen.calibrator.taps] == ["touch"]


def test_after_a_start_that_failed_it_looks_as_seldom_as_before(window, qtbot, player):
    screen = window.contents.sound
    player.trouble = Trouble("No sound output was found: connect one.")
    qtbot.keyClick(window, Qt.Key.Key_K)
    assert "No sound output" in screen.notice.text()
    assert screen.card.timer.interval() == IDLE_TICK_MS


def test_a_microphone_is_waited_for_with_a_word(window, qtbot):
    screen = window.contents.sound
    screen.calibrator.microphone = lambda *_: Unheard()
    qtbot.keyClick(window, Qt.Key.Key_M)
    assert screen.calibrator.stage is Stage.OPENING
    assert screen.card.way.text() == "One moment: waiting for the microphone …"


class Unheard:
    """A microphone that opens and delivers nothing."""

    frames, lost, sample_rate_hz, name = 0, False, 48_000, "invented microphone"

    def open(self) -> None: ...
    def close(self) -> None: ...


def test_a_tap_far_before_the_rest_has_a_true_minus(window, qtbot, player):
    screen = window.contents.sound
    qtbot.keyClick(window, Qt.Key.Key_K)
    off_s = np.random.default_rng(1).normal(0.0, 0.01, len(screen.calibrator.starts_s))
    off_s[9] = -0.15
    for at_s, off in zip(screen.calibrator.starts_s, off_s, strict=True):
        screen.calibrator.tap(Tap(player.start_s + float(at_s + off), "key", True))
    player.playing = False
    screen.card.tick()
    assert "\N{MINUS SIGN}150" in screen.card.outliers.text()
