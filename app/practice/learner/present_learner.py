"""The learner who practises: what becomes of their trials, in the logbook and in the levels. No sound, no course."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field, replace

from app.practice.learner.current_levels import CurrentLevels, fitting_rung, rungs_after
from app.practice.learner.lags import EquipmentLags
from app.practice.learner.saving import Saving
from app.practice.trial.attempt import Attempt
from exercises.drills import drill
from exercises.learner.stored_levels import LearnerLevels
from exercises.logbook.store import Logbook
from exercises.trial.kept.record import TrialRecord, record
from exercises.trial.kept.record import kept as kept_result
from exercises.trial.result import Result
from exercises.trial.trial import Answer
from synth.base.errors import Trouble
from synth.base.words import Say
from synth.device.clock import utc_now
from synth.device.faults import Fault, FaultKind, kept

BY_LEARNER = kept([Fault(FaultKind.WITHDRAWN)])


@dataclass(slots=True, eq=False)
class PresentLearner:
    """Keeps the trials of the learner who practises, and knows their levels.

    ``logbook`` is ``None`` if nothing can be saved: then the levels are those of this sitting. ``id`` stands for the
    learner in the logbook (None: the first of that ``name``). ``simulated``: the answers are not a person's.
    ``introduced`` are the drills whose introduction was begun. ``tell`` is given trouble that ends nothing.
    """

    logbook: Logbook | None
    name: str = "me"
    id: str | None = None
    simulated: bool = False
    introduced: set[str] = field(default_factory=set)
    tell: Callable[[Say], object] = lambda _: None
    _saving: Saving = field(default_factory=Saving)
    _levels: CurrentLevels = field(default_factory=CurrentLevels)
    _lags: EquipmentLags = field(init=False)

    def __post_init__(self) -> None:
        self._lags = EquipmentLags(self._saving)

    @property
    def key(self) -> str:
        """What stands for the learner in the logbook: the id, or without one the name."""
        return self.id or self.name

    # -- levels ---------------------------------------------------------------------------------------------------

    def levels(self) -> LearnerLevels:
        """The levels (see ``CurrentLevels``); an unreadable logbook is told, and leaves those known before."""
        try:
            return self._levels.now(self.logbook, self.key)
        except Trouble as trouble:
            self.tell(trouble.says)
            return self._levels.now(None, self.key)

    def fitting_rung(self, drill: str, *, recorded: bool = False) -> int:
        """The rung of a drill that fits; ``recorded``: on own records."""
        return fitting_rung(drill, self.levels(), self.introduced, recorded=recorded)

    def rungs_after(self, drill: str, rung: int) -> list[int]:
        """The rungs that fit after a trial on ``rung``, whatever its answer."""
        return rungs_after(drill, rung, self.levels())

    def relearn(self, *, other: bool = False) -> None:
        """Read the levels again, after an import or for an ``other`` learner, to whom nothing was introduced yet."""
        self._levels.forget()
        if other:
            self.introduced.clear()

    def look_for_news(self, attempt: Attempt) -> bool:
        """Whether the trial that was marked last, a right one, brought a new rung, which its ``news`` then says."""
        if attempt.result is not None and attempt.result.right and attempt.side is None:
            with suppress(Trouble):  # told when the levels are read next
                attempt.news = self._levels.news(self._read_from, self.key, drill(attempt.trial.drill))
        return attempt.news is not None

    def _count(self, attempt: Attempt, result: Result, *, counts: bool) -> None:
        """Let a result count in the levels, or no longer.

        With a side task, or if it is neither right nor wrong, it never does.
        """
        if result.right is None or attempt.side is not None:
            return
        if counts:
            self._levels.answered(self._read_from, self.key, attempt.trial, result.right)
        else:
            self._levels.take_back(self._read_from)

    @property
    def _read_from(self) -> Logbook | None:
        """The logbook, unless it lacks trials that are waiting to be saved."""
        return None if self._saving.waiting else self.logbook

    # -- trials ---------------------------------------------------------------------------------------------------

    def answered(self, attempt: Attempt, answer: Answer, result: Result) -> Result:
        """Keep and count a trial that was marked; returns its result, excused if its lag is the equipment's."""
        made = self._record(attempt, answer, result)
        if attempt.side is None and (found := self._lags.excuse(self.logbook, attempt.trial, answer, result, made)):
            result, made, trouble = found
            if trouble is not None:
                self.tell(trouble)
            self._levels.forget()
        self._keep(made)
        attempt.kept = made
        self._count(attempt, result, counts=True)
        return result

    def voided(self, attempt: Attempt, answer: Answer, faults: tuple[Fault, ...]) -> None:
        """Keep a trial that is void, with the reasons."""
        self._keep(self._record(attempt, answer, None, void=kept(faults)))

    def withdraw(self, attempt: Attempt) -> None:
        """Make a marked trial void, as the learner says that it does not count, or let it count again.

        ``Trouble`` if that cannot be written; then all is as it was.
        """
        assert attempt.kept is not None
        assert attempt.result is not None
        counts = attempt.withdrawn
        void, result = (None, kept_result(attempt.trial, attempt.result)) if counts else (BY_LEARNER, None)
        changed = replace(attempt.kept, void=void, result=result)
        self._saving.change(self.logbook, changed)
        attempt.kept = changed
        self._count(attempt, attempt.result, counts=counts)

    def save(self) -> bool:
        """Save the trials that are waiting; returns whether none is left."""
        return self._saving.save(self.logbook)

    @property
    def unsaved(self) -> Say | None:
        """The message that trials are not saved, as long as that holds."""
        return self._saving.notice

    def _keep(self, made: TrialRecord) -> None:
        """Save a trial before its result is shown; a failure is reported and does not end the practice."""
        if self.logbook is not None:
            self._saving.save(self.logbook, made)

    def _record(
        self, attempt: Attempt, answer: Answer, result: Result | None, void: str | None = None
    ) -> TrialRecord:
        return record(
            attempt.trial,
            answer,
            result,
            when=utc_now().astimezone(),
            learner=self.name,
            learner_id=self.id,
            groove=attempt.trial.groove,
            device=attempt.player.description,
            calibration=attempt.equipment.for_record(attempt.taps),
            void=void,
            simulated=self.simulated,
            mode=attempt.wish.mode,
            sounded_s=attempt.sounded_s,
            side=attempt.side,
            side_answers=attempt.side_answers,
        )
