"""Draws a marked trial on a count sheet and a timing strip."""

import numpy as np

from app.ui.widgets.sheet.count_sheet import CountSheet, Mark
from app.ui.widgets.sheet.timing_strip import TimingStrip
from exercises.drills import drill
from exercises.trial.marked import Marked
from exercises.trial.result import Result
from exercises.trial.sheet_marks import SheetMarks
from exercises.trial.trial import Answer, Kind, Trial


def draw_marked(sheet: CountSheet, strip: TimingStrip, marked: Marked) -> None:
    """Show a marked trial: what its truth has to show, the taps and their errors."""
    trial, answer, result = marked.trial, marked.answer, marked.result
    truth, marks = drill(trial.drill).sheet_marks(trial, answer, result), result.taps
    sheet.show_truth(truth or SheetMarks())
    if marks is None:
        _draw_press(sheet, trial, answer, result, marked.calibrated)
        return
    # Without a calibration errors are measured from their own mean.
    known = marked.calibrated or not len(marks.errors_ms)
    errors_ms = marks.errors_ms if known else marks.errors_ms - marks.errors_ms.mean()
    errors = dict(zip(marks.pairs[:, 1].tolist(), errors_ms.tolist(), strict=True))
    first, end = marks.counted or (0, len(answer.taps_s))
    sheet.show_marks(
        tuple(
            Mark(float(at), errors.get(index), first <= index < end, marked.tells_shift)
            for index, at in enumerate(answer.taps_s)
        ),
        np.delete(trial.targets_s, marks.pairs[:, 0]),
    )
    strip.show_errors(errors_ms, trial.period_s * 1000, marks.uncertainty_ms, from_mean=not known)


def _draw_press(sheet: CountSheet, trial: Trial, answer: Answer, result: Result, calibrated: bool) -> None:
    """Show the press that counts, with its error where it met."""
    if trial.kind is not Kind.PRESS or answer.lost:
        return
    off = result.figures.get("off_ms") if result.right else None
    off_ms = off if isinstance(off, float) else None
    presses_s = drill(trial.drill).presses_s(trial, answer)[:1]
    sheet.show_marks(tuple(Mark(float(at), off_ms, told=calibrated) for at in presses_s), np.empty(0))


def tells_nothing(marked: Marked) -> bool:
    """Whether the sheet of a trial says nothing of its answer."""
    return drill(marked.trial.drill).sheet_marks(marked.trial, marked.answer, marked.result) is None
