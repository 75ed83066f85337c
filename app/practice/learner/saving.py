"""Writes trials to the logbook; a trial that cannot be written is kept and written with the next one."""

from dataclasses import dataclass, field

from exercises.logbook.store import BUSY_S, Logbook
from exercises.trial.kept.record import TrialRecord
from synth.base.errors import Trouble
from synth.base.words import Say, Template

NOT_SAVED = Template("saving.not_saved", "{trouble} Practice goes on; saving is tried again after the next trial.")
# Lock timeout in s after a failed write: the learner waits for a locked logbook only once.
AGAIN_S = 0.05


@dataclass(slots=True, eq=False)
class Saving:
    """The trials that are not saved yet, and why."""

    waiting: list[TrialRecord] = field(default_factory=list)
    _why: Trouble | None = None

    def save(self, logbook: Logbook | None, *more: TrialRecord) -> bool:
        """Write the waiting trials and these; returns whether none is left."""
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

    def find(self, logbook: Logbook | None, uid: str) -> TrialRecord | None:
        """A trial that waits or is written. Raises ``Trouble`` if the logbook cannot be read."""
        waiting = next((each for each in self.waiting if each.uid == uid), None)
        return waiting or (None if logbook is None else logbook.trial(bytes.fromhex(uid)))

    def change(self, logbook: Logbook | None, record: TrialRecord) -> None:
        """Replace reason and result of a trial, written or waiting. Raises ``Trouble`` if it cannot be written."""
        for at, each in enumerate(self.waiting):
            if each.uid == record.uid:
                self.waiting[at] = record
                return
        if logbook is not None:
            logbook.set_void(record.uid, record.void, record.result)

    @property
    def notice(self) -> Say | None:
        """The message that something is not saved, as long as that holds."""
        return None if self._why is None else NOT_SAVED(trouble=self._why.says)
