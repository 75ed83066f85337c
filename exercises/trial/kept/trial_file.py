"""A trial from a file, which anybody may have written: every field is checked before it is believed."""

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

import numpy as np
from msgspec import Meta, Struct

from exercises.trial.kept.recorded import KeptRecorded
from exercises.trial.trial import Choice, Help, Kind, Trial
from synth.base.border import Unfit, fitted, read_json, shown
from synth.base.errors import Trouble
from synth.base.sentences import Sentence, check_depth
from synth.score.arranging.cues import ALL_CUES, Cue
from synth.score.arranging.truth import Truth
from synth.score.metre import TEMPO_RANGE_BPM, Metre

# Limit of times, bars and beats: far above any trial, and safe for numpy.
MOST = 1_000_000
# Rows of one trial, and choices of one question.
MOST_ROWS, MOST_CHOICES = 100_000, 100

Text = Annotated[str, Meta(max_length=1000)]
Whole = Annotated[int, Meta(ge=0, le=2**63 - 1)]
Tally = Annotated[int, Meta(ge=0, le=MOST)]
Count = Annotated[int, Meta(ge=1, le=MOST)]
Number = Annotated[float, Meta(ge=-MOST, le=MOST)]
Times = Annotated[list[Number], Meta(max_length=MOST_ROWS)]
Tallies = Annotated[list[Tally], Meta(max_length=MOST_ROWS)]
Beats = Annotated[list[Annotated[int, Meta(ge=1, le=32)]], Meta(max_length=MOST_ROWS)]
Tempo = Annotated[float, Meta(ge=TEMPO_RANGE_BPM[0], le=TEMPO_RANGE_BPM[1])]
# By which cues the one is told from the second beat, from the third, ...
OneCues = Annotated[list[Annotated[int, Meta(ge=0, le=MOST)]], Meta(max_length=31)] | None
# Columns of a rung; none is larger.
Share = Annotated[float, Meta(ge=0, le=1000)]
Rules = Annotated[
    dict[Text, bool | Annotated[int, Meta(ge=0, le=1000)] | Share | Annotated[str, Meta(max_length=40)]],
    Meta(max_length=MOST_CHOICES),
]


class KeptChoice(Sentence, kw_only=True, omit_defaults=True):
    """A choice: its key and its words."""

    key: Text

    def to_choice(self) -> Choice:
        """The choice that the program shows."""
        return Choice(self.key, self.to_say())


class _Help(Struct):
    sheet: bool
    voice: bool
    voice_beats: Tally | None = None


class _Section(Struct):
    name: Text
    start_s: Number
    bars: Tally


class _Turn(Struct):
    time_s: Number
    signals: Annotated[list[Text], Meta(max_length=MOST_CHOICES)]


class _Exception(Struct):
    kind: Text
    start_s: Number
    bars: Number


class _File(Struct):
    """The keys of ``Trial.to_json`` that a trial is read from."""

    drill: Text
    rung: Annotated[int, Meta(ge=0, le=MOST)]
    seed: Whole
    version: Whole
    kind: Kind
    then: Kind
    question: Sentence
    choices: Annotated[list[KeptChoice], Meta(max_length=MOST_CHOICES)]
    expected: Text | Number | None
    targets_s: Times
    period_s: Number
    help: _Help
    groove: Text
    kit_seed: Whole
    sample_rate_hz: Annotated[int, Meta(ge=1, le=10 * MOST)]
    tempo_bpm: Tempo
    metre: Text
    beats_s: Annotated[list[Number], Meta(min_length=1, max_length=MOST_ROWS)]
    beat_in_bar: Beats
    bar_number: Tallies
    bar_in_phrase: Tallies
    phrase_number: Tallies
    end_s: Number
    phrase_bars: Count
    intro_bars: Whole
    sections: Annotated[list[_Section], Meta(max_length=MOST_ROWS)]
    turns: Annotated[list[_Turn], Meta(max_length=MOST_ROWS)] = []
    exceptions: Annotated[list[_Exception], Meta(max_length=MOST_ROWS)] = []
    contrast: Number = 1.0
    rules: Rules = {}
    tempo_wish: Tempo | None = None
    groove_wish: Text | None = None
    rests: Tallies = []
    one_cues: OneCues = None
    recorded: KeptRecorded | None = None


def read_trial(path: str | Path) -> Trial:
    """The trial in a trial.json file; ``Trouble`` that names the file where it is none."""
    data = read_json(path)
    try:
        return trial_from_json(data)
    except Trouble as slip:
        raise Trouble(f"{shown(path)}: {slip}") from slip


def trial_from_json(data: Any) -> Trial:
    """The reverse of ``Trial.to_json``; ``Trouble`` in one line that names what is missing or wrong."""
    try:
        file = fitted(data, _File)
        _check(file)
        return Trial(
            drill=file.drill,
            rung=file.rung,
            seed=file.seed,
            kind=file.kind,
            question=file.question.to_say(),
            arrangement=None,
            kit_seed=file.kit_seed,
            targets_s=np.array(file.targets_s, dtype=np.float64),
            period_s=file.period_s,
            help=Help(file.help.sheet, file.help.voice, file.help.voice_beats),
            choices=tuple(row.to_choice() for row in file.choices),
            expected=file.expected,
            then=file.then,
            written=Truth.from_json(data),
            groove=file.groove,
            contrast=file.contrast,
            version=file.version,
            rules=file.rules,
            tempo_wish=file.tempo_wish,
            groove_wish=file.groove_wish,
            rests=np.array(file.rests, dtype=np.int64),
            one_cues=to_cues(file.one_cues),
            heard_in=None if file.recorded is None else file.recorded.recorded(),
        )
    except ValueError as slip:
        raise Trouble(f"not a trial: {slip}") from slip


def to_cues(numbers: OneCues) -> tuple[Cue, ...] | None:
    """What ``Trial.tells_the_one`` says, from its numbers; those of a later version are left out."""
    return None if numbers is None else tuple(Cue(number & ALL_CUES) for number in numbers)


def _check(file: _File) -> None:
    """``Unfit`` that names the first field which does not go with the others."""
    for name in ("beats_s", "targets_s"):
        if np.any(np.diff(getattr(file, name)) <= 0):
            raise Unfit(f"{name!r}: seconds, increasing strictly, expected")
    for name in ("beat_in_bar", "bar_number", "bar_in_phrase", "phrase_number"):
        if len(getattr(file, name)) != len(file.beats_s):
            raise Unfit(f"{name!r}: one number for each of beats_s expected")
    if any(row >= len(file.beats_s) for row in file.rests):
        raise Unfit("'rests': rows of beats_s expected")
    if file.end_s <= file.beats_s[-1]:
        raise Unfit("'end_s': a time after the last of beats_s expected")
    try:
        Metre.parse(file.metre)
    except ValueError as slip:
        raise Unfit(f"'metre': {slip}") from slip
    check_asked(file.kind, file.then, file.expected, [row.key for row in file.choices])
    check_depth("question", [file.question])
    check_depth("choices", [*file.choices])


def check_asked(kind: Kind, then: Kind, expected: str | float | None, keys: Sequence[str]) -> None:
    """``Unfit`` unless ``expected`` is an answer to what a trial asks; ``keys`` are those of its choices."""
    asked = then if kind in (Kind.TAPS, Kind.PRESS, Kind.NONE) else kind
    if asked is Kind.CHOICE and expected not in keys:
        raise Unfit("'expected': the key of one of the choices expected")
    if asked is Kind.NUMBER and not isinstance(expected, float | int):
        raise Unfit("'expected': a number expected")
    place = re.compile(r"[1-9][0-9]{0,3}\.[1-9][0-9]?")
    if asked is Kind.POSITION and not (isinstance(expected, str) and place.fullmatch(expected)):
        raise Unfit("'expected': bar and beat such as 3.2 expected")
