"""Marks of a trial's truth as they are painted on the count sheet."""

import numpy as np
import pytest
from PySide6.QtCore import QRectF

from app.ui.base import theme
from app.ui.widgets.sheet.count_sheet import CountSheet
from app.ui.widgets.sheet.sheet_places import LOWEST_PX
from app.ui.widgets.sheet.truth_marks import laid_out
from exercises.drills import drill, drills
from exercises.trial.sheet_marks import Shape, SheetMark, SheetMarks
from exercises.trial.trial import Answer, Kind
from synth.base.words import Template
from synth.score.metre import steady_count

pytestmark = pytest.mark.sampled(6)

MARKED = [id for id, each in drills().items() if each.kind is not Kind.NONE and id != "drum"]
WORDS, OTHERS = Template("test.truth_words", "the song came in"), Template("test.truth_others", "your answer")


@pytest.fixture
def sheet(qtbot):
    made = CountSheet()
    qtbot.addWidget(made)
    made.resize(1200, 320)
    made.show_count(steady_count(120.0, [4, 4, 4]))
    return made


def places(sheet):
    sheet.grab()
    return sheet._places()


def wrongly(trial) -> Answer:
    values = [each for each in drill(trial.drill).answers(trial) if each != trial.expected]
    return Answer(trial.targets_s[:1] - 2 * trial.period_s, values[0] if values else None)


@pytest.mark.sweep("through", "turn", "in-line")
@pytest.mark.parametrize("id", MARKED)
@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_words_stand_within_the_page_and_never_on_each_other(sheet, id, scale):
    theme.set_text_scale(scale)
    one = drill(id)
    for rung in (1, len(one.rungs)):
        trial = one.make(rung, 3)
        answer = wrongly(trial)
        sheet.show_count(trial.count)
        sheet.show_truth(one.sheet_marks(trial, answer, one.mark(trial, answer)))
        shown = places(sheet)
        words = laid_out(shown, sheet.truth.marks)
        for at, each in enumerate(words):
            assert QRectF(sheet.rect()).contains(each.place)
            assert not any(each.place.intersects(other.place) for other in words[:at])
        # Nor on the numbers of the line above: that line ends where the room for words begins.
        tops = {shown.line_of(beat)[1] for beat in range(len(shown.count))}
        for each in words:
            assert not any(
                each.place.top() + 1 < top + 0.62 * shown.blocks.line_px < each.place.bottom() for top in tops
            )


def test_lines_stay_side_by_side_where_there_are_words(sheet):
    """Words above a line of one block move the same line of its neighbours."""
    sheet.show_truth(SheetMarks((SheetMark(Shape.FLAG, 4.0, WORDS()),)))
    shown = places(sheet)
    tops = [shown.line_of(beat)[1] for beat in range(48)]
    assert tops[:16] == tops[16:32] == tops[32:]
    assert shown.line_of(8)[1] - shown.line_of(4)[1] == pytest.approx(
        shown.blocks.line_px + shown.leading_px + shown.head_px
    )
    assert shown.line_of(12)[1] - shown.line_of(8)[1] == pytest.approx(shown.blocks.line_px + shown.leading_px)


def test_truth_and_answer_differ_without_colour(sheet):
    """In grey, a ring of the truth is whole and strong, one of the answer is broken."""
    inked = {}
    for own in (None, False, True):
        sheet.show_truth(SheetMarks(() if own is None else (SheetMark(Shape.RING, 2.0, None, own),)))
        shown = places(sheet)
        picture = sheet.grab().toImage()
        middle = shown.centre(4)
        box = QRectF(middle.x() - shown.cell_px / 2, middle.y(), shown.cell_px, shown.blocks.line_px).toRect()
        dark = [
            picture.pixelColor(x, y).lightness() < 160
            for x in range(box.left(), box.right())
            for y in range(box.top(), box.bottom())
        ]
        inked[own] = sum(dark)
    assert inked[False] - inked[None] > 1.3 * (inked[True] - inked[None]) > 0


def test_bars_are_numbered_through(sheet):
    sheet.show_count(steady_count(120.0, [4, 4, 4]).excerpt(18, 20))
    sheet.show_truth(SheetMarks(through=True))
    assert [sheet._bar(sheet._count, row) for row in (0, 2, 6, 19)] == [1, 2, 3, 6]


def test_marks_are_told_in_words(sheet):
    """To a screen reader, and under the mouse where the words are cut short."""
    sheet.show_truth(
        SheetMarks((SheetMark(Shape.FLAG, 10.0, WORDS()), SheetMark(Shape.RING, 8.5, OTHERS(), own=True)))
    )
    told = sheet.accessibleDescription()
    assert "the song came in: bar 2, beat 1." in told
    assert "your answer: bar 1, beat 2." in told
    (first, second) = laid_out(places(sheet), sheet.truth.marks)
    assert sheet.words_at(second.place.center()) == "the song came in"
    assert sheet.words_at(first.place.center()) == "your answer"


def test_too_low_a_page_leaves_words_out_and_keeps_the_marks(sheet):
    sheet.resize(900, 240)
    sheet.show_count(steady_count(120.0, [16]))
    sheet.show_truth(SheetMarks(tuple(SheetMark(Shape.FLAG, 8.0 * at, WORDS()) for at in range(4))))
    assert places(sheet).head_px >= 0
    sheet.setMinimumSize(0, 0)
    sheet.resize(900, 120)
    assert places(sheet).head_px == 0
    assert laid_out(places(sheet), sheet.truth.marks) == []


def test_words_take_two_lines_then_shrink_to_be_whole_in_large_text(sheet):
    """To the small size of 100 % at the least; where there is room they have the learner's, in one line."""
    theme.set_text_scale(2.0)
    for phrases, lines, shrinks in (([4, 4], 1, False), ([4] * 7, 2, False), ([4] * 24, 2, True)):
        sheet.show_count(steady_count(120.0, phrases))
        sheet.show_truth(SheetMarks(tuple(SheetMark(Shape.FLAG, 8.0 * at, WORDS()) for at in range(len(phrases)))))
        shown = places(sheet)
        size = shown.head_px / shown.head_lines / 1.3
        assert shown.head_lines == lines
        assert (round(size) < theme.px(theme.TYPE.small)) is shrinks
        assert round(size) >= theme.TYPE.small
        assert all(each.is_whole for each in laid_out(shown, sheet.truth.marks))


@pytest.mark.parametrize("beat", range(48))
def test_words_are_whole_on_the_sheet_and_never_across_a_pole(sheet, beat):
    """Beside another mark of the same bar, whose words they leave alone."""
    sheet.resize(700, 300)
    at_s = beat / 2
    marks = SheetMark(Shape.FLAG, at_s, WORDS()), SheetMark(Shape.RING, at_s // 2 * 2 + 1.5, OTHERS(), own=True)
    sheet.show_truth(SheetMarks(marks))
    shown = places(sheet)
    found = laid_out(shown, sheet.truth.marks)
    assert len(found) == 2
    assert all(each.is_whole for each in found)
    pole_px = shown.centre(beat).x() - shown.cell_px / 2
    flag = next(each for each in found if not each.own)
    assert not flag.place.left() < pole_px < flag.place.right()
    assert not found[0].place.intersects(found[1].place)
    assert all(0 <= each.place.left() < each.place.right() <= sheet.width() for each in found)


def test_spare_height_goes_between_the_lines(sheet):
    """So that a diamond or a stroke below a line does not touch the numbers of the next."""
    sheet.resize(900, 360)
    sheet.show_count(steady_count(120.0, [4] * 5))
    shown = places(sheet)
    assert shown.leading_px == pytest.approx(0.35 * shown.blocks.line_px)
    tops = [shown.line_of(beat)[1] for beat in (0, 4, 8, 12)]
    assert np.diff(tops).tolist() == pytest.approx([shown.blocks.line_px + shown.leading_px] * 3)
    assert shown.line_of(len(shown.count) - 1)[1] + shown.blocks.line_px <= sheet.height()


@pytest.mark.parametrize("own", [False, True])
def test_words_begin_clear_of_their_pole_however_broad_it_is(sheet, own):
    sheet.resize(1200, 500)
    sheet.show_count(steady_count(120.0, [4]))
    mark = SheetMark(Shape.FLAG, 0.0, OTHERS() if own else WORDS(), own=own)
    sheet.show_truth(SheetMarks((mark,)))
    shown = places(sheet)
    assert shown.blocks.line_px > 60
    (words,) = laid_out(shown, (mark,))
    left = shown.centre(0).x() - shown.cell_px / 2
    broad = max(2.0, shown.blocks.line_px / 20)
    assert words.place.left() >= left + (3 if own else 0) + broad / 2 + 2


def test_large_words_leave_the_numbers_readable(sheet):
    """At 200 % two phrases of words one above the other: the words give way before the lines of the count do."""
    theme.set_text_scale(2.0)
    one = drill("before-turn")
    trial = one.make(6, 7)
    answer = wrongly(trial)
    sheet.resize(1200, 280)
    sheet.show_count(trial.count)
    sheet.show_truth(one.sheet_marks(trial, answer, one.mark(trial, answer)))
    shown = places(sheet)
    assert all(each.is_whole for each in laid_out(shown, sheet.truth.marks))
    assert shown.blocks.line_px >= LOWEST_PX
