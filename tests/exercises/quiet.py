"""Trials by the thousand: records whose drums are left out, for tests that look at truth and marks alone."""

from functools import lru_cache

import exercises.forms.drill
import exercises.forms.rungs
import synth.score.arranging.arrangement
import synth.score.arranging.source
import synth.score.arranging.writer
from synth.score.grooves import groove
from synth.score.rows import rows

NOTHING = rows([])


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


def leave_out_drums(monkeypatch) -> None:
    """Make records without a drum in them from here on, as their groove is written, which is read once."""
    once = lru_cache(maxsize=64)(groove)
    monkeypatch.setattr(exercises.forms.rungs, "groove", once)
    monkeypatch.setattr(exercises.forms.drill, "varied", lambda groove, _: groove)
    monkeypatch.setattr(synth.score.arranging.source, "groove", once)
    monkeypatch.setattr(synth.score.arranging.arrangement, "Drummer", SilentDrummer)
    monkeypatch.setattr(synth.score.arranging.arrangement, "Song", SilentSong)
    monkeypatch.setattr(synth.score.arranging.writer, "Song", SilentSong)
