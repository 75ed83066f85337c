"""Draws a practice's trial on its count sheet and timing strip."""

from PySide6.QtWidgets import QLabel

from app.inputs.taps import Tap
from app.practice.practice import Practice
from app.practice.trial.attempt import Attempt, Phase
from app.ui.result.marked_sheet import draw_marked, tells_nothing
from app.ui.result.verdict_sign import VerdictSign
from app.ui.result.versions_row import VersionsRow
from app.ui.widgets.sheet.count_sheet import CountSheet
from app.ui.widgets.sheet.timing_strip import TimingStrip


def draw_trial(sheet: CountSheet, strip: TimingStrip, practice: Practice) -> None:
    """Show the current trial as far as its help allows, and the taps once it is marked."""
    attempt = practice.attempt
    if attempt is None or attempt.phase in (Phase.READY, Phase.VOID):
        sheet.show_count(None)
        return
    trial, marked = attempt.trial, attempt.marked if attempt.phase is Phase.MARKED else None
    sheet.show_count(trial.count, way=practice.wish.way, blank=not (trial.help.sheet or marked))
    if marked is not None:
        draw_marked(sheet, strip, marked)


def draw_taps(sheet: CountSheet, attempt: Attempt | None, along: Tap | None = None) -> None:
    """Acknowledge the taps that came since the last call; ``along``: one where none are asked for."""
    if attempt is None or attempt.phase is not Phase.SOUNDING:
        return
    for tap in attempt.taps[sheet.tapped :] if attempt.by_taps else filter(None, [along]):
        sheet.show_tap(attempt.tap_s(tap))
        attempt.equipment.tick()


def sheet_hidden(practice: Practice) -> bool:
    """Whether something else takes the place of the sheet, or the sheet of a marked trial would say nothing."""
    attempt, phase = practice.attempt, practice.phase
    if practice.at_plan or practice.chooses or phase is Phase.ASKING:  # where a question is open the answers are
        return True
    marked = None if phase is not Phase.MARKED or attempt is None else attempt.marked
    return marked is not None and tells_nothing(marked)


def show_answer(sign: VerdictSign, versions: VersionsRow, heading: QLabel, practice: Practice) -> None:
    """Show right or wrong, and what it was beside what was answered."""
    attempt = practice.attempt if practice.phase is Phase.MARKED else None
    result = None if attempt is None else attempt.result
    sign.show_verdict(None if result is None else result.right, heading)
    replaying = None if attempt is None else attempt.replaying
    versions.show_result(result, practice.trial, () if replaying is None else replaying.versions)


def show_replay(versions: VersionsRow, attempt: Attempt | None) -> None:
    """Show which version sounds."""
    if attempt is not None and attempt.replaying is not None:
        versions.show_sounding(attempt.replaying.version)
