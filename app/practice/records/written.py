"""A recording as a sound file for the learner's own use: with its count over it, or behind a drum intro."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from app.practice.records.heard import Counting, Stretch, counted_layers, intro_layers
from synth.base.border import shown
from synth.base.errors import Trouble
from synth.base.files import check_ending, open_sound
from synth.base.words import Say, Template
from synth.recording.grid import Grid
from synth.recording.teaching import LEAD_IN_S
from synth.score.recorded import Recorded

if TYPE_CHECKING:
    from synth.sound.mixdown import Layer

RATE_HZ = 44_100
# The usual one comes first.
ENDINGS = (".mp3", ".wav", ".flac", ".ogg")
# Longest sound in s: it is held in memory.
LONGEST_S = 900.0

WRITTEN = Template("written.done", "{path} is written. It is for your own use, as the record is.")
LONG = Template("written.long", "{title} is too long for one sound: at most {minutes} minutes can be written.")
REPLACES = Template("written.replaces", "{path}: this would replace the sound of a record of yours.")
WRITING = Template("written.writing", "One moment: the sound is being written.")
STOPPED = Template("written.stopped", "{path} was not written, since the program was closed.")


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be written of a recording by a grid: ``intro`` bars of drums in front (0: none), and the count.

    By clicks it is counted only where no drums stand in front.
    """

    sound: Recorded
    grid: Grid
    counting: Counting
    intro: int = 0

    @property
    def long_s(self) -> float:
        """About how long it is."""
        return self.grid.duration_s + self.intro * self.grid.beats_per_bar * self.grid.beat_s

    def layers(self, sample_rate_hz: int) -> list[Layer]:
        """The whole recording as a mix. ``Trouble`` where its file cannot be read."""
        if self.intro:
            return intro_layers(self.sound, self.grid, self.intro, self.counting, sample_rate_hz)
        # From its first sound on: a word or a click begins before its beat.
        stretch = Stretch(min(0.0, self.grid.one_s - LEAD_IN_S), self.grid.duration_s)
        return counted_layers(self.sound, self.grid, stretch, self.counting, sample_rate_hz)


def check_name(out: Path) -> None:
    """``Trouble`` for a name that is none of a sound."""
    check_ending(out, ENDINGS)


def write(out: Path, wanted: Wanted, over: Callable[[], bool] = lambda: False) -> Say:
    """Write what is wanted; returns what was done. ``Trouble`` where it cannot be, or once it is ``over``.

    Nothing is written then.
    """
    check_name(out)
    title = wanted.sound.title
    if wanted.long_s > LONGEST_S:
        raise Trouble(LONG(title=title, minutes=round(LONGEST_S / 60)))
    write_layers(out, wanted.layers(RATE_HZ), f"{title}, {wanted.grid.tempo_bpm:.2f} BPM", over)
    return WRITTEN(path=shown(out))


def write_layers(out: Path, layers: Sequence[Layer], title: str, over: Callable[[], bool] = lambda: False) -> None:
    """Write a mix at ``RATE_HZ``, with what it is as tags."""
    from synth.sound.mixdown import mixdown_together_blocks  # imported here: the first screen needs no mix

    tags = {"title": shown(title, 200), "comment": "Made with Tallybar from a record, for the learner's own use."}
    with open_sound(out, RATE_HZ, tags=tags) as samples:
        for block in mixdown_together_blocks(layers, block_s=1.0):
            if over():
                raise Trouble(STOPPED(path=shown(out)))
            samples(block)
