"""A trial of the logbook, opened: marked from its own truth, with its sound as far as it can be made again."""

from collections.abc import Callable
from concurrent.futures import Executor, Future
from dataclasses import dataclass, field, replace

from app.practice.trial.replaying import Replaying, replaying
from exercises.logbook.old_trials.again import file_of, marked_again, opened, with_sound
from exercises.trial.kept.record import TrialRecord
from exercises.trial.marked import Marked
from exercises.trial.result import Result
from exercises.trial.trial import Answer, Trial
from synth.base.errors import Trouble
from synth.base.words import Say, Template
from synth.base.working import submitted
from synth.device.playback import Player

# Phrases, or bars of a phrase, of the longest count that a sheet can show: what others wrote may have any number.
MOST_LINES = 500
TOO_LARGE = Template("looking_back.too_large", "This trial has more bars than a sheet can show, and is not opened.")


@dataclass(slots=True, eq=False)
class LookingBack:
    """One trial of a logbook on a player; ``Trouble`` where it cannot be opened.

    ``marked`` is None for a void trial. The sound is made by ``workers``: until ``poll`` has it, ``replaying`` is
    None. ``notice`` says that it is not the trial's own, or why there is none. ``language`` is the voice's.
    ``file_of`` gives the file of a recording that was heard, by its id.
    """

    record: TrialRecord
    player: Player
    workers: Executor | None = None
    way: str = "bars"
    language: str = "en"
    file_of: Callable[[str], str | None] = file_of
    trial: Trial = field(init=False)
    marked: Marked | None = field(init=False)
    replaying: Replaying | None = None
    notice: Say | None = None
    _coming: Future[tuple[Trial, Say | None]] | None = None

    def __post_init__(self) -> None:
        self.trial = opened(self.record)
        count = self.trial.count
        phrases = int(count.phrase_number.max() - count.phrase_number.min()) + 1
        if max(phrases, int(count.bar_in_phrase.max()), len(count) // 8) > MOST_LINES:
            raise Trouble(TOO_LARGE())
        self.marked = marked_again(self.record, self.trial)
        self._coming = submitted(self.workers, with_sound, self.trial, self.file_of)

    def poll(self) -> bool:
        """Take over the sound once it is made; start and end playing it. Returns whether there is news."""
        if self._coming is not None and self._coming.done():
            coming, self._coming = self._coming, None
            try:
                self.trial, self.notice = coming.result()
            except Trouble as trouble:
                self.notice = trouble.says
                return True
            if self.marked is not None:
                self.marked = replace(self.marked, trial=self.trial)
            self.replaying = self._replaying()
            return True
        if self.replaying is None:
            return False
        before = self.replaying.sounding, self.replaying.version
        self.replaying.watch()
        return before != (self.replaying.sounding, self.replaying.version)

    def _replaying(self) -> Replaying:
        answer, result = self.record.answer, Result(self.trial.drill, self.trial.rung, self.trial.seed, None, 0.0, ())
        if self.marked is not None:
            answer, result = self.marked.answer, self.marked.result
        else:
            answer = Answer()  # of a void trial the sound alone
        return replaying(
            self.player,
            self.workers,
            self.trial,
            answer,
            result,
            own=self.notice is None,
            way=self.way,
            language=self.language,
        )

    def sounding_beat(self) -> int | None:
        """Row of the count that is heard now."""
        found = self.replaying
        if found is None or not found.sounding or not found.follows_count:
            return None
        return self.trial.count.row_at(self.player.position_s())

    def stop(self) -> None:
        """Stop its sound."""
        if self.replaying is not None and self.replaying.goes_on:
            self.player.stop()
            self.replaying.end()
