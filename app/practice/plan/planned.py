"""The course of today's plan: makes the plan, remakes it, keeps it, and gives the trials in its order. No widgets."""

from collections.abc import Callable
from concurrent.futures import Executor, Future
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from app.logfile import log
from app.practice.plan.kept_plan import keep, kept, plan_path
from app.practice.plan.making_plan import drills_of_plan, make_plan
from app.practice.plan.today import Today
from app.practice.trial.course import Course
from app.practice.trial.next_trial import Wish
from exercises.learner.chosen import NOTHING_CHOSEN, Chosen
from exercises.learner.placement import DrillRung
from exercises.learner.plan import USUAL_MIN
from exercises.progress.gains import tally
from exercises.trial.result import Result
from exercises.trial.trial import Trial
from synth.base.errors import Trouble
from synth.base.words import Say, Template
from synth.base.working import submitted
from synth.device.clock import utc_now

LOST = Template("today.lost", "How far today's plan had come could not be read, so it begins again.")


def no_records() -> float:
    """No trial is on own records."""
    return 0.0


@dataclass(slots=True, eq=False)
class Planned(Course):
    """The course of today's plan. It makes the plan from the logbook at ``path``, if any, in ``workers``, if any.

    A worker opens the logbook itself, as levels from years of answers take too long for the window's thread.
    ``notices`` report once that the logbook is unreadable. ``begin`` is the result of a placement run, used for the
    day's plans until one of them is finished. ``records`` tells the share of trials on own records.
    """

    path: Path | None = None
    workers: Executor | None = None
    minutes: int = USUAL_MIN
    clock: Callable[[], datetime] = utc_now
    today: Today | None = None
    notices: tuple[Say, ...] = ()
    begin: DrillRung | None = None
    chosen: Chosen = NOTHING_CHOSEN
    records: Callable[[], float] = no_records
    _day: date | None = None
    _learner: str = ""
    _anew: bool = False
    _coming: Future[tuple[Today, tuple[Say, ...]]] | None = None
    _of: Today | None = None
    _counted: bool = False
    _ahead: tuple[Today, Future[tuple[str, ...]]] | None = None

    def next(self, chosen: Wish) -> Wish | None:
        """The next trial of the plan; at the end the choice by hand."""
        return None if self.today is None or self.making else self.today.wish(chosen, self.records())

    def started(self, trial: Trial, now_s: float) -> None:
        """Record the start of the plan's next trial; ignored at the end."""
        self._of = self.today
        if self._of is not None and not self._of.finished:
            self._of.started(now_s)

    def answered(self, trial: Trial, result: Result | None, now_s: float) -> None:
        """Count the trial for the plan in which it was started, and keep the progress."""
        self._counted = self._of is not None and not self._of.finished
        if self._of is not None and self._counted:
            self._of.done(now_s, tally(trial, result))
            if self.today is self._of:
                self.keep()

    def recount(self, counts: bool) -> None:
        """See ``Course``."""
        if self._of is not None and self._counted:
            self._of.recount(counts)
            if self.today is self._of:
                self.keep()

    def skip(self) -> None:
        """Skip the current item."""
        if self.today is not None:
            self.today.skip()
            self.keep()

    def end_lesson(self, took_s: float) -> None:
        """Count the lesson as done."""
        if self.today is not None:
            self.today.end_lesson(took_s)
            self.keep()

    def choose_minutes(self, minutes: int, learner: str) -> None:
        """Set the minutes a day, 5 to 30, from the next plan on; a plan not yet begun is remade."""
        self.minutes = minutes
        self._remake(learner)

    def choose_drills(self, chosen: Chosen, learner: str) -> None:
        """Set the drills of every plan and of none, from the next plan on; a plan not yet begun is remade."""
        self.chosen = chosen
        self._remake(learner)

    def _remake(self, learner: str) -> None:
        """Make the plan again unless it is begun."""
        if self.today is None or not self.today.begun:
            self.make(learner, anew=self.today is not None and not self.making)

    def make(self, learner: str, *, anew: bool = False) -> None:
        """Start making a plan; ``poll`` installs it.

        A plan that this learner began today continues, unless ``anew``.
        """
        now = self.clock().astimezone()
        if self._day is not None and (self._day, self._learner) != (now.date(), learner):
            self.begin = None
        # A repeated request before the plan is made, e.g. with other minutes, keeps ``anew``.
        self._anew = anew or (self.making and self._anew and self._learner == learner)
        self._day, self._learner = now.date(), learner
        wanted = (self.path, learner, now, self.minutes, not self._anew, self.begin, self.chosen)
        self._coming = submitted(self.workers, make_today, *wanted)

    def keep(self) -> None:
        """Keep the plan's progress for the rest of the day."""
        if self.today is not None and self.today.finished:
            self.begin = None
        if self.path is None or self.today is None or self._day is None:
            return
        try:
            keep(plan_path(self.path), self._learner, self._day, self.today.to_json())
        except Trouble as trouble:
            # Saving to the logbook reports a full disk.
            log.warning("today's plan is not kept: %s", trouble)

    def tomorrow(self) -> tuple[str, ...] | None:
        """Drills of tomorrow's plan as of now, once today's is finished; None while they are being found."""
        if self.today is None or not self.today.finished:
            return None
        if self._ahead is None or self._ahead[0] is not self.today:
            now = self.clock().astimezone() + timedelta(days=1)
            wanted = (self.path, self._learner, now, self.minutes, self.begin, self.chosen)
            self._ahead = self.today, submitted(self.workers, drills_of_plan, *wanted)
        return self._ahead[1].result() if self._ahead[1].done() else None

    @property
    def making(self) -> bool:
        """Whether a plan is being made."""
        return self._coming is not None

    def poll(self) -> bool:
        """Install the plan if it has been made; returns whether it just was."""
        if self._coming is None or not self._coming.done():
            return False
        coming, self._coming = self._coming, None
        self.today, self.notices = coming.result()
        return True

    @property
    def stale(self) -> bool:
        """Whether another day has begun since the plan was made, and the plan is not in progress."""
        if self.today is None or (self.today.begun and not self.today.finished):
            return False
        return self.clock().astimezone().date() != self._day


def make_today(
    path: Path | None,
    learner: str,
    now: datetime,
    minutes: int,
    resume: bool,
    begin: DrillRung | None = None,
    chosen: Chosen = NOTHING_CHOSEN,
) -> tuple[Today, tuple[Say, ...]]:
    """Today's plan and notices; with ``resume`` the one begun today, if any."""
    lost: tuple[Say, ...] = ()
    if resume and path is not None:
        try:
            left = kept(plan_path(path), learner, now.date())
            if left is not None:
                return Today.from_json(left), ()
        except (Trouble, ValueError) as slip:
            log.warning("today's plan cannot be gone on with: %s", slip)
            lost = (LOST(),)
    made, notices = make_plan(path, learner, now, minutes, begin, chosen)
    return Today(made), (*lost, *notices)
