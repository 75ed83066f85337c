"""Draws a practice's trial on its count sheet and timing strip."""

import numpy as np

from app.inputs.taps import Tap
from app.practice.attempt import Attempt, Phase
from app.practice.practice import Practice
from app.ui.widgets.count_sheet import CountSheet, Mark
from app.ui.widgets.timing_strip import TimingStrip
from exercises.drills import drill
from exercises.trial.sheet_marks import SheetMarks
from exercises.trial.trial import Answer, Kind, Result, Trial


def draw_trial(sheet: CountSheet, strip: TimingStrip, practice: Practice) -> None:
    """Show the current trial as far as its help allows, and the taps once it is marked."""
    attempt = practice.attempt
    if attempt is None or attempt.phase in (Phase.READY, Phase.VOID):
        sheet.show_count(None)
        return
    trial, marked, result = attempt.trial, attempt.phase is Phase.MARKED, attempt.result
    sheet.show_count(trial.count, way=practice.wish.way, blank=not (trial.help.sheet or marked))
    if marked and result is not None and attempt.answer is not None:
        draw_marked(
            sheet,
            strip,
            trial,
            attempt.answer,
            result,
            calibrated=attempt.calibrated,
            tells_shift=attempt.tells_shift,
        )


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


def draw_taps(sheet: CountSheet, attempt: Attempt | None, along: Tap | None = None) -> None:
    """Acknowledge the taps that came since the last call; ``along``: one where none are asked for."""
    if attempt is None or attempt.phase is not Phase.SOUNDING:
        return
    for tap in attempt.taps[sheet.tapped :] if attempt.by_taps else filter(None, [along]):
        sheet.show_tap(attempt.tap_s(tap))


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
