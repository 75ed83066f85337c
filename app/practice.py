"""What happens from "start" to the marked result: plain Python, no widget.

A practice holds one trial at a time. The window calls ``choose``, ``start``, ``tap``, ``tick``, ``answer_with`` and
``stop``, and redraws from the fields after each; nothing is written to the logbook before a trial is answered.
"""

from collections.abc import Callable
from concurrent.futures import Executor, Future
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any

import numpy as np

from app.taps import Tap
from exercises.answers import parse_value
from exercises.drill import Drill
from exercises.drills import drill
from exercises.ladder import pick_rung
from exercises.level import Level, attempts, chance_of, difficulty, levels
from exercises.logbook.record import record
from exercises.logbook.store import Logbook
from exercises.marking import window_s
from exercises.trial import Answer, Kind, Result, Trial
from exercises.words import Say
from synth.clock import utc_now
from synth.errors import Trouble
from synth.metre import Samples, Seconds
from synth.playback import Player

# A key's stamp counts whole milliseconds: a uniform error of SD 1/sqrt(12).
STAMP_SD_MS = 1.0 / np.sqrt(12.0)
# When only the handling moment is known: SD measured with the window busy 12 ms in 16.
HANDLED_SD_MS = 3.0
# The latest trials tell the level; older ones have faded from it.
LEVEL_FROM = 1000


class Phase(StrEnum):
    """Where a practice stands."""

    READY = "ready"
    SOUNDING = "sounding"
    ASKING = "asking"
    MARKED = "marked"
    VOID = "void"


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to be practised next.

    Without a ``rung`` it is the one that fits the learner; without tempo, groove or seed they are drawn.
    """

    drill: str = "one"
    rung: int | None = None
    tempo_bpm: float | None = None
    groove: str | None = None
    seed: int | None = None


@dataclass(slots=True, eq=False)
class Practice:
    """One learner's practice on one player and one logbook.

    ``logbook`` is ``None`` where nothing can be saved; ``notice`` then says so. ``new_seed`` draws the seed of the
    next trial. With ``workers`` the next trial is made and rendered while the learner reads; without, at the start.
    """

    player: Player
    logbook: Logbook | None
    new_seed: Callable[[], int]
    workers: Executor | None = None
    wish: Wish = field(default_factory=Wish)
    phase: Phase = Phase.READY
    trial: Trial | None = None
    answer: Answer | None = None
    result: Result | None = None
    notice: str = ""
    taps: list[Tap] = field(default_factory=list)
    _known: dict[str, Level] | None = None
    _heard: Seconds = field(default_factory=lambda: np.empty(0))
    _coming: tuple[Wish, Future[tuple[Trial, Samples]]] | None = None

    @property
    def drill(self) -> Drill[Any]:
        """The drill chosen."""
        return drill(self.wish.drill)

    def choose(self, wish: Wish) -> None:
        """Take another drill, rung, tempo or groove for the next trial; ``Trouble`` if there is none such."""
        found = drill(wish.drill)
        if wish.rung is not None:
            pick_rung(found.rungs, wish.rung, wish.drill)
        self.wish = wish

    @property
    def rung(self) -> int:
        """The rung of the next trial: the one wished for, or the one on which four in five should come out right."""
        return self.wish.rung or self._levels()[self.wish.drill].rung(self.drill)

    def _levels(self) -> dict[str, Level]:
        """The learner's levels, read from the logbook once and then carried on from answer to answer."""
        if self._known is None:
            trials = [] if self.logbook is None else self.logbook.trials(LEVEL_FROM)
            self._known = levels(attempts(trials))
        return self._known

    def prepare(self) -> None:
        """Have the next trial made and rendered by a worker, unless it is under way already."""
        wish = self._full_wish()
        if self.workers is not None and (self._coming is None or self._coming[0] != wish):
            self._coming = (wish, self.workers.submit(self._make, wish, self._next_seed()))

    def _full_wish(self) -> Wish:
        return replace(self.wish, rung=self.rung)

    def _next_seed(self) -> int:
        return self.wish.seed if self.wish.seed is not None else self.new_seed()

    def _make(self, wish: Wish, seed: int) -> tuple[Trial, Samples]:
        trial = drill(wish.drill).make(wish.rung or 1, seed, tempo_bpm=wish.tempo_bpm, groove=wish.groove)
        return trial, trial.samples(self.player.sample_rate_hz)

    def start(self) -> None:
        """Let the next trial sound; ``Trouble`` if there is no sound output."""
        self.player.open()
        self.prepare()
        if self._coming is not None:
            coming, self._coming = self._coming[1], None
            trial, samples = coming.result()
        else:
            trial, samples = self._make(self._full_wish(), self._next_seed())
        self.player.play(samples)
        self.trial, self.answer, self.result, self.taps, self.notice = trial, None, None, [], ""
        self.phase = Phase.SOUNDING

    def tap(self, tap: Tap) -> None:
        """Take a tap; outside a sounding trial it means nothing."""
        if self.phase is Phase.SOUNDING:
            self.taps.append(tap)

    def stop(self) -> None:
        """Break the trial off: nothing of it is kept."""
        if self.phase in (Phase.SOUNDING, Phase.ASKING):
            self.player.stop()
            self.phase, self.trial = Phase.READY, None

    def tick(self) -> None:
        """Watch the stream, and finish the trial when its last moment has passed."""
        self.player.poll()
        if self.phase is not Phase.SOUNDING:
            return
        if self.player.faults:
            self._void("; ".join(self.player.faults))
        elif self.position_s() >= self.trial_end_s():
            self._end_of_sound()

    def position_s(self) -> float:
        """Seconds of the present trial heard so far; negative before its first frame."""
        return self.player.position_s()

    def trial_end_s(self) -> float:
        """The moment after which no tap can meet a target any more."""
        assert self.trial is not None
        last_s = float(self.trial.targets_s[-1]) if len(self.trial.targets_s) else 0.0
        return max(self.trial.count.end_s, last_s + window_s(self.trial.period_s))

    def sounding_beat(self) -> int | None:
        """Row of the count that is heard now, or ``None`` before the first and after the last."""
        if self.phase is not Phase.SOUNDING or self.trial is None:
            return None
        count = self.trial.count
        at = self.position_s()
        if not count.beats_s[0] <= at < count.end_s:
            return None
        return int(np.searchsorted(count.beats_s, at, side="right")) - 1

    def uncertainty_ms(self) -> float:
        """What the program itself cannot tell: stamp resolution and clock-line residual, root of squares."""
        stamp = STAMP_SD_MS if all(tap.stamped for tap in self.taps) else HANDLED_SD_MS
        return float(np.hypot(stamp, self.player.clock.residual_ms))

    @property
    def asks(self) -> Kind:
        """What is asked when the sound is over: a choice, a number, a position, or nothing."""
        if self.trial is None:
            return Kind.NONE
        return self.trial.then if self.trial.kind in (Kind.TAPS, Kind.PRESS) else self.trial.kind

    def ask_now(self) -> None:
        """Cut a sound short whose answer is known already; taps must be heard to the end."""
        if self.phase is Phase.SOUNDING and self.trial is not None and self.trial.kind not in (Kind.TAPS, Kind.PRESS):
            self.player.stop()
            self._end_of_sound()

    def _end_of_sound(self) -> None:
        assert self.trial is not None
        self._heard = self._take_taps()
        if self.asks is not Kind.NONE:
            self.phase = Phase.ASKING
        elif self.trial.kind is Kind.NONE:
            self.phase, self.trial = Phase.READY, None
        else:
            self._mark(Answer(taps_s=self._heard))

    def answer_with(self, text: str) -> None:
        """The learner's answer in words; ``Trouble`` where it is none to this question, which stays open."""
        if self.phase is Phase.ASKING and self.trial is not None:
            self._mark(Answer(taps_s=self._heard, value=parse_value(self.trial, text)))

    def _take_taps(self) -> Seconds:
        """The taps in seconds from the start of the sound as heard, increasing; read before the stream moves on."""
        return np.unique(np.asarray([self.player.trial_s(tap.at_s) for tap in self.taps], dtype=np.float64))

    def _mark(self, answer: Answer) -> None:
        assert self.trial is not None
        result = self.drill.mark(self.trial, answer, uncertainty_ms=self.uncertainty_ms(), calibrated=False)
        self._save(self.trial, answer, result, None)
        if result.right is not None:
            known, made = self._levels(), self.trial
            known[made.drill] = known[made.drill].after(
                result.right, difficulty(self.drill, made.rung), chance_of(made.drill, made.rung)
            )
        self.answer, self.result, self.phase = answer, result, Phase.MARKED

    def _void(self, why: str) -> None:
        assert self.trial is not None
        answer = Answer(taps_s=self._take_taps())
        self.player.stop()
        self._save(self.trial, answer, None, why)
        self.answer, self.result, self.phase = answer, None, Phase.VOID
        void = Say("This trial does not count: {why}. Start the next one when you like.", {"why": why})
        self.notice = f"{void} {self.notice}".rstrip()

    def _save(self, trial: Trial, answer: Answer, result: Result | None, void: str | None) -> None:
        """On disk before it is shown; trouble with the disk is said and does not end the practice."""
        if self.logbook is None:
            return
        try:
            self.logbook.add(
                record(
                    trial,
                    answer,
                    result,
                    when=utc_now(),
                    groove=trial.arrangement.groove if trial.arrangement else "",
                    device=self.player.description,
                    void=void,
                )
            )
        except Trouble as trouble:
            self.logbook = None
            self.notice = str(Say("{trouble} Practice goes on, without saving.", {"trouble": str(trouble)}))
