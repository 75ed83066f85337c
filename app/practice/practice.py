"""Practice around the trials: what comes next, and the way from its start to its mark. No widgets.

A practice holds one ``Attempt`` at a time. The window calls ``choose``, ``begin``, ``tick``, ``answer_with`` and
``stop``, and redraws after each. What was answered or is void goes to the ``PresentLearner``, which keeps it.
"""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

from app.inputs.equipment import Equipment
from app.practice.learner.present_learner import PresentLearner
from app.practice.plan.planned import Planned
from app.practice.plan.today import Today
from app.practice.records.own_records import OwnRecords
from app.practice.trial.attempt import Attempt, Phase
from app.practice.trial.course import Course, Free
from app.practice.trial.next_trial import Ahead, Wish
from app.practice.trial.void_messages import BEGAN_AGAIN, GOES_ON, LEFT, UNTAPPED, WITHDRAWN, Voids, ended, lasting
from app.practice.whole_wish import own_sound, rung_of, rungs_next, whole
from exercises.drills import drill
from exercises.forms.drill import INTRODUCTION, Drill
from exercises.forms.rungs import pick_rung
from exercises.trial.answers import parse_value
from exercises.trial.result import Result
from exercises.trial.trial import LOST_COUNT, Answer, Kind, Trial
from synth.base.errors import Trouble
from synth.base.words import Say
from synth.device.clock import now_s
from synth.device.faults import Fault, FaultKind
from synth.device.playback import Player

# Nothing sounds and nothing is asked.
IDLE = (Phase.READY, Phase.MARKED, Phase.VOID)


@dataclass(slots=True, eq=False)
class Practice:
    """One learner's practice with one equipment.

    ``course`` chooses the next trial; ``wish`` is the choice by hand and ``day`` today's plan, whether followed or
    not. ``records`` are the learner's own. ``making``: the next trial sounds as soon as it is made. ``voids`` counts
    the void trials of the sitting.
    """

    equipment: Equipment
    learner: PresentLearner
    ahead: Ahead
    wish: Wish = field(default_factory=Wish)
    course: Course = field(default_factory=Free)
    day: Planned | None = None
    records: OwnRecords | None = None
    now: Callable[[], float] = now_s
    notices: list[Say] = field(default_factory=list)
    attempt: Attempt | None = None
    making: bool = False
    voids: Voids = field(default_factory=Voids)

    def __post_init__(self) -> None:
        self.learner.tell = self._tell

    @property
    def player(self) -> Player:
        """The player of the equipment."""
        return self.equipment.player

    @property
    def phase(self) -> Phase:
        """State of the practice."""
        if self.making:
            return Phase.MAKING
        return Phase.READY if self.attempt is None else self.attempt.phase

    @property
    def trial(self) -> Trial | None:
        """The trial that sounds, is asked about or is marked."""
        return None if self.attempt is None else self.attempt.trial

    @property
    def result(self) -> Result | None:
        """The result of the present trial once it is marked."""
        return None if self.attempt is None else self.attempt.result

    # -- next trial -----------------------------------------------------------------------------------------------

    @property
    def today(self) -> Today | None:
        """Today's plan, if it is followed and made."""
        return self.day.today if self.day is not None and self.follows_day else None

    @property
    def follows_day(self) -> bool:
        """Whether today's plan chooses the trials."""
        return self.course is self.day

    @property
    def at_plan(self) -> bool:
        """Whether the plan's page is shown: between two items or at the end."""
        return self.follows_day and self.phase is Phase.READY

    @property
    def chooses(self) -> bool:
        """Whether the drills are shown to choose from."""
        return self.course.by_hand and self.phase is Phase.READY

    @property
    def next_known(self) -> bool:
        """Whether the course knows the next trial."""
        return self.course.next(self.wish) is not None

    @property
    def next_wish(self) -> Wish:
        """The course's next trial, or while it is unknown the choice by hand."""
        return self.course.next(self.wish) or self.wish

    @property
    def drill(self) -> Drill[Any]:
        """The drill of the present trial, or of the next one."""
        return drill(self.next_wish.drill if self._shown is None else self._shown.drill)

    @property
    def on_record(self) -> bool:
        """Whether an own record plays in the present trial, or is to play in the next one."""
        return self.next_wish.on_record if self._shown is None else self._shown.recorded is not None

    @property
    def _shown(self) -> Trial | None:
        """The present trial; None where the next one is what is shown."""
        return None if self.phase is Phase.READY else self.trial

    def choose(self, wish: Wish) -> None:
        """Choose drill, rung, tempo, groove or mode by hand; ``Trouble`` for an unknown one."""
        found = drill(wish.drill)
        if wish.rung is not None:
            pick_rung(found.rungs, wish.rung, wish.drill)
        self.wish = wish

    def follow_day(self, day: Planned) -> None:
        """Follow this plan from now on."""
        self.day = self.course = day

    def follow_plan(self) -> None:
        """Return to today's plan; remake it from the latest answers unless it was begun."""
        day = self.day
        if day is None:
            return
        self.course = day
        if not day.making and not (day.today is not None and day.today.begun):
            self.plan_day(anew=day.today is not None)

    def plan_day(self, *, anew: bool = False) -> None:
        """Make today's plan; one begun today continues, unless ``anew``."""
        if self.day is not None:
            self.day.make(self.learner.key, anew=anew)

    @property
    def rung(self) -> int:
        """The rung of the next trial: the one chosen, or else the one that fits."""
        return rung_of(self.next_wish, self.learner)

    def _whole_wish(self) -> Wish:
        return whole(self.next_wish, self.learner, self.records, by_hand=self.course.by_hand)

    def prepare(self) -> None:
        """Make and render the next trial in advance, if it is known."""
        if self.next_known:
            with suppress(Trouble):  # said when it is started
                self.ahead.prepare(self._whole_wish(), self.player.sample_rate_hz)

    # -- one trial ------------------------------------------------------------------------------------------------

    def begin(self) -> None:
        """Start the next trial once it is made: now, or in ``tick``. ``Trouble`` without a sound output."""
        self.player.open()
        self.prepare()
        if self.ahead.ready:
            self.start()
        else:
            self.making, self.attempt, self.notices = True, None, []

    def start(self) -> None:
        """Start the next trial, waiting until it is made; ``Trouble`` without a sound output."""
        self.player.open()
        wish = self._whole_wish()
        self.equipment.put_on()
        try:
            ready = self.ahead.take(wish, self.player.sample_rate_hz)
        except Trouble:
            if self.records is not None:
                self.records.taken()  # another one next time
            if wish.recording is None or self.course.by_hand:
                raise
            # A plan goes on without the file that cannot be read.
            wish = own_sound(self.next_wish, self.learner)
            ready = self.ahead.take(wish, self.player.sample_rate_hz)
        attempt = Attempt(self.equipment, self.course, ready, wish)
        attempt.play()
        self.ahead.expect(wish, self.player.sample_rate_hz, lambda: rungs_next(wish, self.next_wish, self.learner))
        self.attempt, self.making = attempt, False
        if self.records is not None:
            self.records.taken()
        if wish.rung == INTRODUCTION:
            self.learner.introduced.add(wish.drill)
        self.notices = [each.trouble for each in self.equipment.inputs if each.trouble]
        self.course.started(attempt.trial, self.now())

    def put_away(self) -> None:
        """Leave the page of a result and get ready for the next trial."""
        self.making = False
        if self.attempt is not None:
            self.attempt.phase = Phase.READY

    def leave(self) -> None:
        """Stop as the learner goes elsewhere, and say that the trial was not kept."""
        lost = self.phase in (Phase.SOUNDING, Phase.ASKING)
        self.stop()
        if lost:
            self.notices = [LEFT()]

    def stop(self) -> None:
        """Stop the sound; its trial is discarded."""
        self.player.stop()
        self.notices = lasting(self.notices)
        self.equipment.rest()
        self.making = False
        if self.attempt is not None:
            self.attempt.end_again()
            if self.phase in (Phase.SOUNDING, Phase.ASKING):
                self.attempt.course.dropped()
                self.attempt = None

    def tick(self) -> None:
        """Poll the stream, and finish the trial when it is over."""
        self.player.poll()
        attempt = self.attempt
        if self.making:
            if self.ahead.ready:
                self.making = False
                self.start()
        elif attempt is not None and attempt.phase is Phase.SOUNDING:
            attempt.take_inputs()
            if self.player.faults and not self._goes_on(attempt):
                self._void(attempt, self.player.faults)
            elif attempt.over:
                self._end_of_sound(attempt)
        elif attempt is not None:
            attempt.watch_again()

    def _goes_on(self, attempt: Attempt) -> bool:
        """Whether a broken sound continues: a trial without marking is not void."""
        again = ended(self.player.faults)
        try:
            if not attempt.resume():
                return False
        except Trouble as trouble:
            self.notices = [trouble.says]
            return False
        self.notices = [BEGAN_AGAIN() if again else GOES_ON()]
        return True

    def ask_now(self) -> None:
        """End the sound early and ask its question, where that is allowed."""
        if self.attempt is not None and self.attempt.cut_short:
            self.player.stop()
            self._end_of_sound(self.attempt)

    def _end_of_sound(self, attempt: Attempt) -> None:
        if attempt.by_taps and (faults := attempt.input_faults()):
            self._void(attempt, faults)
            return
        if attempt.by_taps and self._nobody_tapped(attempt):
            return
        attempt.end_sound()
        self.notices = lasting(self.notices)
        self.voids.whole()
        if attempt.asks is not Kind.NONE:
            attempt.phase = Phase.ASKING
        elif attempt.trial.kind is Kind.NONE:
            self.attempt = None
            attempt.course.answered(attempt.trial, None, self.now())
        else:
            self._mark(attempt, Answer(taps_s=attempt.heard_s))

    def answer_with(self, text: str) -> None:
        """Give the answer as text; ``Trouble`` if it is invalid, and the question stays open."""
        attempt = self.attempt
        if attempt is not None and attempt.phase is Phase.ASKING:
            self._mark(attempt, Answer(taps_s=attempt.heard_s, value=parse_value(attempt.trial, text)))

    def lose_count(self) -> None:
        """Answer that the count is lost, while the trial sounds or asks."""
        attempt = self.attempt
        if attempt is None or not attempt.can_be_lost:
            return
        if attempt.phase is Phase.SOUNDING:
            attempt.take_inputs()
            attempt.end_sound()
            self.player.stop()
        self.voids.untapped = False
        self._mark(attempt, Answer(taps_s=attempt.heard_s, value=LOST_COUNT))

    def _mark(self, attempt: Attempt, answer: Answer) -> None:
        trial, result = attempt.trial, self.learner.answered(attempt, answer, attempt.mark(answer))
        attempt.answer, attempt.result, attempt.phase = answer, result, Phase.MARKED
        attempt.course.answered(trial, result, self.now())
        attempt.replaying = self.ahead.replaying(
            self.player, attempt.samples, trial, answer, result, attempt.wish.way
        )
        if trial.entry is not None and answer.taps_s.size and not answer.lost:
            self.player.stop()
            attempt.replaying.hear()

    def withdraw(self) -> None:
        """Make the marked trial void, as the learner says that it does not count, or let it count again.

        Possible until the next trial is started.
        """
        attempt = self.attempt
        if attempt is None or attempt.phase is not Phase.MARKED:
            return
        try:
            self.learner.withdraw(attempt)
        except Trouble as trouble:
            self.notices = [trouble.says]
            return
        attempt.course.recount(not attempt.withdrawn)
        self.notices = [WITHDRAWN()] if attempt.withdrawn else []

    def _nobody_tapped(self, attempt: Attempt) -> bool:
        """Whether the trial is void as nobody tapped: the first in a row, and any while an input does not work.

        Keys and mouse work, since one of them starts every trial.
        """
        before, self.voids.untapped = self.voids.untapped, not attempt.taps
        if attempt.taps or (not (why := self.equipment.silent_inputs()) and before):
            return False
        attempt.end_sound()
        self._keep_void(attempt, (Fault(FaultKind.UNTAPPED),))
        self.notices = [UNTAPPED(), *why]
        return True

    def _void(self, attempt: Attempt, faults: tuple[Fault, ...]) -> None:
        attempt.end_sound(void=True)
        self._keep_void(attempt, faults)
        self.notices = [self.voids.broken(faults), *lasting(self.notices)]

    def _keep_void(self, attempt: Attempt, faults: tuple[Fault, ...]) -> None:
        self.player.stop()
        answer = Answer(taps_s=attempt.heard_s)
        self.learner.voided(attempt, answer, faults)
        attempt.answer, attempt.phase = answer, Phase.VOID
        attempt.course.dropped()

    @property
    def again(self) -> bool:
        """Whether a finished trial is being played again."""
        return self.attempt is not None and self.attempt.again

    @property
    def goes_on(self) -> bool:
        """Whether a trial is in progress, or a finished one is played again or soon will be."""
        return self.phase not in IDLE or (self.attempt is not None and self.attempt.goes_on_again)

    # -- notices --------------------------------------------------------------------------------------------------

    def _tell(self, says: Say) -> None:
        """Say this in place of what was said before."""
        self.notices = [says]

    @property
    def all_notices(self) -> list[Say]:
        """The ``notices``, and before them that trials are not saved, as long as that holds."""
        unsaved = self.learner.unsaved
        return self.notices if unsaved is None else [unsaved, *self.notices]
