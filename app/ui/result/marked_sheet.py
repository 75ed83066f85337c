"""Draws a marked trial on a count sheet and a timing strip."""

import numpy as np

from app.ui.widgets.count_sheet import CountSheet, Mark
from app.ui.widgets.timing_strip import TimingStrip
from exercises.drills import drill
from exercises.trial.sheet_marks import SheetMarks
from exercises.trial.trial import Answer, Kind, Result, Trial


def draw_marked(
    sheet: CountSheet,
    strip: TimingStrip,
    trial: Trial,
    answer: Answer,
    result: Result,
    *,
    calibrated: bool,
    tells_shift: bool,
) -> None:
    """Show a marked trial: what its truth has to show, the taps and their errors.

    ``tells_shift``: whether errors can be given.
    """
    truth, marks = drill(trial.drill).sheet_marks(trial, answer, result), result.taps
    sheet.show_truth(truth or SheetMarks())
    if marks is None:
        _draw_press(sheet, trial, answer, result, calibrated)
        return
    # Without a calibration errors are measured from their own mean.
    known = calibrated or not len(marks.errors_ms)
    errors_ms = marks.errors_ms if known else marks.errors_ms - marks.errors_ms.mean()
    errors = dict(zip(marks.pairs[:, 1].tolist(), errors_ms.tolist(), strict=True))
    first, end = marks.counted or (0, len(answer.taps_s))
    sheet.show_marks(
        tuple(
            Mark(float(at), errors.get(index), first <= index < end, tells_shift)
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
    off_ms, first = off if isinstance(off, float) else None, 0
    if trial.then is not Kind.NONE:  # presses before a bar ahead of the first target do not count
        bar_s = trial.period_s * int(trial.count.beat_in_bar.max())
        first = int(np.searchsorted(answer.taps_s, trial.targets_s[0] - bar_s))
    presses_s = answer.taps_s[first : first + 1]
    sheet.show_marks(tuple(Mark(float(at), off_ms, told=calibrated) for at in presses_s), np.empty(0))
