"""Plays a marked trial again: with the learner's taps, with both versions after a wrong answer, or its press."""

from collections.abc import Callable
from concurrent.futures import Executor, Future
from dataclasses import dataclass

from app.practice.trial.first_sound import skipped_s
from exercises.drills import drill
from exercises.trial.replay import Replay, Version, compared, with_taps
from exercises.trial.result import Result
from exercises.trial.trial import Answer, Trial
from synth.base.arrays import Samples
from synth.base.working import submitted
from synth.device.playback import Player


@dataclass(slots=True, eq=False)
class Replaying:
    """What a marked trial sounds like when it is heard again, on a player.

    ``make`` renders it, in ``workers`` if there are any; it is kept. ``versions`` are what it consists of, if it is
    not the trial itself. ``coming`` is set while it is rendered, ``sounding`` while it is played.
    """

    player: Player
    make: Callable[[], Replay]
    workers: Executor | None = None
    versions: tuple[Version, ...] = ()
    follows_count: bool = True
    coming: Future[Replay] | None = None
    sounding: bool = False
    rate_hz: int = 0
    _made: Replay | None = None

    def __post_init__(self) -> None:
        self.rate_hz = self.player.sample_rate_hz

    @property
    def goes_on(self) -> bool:
        """Whether it sounds or soon will."""
        return self.sounding or self.coming is not None

    @property
    def can_be_heard(self) -> bool:
        """Whether the player still has the sample rate for which it is rendered."""
        return self.rate_hz == self.player.sample_rate_hz

    def hear(self) -> None:
        """Render it, unless it is there, to be played by ``watch``."""
        if not self.can_be_heard or self.coming is not None:
            return
        made = self._made
        self.coming = submitted(self.workers, self.make) if made is None else submitted(None, lambda: made)

    def watch(self) -> None:
        """Poll: play it once rendered, and detect its end; ``Trouble`` without a sound output."""
        if self.coming is not None and self.coming.done():
            coming, self.coming = self.coming, None
            self._made = coming.result()
            if self.can_be_heard:
                self.player.open()
                self.player.play(self._made.samples, skip_s=skipped_s(self._made.samples, self.rate_hz))
                self.sounding = True
        elif self.sounding and not self.player.playing:
            self.sounding = False

    def end(self) -> None:
        """End it; the caller stops the player."""
        self.sounding, self.coming = False, None

    @property
    def version(self) -> int | None:
        """Which of the versions sounds now."""
        if not self.sounding or self._made is None:
            return None
        return self._made.sounding(self.player.position_s())


def replaying(
    player: Player,
    workers: Executor | None,
    trial: Trial,
    answer: Answer,
    result: Result,
    *,
    samples: Samples | None = None,
    own: bool = True,
    way: str = "bars",
    language: str = "en",
) -> Replaying:
    """What a marked trial with a sound has to be heard again: both versions, the blend of its press, or its taps.

    ``samples`` is the sound as it was heard, if it is there. Of a trial whose sound is not its ``own`` there are no
    versions.
    """
    rate_hz, versions = player.sample_rate_hz, drill(trial.drill).versions(trial, result) if own else ()
    if versions:
        return Replaying(player, lambda: compared(versions, trial.contrast, rate_hz), workers, versions, False)
    if trial.entry is not None and answer.taps_s.size and not answer.lost:
        press_s = float(answer.taps_s[0])
        return Replaying(player, lambda: Replay(trial.blend(press_s, rate_hz)), workers, follows_count=False)
    if samples is not None and not answer.taps_s.size:
        replay = Replay(samples)
        return Replaying(player, lambda: replay, None)
    return Replaying(player, lambda: with_taps(trial, answer, result, rate_hz, way=way, language=language), workers)
