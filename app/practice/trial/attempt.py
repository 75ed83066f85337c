"""One trial from its first sound to its mark: sound, taps and answer. No widgets, no logbook."""

from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np

from app.inputs.equipment import Equipment
from app.inputs.taps import Tap
from app.practice.trial.course import Course
from app.practice.trial.first_sound import skipped_s
from app.practice.trial.next_trial import Ready, Wish
from app.practice.trial.replaying import Replaying
from app.practice.trial.void_messages import BEGUN_S, ended
from exercises.drills import drill
from exercises.timing.window import window_s
from exercises.trial.kept.record import TrialRecord
from exercises.trial.marked import Marked
from exercises.trial.result import Result
from exercises.trial.side_task import Key, SideTask, busy_result, mark_side
from exercises.trial.trial import Answer, Kind, Trial
from synth.base.arrays import Samples, Seconds
from synth.base.words import Say
from synth.device.faults import Fault
from synth.device.playback import Player

BY_TAPS = (Kind.TAPS, Kind.PRESS)


class Phase(StrEnum):
    """State of a practice. ``SOUNDING`` to ``VOID`` are those of its attempt."""

    READY = "ready"
    MAKING = "making"
    SOUNDING = "sounding"
    ASKING = "asking"
    MARKED = "marked"
    VOID = "void"


@dataclass(slots=True, eq=False)
class Attempt:
    """One attempt at a trial of a course, on this equipment.

    ``wish`` is what the trial was made for, ``rate_hz`` the sample rate of ``samples``. ``heard_s`` are the taps in
    seconds from the start of the sound as heard; ``sounded_s`` is how much of the sound was heard if it was cut
    short. ``calibrated``: whether the equipment was calibrated when the trial was marked; ``mouse_is_not``: the keys
    were, the mouse was not. ``kept`` is the record of the marked trial, ``replaying`` what it sounds like when it
    is heard again, ``news`` says that it brought a new rung. ``skipped_s`` of silence at the start are not played.
    """

    equipment: Equipment
    course: Course
    ready: Ready
    wish: Wish
    phase: Phase = Phase.SOUNDING
    taps: list[Tap] = field(default_factory=list)
    side_answers: list[tuple[float, Key]] = field(default_factory=list)
    heard_s: Seconds = field(default_factory=lambda: np.empty(0))
    sounded_s: float | None = None
    answer: Answer | None = None
    result: Result | None = None
    calibrated: bool = False
    mouse_is_not: bool = False
    replaying: Replaying | None = None
    kept: TrialRecord | None = None
    news: Say | None = None
    samples: Samples = field(init=False)
    skipped_s: float = 0.0

    def __post_init__(self) -> None:
        self.samples = self.ready.samples

    @property
    def player(self) -> Player:
        """The player of the equipment."""
        return self.equipment.player

    @property
    def trial(self) -> Trial:
        """The trial."""
        return self.ready.trial

    @property
    def side(self) -> SideTask | None:
        """The side task, if there is one."""
        return self.ready.side

    # -- sounding -------------------------------------------------------------------------------------------------

    def play(self) -> None:
        """Start the sound and the inputs; ``Trouble`` without a sound output."""
        if self.equipment.ticker is not None:
            self.equipment.ticker.begin()
        self._play()
        self.equipment.listen(self.samples)

    def _play(self) -> None:
        """Play the samples but for most of the silence before their first sound, so that nobody waits for it.

        All of it is played where a microphone listens: it learns the noise of the room there.
        """
        listens = any(each.source == "mic" for each in self.equipment.inputs)
        self.skipped_s = 0.0 if listens else skipped_s(self.samples, self.player.sample_rate_hz)
        self.player.play(self.samples, skip_s=self.skipped_s)

    def tap(self, tap: Tap) -> None:
        """Add a tap; ignored unless the trial sounds."""
        if self.phase is Phase.SOUNDING:
            self.taps.append(tap)

    def take_inputs(self) -> None:
        """Add the taps from MIDI and microphone."""
        for tap in self.equipment.taken():
            self.tap(tap)

    def side_answer(self, at_s: float, key: Key) -> None:
        """Add an answer to the side task at a time on the one clock."""
        if self.phase is Phase.SOUNDING and self.side is not None:
            self.side_answers.append((self.player.trial_s(at_s), key))

    def position_s(self) -> float:
        """Seconds of the trial heard so far; negative before its first frame."""
        return self.player.position_s()

    def trial_end_s(self) -> float:
        """Time after which no tap can match a target, in s."""
        trial = self.trial
        last_s = float(trial.targets_s[-1]) if len(trial.targets_s) else 0.0
        return max(trial.count.end_s, last_s + window_s(trial.period_s))

    @property
    def over(self) -> bool:
        """Whether that time has passed, or the one press that starts a second record was made."""
        return self.position_s() >= self.trial_end_s() or (self.trial.entry is not None and bool(self.taps))

    def sounding_beat(self) -> int | None:
        """Row of the count heard now; ``None`` before the first, after the last, and for what has another count."""
        counted = self.phase is Phase.SOUNDING
        if self.replaying is not None:
            counted = self.sounds_taps
        if not counted:
            return None
        return self.trial.count.row_at(self.position_s())

    def resume(self) -> bool:
        """Whether a broken sound continues; one that stopped restarts. ``Trouble`` without a sound output.

        Only a trial without marking can continue.
        """
        if self.trial.kind is not Kind.NONE:
            return False
        if ended(self.player.faults):
            if self.position_s() - self.skipped_s < BEGUN_S:
                return False
            self._play()
        return True

    def input_faults(self) -> tuple[Fault, ...]:
        """Faults of every input that was used, or may have been: taps are missing."""
        sources = {tap.source for tap in self.taps}
        return tuple(
            each.fault for each in self.equipment.inputs if each.fault and (each.source in sources or not sources)
        )

    def end_sound(self, *, void: bool = False) -> None:
        """Close the inputs and record what was heard; call it before the stream moves on."""
        self.equipment.rest()
        self.heard_s, at_s = self._taps_s(), self.position_s()
        self.sounded_s = at_s if void or at_s < self.trial_end_s() else None

    def tap_s(self, tap: Tap) -> float:
        """Time of a tap in seconds from the start of the sound as heard.

        Each source has its own lag; the player already subtracts the keyboard's.
        """
        return self.equipment.trial_s(tap)

    def _taps_s(self) -> Seconds:
        """Taps in seconds from the start of the sound as heard, increasing."""
        return np.unique(np.asarray([self.tap_s(tap) for tap in self.taps], dtype=np.float64))

    # -- question and mark ----------------------------------------------------------------------------------------

    @property
    def by_taps(self) -> bool:
        """Whether the trial is answered by taps."""
        return self.trial.kind in BY_TAPS

    @property
    def asks(self) -> Kind:
        """Kind of the question after the sound: a choice, a number, a position, or none."""
        return self.trial.then if self.by_taps else self.trial.kind

    @property
    def only_heard(self) -> bool:
        """Whether it sounds, and there is nothing to tap, to read or to do meanwhile."""
        return self.phase is Phase.SOUNDING and not (self.by_taps or self.trial.help.sheet or self.side)

    @property
    def cut_short(self) -> bool:
        """Whether it sounds and its question may be answered before the end."""
        asked = self.phase is Phase.SOUNDING and self.asks is not Kind.NONE and not self.by_taps
        return asked and not drill(self.trial.drill).ends_on_answer

    @property
    def can_be_lost(self) -> bool:
        """Whether the learner may say that they have lost the count."""
        return self.phase in (Phase.SOUNDING, Phase.ASKING) and self.trial.kind is not Kind.NONE

    @property
    def withdrawn(self) -> bool:
        """Whether the learner said that the marked trial does not count."""
        return self.kept is not None and self.kept.void is not None

    def mark(self, answer: Answer) -> Result:
        """Mark an answer, and the side task with it; note what the equipment's calibrations allow to tell."""
        self.calibrated = self.equipment.calibrated(self.taps)
        self.mouse_is_not = self.equipment.mouse_alone_is_not(self.taps)
        result = drill(self.trial.drill).mark(
            self.trial, answer, uncertainty_ms=self.uncertainty_ms(), calibrated=self.calibrated
        )
        return result if self.side is None else busy_result(result, mark_side(self.side, self.side_answers))

    def uncertainty_ms(self) -> float:
        """Uncertainty of a tap's time in ms, 95 % (see ``Equipment``)."""
        return self.equipment.uncertainty_ms(self.taps)

    @property
    def marked(self) -> Marked | None:
        """The trial as it was marked; None before that."""
        if self.answer is None or self.result is None:
            return None
        return Marked(self.trial, self.answer, self.result, self.calibrated, self.mouse_is_not)

    @property
    def tells_shift(self) -> bool:
        """Whether the errors of hits can be given."""
        return self.marked is not None and self.marked.tells_shift

    @property
    def again(self) -> bool:
        """Whether the marked trial is being played again."""
        return self.replaying is not None and self.replaying.sounding

    @property
    def sounds_taps(self) -> bool:
        """Whether it is being played again with the taps in it."""
        return self.replaying is not None and self.replaying.sounding and self.replaying.follows_count

    @property
    def goes_on_again(self) -> bool:
        """Whether the marked trial is being played again, or soon will be."""
        return self.replaying is not None and self.replaying.goes_on

    def watch_again(self) -> None:
        """Poll: start and end playing it again."""
        if self.replaying is not None:
            self.replaying.watch()

    def end_again(self) -> None:
        """End playing it again; the caller stops the player."""
        if self.replaying is not None:
            self.replaying.end()
