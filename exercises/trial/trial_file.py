"""Read a trial from a file, validating every field."""

import json
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import numpy as np

from exercises.trial.trial import Choice, Help, Kind, Trial
from synth.base.errors import Trouble
from synth.base.words import Say
from synth.score.metre import TEMPO_RANGE_BPM, Metre
from synth.score.truth import Truth


def read_trial(path: str | Path) -> Trial:
    """Read a trial.json file. Raises ``Trouble`` naming the file where it is no trial."""
    try:
        data = json.loads(Path(path).read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError) as slip:
        reason = slip.strerror if isinstance(slip, OSError) else "no JSON text"
        raise Trouble(f"{path}: cannot be read as a trial ({reason})") from slip
    if not isinstance(data, Mapping):
        raise Trouble(f"{path}: not a trial: an object with named values expected")
    try:
        return trial_from_json(data)
    except Trouble as slip:
        raise Trouble(f"{path}: {slip}") from slip


def trial_from_json(data: Mapping[str, Any]) -> Trial:
    """Parse what ``Trial.to_json`` wrote. Raises ``Trouble`` naming what is missing or wrong."""
    _check(data)
    shown = data["help"]
    try:
        return Trial(
            drill=data["drill"],
            rung=data["rung"],
            seed=data["seed"],
            kind=Kind(data["kind"]),
            question=Say.from_json(data["question"]),
            arrangement=None,
            kit_seed=data["kit_seed"],
            targets_s=np.array(data["targets_s"], dtype=np.float64),
            period_s=float(data["period_s"]),
            help=Help(shown["sheet"], shown["voice"], shown.get("voice_beats")),
            choices=tuple(Choice(row["key"], Say.from_json(row)) for row in data["choices"]),
            expected=data["expected"],
            then=Kind(data["then"]),
            written=Truth.from_json(data),
            groove=data["groove"],
            contrast=float(data.get("contrast", 1.0)),
            version=data["version"],
        )
    except ValueError as slip:
        raise Trouble(f"not a trial: {slip}") from slip


# Largest time, bar or beat accepted.
MOST = 1_000_000


def _is_whole(value: Any, low: int = 0, high: int = 2**63 - 1) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and low <= value <= high


def _is_number(value: Any, low: float = -MOST, high: float = MOST) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high  # NaN fails


def _is_times(value: Any) -> bool:
    return isinstance(value, list) and all(map(_is_number, value)) and bool(np.all(np.diff(value) > 0))


def _is_count(low: int, high: int = MOST) -> Callable[[Any], bool]:
    return lambda value: isinstance(value, list) and all(_is_whole(each, low, high) for each in value)


def _is_text(value: Any) -> bool:
    return isinstance(value, str)


def _is_kind(value: Any) -> bool:
    return value in list(Kind)


def _is_help(value: Any) -> bool:
    beats = value.get("voice_beats")
    said = all(isinstance(value[name], bool) for name in ("sheet", "voice"))
    return said and (beats is None or _is_whole(beats))


def _is_choices(value: Any) -> bool:
    return isinstance(value, list) and all(_is_text(row["key"]) and bool(str(Say.from_json(row))) for row in value)


# Field -> test, and the requirement in words.
FIELDS: Mapping[str, tuple[Callable[[Any], bool], str]] = {
    "drill": (_is_text, "the name of a drill"),
    "rung": (lambda value: _is_whole(value, 1), "a whole number from 1"),
    **dict.fromkeys(("seed", "version", "kit_seed", "intro_bars"), (_is_whole, "a whole number from 0")),
    **dict.fromkeys(("kind", "then"), (_is_kind, f"one of {', '.join(Kind)}")),
    "question": (lambda value: bool(str(Say.from_json(value))), "a sentence as this program writes it"),
    "choices": (_is_choices, "a row of choices, each with a key and its words"),
    "targets_s": (_is_times, "a row of seconds, increasing strictly"),
    "period_s": (_is_number, "a number of seconds"),
    "help": (_is_help, "sheet and voice, true or false, and voice_beats"),
    "groove": (_is_text, "the name of a groove"),
    "sample_rate_hz": (lambda value: _is_whole(value, 1), "a whole number from 1"),
    "tempo_bpm": (
        lambda value: _is_number(value, *TEMPO_RANGE_BPM),
        f"beats a minute, {TEMPO_RANGE_BPM[0]:g} to {TEMPO_RANGE_BPM[1]:g}",
    ),
    "metre": (lambda value: bool(Metre.parse(value)), "a time signature such as 4/4"),
    "beats_s": (lambda value: _is_times(value) and len(value) > 0, "a row of seconds, increasing strictly"),
    "beat_in_bar": (_is_count(1, 32), "a row of whole numbers from 1 to 32"),
    "bar_number": (_is_count(0), "a row of whole numbers from 0"),
    "bar_in_phrase": (_is_count(0), "a row of whole numbers from 0"),
    "phrase_number": (_is_count(0), "a row of whole numbers from 0"),
    "end_s": (_is_number, "a number of seconds"),
    "phrase_bars": (lambda value: _is_whole(value, 1, MOST), "a whole number from 1"),
}


def _check(data: Mapping[str, Any]) -> None:
    """Raise ``Trouble`` naming the first field that is missing or invalid."""
    for name in (*FIELDS, "expected", "sections"):
        if name not in data:
            raise Trouble(f"not a trial: {name!r} is missing")
    for name, (fits, wanted) in FIELDS.items():
        _demand(name, data[name], fits, wanted)
    _demand("contrast", data.get("contrast", 1.0), _is_number, "a number")
    for name in ("beat_in_bar", "bar_number", "bar_in_phrase", "phrase_number"):
        _demand(name, data[name], lambda value: len(value) == len(data["beats_s"]), "one number for each of beats_s")
    _demand("end_s", data["end_s"], lambda value: value > data["beats_s"][-1], "a time after the last of beats_s")
    asked = data["then"] if data["kind"] in (Kind.TAPS, Kind.PRESS, Kind.NONE) else data["kind"]
    keys = [row["key"] for row in data["choices"]]
    if asked == Kind.CHOICE:
        _demand("expected", data["expected"], lambda value: value in keys, "the key of one of the choices")
    elif asked == Kind.NUMBER:
        _demand("expected", data["expected"], _is_number, "a number")
    elif asked == Kind.POSITION:
        place = re.compile(r"[1-9][0-9]{0,3}\.[1-9][0-9]?")
        _demand("expected", data["expected"], lambda value: bool(place.fullmatch(value)), "bar and beat such as 3.2")


def _demand(name: str, value: Any, fits: Callable[[Any], bool], wanted: str) -> None:
    try:
        good = fits(value)
    except (KeyError, TypeError, ValueError, AttributeError, IndexError, OverflowError):
        good = False
    if not good:
        plain = value is None or isinstance(value, str | int | float)
        shown = f" is {json.dumps(value):.40}" if plain else ""
        raise Trouble(f"not a trial: {name!r}{shown or ' is wrong'}; expected: {wanted}")
