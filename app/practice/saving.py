"""Trials on their way to the logbook: one that cannot be written is kept, and written with the next."""

from dataclasses import dataclass, field

from exercises.logbook.store import BUSY_S, Logbook
from exercises.trial.record import TrialRecord
from synth.base.errors import Trouble
from synth.base.words import Say, Template

NOT_SAVED = Template("saving.not_saved", "{trouble} Practice goes on; saving is tried again after the next trial.")
# Who has waited once for a logbook that is held does not wait again after each trial.
AGAIN_S = 0.05


@dataclass(slots=True, eq=False)
class Saving:
    """The trials that are not saved yet, and why."""

    waiting: list[TrialRecord] = field(default_factory=list)
    _why: Trouble | None = None

    def save(self, logbook: Logbook | None, *more: TrialRecord) -> bool:
        """Write these trials, and before them those that could not be written until now; whether none is left."""
        trials = [*self.waiting, *more]
        if logbook is not None and trials:
            try:
                logbook.add_all(trials)
            except Trouble as trouble:
                self.waiting, self._why = trials, trouble
                logbook.wait(AGAIN_S)
            else:
                if self.waiting:
                    logbook.wait(BUSY_S)
                self.waiting, self._why = [], None
        return not self.waiting

    @property
    def notice(self) -> Say | None:
        """That something is not saved, as long as that holds."""
        return None if self._why is None else NOT_SAVED(trouble=self._why.says)
