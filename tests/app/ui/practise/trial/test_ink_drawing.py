"""The pen that draws while a question sounds: where it is, how slowly it goes, that it does not flash."""

import numpy as np
import pytest
from PySide6.QtCore import Qt

from app.practice.trial.next_trial import Wish
from app.ui.base import theme
from app.ui.dress import dress
from app.ui.practise.trial.ink_drawing import LONGEST_S, TICK_MS, WIDE, Drawing, InkDrawing
from app.ui.widgets.sheet.count_sheet import CountSheet
from exercises.trial.modes import Mode
from synth.score.metre import steady_count
from tests.app.flashes import frame, most_flashes
from tests.app.windows import open_window

STEP_S = TICK_MS / 1000
FASTEST_BEAT_S, SLOWEST_BEAT_S = 60 / 240, 60 / 60


@pytest.mark.proof
def test_the_figure_fills_its_page_and_is_drawn_within_some_minutes():
    for seed in range(30):
        drawing = Drawing(np.random.default_rng(seed))
        assert np.abs(drawing.points).max(axis=0) == pytest.approx([WIDE, 1.0])
        took_s = 0.0
        while not drawing.finished and took_s < 1200:
            drawing.go_on(LONGEST_S)  # its pace wanders alike in steps of any length
            took_s += LONGEST_S
        assert 120 < took_s < 1200


@pytest.mark.proof
def test_its_pace_has_no_beat_and_measures_no_time():
    """No period between 60 and 240 BPM stands out, and what is drawn in ten seconds differs by a tenth or more."""
    paces, tens = [], []
    for seed in range(40):
        drawing = Drawing(np.random.default_rng(seed))
        at = []
        for _ in range(1024):
            drawing.go_on(STEP_S)
            at.append(drawing._at)
        paces.append(np.diff(at))
        tens.append(at[int(10 / STEP_S)])
    power = np.mean([np.abs(np.fft.rfft(pace - pace.mean())) ** 2 for pace in paces], axis=0)[1:]
    period_s = len(paces[0]) * STEP_S / np.arange(1, len(power) + 1)
    beats = power[(period_s >= FASTEST_BEAT_S) & (period_s <= SLOWEST_BEAT_S)]
    assert beats.sum() < 0.1 * power.sum()
    assert np.std(tens) > 0.1 * np.mean(tens)


@pytest.mark.proof
@pytest.mark.parametrize("sheet_theme", [theme.LIGHT, theme.DARK], ids=lambda each: each.name)
def test_nothing_flashes_and_no_more_than_a_thin_line_changes_at_once(qtbot, sheet_theme):
    """WCAG 2.2, 2.3.1, far below: a pixel gets its ink and keeps it; in a second a thousandth of the page changes."""
    dress(sheet_theme)
    sheet = CountSheet()
    qtbot.addWidget(sheet)
    sheet.resize(640, 300)
    sheet.show_count(steady_count(120.0, [4]), blank=True)
    sheet.show()
    ink = InkDrawing(sheet, np.random.default_rng(2))
    ink.turn(True)
    frames = []
    for _ in range(30):
        for _ in range(5):
            ink.drawing.go_on(STEP_S)
        if ink._page is not None:
            ink._ink(ink._page)
        frames.append(frame(sheet))
    assert most_flashes(frames, 5) <= 1
    steps = np.diff(np.array(frames, np.int16), axis=0)
    assert (steps <= 1).all() or (steps >= -1).all()  # inked in two steps, and never the other way
    changed = [np.any(a != b, axis=2).mean() for a, b in zip(frames, frames[5:], strict=False)]
    assert max(changed) < 0.005


def test_it_is_there_where_there_is_nothing_else_to_do(qtbot, practice):
    window = open_window(qtbot, practice)
    screen = window.contents.practise
    for wish, there in (
        (Wish("drum", 3), True),
        (Wish("intro", 2), True),
        (Wish("stopped-beat", 3), True),
        (Wish("beat", 8), False),
        (Wish("count-along", 1), False),
        (Wish("drum", 3, mode=Mode.BUSY), False),
    ):
        practice.choose(wish)
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert practice.trial.drill == wish.drill
        assert screen.ink.isVisibleTo(screen.sheet) == there, wish
        screen.stop()
        assert not screen.ink.isVisibleTo(screen.sheet)


def test_with_less_movement_it_never_is(qtbot, practice):
    window = open_window(qtbot, practice)
    theme.set_reduced_motion(True)
    try:
        practice.choose(Wish("drum", 3))
        qtbot.keyClick(window, Qt.Key.Key_Return)
        assert window.contents.practise.ink.isHidden()
    finally:
        window.contents.practise.stop()
        theme.set_reduced_motion(False)


def test_a_figure_goes_on_in_the_next_trial_and_makes_room_once_it_is_finished(qtbot):
    sheet = CountSheet()
    qtbot.addWidget(sheet)
    ink = InkDrawing(sheet, np.random.default_rng(3))
    first = ink.drawing
    for finished in (False, True):
        ink.turn(True)
        ink.turn(False)
        if finished:
            first._at = first._far[-1]
        ink.turn(True)
        assert (ink.drawing is first) != finished
        ink.turn(False)
