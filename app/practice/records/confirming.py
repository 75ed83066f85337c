"""The count of one recording, heard and set right by one key each. No widgets.

Times are seconds of the recording's file, bars are those of its grid, from 1. What is set right is kept when it is
confirmed; until then the recording is as it was.
"""

from collections.abc import Callable
from concurrent.futures import Executor, Future
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np

from app.practice.records.heard import Counting, Stretch, heard, heard_behind
from app.practice.records.written import Wanted
from synth.base.arrays import Samples
from synth.base.errors import Trouble
from synth.base.words import Say, Template, listed, plural, say
from synth.base.working import submitted
from synth.catalogue import correction
from synth.catalogue.outline import changes
from synth.catalogue.recording import Confirmer, Recording
from synth.device.playback import Player
from synth.recording.grid import Grid
from synth.recording.teaching import INTROS, LEAD_IN_S
from synth.score.recorded import Recorded

# What is heard at once: so many bars, at most so many seconds; half of them lie before the strongest change.
BARS, LONGEST_S = 8, 26.0
# Seconds before the first one of what is heard.
LEAD_S = 0.15
# Ones that are tapped, and bars without a tap after which they are counted from the start.
TAPS, FORGET_BARS = 4, 2.5
# "Here" is the bar that sounds; from half a beat before a one on it is that one's.
AHEAD_BEATS = 0.5

CANNOT = Template("confirming.cannot", "This cannot be set here: the tempo or the place would lie outside.")
TAP_MORE, TAP_ONE_MORE = (
    Template("confirming.tap_more", "Tap the one of the next {n} bars too."),
    Template("confirming.tap_one_more", "Tap the one of the next bar too."),
)
TAPS_APART = Template("confirming.taps_apart", "Your taps lie all over the bar. Listen, and tap the ones again.")
TAP_WHILE = Template("confirming.tap_while", "Tap the ones while the record sounds.")
AS_IT_WAS = Template("confirming.as_it_was", "Your taps are on the ones that were there.")
STOPPED = Template("confirming.stopped", "The sound stopped: {why}. Hear it again when you like.")
ASKS_OCTAVE = Template(
    "confirming.asks_octave", "Hear the tempo first. Do the clicks go with the beat that you nod to? If not: H or D."
)
ASKS_ONE = Template("confirming.asks_one", "Hear the one first. Does the low block fall on the one?")
ASKS_PHRASE = Template(
    "confirming.asks_phrase", "Hear the phrase first. Does something new begin with its first bar?"
)
OUTSIDE = Template("confirming.outside", "Nothing more changes in that direction.")


@dataclass(slots=True, eq=False)
class Confirming:
    """One recording on a player; ``ValueError`` where it has no grid and none is ``given``.

    ``outline`` says how loud it is (``synth.catalogue.outline``). ``grid`` is as it was set right so far, ``at_s``
    the marked place; it begins with ``given``, such as that of a file of beats. ``voice``: the count is spoken, in
    ``way`` and ``language``; else there are clicks. ``intro``: bars of drums in front of bar 1, 0 for none. Sounds
    are made by ``workers``; ``tick`` takes them over.
    """

    recording: Recording
    player: Player
    outline: bytes = b""
    workers: Executor | None = None
    way: str = "bars"
    language: str = "en"
    voice: bool = False
    given: Grid | None = None
    intro: int = 0
    grid: Grid = field(init=False)
    at_s: float = field(init=False)
    sounding: bool = False
    notice: Say | None = None
    _before: list[tuple[Grid, bool]] = field(default_factory=list)
    _phrase_said: bool = False
    _taps_s: list[float] = field(default_factory=list)
    _stretch: Stretch = field(default_factory=lambda: Stretch(0.0, 1.0))
    _begun_s: float = 0.0
    _coming: Future[Samples] | None = None
    _starts: bool = False
    _behind: int = 0

    def __post_init__(self) -> None:
        self.grid = self.recording.grid if self.given is None else self.given
        if self.grid.refused is not None:
            raise ValueError("a recording without a grid has no count")
        found = changes(self.grid, self.outline).tolist()
        bar = found[0] - BARS // 2 if found else 1
        self.at_s = self.one_s(max(1, min(bar, self.bars - BARS + 1)))
        self._phrase_said = bool(self.recording.confirmed_by)

    @property
    def asks(self) -> Say | None:
        """What to hear first: that of which the program is least sure. None where it is sure, or a person was."""
        grid = self.grid
        if self.recording.confirmed_by or grid.sure or self.changed:
            return None
        if grid.asks_octave:
            return ASKS_OCTAVE()
        return ASKS_ONE() if grid.one_confidence <= grid.phrase_confidence else ASKS_PHRASE()

    # -- places ---------------------------------------------------------------------------------------------------

    @property
    def bar_s(self) -> float:
        """Seconds of a bar."""
        return self.grid.beats_per_bar * self.grid.beat_s

    @property
    def bars(self) -> int:
        """Whole bars of the grid, at least one."""
        return max(1, int((self.grid.steady_until_s - self.grid.one_s) / self.bar_s + 0.01))

    @property
    def bar(self) -> int:
        """The marked bar, from 1."""
        return self._bar_at(self.at_s + 1e-6)

    def one_s(self, bar: int) -> float:
        """When a bar begins."""
        return self.grid.one_s + (bar - 1) * self.bar_s

    def _bar_at(self, at_s: float) -> int:
        return max(1, min(self.bars, int(np.floor((at_s - self.grid.one_s) / self.bar_s)) + 1))

    @property
    def here(self) -> int:
        """The bar that "here" means: the marked one, or that which sounds or is about to."""
        if not self.sounding:
            return self.bar
        return self._bar_at(self._heard_s() + AHEAD_BEATS * self.grid.beat_s)

    @property
    def leads_to(self) -> int:
        """The marked bar, or within the bar from which a change is heard the bar of that change."""
        return self.bar + (self.bar == self._bar_at(self._begun_s + 1e-6))

    def mark(self, bar: int) -> None:
        """Mark a bar; what sounds goes on from there."""
        self.at_s = self.one_s(max(1, min(self.bars, bar)))
        if self.sounding or self._starts:
            self.hear()

    def next_change(self, way: int) -> None:
        """Hear the next place (1) or the previous (-1) at which the recording changes, from the bar before it."""
        found = changes(self.grid, self.outline)
        after = found[found > self.leads_to] if way > 0 else found[found < self.leads_to]
        if not after.size:
            self.notice = OUTSIDE()
            return
        bar = int(after.min() if way > 0 else after.max())
        self.at_s = self.one_s(max(1, bar - 1))
        self.hear()

    # -- what is heard --------------------------------------------------------------------------------------------

    @property
    def waiting(self) -> bool:
        """Whether a start waits for its sound."""
        return self._starts

    def toggle(self) -> None:
        """Hear it, or stop."""
        if self.sounding or self._starts:
            self.stop()
        else:
            self.hear()

    def hear(self) -> None:
        """Hear eight bars from the marked one, as soon as they are mixed."""
        self.notice, self._taps_s = None, []
        if self.sounding:
            self.sounding = False
            self.player.stop()
        self._begun_s = self.one_s(self.bar)
        until_s = min(self._begun_s + self._heard_bars * self.bar_s, self.recording.duration_s)
        self._behind = self.intro if self.bar == 1 else 0
        before_s = LEAD_IN_S + self._behind * self.bar_s if self._behind else LEAD_S
        self._stretch = Stretch(self._begun_s - before_s, max(until_s, self._begun_s + self.grid.beat_s))
        self._starts = True
        self._make()

    @property
    def _heard_bars(self) -> int:
        """Bars that are heard at once."""
        return BARS if self.bar_s * BARS <= LONGEST_S else BARS // 2

    @property
    def intro_bar(self) -> int | None:
        """The bar of the drum intro that sounds, from 1; None where the record does."""
        left_s = self._begun_s - self._stretch.from_s - self.player.position_s()
        if not (self.sounding and self._behind) or left_s <= 0:
            return None
        return max(1, self._behind - int(left_s / self.bar_s - 1e-6))

    def put_in_front(self) -> None:
        """Put a drum intro of the next length in front of bar 1, and let it be heard: 4, 8, 16 bars, none."""
        self.intro = next((bars for bars in INTROS if bars > self.intro), 0)
        self.at_s = self.one_s(1)
        if self.intro:
            self.hear()
        else:
            self.stop()

    def wanted(self) -> Wanted:
        """The whole recording as it is heard, to be written."""
        return Wanted(self._sound(), self.grid, self._counting, self.intro)

    def _sound(self) -> Recorded:
        return replace(self.recording, grid=self.grid).source().sound

    @property
    def _counting(self) -> Counting:
        return Counting(self.way if self.voice else None, self.language)

    def stop(self) -> None:
        """Stop; the bar that sounded stays marked."""
        self._starts = False
        if self.sounding:
            self.at_s = self.one_s(self.here)
            self.sounding = False
            self.player.stop()

    def say_it(self, voice: bool) -> None:
        """Let the voice count, or clicks."""
        if voice != self.voice:
            self.voice = voice
            self._refresh()

    def _make(self) -> None:
        sound, counting, rate = self._sound(), self._counting, self.player.sample_rate_hz
        if self._coming is not None:
            self._coming.cancel()
        if self._behind:
            bars = (self._behind, self._heard_bars)
            self._coming = submitted(self.workers, heard_behind, sound, self.grid, *bars, counting, rate)
        else:
            self._coming = submitted(self.workers, heard, sound, self.grid, self._stretch, counting, rate)
        if self.workers is None:
            self.tick()

    def _refresh(self) -> None:
        """Count what sounds by what is set now, without a break; behind a drum intro from its start again."""
        if self.sounding or self._starts:
            if self._behind:
                self.at_s = self.one_s(1)
                self.hear()
            else:
                self._make()

    def _heard_s(self) -> float:
        """The place that is heard now, at the earliest the first one of what is heard."""
        return max(self._begun_s, self._stretch.from_s + self.player.position_s())

    def tick(self) -> None:
        """Take over what was mixed, and move the mark with the sound."""
        self.player.poll()
        if self._coming is not None and self._coming.done():
            coming, self._coming = self._coming, None
            try:
                self._take(coming.result())
            except Trouble as trouble:
                self.notice, self._starts = trouble.says, False
        if not self.sounding:
            return
        if self.player.playing:
            self.at_s = self.one_s(self._bar_at(self._heard_s() + 1e-6))
            return
        self.sounding = False
        self.at_s = self._begun_s  # to be heard again
        if self.player.faults:
            self.notice = STOPPED(why=listed(fault.says for fault in self.player.faults) or say(""))

    def _take(self, samples: Samples) -> None:
        if self._starts:
            self._starts = False
            self.player.open()
            self.player.play(samples)
            self.sounding = True
        elif self.sounding:
            self.player.exchange(samples)

    # -- what is set right ----------------------------------------------------------------------------------------

    @property
    def changed(self) -> bool:
        """Whether anything was set right."""
        return self.grid != self.recording.grid

    def earlier(self) -> None:
        """The one is a beat earlier."""
        self._set(correction.earlier)

    def later(self) -> None:
        """The one is a beat later."""
        self._set(correction.later)

    def half_beat(self) -> None:
        """The beats are between those of the grid: half a beat later."""
        self._set(partial(correction.moved, beats=0.5))

    def half(self) -> None:
        """Half the tempo."""
        self._set(correction.half)

    def double(self) -> None:
        """Twice the tempo."""
        self._set(correction.double)

    def phrase_here(self) -> None:
        """A phrase begins with the bar that is heard or marked."""
        self._set(partial(correction.phrase_at, bar=self.here))
        self._phrase_said = True

    def phrase_length(self) -> None:
        """Phrases of the next length: 4, 8, 16 bars."""
        lengths = correction.PHRASES
        later = [each for each in lengths if each > self.grid.phrase_bars]
        bars, first = later[0] if later else lengths[0], self.grid.phrase_first
        self._set(lambda grid: correction.phrase_at(grid, first + 1, bars))

    def intro_ends_here(self) -> None:
        """The intro ends before the bar that is heard or marked; on the first bar: there is none.

        With that bar a phrase begins, unless somebody has said where phrases do.
        """
        bar = self.here
        moves = bar > 1 and not self._phrase_said

        def ends(grid: Grid) -> Grid:
            ended = correction.intro_ends(grid, bar - 1)
            return correction.phrase_at(ended, bar) if moves else ended

        self._set(ends)

    def tap(self) -> None:
        """The one is here: the fourth tap moves it."""
        if not self.sounding or self.intro_bar is not None:
            self.notice = TAP_WHILE()
            return
        at_s = self._heard_s()
        if self._taps_s and at_s - self._taps_s[-1] > FORGET_BARS * self.bar_s:
            self._taps_s = []
        self._taps_s.append(at_s)
        left = TAPS - len(self._taps_s)
        if left:
            self.notice = plural(left, TAP_ONE_MORE, TAP_MORE)
            return
        taps_s, self._taps_s = self._taps_s, []
        try:
            found = correction.one_at(self.grid, taps_s)
        except ValueError:
            self.notice = TAPS_APART()
            return
        self.notice = AS_IT_WAS() if found == self.grid else None
        self._change(found)

    def take(self, grid: Grid) -> None:
        """Another grid, such as that of a file of beats."""
        self._set(lambda _: grid)

    def undo(self) -> None:
        """Take back what was set last."""
        if self._before:
            (self.grid, self._phrase_said), self.notice = self._before.pop(), None
            self.at_s = self.one_s(self.bar)
            self._refresh()

    @property
    def undoable(self) -> bool:
        """Whether there is anything to take back."""
        return bool(self._before)

    def _set(self, change: Callable[[Grid], Grid]) -> None:
        self.notice, self._taps_s = None, []
        try:
            self._change(change(self.grid))
        except ValueError:
            self.notice = CANNOT()

    def _change(self, grid: Grid) -> None:
        if grid == self.grid:
            return
        self._before.append((self.grid, self._phrase_said))
        self.grid = grid
        if not self.sounding:
            self.at_s = self.one_s(self.bar)
        self._refresh()

    def confirmed(self, by: Confirmer) -> Recording:
        """The recording with what was set right, confirmed by a person."""
        self.stop()
        return self.recording.with_grid(self.grid).confirmed(by)
