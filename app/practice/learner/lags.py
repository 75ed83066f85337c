"""Excuses results whose steady lag is the equipment's: this trial's, and those of earlier ones with it."""

from dataclasses import dataclass, field, replace
from datetime import datetime

from app.practice.learner.saving import Saving
from exercises.logbook.store import Logbook
from exercises.trial.equipment_lag import FIGURE, LagWatch, excused, excused_kept
from exercises.trial.kept.record import TrialRecord, kept
from exercises.trial.result import Result
from exercises.trial.trial import Answer, Trial
from synth.base.errors import Trouble
from synth.base.words import Say


@dataclass(slots=True, eq=False)
class EquipmentLags:
    """Watches the lags of a sitting; earlier trials are changed by way of ``saving``."""

    saving: Saving
    _watch: LagWatch = field(default_factory=LagWatch)

    def excuse(
        self, logbook: Logbook | None, trial: Trial, answer: Answer, result: Result, made: TrialRecord
    ) -> tuple[Result, TrialRecord, Say | None] | None:
        """Result and record as excused, with trouble in changing earlier ones; None where the lag is not of it."""
        whose, at_s = made.learner_id or made.learner, datetime.fromisoformat(made.when).timestamp()
        found = dict(self._watch.see((whose, made.device, made.calibration), made.uid, at_s, trial, answer))
        lag_ms, trouble = found.pop(made.uid, None), None
        if lag_ms is None:
            return None
        for uid, ms in found.items():
            try:
                before = self.saving.find(logbook, uid)
                if before is not None and before.result is not None and FIGURE not in before.result:
                    self.saving.change(logbook, replace(before, result=excused_kept(before.result, ms)))
            except Trouble as slip:
                trouble = slip.says
        result = excused(result, lag_ms)
        return result, replace(made, result=kept(trial, result)), trouble
