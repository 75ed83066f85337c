"""The strokes that acknowledge taps: where they stand, that they count nothing, and that little is painted."""

from itertools import pairwise

import numpy as np
import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QRegion

from app.ui.base import theme
from app.ui.widgets.sheet.count_sheet import CountSheet, Mark, _line_box
from app.ui.widgets.sheet.pen_strokes import INK, EvenStrokes
from exercises.trial.sheet_marks import Shape, SheetMark, SheetMarks
from synth.base.words import say
from synth.score.metre import steady_count

COUNT = steady_count(120.0, [8, 8])
PEN = theme.LIGHT.colour("pen").rgb()


@pytest.fixture
def sheet(qtbot):
    made = CountSheet()
    qtbot.addWidget(made)
    made.resize(1200, 420)
    made.show()
    return made


def picture(sheet) -> QImage:
    return sheet.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)


def pixels(image: QImage) -> np.ndarray:
    return np.frombuffer(image.constBits(), np.uint32).reshape(image.height(), image.width()).copy()


def test_a_stroke_on_the_count_stands_where_the_tap_fell(sheet):
    """A tap a quarter of a beat late stands a quarter of a beat to the right of its number, and changes no more."""
    sheet.show_count(COUNT)
    before = pixels(picture(sheet))
    sheet.show_tap(float(COUNT.beats_s[5]) + 0.125)
    changed = pixels(picture(sheet)) != before
    places = sheet._places()
    at = places.at(float(COUNT.beats_s[5]) + 0.125)
    assert at.x() == pytest.approx(places.centre(5).x() + places.cell_px / 4)
    rows, columns = np.flatnonzero(changed.any(axis=1)), np.flatnonzero(changed.any(axis=0))
    assert np.ptp(columns) < 12
    assert np.abs(columns - at.x()).max() < 8
    assert at.y() <= rows.min() <= rows.max() <= at.y() + places.blocks.line_px


def test_right_and_wrong_taps_look_alike_while_the_drums_play(sheet):
    """One on the beat and one half a beat away: the same stroke."""
    looks = []
    for off_s in (0.0, 0.25):
        sheet.show_count(COUNT)
        before = pixels(picture(sheet))
        sheet.show_tap(float(COUNT.beats_s[5]) + off_s)
        after = pixels(picture(sheet))
        looks.append(np.sort(after[after != before]).tolist())
    assert np.isin(PEN, looks[0])
    assert len(looks[0]) == pytest.approx(len(looks[1]), abs=6)


def test_on_a_blank_sheet_no_more_than_the_last_few_are_seen_and_they_stand_evenly():
    """From the fifth tap on every tap looks like the one before, one place further on."""
    area = QRectF(32, 24, 1130, 370)
    for _ in range(20):
        strokes = EvenStrokes()
        for _ in range(40):
            strokes.add()
        places = [strokes._box(tap, area, 4) for tap in range(40)]
        steps = {round(b.center().x() - a.center().x(), 3) for a, b in pairwise(places)}
        assert len({step for step in steps if step > 0}) == 1
        assert len(strokes.changed(area, 4)) == len(INK) + 1


@pytest.mark.parametrize("wide", range(480, 1900, 90))
def test_no_line_of_a_blank_sheet_holds_a_number_of_beats_that_a_bar_divides(wide):
    """Neither even nor a multiple of three; and the first stroke stands anywhere."""
    area = QRectF(0, 0, wide, 360)
    per_line = EvenStrokes._per_line(area, 30.0)
    assert per_line % 2
    assert per_line % 3
    firsts = {EvenStrokes()._box(0, area, 4).center().x() for _ in range(200)}
    assert len(firsts) > min(10, per_line // 2)


class Watched(CountSheet):
    """Notes how many px of it were painted."""

    painted = 0

    def paintEvent(self, event) -> None:
        self.painted += sum(part.width() * part.height() for part in event.region())
        super().paintEvent(event)


@pytest.mark.parametrize("blank", [False, True])
def test_a_tap_paints_its_own_rectangle_alone(qtbot, blank):
    """The print is not drawn again for a stroke, nor the whole page for the mark of a beat."""
    sheet = Watched()
    qtbot.addWidget(sheet)
    sheet.resize(1200, 420)
    sheet.show()
    qtbot.waitUntil(lambda: sheet.painted > 0)
    sheet.show_count(COUNT, blank=blank)
    sheet.repaint()
    page, whole = sheet._page, sheet.width() * sheet.height()
    for act, share in ((sheet.show_tap, 0.03), (sheet.show_tap, 0.03), (lambda _: sheet.show_sounding(20), 0.06)):
        sheet.painted = 0
        act(float(COUNT.beats_s[5]))
        if blank and act != sheet.show_tap:
            break
        qtbot.waitUntil(lambda: sheet.painted > 0)
        assert sheet.painted <= whole * share
        assert sheet._page is page


@pytest.mark.sweep(1)
@pytest.mark.parametrize("marked", [False, True])
def test_a_sheet_painted_in_parts_is_the_sheet_painted_whole(sheet, marked):
    """The mark goes through every beat, also over a result that is heard again; then the same in one go."""
    sheet.show_count(COUNT)
    if marked:
        taps = tuple(
            Mark(float(at_s) + 0.03, 30.0 if number % 3 else None) for number, at_s in enumerate(COUNT.beats_s)
        )
        sheet.show_marks(taps, COUNT.beats_s[3:5])
        sheet.show_truth(SheetMarks((SheetMark(Shape.RING, float(COUNT.beats_s[9]), say=say("here")),)))
    shown = QImage(sheet.size(), QImage.Format.Format_RGB32)
    sheet.render(shown)
    for beat in range(len(COUNT)):
        before = sheet.sounding
        sheet.show_sounding(beat)
        for each in (before, beat):
            if each is not None:
                part = QRegion(_line_box(sheet._places(), each))
                sheet.render(shown, part.boundingRect().topLeft(), part)
    fresh = QImage(sheet.size(), QImage.Format.Format_RGB32)
    sheet.update()
    sheet.render(fresh)
    assert np.array_equal(pixels(shown), pixels(fresh))
