"""What happens from "start" to the marked result: plain Python, no widget.

A practice holds one trial at a time. The window calls ``choose``, ``start``, ``tap``, ``tick``, ``answer_with`` and
``stop``, and redraws from the fields after each; nothing is written to the logbook before a trial is answered.
"""

from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any

import numpy as np

from app.inputs.equipment import Equipment
from app.inputs.taps import Input, Tap
from app.practice.ahead import Ahead, Wish
from app.practice.saving import Saving
from app.practice.stands import Stands
from app.practice.today import Planner, Today
from app.practice.void import BEGUN_S, GOES_ON, Voids, ended
from app.ui.lines import lined
from app.ui.words import spoken
from exercises.drills import drill
from exercises.forms.drill import Drill
from exercises.forms.rungs import pick_rung
from exercises.learner.stored_levels import LearnerLevels, rung_for
from exercises.logbook.store import Logbook
from exercises.trial.answers import parse_value
from exercises.trial.marking import FEWEST_HITS, window_s
from exercises.trial.record import TrialRecord, record
from exercises.trial.side_task import Key, SideTask, busy_result, mark_side
from exercises.trial.trial import Answer, Kind, Result, Trial
from synth.base.arrays import Samples, Seconds
from synth.base.errors import Trouble
from synth.device.clock import now_s, utc_now
from synth.device.playback import Player

BY_TAPS = (Kind.TAPS, Kind.PRESS)


class Phase(StrEnum):
    """Where a practice stands."""

    READY = "ready"
    MAKING = "making"
    SOUNDING = "sounding"
    ASKING = "asking"
    MARKED = "marked"
    VOID = "void"


# Nothing sounds and nothing is asked.
IDLE = (Phase.READY, Phase.MARKED, Phase.VOID)


@dataclass(slots=True, eq=False)
class Practice:
    """One learner's practice on one player and one logbook.

    ``logbook`` is ``None`` where nothing can be saved; ``notice`` then says so. ``again`` is set while a trial that
    is over is heard once more. With a ``planner`` the trials are those of today's plan, unless ``free`` is set: then,
    and without one, they are as wished for. ``simulated``: nobody's practice. ``equipment`` knows what lag each kind
    of tap has; without one nothing is calibrated.
    """

    player: Player
    logbook: Logbook | None
    ahead: Ahead
    wish: Wish = field(default_factory=Wish)
    phase: Phase = Phase.READY
    trial: Trial | None = None
    side: SideTask | None = None
    answer: Answer | None = None
    result: Result | None = None
    notice: str = ""
    learner: str = "me"
    simulated: bool = False
    planner: Planner | None = None
    free: bool = False
    now: Callable[[], float] = now_s
    again: bool = False
    taps: list[Tap] = field(default_factory=list)
    equipment: Equipment | None = None
    inputs: list[Input] = field(default_factory=list)
    _samples: Samples | None = None
    _rate_hz: int = 0
    _blend: Future[Samples] | None = None
    _blended: bool = False
    _calibrated: bool = False
    _side_answers: list[tuple[float, Key]] = field(default_factory=list)
    _heard: Seconds = field(default_factory=lambda: np.empty(0))
    _sounded_s: float | None = None
    _voids: Voids = field(default_factory=Voids)
    _stands: Stands = field(default_factory=Stands)
    _made: Wish = field(default_factory=Wish)
    _of_plan: Today | None = None
    _saving: Saving = field(default_factory=Saving)

    # -- what comes next ------------------------------------------------------------------------------------------

    @property
    def follows(self) -> bool:
        """Whether today's plan says what comes next."""
        return self.planner is not None and not self.free

    @property
    def today(self) -> Today | None:
        """Today's plan, if it is followed and has been made."""
        return self.planner.today if self.planner is not None and not self.free else None

    @property
    def planned(self) -> bool:
        """Whether today's plan is there and no other is being made."""
        return self.planner is not None and self.planner.today is not None and not self.planner.making

    @property
    def at_plan(self) -> bool:
        """Whether the plan's own page stands, between two items or at its end."""
        return self.follows and self.phase is Phase.READY

    @property
    def whose(self) -> str:
        """The learner's name where the logbook knows others too, else nothing."""
        try:
            known = self.logbook.learners() if self.logbook is not None else []
        except Trouble:
            return ""  # told when something is to be saved
        return self.learner if set(known) - {self.learner} else ""

    @property
    def next_wish(self) -> Wish:
        """What comes next: the plan's next trial, or what was wished for."""
        return self.wish if self.today is None else self.today.wish(self.wish)

    @property
    def drill(self) -> Drill[Any]:
        """The drill of what comes next."""
        return drill(self.next_wish.drill)

    def choose(self, wish: Wish) -> None:
        """Take another drill, rung, tempo, groove or mode for the next trial; ``Trouble`` if there is none such."""
        found = drill(wish.drill)
        if wish.rung is not None:
            pick_rung(found.rungs, wish.rung, wish.drill)
        self.wish = wish

    def plan_day(self, *, anew: bool = False) -> None:
        """Have today's plan made; one that was begun today goes on, unless another is wanted."""
        if self.planner is not None:
            self.planner.make(self.learner, anew=anew)

    def plan_minutes(self, minutes: int) -> None:
        """So many minutes a day, 5 to 30, from the next plan on; one that has not been begun is made anew."""
        if self.planner is not None:
            self.planner.minutes = minutes
            if self.planner.today is None or not self.planner.today.begun:
                self.plan_day(anew=self.planned)

    def skip(self) -> None:
        """Leave the item of the plan that is on."""
        if self.today is not None and self.planner is not None:
            self.today.skip()
            self.planner.keep()

    @property
    def rung(self) -> int:
        """The rung of the next trial: the one wished for, or the one on which four in five should come out right."""
        wish = self.next_wish
        return wish.rung or rung_for(self.standing().level(wish.drill), drill(wish.drill))

    def standing(self) -> LearnerLevels:
        """Where the learner stands (see ``Stands``); a logbook that cannot be read is said."""
        try:
            return self._stands.now(self.logbook, self.learner)
        except Trouble as trouble:
            self.notice = lined(trouble)
            return self._stands.now(None, self.learner)

    def relearn(self) -> None:
        """Read the levels anew: another learner, or answers that came from elsewhere."""
        self._stands.forget()

    def prepare(self) -> None:
        """Have the next trial made and rendered ahead, if it is known yet."""
        if self.follows and not self.planned:
            return
        self.ahead.prepare(replace(self.next_wish, rung=self.rung), self.player.sample_rate_hz)

    # -- a trial --------------------------------------------------------------------------------------------------

    def begin(self) -> None:
        """Let the next trial sound as soon as it has been made: now, or when ``tick`` finds it.

        ``Trouble`` if there is no sound output.
        """
        self.player.open()
        self.prepare()
        if self.ahead.ready:
            self.start()
        else:
            self.phase, self.trial, self.notice = Phase.MAKING, None, ""

    def start(self) -> None:
        """Let the next trial sound, waiting for it if need be; ``Trouble`` if there is no sound output."""
        self.player.open()
        if self.equipment is None:
            self.equipment = Equipment(self.player)
        self.equipment.put_on()
        wish = replace(self.next_wish, rung=self.rung)
        ready = self.ahead.take(wish, self.player.sample_rate_hz)
        self.player.play(ready.samples)
        for each in self.inputs:
            each.begin(self.player, ready.samples)
        self.trial, self._samples, self._rate_hz = ready.trial, ready.samples, self.player.sample_rate_hz
        self.side = ready.side
        self.answer, self.result, self.taps = None, None, []
        self.notice = " ".join(lined(each.trouble) for each in self.inputs if each.trouble)
        self._side_answers, self._blend, self._blended, self.again = [], None, False, False
        self._made, self._of_plan = wish, self.today
        if self._of_plan is not None and not self._of_plan.finished:
            self._of_plan.started(self.now())
        self.phase = Phase.SOUNDING

    def tap(self, tap: Tap) -> None:
        """Take a tap; outside a sounding trial it means nothing."""
        if self.phase is Phase.SOUNDING:
            self.taps.append(tap)

    def _take_inputs(self) -> None:
        """Taps from elsewhere than the window, by MIDI or microphone."""
        for each in self.inputs:
            for tap in each.take():
                self.tap(tap)
                self._equipment.names[each.source] = each.name

    def side_answer(self, at_s: float, key: Key) -> None:
        """Take an answer to the side task at a moment of the one clock."""
        if self.phase is Phase.SOUNDING and self.side is not None:
            self._side_answers.append((self.player.trial_s(at_s), key))

    def _rest(self) -> None:
        for each in self.inputs:
            each.rest()

    def stop(self) -> None:
        """Break off what sounds: of a trial nothing is kept."""
        self.player.stop()
        self._rest()
        self.again, self._blend = False, None
        if self.phase in (Phase.MAKING, Phase.SOUNDING, Phase.ASKING):
            self.phase, self.trial = Phase.READY, None

    def tick(self) -> None:
        """Watch the stream, and finish the trial when its last moment has passed."""
        self.player.poll()
        if self.phase is Phase.MAKING:
            if self.ahead.ready:
                self.phase = Phase.READY
                self.start()
        elif self.phase is Phase.SOUNDING:
            self._take_inputs()
            if self.player.faults and not self._goes_on():
                self._void(self.player.faults)
            elif self.position_s() >= self.trial_end_s() or self._pressed():
                self._end_of_sound()
        elif self._blend is not None and self._blend.done():
            blend, self._blend = self._blend, None
            self._samples, self._blended = blend.result(), True
            self.hear_again()
        elif self.again and not self.player.playing:
            self.again = False

    def _goes_on(self) -> bool:
        """Whether a broken sound goes on or starts again: where nothing is marked there is nothing to be void."""
        assert self.trial is not None
        if self.trial.kind is not Kind.NONE:
            return False
        if ended(self.player.faults):
            if self.position_s() < BEGUN_S or self._samples is None:
                return False
            try:
                self.player.play(self._samples)
            except Trouble as trouble:
                self.notice = lined(trouble)
                return False
        self.notice = spoken(GOES_ON())
        return True

    def position_s(self) -> float:
        """Seconds of the present trial heard so far; negative before its first frame."""
        return self.player.position_s()

    def trial_end_s(self) -> float:
        """The moment after which no tap can meet a target any more."""
        assert self.trial is not None
        last_s = float(self.trial.targets_s[-1]) if len(self.trial.targets_s) else 0.0
        return max(self.trial.count.end_s, last_s + window_s(self.trial.period_s))

    def _pressed(self) -> bool:
        """Whether the one press that starts a second record has come: there is nothing more to wait for."""
        return self.trial is not None and self.trial.entry is not None and bool(self.taps)

    def sounding_beat(self) -> int | None:
        """Row of the count that is heard now, or ``None`` before the first and after the last.

        What a press brought about begins somewhere within the count: of that, none is told.
        """
        if self.trial is None or self._blended or not (self.phase is Phase.SOUNDING or self.again):
            return None
        count, at = self.trial.count, self.position_s()
        if not count.beats_s[0] <= at < count.end_s:
            return None
        return int(np.searchsorted(count.beats_s, at, side="right")) - 1

    def uncertainty_ms(self) -> float:
        """What the program itself cannot tell of a tap's place, in ms: about 95 % lie within (see ``Equipment``)."""
        return self._equipment.uncertainty_ms(self.taps)

    @property
    def calibrated(self) -> bool:
        """Whether the taps of the trial that was marked last could be told early from late when it was marked."""
        return self._calibrated

    @property
    def tells_shift(self) -> bool:
        """Whether anything can be told of how far off the hits were: from the drums, or from their own mean."""
        hits = 0 if self.result is None or self.result.taps is None else self.result.taps.hits
        return hits >= (1 if self.calibrated else FEWEST_HITS)

    @property
    def _equipment(self) -> Equipment:
        return self.equipment or Equipment(self.player)

    # -- its answer and mark --------------------------------------------------------------------------------------

    @property
    def by_taps(self) -> bool:
        """Whether the present trial is answered by taps while it sounds."""
        return self.trial is not None and self.trial.kind in BY_TAPS

    @property
    def asks(self) -> Kind:
        """What is asked when the sound is over: a choice, a number, a position, or nothing."""
        if self.trial is None:
            return Kind.NONE
        return self.trial.then if self.by_taps else self.trial.kind

    @property
    def cut_short(self) -> bool:
        """Whether something sounds whose question may be answered before its end."""
        return self.phase is Phase.SOUNDING and self.asks is not Kind.NONE and not self.by_taps

    def ask_now(self) -> None:
        """Cut a sound short whose answer is known already; what is only listened to is no such thing."""
        if self.cut_short:
            self.player.stop()
            self._end_of_sound()

    def _input_faults(self) -> tuple[str, ...]:
        """Why the taps cannot be trusted: an input that the learner used, or may have used in vain, missed a part."""
        sources = {tap.source for tap in self.taps}
        return tuple(each.fault for each in self.inputs if each.fault and (each.source in sources or not sources))

    def _end_of_sound(self) -> None:
        assert self.trial is not None
        if self.by_taps and (faults := self._input_faults()):
            self._void(faults)
            return
        self._rest()
        self._heard, at_s = self._take_taps(), self.position_s()
        self._sounded_s = at_s if at_s < self.trial_end_s() else None
        self._voids.whole()
        if self.asks is not Kind.NONE:
            self.phase = Phase.ASKING
        elif self.trial.kind is Kind.NONE:
            self.phase, self.trial = Phase.READY, None
            self._count()
        else:
            self._mark(Answer(taps_s=self._heard))

    def answer_with(self, text: str) -> None:
        """The learner's answer in words; ``Trouble`` where it is none to this question, which stays open."""
        if self.phase is Phase.ASKING and self.trial is not None:
            self._mark(Answer(taps_s=self._heard, value=parse_value(self.trial, text)))

    def _take_taps(self) -> Seconds:
        """The taps in seconds from the start of the sound as heard, increasing; read before the stream moves on.

        Each kind of tap has a lag of its own, where the player has the keyboard's.
        """
        lag_s = {source: self._equipment.lag_s(source) for source in {tap.source for tap in self.taps}}
        at_s = [tap.at_s + self.player.lag_s - lag_s[tap.source] for tap in self.taps]
        return np.unique(np.asarray([self.player.trial_s(each) for each in at_s], dtype=np.float64))

    def _mark(self, answer: Answer) -> None:
        trial = self.trial
        assert trial is not None
        one = drill(trial.drill)
        self._calibrated = self._equipment.calibrated(self.taps)
        result = one.mark(trial, answer, uncertainty_ms=self.uncertainty_ms(), calibrated=self.calibrated)
        if self.side is not None:
            result = busy_result(result, mark_side(self.side, self._side_answers))
        self._save(trial, answer, result, None)
        if result.right is not None and self.side is None:
            # What is not in the logbook yet, it cannot tell.
            self._stands.answered(None if self._saving.waiting else self.logbook, self.learner, trial, result.right)
        self._count()
        self.answer, self.result, self.phase = answer, result, Phase.MARKED
        if trial.entry is not None and answer.taps_s.size:
            self.player.stop()
            self._blend = self.ahead.blend(trial, float(answer.taps_s[0]), self.player.sample_rate_hz)

    def _count(self) -> None:
        """The trial was one of the plan's, if a plan was followed when it began."""
        if self._of_plan is not None and not self._of_plan.finished:
            self._of_plan.done(self.now())
            if self.planner is not None and self.planner.today is self._of_plan:
                self.planner.keep()

    def _void(self, faults: tuple[str, ...]) -> None:
        assert self.trial is not None
        self._rest()
        answer, self._sounded_s = Answer(taps_s=self._take_taps()), self.position_s()
        self.player.stop()
        self._save(self.trial, answer, None, "; ".join(faults))
        self.answer, self.result, self.phase = answer, None, Phase.VOID
        self.notice = f"{spoken(self._voids.broken(faults))} {self.notice}".rstrip()

    def hear_again(self) -> None:
        """Hear the trial that is over once more, or what its press brought about; ``Trouble`` without a device."""
        if self.can_be_heard:
            assert self._samples is not None
            self.player.play(self._samples)
            self.again = True

    @property
    def can_be_heard(self) -> bool:
        """Whether there is a trial that is over to hear again: its sound is for the rate of its time alone."""
        own_rate = self._rate_hz == self.player.sample_rate_hz
        return self.phase is Phase.MARKED and self._samples is not None and own_rate

    @property
    def goes_on(self) -> bool:
        """Whether a trial is under way, or one that is over is heard again or soon will be."""
        return self.phase not in IDLE or self.again or self._blend is not None

    def _save(self, trial: Trial, answer: Answer, result: Result | None, void: str | None) -> None:
        """On disk before it is shown; trouble with the disk is said and does not end the practice."""
        if self.logbook is None:
            return
        self.save(
            record(
                trial,
                answer,
                result,
                when=utc_now().astimezone(),
                learner=self.learner,
                groove=trial.groove,
                device=self.player.description,
                calibration=self._equipment.for_record(self.taps),
                void=void,
                simulated=self.simulated,
                mode=self._made.mode,
                sounded_s=self._sounded_s,
            )
        )

    def save(self, *more: TrialRecord) -> bool:
        """Write these trials, and before them those that could not be written until now; whether none is left."""
        return self._saving.save(self.logbook, *more)

    @property
    def told(self) -> str:
        """What must be known now: that something is not saved, as long as that holds, and the ``notice``."""
        return f"{self._saving.told} {self.notice}".strip()
