"""Trials by the thousand: records in which nothing sounds, for tests that look at truth and marks alone."""

from functools import lru_cache

import exercises.forms.drill
import exercises.forms.rungs
import synth.score.arranging.arrangement
import synth.score.arranging.source
import synth.score.arranging.writer
from synth.score.grooves import groove
from synth.score.hits import VOICE_NAMES, Hits
from synth.score.rows import rows

NOTHING = rows([])
NO_HITS = Hits.of([], [], [], VOICE_NAMES)


class SilentDrummer:
    """Plays nothing, and draws nothing from the generator that belongs to the drums alone."""

    def __init__(self, groove, generator):
        self.groove, self.metre, self.everything = groove, groove.metre, frozenset(groove.lines)

    def bar(self, *which):
        return NOTHING

    roll = bar

    def fill(self, bar, longest_beats=4):
        return 1, bar

    def next_phrase(self, *before):
        return frozenset(), "own"


class SilentSong:
    """Plays nothing either."""

    def __init__(self, metre, generator, *manner):
        pass

    def plays(self, *where):
        return frozenset()

    def bar(self, *which):
        return NOTHING


class SilentSheet:
    """Takes down nothing, not even crashes and sweeps."""

    def add(self, *block):
        pass

    def hits(self, *touch):
        return NO_HITS


def leave_out_drums(monkeypatch) -> None:
    """Make records in which nothing sounds from here on, as their groove is written, which is read once."""
    once = lru_cache(maxsize=64)(groove)
    monkeypatch.setattr(exercises.forms.rungs, "groove", once)
    monkeypatch.setattr(exercises.forms.drill, "varied", lambda groove, _: groove)
    monkeypatch.setattr(synth.score.arranging.source, "groove", once)
    monkeypatch.setattr(synth.score.arranging.arrangement, "Drummer", SilentDrummer)
    monkeypatch.setattr(synth.score.arranging.arrangement, "Song", SilentSong)
    monkeypatch.setattr(synth.score.arranging.writer, "Song", SilentSong)
    monkeypatch.setattr(synth.score.arranging.writer, "Sheet", SilentSheet)
