"""The tutor's board: a looped phrase, and stepping through its beats. No widgets, no marking, no logbook.

Changes while a phrase sounds take effect once rendered:

- other drums, a second record or another voice on the same beat, without a break;
- another tempo on the one of the current bar, another groove or length on the phrase's first one.

Play starts on the one of the bar marked on the sheet.
"""

from collections.abc import Callable
from concurrent.futures import Executor, Future
from dataclasses import dataclass, field
from pathlib import Path

from app.practice.board.board_phrase import BoardPhrase, render, save_sound
from app.practice.records.written import WRITING
from app.practice.trial.void_messages import BEGAN_AGAIN, BEGUN_S, broke
from synth.base.errors import Trouble
from synth.base.words import Say
from synth.base.working import said, submitted
from synth.device.playback import Player
from synth.score.arranging.arrangement import EARLIEST_S
from synth.sound.loop import Loop


@dataclass(slots=True, eq=False)
class Board:
    """One phrase on one player. ``beat`` is the row of the count marked on the sheet, if any.

    ``choose`` sets the phrase, ``prepare`` renders it (in ``workers``, if any), and ``tick`` plays it once ready.
    """

    player: Player
    workers: Executor | None = None
    phrase: BoardPhrase = field(default_factory=BoardPhrase)
    beat: int | None = None
    playing: bool = False
    notice: Say | None = None
    _loop: Loop | None = None
    _of: BoardPhrase | None = None
    _coming: tuple[BoardPhrase, Future[Loop]] | None = None
    _then: Callable[[], None] | None = None
    _from_beat: int = 0
    _saving: Future[Say] | None = None

    @property
    def busy(self) -> bool:
        """Whether ``tick`` is needed."""
        return self.playing or self._coming is not None or self._saving is not None

    @property
    def waiting(self) -> bool:
        """Whether a start waits for the phrase to be rendered."""
        return self._then is not None

    def choose(self, phrase: BoardPhrase) -> None:
        """Set the phrase; it sounds after ``prepare``."""
        if not phrase.same_count(self.phrase):
            self.beat = None
        self.phrase = phrase

    def prepare(self) -> None:
        """Render the phrase, unless that is done or in progress; ``notice`` says why it cannot be."""
        if self._ready or self._coming is not None:
            return
        phrase, rate = self.phrase, self.player.sample_rate_hz
        if self.workers is not None:
            self._coming = (phrase, self.workers.submit(render, phrase, rate))
            return
        try:
            self._take(phrase, render(phrase, rate))
        except Trouble as trouble:
            self.notice, self._then = trouble.says, None

    @property
    def _ready(self) -> bool:
        """Whether the phrase is rendered at the player's present sample rate."""
        return self._of == self.phrase and self._fits(self._loop)

    def _fits(self, made: Loop | None) -> bool:
        return made is not None and made.kit.sample_rate_hz == self.player.sample_rate_hz

    def _take(self, phrase: BoardPhrase, made: Loop) -> None:
        """Use a rendered loop: exchange the sounding one, or run the waiting action."""
        if phrase != self.phrase or not self._fits(made):
            self.prepare()  # the phrase or the sample rate has changed meanwhile
            return
        before, self._loop, self._of = self._of, made, phrase
        if self._then is not None:
            then, self._then = self._then, None
            then()
        elif self.playing and before is not None:
            if phrase.alike(before):
                self.player.exchange(made.samples_from(self._from_beat))
            else:
                self._sound_from(self.beat, delay_s=0.0)

    def toggle(self) -> None:
        """Play, or stop."""
        if self.playing or self._then is not None:
            self.stop()
        else:
            self.play()

    def play(self) -> None:
        """Loop the phrase from the one of the marked bar, as soon as it is rendered."""
        self._when_ready(lambda: self._sound_from(self.beat))

    def stop(self) -> None:
        """Stop the sound; the marked beat stays."""
        self._then = None
        self.playing = False
        self.player.stop()
        if self.notice == BEGAN_AGAIN():
            self.notice = None

    def rewind(self) -> None:
        """Go to the first beat of the phrase and play its hits; a sounding phrase restarts there."""
        self.beat = 0
        if self.playing:
            self.play()
        else:
            self._when_ready(self._sound_beat)

    def step(self, by: int) -> None:
        """Stop, mark the next (1) or the previous (-1) beat and play its hits."""
        if self.playing:
            self.stop()
        beats = len(self.phrase.count())
        self.beat = (0 if by > 0 else beats - 1) if self.beat is None else (self.beat + by) % beats
        self._when_ready(self._sound_beat)

    def _when_ready(self, then: Callable[[], None]) -> None:
        self.notice = None
        self._then = then
        if self._ready:
            self._then = None
            then()
        else:
            self.prepare()

    def _sound_from(self, beat: int | None, delay_s: float = 0.1) -> None:
        """Start the loop on the one of a beat's bar."""
        assert self._loop is not None
        per_bar = self.phrase.metre.beats_per_bar
        self._from_beat = 0 if beat is None else beat // per_bar * per_bar
        try:
            self.player.open()
            samples = self._loop.samples_from(self._from_beat)
            self.player.play(samples, delay_s, loop_frames=self._loop.round_frames)
        except Trouble as trouble:
            self.notice, self.playing = trouble.says, False
        else:
            self.playing = True

    def _sound_beat(self) -> None:
        assert self._loop is not None
        assert self.beat is not None
        try:
            self.player.open()
            self.player.play(self._loop.beat_sound(self.beat), 0.0)
        except Trouble as trouble:
            self.notice = trouble.says

    def save(self, path: Path) -> None:
        """Write the phrase of a recording as a sound; ``tick`` takes over how it went."""
        if self._saving is None:
            self.notice = WRITING()
            self._saving = submitted(self.workers, save_sound, self.phrase, path)

    def tick(self) -> None:
        """Poll the stream, use what has been rendered or written, and move the mark with the sound."""
        self.player.poll()
        if self._saving is not None and self._saving.done():
            saving, self._saving = self._saving, None
            self.notice = said(saving, lambda written: written)
        if self._coming is not None and self._coming[1].done():
            (phrase, future), self._coming = self._coming, None
            try:
                self._take(phrase, future.result())
            except Trouble as trouble:
                self.notice, self._then = trouble.says, None
        if not self.playing:
            return
        if not self.player.playing and self.player.faults and self.player.position_s() >= BEGUN_S:
            self._sound_from(self.beat)
            self.notice = BEGAN_AGAIN() if self.playing else self.notice
        elif not self.player.playing:
            self.notice = broke(self.player.faults)
            self.playing = False
        else:
            sounding = self._sounding()
            self.beat = self.beat if sounding is None else sounding

    def _sounding(self) -> int | None:
        """The beat heard now; None before the first one and while another count is being rendered."""
        if self._loop is None or self._of is None:
            return None
        if not self._of.same_count(self.phrase):
            return None
        at_s = self.player.position_s()
        if at_s < 0:
            return None
        if self._from_beat and at_s < EARLIEST_S:
            return self._from_beat
        first = self._loop.start_frame(self._from_beat)
        return self._loop.beat_at(at_s * self.player.sample_rate_hz + first)
