"""Parse answers from a file or a command line: taps, choices, numbers, positions."""

import math
import os
import re
from pathlib import Path

import numpy as np

from exercises.trial.trial import LOST_COUNT, Answer, Kind, Trial
from synth.base.arrays import Seconds
from synth.base.border import read_text, shown
from synth.base.errors import Trouble, near

# Largest tap time in seconds: more is a wrong unit.
LONGEST_S = 6 * 3600.0
# Far above any trial's taps, and the size of a file of them with a comment each.
MOST_TAPS, MOST_BYTES = 20_000, 1_000_000
# No number, choice or place has more characters.
LONGEST_WORD = 200


def parse_taps(text: str, name: str = "taps") -> Seconds:
    """Parse taps: one number a line, sorted seconds from the start of the sound; ``#`` starts a comment.

    Raises ``Trouble`` with ``name`` and the line that is no tap.
    """
    taps: list[float] = []
    for number, line in enumerate(text.split("\n"), start=1):
        word = line.partition("#")[0].strip()
        if not word:
            continue
        try:
            taps.append(_parse_tap(word, taps[-1] if taps else -math.inf))
            if len(taps) > MOST_TAPS:
                raise Trouble(f"more than {MOST_TAPS} taps")
        except Trouble as slip:
            raise Trouble(f"{shown(name)}, line {number}: {slip}") from None
    if not taps:
        raise Trouble(f"{shown(name)}: no taps in it; one number a line, in seconds, expected")
    return np.array(taps, dtype=np.float64)


def _parse_tap(word: str, before_s: float) -> float:
    """The time in s that a line names; ``Trouble`` if it is none, or earlier than the tap before it."""
    told = shown(word, 24)
    if not word.isprintable():
        raise Trouble("not text; one number a line, in seconds, expected")
    try:
        tap_s = float(word if len(word) <= LONGEST_WORD else "")
    except ValueError:
        hint = " One number a line." if len(re.split(r"[\s,;]+", word[:LONGEST_WORD])) > 1 else ""
        raise Trouble(f"{told!r} is no number of seconds.{hint}") from None
    if not math.isfinite(tap_s):
        raise Trouble(f"{told}: a finite number of seconds expected")
    if abs(tap_s) > LONGEST_S:
        raise Trouble(f"{told}: seconds expected, is this milliseconds?")
    if tap_s < before_s:
        raise Trouble(f"{told} comes after {before_s:g}: taps must be sorted by time")
    return tap_s


def read_answer(path: str | Path, trial: Trial) -> Answer:
    """Read an answer from a file: taps, or for other kinds of trial one line. Raises ``Trouble``.

    Where a trial asks for taps and a value, one line reads ``answer: VALUE``; where the count was lost, in any trial,
    ``answer: lost`` after the taps, or ``lost`` alone.
    """
    text = read_text(path, MOST_BYTES)
    words = [word for line in text.splitlines() if (word := line.partition("#")[0].strip())]
    if [word.lower() for word in words] == [LOST_COUNT]:
        return Answer(value=LOST_COUNT)
    if trial.kind in (Kind.TAPS, Kind.PRESS):
        value = None
        if trial.then is not Kind.NONE or any(_is_value(line) for line in words):
            text, value = _take_value(text, trial, str(path))
            if not any(line.partition("#")[0].strip() for line in text.split("\n")):
                return Answer(value=value)  # an answer without taps is marked
        taps_s = parse_taps(text, str(path))
        # Taps in milliseconds are hours beyond the end of the sound.
        end_s = trial.count.end_s
        if taps_s[0] > end_s + 60 and taps_s.size > 1:
            end = f"The sound ends at {end_s:.1f} s."
            raise Trouble(f"{shown(path)}: {taps_s[0]:g}: seconds expected, is this milliseconds? {end}")
        return Answer(taps_s, value)
    if len(words) != 1:
        raise Trouble(f"{shown(path)}: one line with the answer expected, not {len(words)}")
    return Answer(value=parse_value(trial, words[0]))


def answer_of(given: str, trial: Trial) -> Answer:
    """Parse an argument of the command line: a file, see ``read_answer``, or the answer itself.

    Taps come from a file only. Raises ``Trouble``.
    """
    if os.path.lexists(given) or (trial.kind in (Kind.TAPS, Kind.PRESS) and given.lower() != LOST_COUNT):
        return read_answer(given, trial)
    try:
        return Answer(value=parse_value(trial, given))
    except Trouble as slip:
        stop = "" if str(slip).endswith((".", "?")) else "."
        raise Trouble(f"{slip}{stop} Nor is there a file of that name.") from slip


def _take_value(text: str, trial: Trial, name: str) -> tuple[str, str | float]:
    """The text without its ``answer: VALUE`` line (left blank to keep line numbers), and the value."""
    lines = text.split("\n")
    found = [at for at, line in enumerate(lines) if _is_value(line)]
    if len(found) != 1:
        raise Trouble(f"{shown(name)}: taps and one line 'answer: VALUE' expected, not {len(found)} such lines")
    said = lines[found[0]].partition(":")[2].partition("#")[0]
    lines[found[0]] = ""
    try:
        return "\n".join(lines), parse_value(trial, said)
    except Trouble as slip:
        raise Trouble(f"{shown(name)}, line {found[0] + 1}: {slip}") from slip


def _is_value(line: str) -> bool:
    return line.partition(":")[0].strip().lower() == "answer"


def parse_value(trial: Trial, text: str) -> str | float:
    """Parse the value of an answer. Raises ``Trouble`` where it is invalid for the trial.

    A choice is a key, its number on the screen from 1, or its words; a number is finite; a position is bar.beat from
    1.1; "lost" says in every trial that the count was lost.
    """
    text = text.strip()
    if text.lower() == LOST_COUNT and trial.kind is not Kind.NONE:
        return LOST_COUNT
    if len(text) > LONGEST_WORD or not text.isprintable():
        raise Trouble(f"{shown(text, 60)!r} is no answer")
    kind = trial.kind if trial.kind not in (Kind.TAPS, Kind.PRESS, Kind.NONE) else trial.then
    match kind:
        case Kind.CHOICE:
            numbers = {str(number): choice.key for number, choice in enumerate(trial.choices, 1)}
            said = {str(choice.say).lower(): choice.key for choice in trial.choices}
            keys = {choice.key.lower(): choice.key for choice in trial.choices}
            meant = numbers | said | keys  # keys precede numbers: key "4" is never the fourth choice
            if text.lower() not in meant:
                known = ", ".join(keys.values())
                raise Trouble(f"{text!r} is none of the answers: {known}.{near(text, keys.values())}")
            return meant[text.lower()]
        case Kind.NUMBER:
            try:
                number = float(text)
            except ValueError:
                raise Trouble(f"{text!r} is no number") from None
            if not math.isfinite(number):
                raise Trouble(f"{text}: a finite number expected")
            return number
        case Kind.POSITION:
            found = re.fullmatch(r"(\d{1,4})\.(\d{1,2})", text)
            if not found:
                raise Trouble(f"{text!r}: bar and beat expected, such as 3.2 for the two of the third bar")
            bar, beat = int(found[1]), int(found[2])
            per_bar = int(trial.count.beat_in_bar.max())
            if bar < 1 or not 1 <= beat <= per_bar:
                raise Trouble(f"{text}: bars count from 1, beats from 1 to {per_bar}")
            return f"{bar}.{beat}"
        case _:
            raise Trouble("this trial takes no answer in words")
