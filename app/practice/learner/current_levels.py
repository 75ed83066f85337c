"""The learner's levels while practising, from the logbook or, without one, from the answers of this sitting."""

from collections.abc import Container
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from exercises.drills import drill
from exercises.forms.drill import INTRODUCTION, Drill
from exercises.learner.drill_level import DrillLevel
from exercises.learner.level import Level
from exercises.learner.stored_levels import LearnerLevels, learner_levels
from exercises.logbook.store import Logbook
from exercises.progress.gains import new_rung
from exercises.trial.kept.record import DAY_S
from exercises.trial.trial import Kind, Trial
from synth.base.words import Say
from synth.device.clock import utc_now


@dataclass(slots=True, eq=False)
class CurrentLevels:
    """The levels read last, and whether an answer has come since."""

    _read: LearnerLevels | None = None
    _answered: bool = False
    _before: LearnerLevels | None = None

    def now(self, logbook: Logbook | None, learner: str) -> LearnerLevels:
        """The levels, read again after each answer.

        ``Trouble`` if the logbook cannot be read; the next call returns the levels known before.
        """
        if self._read is None or self._answered:
            self._answered, before = False, self._read
            self._read = before or LearnerLevels({}, Level.about())
            if logbook is not None:
                self._read = learner_levels(logbook, learner)
        return self._read

    def news(self, logbook: Logbook | None, learner: str, one: Drill[Any]) -> Say | None:
        """Says that the last answer brought a rung for the first time; ``Trouble`` as ``now``."""
        return new_rung(self._before, self.now(logbook, learner), one, logbook, learner)

    def forget(self) -> None:
        """Discard the levels: another learner, or answers from elsewhere."""
        self._read = None

    def answered(self, logbook: Logbook | None, learner: str, trial: Trial, right: bool) -> None:
        """Take an answer into account: have the logbook read again, or without one update the level here."""
        self._before = self._read
        if logbook is not None:
            self._answered = True
            return
        levels, day = self.now(None, learner), utc_now().timestamp() / DAY_S
        self._read = levels.after(trial.drill, trial.rung, right, day, recorded=trial.recorded is not None)

    def take_back(self, logbook: Logbook | None) -> None:
        """Leave the last answer out: have the logbook read anew, or return to the levels before it."""
        self._read = None if logbook is not None else self._before


def fitting_rung(
    drill_id: str, levels: LearnerLevels, introduced: Container[str] = (), *, recorded: bool = False
) -> int:
    """The rung with 80 % expected right answers; ``recorded``: on the learner's own records.

    A drill that was never answered begins with its introduction, if it has one and was not ``introduced``.
    """
    one = drill(drill_id)
    if one.introduction is not None and drill_id not in levels.tried and drill_id not in introduced:
        return INTRODUCTION
    if drill_id not in (levels.recorded if recorded else levels.tried):
        return _first_rung(drill_id, levels.about(drill_id, recorded=recorded), recorded)
    level = levels.recorded_level if recorded else levels.level
    return level(drill_id, utc_now().timestamp() / DAY_S).rung(one, recorded=recorded)


def rungs_after(drill_id: str, rung: int, levels: LearnerLevels) -> list[int]:
    """The rungs that fit after a trial on ``rung`` with a right and with a wrong answer; one if both are the same."""
    coming = [levels]
    if rung != INTRODUCTION and drill(drill_id).kind is not Kind.NONE:
        day = utc_now().timestamp() / DAY_S
        coming = [levels.after(drill_id, rung, right, day) for right in (True, False)]
    return list(dict.fromkeys(fitting_rung(drill_id, each, (drill_id,)) for each in coming))


@lru_cache(maxsize=64)
def _first_rung(drill_id: str, about: Level, recorded: bool) -> int:
    """Before the first answer, which no day changes; asked for with every redraw."""
    one = drill(drill_id)
    return DrillLevel.fresh(one, about).rung(one, recorded=recorded)
