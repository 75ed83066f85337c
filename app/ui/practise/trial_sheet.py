"""Draws a practice's trial on its count sheet and timing strip."""

import numpy as np

from app.inputs.taps import Tap
from app.practice.attempt import Attempt, Phase
from app.practice.practice import Practice
from app.ui.widgets.count_sheet import CountSheet, Mark
from app.ui.widgets.timing_strip import TimingStrip
from exercises.trial.trial import Answer, Result


def draw_trial(sheet: CountSheet, strip: TimingStrip, practice: Practice) -> None:
    """Show the current trial as far as its help allows, and the taps once it is marked."""
    attempt = practice.attempt
    if attempt is None or attempt.phase in (Phase.READY, Phase.VOID):
        sheet.show_count(None)
        return
    trial, marked, result = attempt.trial, attempt.phase is Phase.MARKED, attempt.result
    sheet.show_count(trial.count, way=practice.wish.way, blank=not (trial.help.sheet or marked))
    if not marked or result is None or attempt.answer is None:
        return
    marks, answer = result.taps, attempt.answer
    if marks is None:
        _draw_press(sheet, attempt, answer, result)
        return
    # Without a calibration errors are measured from their own mean.
    known, shifts = attempt.calibrated or not len(marks.errors_ms), attempt.tells_shift
    errors_ms = marks.errors_ms if known else marks.errors_ms - marks.errors_ms.mean()
    errors = dict(zip(marks.pairs[:, 1].tolist(), errors_ms.tolist(), strict=True))
    first, end = marks.counted or (0, len(answer.taps_s))
    sheet.show_marks(
        tuple(
            Mark(float(at), errors.get(index), first <= index < end, shifts) for index, at in enumerate(answer.taps_s)
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


def _draw_press(sheet: CountSheet, attempt: Attempt, answer: Answer, result: Result) -> None:
    """Show the press that started a second record, and its target."""
    if attempt.trial.entry is None:
        return
    off = result.figures.get("off_ms") if result.right else None
    off_ms = off if isinstance(off, float) else None
    marks = tuple(Mark(float(at), off_ms, told=attempt.calibrated) for at in answer.taps_s[:1])
    meant = result.figures.get("target_s")
    sheet.show_marks(marks, np.array([meant]) if isinstance(meant, float) and not result.right else np.empty(0))
