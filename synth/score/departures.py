"""Departures from the rule of whole phrases, which a rung can request."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum

import numpy as np

from synth.base.errors import near
from synth.score.form import Form


class Departure(StrEnum):
    """A kind of exception."""

    PICK_UP = "pick-up"  # beats before the first one
    TAG = "two-bar tag"  # two bars appended to a section
    SIX_BAR_PHRASE = "six-bar phrase"
    FALSE_FILL = "false fill"  # a fill in mid-phrase, not at a turn
    BREAK_WITHOUT_DRUMS = "break without drums"
    HALF_TIME = "half-time section"
    SILENT_TURN = "turn without fill"  # a phrase turn without any signal
    FALSE_TURN = "false turn"  # a crash in mid-phrase, not at a turn
    TEASE = "tease"  # bass, chords or voice alone and softly for half a phrase of the intro


@dataclass(frozen=True, slots=True)
class Departed:
    """An exception in the sound: its start and its length in bars (0: less than a bar)."""

    kind: str
    start_s: float
    bars: int


@dataclass(frozen=True, slots=True)
class Phrase:
    """A planned phrase: index of its section in the form, length in bars, exceptions in it."""

    section: int
    bars: int
    odd: frozenset[Departure] = field(default_factory=frozenset)


def departures(names: Iterable[str]) -> tuple[Departure, ...]:
    """Parse names of exceptions, dropping duplicates; ``ValueError`` suggests near names for an unknown one."""
    found = []
    for name in dict.fromkeys(names):
        if name not in list(Departure):
            raise ValueError(f"exception {name!r} is unknown.{near(name, list(Departure))}")
        found.append(Departure(name))
    return tuple(found)


def plan_phrases(
    form: Form, phrase_bars: int, asked: Sequence[Departure], generator: np.random.Generator
) -> tuple[Phrase, ...]:
    """Plan the phrases of a record and place every requested exception on a drawn phrase.

    Exceptions prefer phrases outside the intro and avoid the first and the last phrase. ``ValueError`` where a
    six-bar phrase would be no exception.
    """
    if Departure.SIX_BAR_PHRASE in asked and phrase_bars == 6:
        raise ValueError("phrase_bars 6: a six-bar phrase would be no exception")
    phrases = [Phrase(at, bars) for at, lengths in enumerate(form.phrases(phrase_bars)) for bars in lengths]
    for kind in Departure:
        if kind in asked and kind not in (Departure.PICK_UP, Departure.TEASE):
            _depart(phrases, kind, form, generator)
    return tuple(phrases)


# Bars of the shortest phrase with a tease, if there is one so long.
SHORTEST_TEASED = 4


def tease(phrases: tuple[Phrase, ...], form: Form, generator: np.random.Generator) -> tuple[Phrase, ...]:
    """The phrases, with a tease in one of the intro's at least, every second one; in the first if no other is long.

    ``ValueError`` for a form without an intro.
    """
    intro = [at for at, phrase in enumerate(phrases) if phrase.section == 0]
    if not form.intro_bars:
        raise ValueError(f"form {form}: an intro expected, where there is to be a tease")
    # A shorter one would run into the song.
    long = [at for at in intro if phrases[at].bars >= SHORTEST_TEASED]
    later = [at for at in long if at] or long or intro
    chosen = {at for at in later if generator.random() < 0.5} or {later[int(generator.integers(len(later)))]}
    return tuple(
        replace(phrase, odd=phrase.odd | {Departure.TEASE}) if at in chosen else phrase
        for at, phrase in enumerate(phrases)
    )


def _depart(phrases: list[Phrase], kind: Departure, form: Form, generator: np.random.Generator) -> None:
    last = len(phrases) - 1

    def cost(at: int) -> float:
        phrase = phrases[at]
        ends = at == last or phrases[at + 1].section != phrase.section
        wrong = 8.0 * (at == 0) + 4.0 * (form.sections[phrase.section][0] == "intro") + 4.0 * bool(phrase.odd)
        wrong += 100.0 * (kind in (Departure.FALSE_FILL, Departure.FALSE_TURN) and phrase.bars < 2)
        wrong += 2.0 * (at == last) + 50.0 * (kind == Departure.SILENT_TURN and at == last)
        wrong += 3.0 * (at < last and bool(phrases[at + 1].odd))
        wrong += 16.0 * (kind == Departure.TAG and not ends)
        return wrong + float(generator.random())

    at = min(range(len(phrases)), key=cost)
    chosen = phrases[at]
    if kind == Departure.TAG:
        phrases.insert(at + 1, Phrase(chosen.section, 2, frozenset({kind})))
    elif kind == Departure.HALF_TIME and len(form.sections) > 1:
        for place, phrase in enumerate(phrases):
            if phrase.section == chosen.section:
                phrases[place] = replace(phrase, odd=phrase.odd | {kind})
    else:
        bars = 6 if kind == Departure.SIX_BAR_PHRASE else chosen.bars
        phrases[at] = replace(chosen, bars=bars, odd=chosen.odd | {kind})
