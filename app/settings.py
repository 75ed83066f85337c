"""The learner's settings: one small file, read at the start and rewritten at each change.

The file is TOML 1.0 (https://toml.io/en/v1.0.0), flat, one setting a line below a comment with its range. An invalid
value is replaced by its default and reported; an unreadable file is renamed. Lines unknown to this version are kept,
so that two versions may share the file.
"""

from __future__ import annotations

import json
import math
import os
import tomllib
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from exercises.learner.chosen import Chosen
from exercises.logbook.learners import ID
from exercises.trial.versions import MARKING
from synth.base.border import read_bytes, shown
from synth.base.errors import Trouble
from synth.base.files import make_folder, replace_with
from synth.base.folders import config_folder
from synth.base.reasons import reason
from synth.base.words import Say, Template
from synth.sound.kits import FAMILY_NAMES

FILE_NAME = "settings.toml"
# Far more than all choices take.
MOST_BYTES = 200_000
# Highest slider position at the start of a sitting: the system volume or the headphones may have changed since.
LOUDEST_START = 60
# Initial slider position, for those who skip the level check: 24 dB below the top.
FIRST_VOLUME = 40
# Languages of window and voice with their own names: texts by app.ui.base.language, words by synth.sound.spoken.
LANGUAGES = {"en": "English", "es": "Español"}

# Name of a learner who has given none.
NOBODY = "me"

NOT_USABLE = Template("settings.not_usable", "The settings' {name} = {given} cannot be used; it is {usual} again.")
SET_ASIDE = Template(
    "settings.set_aside",
    "The settings could not be read and are as at first; the old file is kept as {kept}. (At: {where}.)",
)
NOT_READ = Template("settings.not_read", "The settings could not be read ({why}); everything is as at first.")


def _number(default: float, low: float, high: float, says: str) -> Any:
    return field(default=default, metadata={"low": low, "high": high, "says": f"{says}, {low:g} to {high:g}"})


def _one_of(default: str, choices: tuple[str, ...], says: str) -> Any:
    quoted = ", ".join(f'"{choice}"' for choice in choices)
    return field(default=default, metadata={"choices": choices, "says": f"{says}: {quoted}"})


def _plain(default: Any, says: str, least: int = 0) -> Any:
    return field(default=default, metadata={"least": least, "says": says})


def _id(says: str) -> Any:
    return field(default="", metadata={"pattern": ID, "least": 0, "says": says})


@dataclass(frozen=True, slots=True)
class Settings:
    """All settings; ``ValueError`` for a value out of range. ``others`` are lines unknown to this version."""

    volume: int = _number(FIRST_VOLUME, 0, 100, "Position of the volume slider")
    sound_device: str = _plain("", "Name of the sound output; empty for the computer's own choice")
    latency_ms: int = _number(80, 10, 500, "How far ahead sound is handed to the output, in ms")
    sample_rate_hz: int = _number(48_000, 8_000, 192_000, "Samples a second of the sound output, in Hz")
    microphone: str = _plain("", "Name of the microphone; empty for the computer's own choice")
    claps: bool = _plain(False, "Claps and shouts through the microphone count as taps")
    tap_tick: bool = _plain(False, "A soft tick sounds with every tap, but not while claps count")
    theme: str = _one_of("system", ("system", "light", "dark"), "Paper and ink")
    text_percent: int = _number(100, 100, 200, "Text size in %")
    reduced_motion: bool = _plain(False, "Less movement on the screen")
    language: str = _one_of("system", ("system", *LANGUAGES), "Language")
    voice: str = _one_of("window", ("window", *LANGUAGES), "Language of the voice that counts")
    learner: str = _plain(NOBODY, "The learner's name in the logbook", 1)
    learner_id: str = _id("What stands for the learner in the logbook; empty for the first of that name")
    minutes_a_day: int = _number(10, 5, 30, "How long a day's practice is, in minutes")
    in_every_plan: str = _plain("", "Drills that are in every day's plan, by id, with commas between them")
    in_no_plan: str = _plain("", "Drills that are in no plan, by id, with commas between them")
    way: str = _one_of("bars", ("bars", "letters"), "Way of counting, 2 2 3 4 or 2 A B C")
    drill: str = _plain("", "The drill chosen last; empty for the first of the ladder")
    rung: int = _number(0, 0, 99, "Its rung; 0 for the one that fits the learner")
    groove: str = _plain("", "The groove chosen; empty for any")
    kit_family: str = _one_of("", ("", *FAMILY_NAMES), "The family of drum kits chosen; empty for any")
    tempo_bpm: float = _number(0.0, 0, 240, "The tempo chosen in beats a minute; 0 for any")
    record: str = _plain("", 'The record chosen by its id; "any" for any of your own, empty for own drums')
    records_percent: int = _number(30, 0, 100, "How many of 100 trials of a plan are on your own records")
    confirmer: str = _one_of("learner", ("learner", "tutor"), "Who confirms the counts of records by ear")
    mode: str = _one_of("plain", ("plain", "busy", "bare"), "How the drill is run")
    choices_unfolded: bool = _plain(False, "Choosing freely, rung, groove, drums, tempo and mode are shown")
    marking: int = _number(MARKING, 0, 9999, "The version of marking that the learner was told of")
    first_run_done: bool = _plain(False, "false: the welcome comes at the next start")
    trial_left: bool = _plain(False, "true: the window was closed during a trial, which the next start tells")
    window_width_px: int = _number(1280, 320, 16_384, "The window")
    window_height_px: int = _number(800, 240, 16_384, "The window")
    window_whole_screen: bool = _plain(False, "The window fills the desktop")
    others: Mapping[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for name, slip in ((each.name, _slip(each, getattr(self, each.name))) for each in _lines(self)):
            if slip:
                raise ValueError(f"{name} = {getattr(self, name)!r}: {slip}")

    @property
    def chosen(self) -> Chosen:
        """Drills of every plan and of none."""
        return Chosen(_ids(self.in_every_plan), _ids(self.in_no_plan))

    @property
    def start_volume(self) -> int:
        """Slider position when the window opens."""
        return min(self.volume, LOUDEST_START)


def _ids(text: str) -> tuple[str, ...]:
    return tuple(filter(None, (word.strip() for word in text.split(","))))


def with_drill(settings: Settings, drill: str, place: str) -> dict[str, object]:
    """The changed lines of the settings if a drill gets the ``place`` "always", "never" or "" (as it comes)."""
    kept = settings.chosen
    rows = {"in_every_plan": (kept.always, "always"), "in_no_plan": (kept.never, "never")}
    return {
        name: ", ".join([*(each for each in ids if each != drill), *([drill] if place == which else [])])
        for name, (ids, which) in rows.items()
    }


def _lines(of: Any) -> tuple[Any, ...]:
    return tuple(each for each in fields(of) if each.name != "others")


def _slip(line: Any, value: Any) -> str:
    """What is wrong with a setting's value, or an empty text."""
    usual, about = line.default, line.metadata
    if isinstance(usual, bool):
        return "" if isinstance(value, bool) else "true or false expected"
    if isinstance(usual, str):
        if not isinstance(value, str) or not value.isprintable() or len(value) > 200:
            return "a short text expected"
        if "choices" in about:
            return "" if value in about["choices"] else about["says"]
        if value and "pattern" in about and not about["pattern"].fullmatch(value):
            return "32 hex digits expected"
        return "" if len(value.strip()) >= about["least"] else "a text expected"
    whole = line.type == "int"
    if isinstance(value, bool) or not isinstance(value, int if whole else (int, float)) or not math.isfinite(value):
        return "a whole number expected" if whole else "a number expected"
    return "" if about["low"] <= value <= about["high"] else about["says"]


@dataclass(frozen=True, slots=True)
class Loaded:
    """The settings as read, and messages for the learner."""

    settings: Settings
    messages: tuple[Say, ...] = ()


def settings_path() -> Path:
    """File of the settings."""
    return config_folder() / FILE_NAME


def load(path: Path, now: datetime) -> Loaded:
    """Read the settings; defaults without a file. Never raises: ``messages`` report what is wrong.

    ``now`` dates the name of a file that is set aside.
    """
    if not os.path.lexists(path):
        return Loaded(Settings())
    try:
        given = tomllib.loads(read_bytes(path, MOST_BYTES).decode("utf-8-sig"))
    except Trouble as trouble:
        return Loaded(Settings(), (NOT_READ(why=trouble.says),))
    except (ValueError, RecursionError) as slip:  # bad TOML and bad UTF-8 are ValueErrors
        return Loaded(Settings(), (_set_aside(path, now, slip),))
    good: dict[str, Any] = {"marking": 0}  # files of earlier versions have no such line
    messages = []
    for line in _lines(Settings):
        if line.name not in given:
            continue
        value = given.pop(line.name)
        if line.type == "float" and type(value) is int:
            value = float(value)
        if _slip(line, value):
            messages.append(NOT_USABLE(name=line.name, given=shown(_toml(value), 40), usual=_toml(line.default)))
        else:
            good[line.name] = value
    others = {name: value for name, value in given.items() if isinstance(value, str | bool | int | float)}
    return Loaded(Settings(**good, others=others), tuple(messages))


def _set_aside(path: Path, now: datetime, slip: Exception) -> Say:
    kept = path.with_name(f"{path.name}.broken-{now:%Y%m%d-%H%M%S}")
    try:
        path.replace(kept)
    except OSError as refused:
        return NOT_READ(why=reason(refused))
    return SET_ASIDE(kept=kept, where=shown(slip))


def save(settings: Settings, path: Path) -> None:
    """Write the settings, whole or not at all; ``Trouble`` if the file or its folder cannot be written."""
    make_folder(path.parent)
    with replace_with(path) as beside:
        beside.write_text(text_of(settings), encoding="utf-8", newline="\n")


def text_of(settings: Settings, names: Collection[str] | None = None) -> str:
    """The settings as text of the file, or those of these names."""
    lines = ["# Settings of Tallybar. Edit them while the program is closed.", ""]
    for each in _lines(settings):
        if names is None or each.name in names:
            lines += [f"# {each.metadata['says']}.", f"{each.name} = {_toml(getattr(settings, each.name))}"]
    if names is None:
        lines += [f"{_toml_key(name)} = {_toml(value)}" for name, value in settings.others.items()]
    return "\n".join(lines) + "\n"


def _toml(value: Any) -> str:
    """A TOML value: written as in JSON, except for nan, inf and DEL."""
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    return json.dumps(value, ensure_ascii=False, default=str).replace("\x7f", "\\u007f")


def _toml_key(name: str) -> str:
    bare = name.isascii() and name.replace("_", "").replace("-", "").isalnum()
    return name if bare else _toml(name)


class Keeper:
    """The settings of a running program: ``now`` are the present ones, ``change`` saves others."""

    def __init__(self, settings: Settings | None = None, path: Path | None = None) -> None:
        """Without a path nothing is written."""
        self.now = settings or Settings()
        self.path = path

    def change(self, **choices: Any) -> Say | None:
        """Apply settings and save them if they changed; returns a message if saving failed."""
        new = replace(self.now, **choices)
        if new == self.now:
            return None
        self.now = new
        try:
            if self.path is not None:
                save(new, self.path)
        except Trouble as trouble:
            return trouble.says
        return None
