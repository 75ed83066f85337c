"""The legend of the marks on the sheet of a marked trial."""

from PySide6.QtCore import QObject

from app.ui.base.words import spoken
from exercises.drills import drill
from exercises.trial.marked import Marked
from exercises.trial.sheet_marks import Shape
from exercises.trial.trial import Kind


class SheetLegend(QObject):
    """Names the marks that are on the sheet, and the zero of early and late."""

    def heard(self, marked: Marked) -> str:
        """What the blocks are, while the taps are heard; empty without taps."""
        if not marked.answer.taps_s.size:
            return ""
        return self.tr("High wood block: met its target. Low wood block: met none.")

    def words(self, marked: Marked) -> str:
        """One sentence a mark; empty where there is none."""
        answer, result = marked.answer, marked.result
        found = drill(marked.trial.drill).sheet_marks(marked.trial, answer, result)
        if found is not None and found.legend is not None:
            return spoken(found.legend)
        if result.taps is None:
            words = []
            if marked.trial.kind is Kind.PRESS and not answer.lost and answer.taps_s.size:
                words.append(self.tr("Stroke: your press."))
                if not result.right:
                    words.append(self.tr("Cross: met no target."))
            if found is not None and any(mark.shape is Shape.ONE for mark in found.marks):
                words.append(self.tr("Diamond: a one of the other record."))
            return " ".join(words)
        marks, words = result.taps, []
        first, end = marks.counted or (0, len(answer.taps_s))
        if end > first:
            words.append(self.tr("Stroke: a tap of yours."))
        if marks.hits < marks.targets:
            words.append(self.tr("Ring: a target missed."))
        if marks.extra:
            words.append(self.tr("Cross: met no target."))
        if end - first < len(answer.taps_s):
            words.append(self.tr("Grey: did not count."))
        if marked.tells_shift:
            words.append(self.tr("Early is −, late is +, in ms."))
        if marks.hits and marked.mouse_is_not:
            words.append(
                self.tr("The mouse is not calibrated: measured from your own average, not from the beat.")
                if marked.tells_shift
                else self.tr("The mouse is not calibrated: early or late cannot be seen from so few taps.")
            )
        elif marks.hits and not marked.calibrated:
            words.append(
                self.tr("Not calibrated: measured from your own average, not from the beat.")
                if marked.tells_shift
                else self.tr("Not calibrated: early or late cannot be seen from so few taps.")
            )
        return " ".join(words)
