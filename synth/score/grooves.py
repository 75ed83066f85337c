"""Grooves: the drum patterns of records, read from small text files.

A groove file is a drum tab: header lines, then one line for every instrument.

    title: Backbeat
    family: pop-rock
    metre: 4/4
    steps: 16
    tempo: 80-132
    swing: 54 %
    kick on: 1 3
    backbeat on: 2 4
    shift snare: +8 ms

    kick       | X... .... x... .... |
    snare      | .... x..o .... x... |
    closed_hat | x.x. x.x. x.x. x.x. |

In a cell ``X`` is an accent, ``x`` a hit, ``o`` a ghost note and ``.`` a rest; blanks are ignored. Every
``| ... |`` is a bar; an instrument with fewer bars than the longest one repeats. ``steps`` divide a bar evenly.
``swing`` is the share of a pair of steps that its first step takes: 50 % is straight, 66.7 % the triplet shuffle.
``kick on`` and ``backbeat on`` name the beats (2.5 is halfway to the third) on which every bar must have a kick,
and a snare, clap or rim. ``shift`` delays an instrument by milliseconds, negative values advance it. ``#`` starts
a comment.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, lru_cache
from pathlib import Path
from types import MappingProxyType

import assets
from synth.base.border import read_text, shown
from synth.base.errors import Trouble, near
from synth.base.folders import data_folder
from synth.score.hits import DRUMS, SHARP_DRUMS
from synth.score.metre import TEMPO_RANGE_BPM, Metre

VELOCITY = {".": 0.0, "o": 0.35, "x": 0.78, "X": 1.0}
SWING_RANGE = (0.5, 0.75)
LONGEST_SHIFT_MS = 40.0
MOST_STEPS = 96
MOST_BARS = 32
MOST_BYTES = 100_000
LONGEST_REMARK = 200  # characters of an error message
HEADER = ("title", "family", "metre", "steps", "tempo", "swing", "kick on", "backbeat on", "shift INSTRUMENT")


@dataclass(frozen=True, slots=True)
class Groove:
    """A pattern of one or more bars.

    ``lines`` maps a drum to its bars: one velocity (0 to 1, 0 a rest) a step. ``kick_on`` and ``backbeat_on`` are
    beats of the bar, from 1. ``swing`` is the first step's share of a pair of steps, 0.5 straight. ``ValueError``
    where the fields contradict each other.
    """

    name: str
    title: str
    family: str
    metre: Metre
    steps_per_bar: int
    tempo_range_bpm: tuple[float, float]
    lines: Mapping[str, tuple[tuple[float, ...], ...]]
    swing: float = 0.5
    kick_on: tuple[float, ...] = ()
    backbeat_on: tuple[float, ...] = ()
    shift_ms: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not self.lines:
            raise ValueError(f"groove {self.name}: at least one instrument expected")
        if not 1 <= self.steps_per_bar <= MOST_STEPS or self.steps_per_bar % self.metre.beats_per_bar:
            raise ValueError(
                f"groove {self.name}: {self.steps_per_bar} steps a bar do not divide over "
                f"{self.metre.beats_per_bar} beats"
            )
        if any(len(bar) != self.steps_per_bar for bars in self.lines.values() for bar in bars):
            raise ValueError(f"groove {self.name}: a bar without its {self.steps_per_bar} steps")
        if not SWING_RANGE[0] <= self.swing <= SWING_RANGE[1]:
            raise ValueError(f"groove {self.name}: swing {self.swing:g} outside 0.5 to 0.75")

    @property
    def bars(self) -> int:
        """Bars of the whole pattern."""
        return max(len(bars) for bars in self.lines.values())

    @property
    def usual_tempo_bpm(self) -> float:
        """Middle of the tempo range, in whole BPM."""
        return float(round(sum(self.tempo_range_bpm) / 2))

    def bar_of(self, drum: str, bar_index: int) -> tuple[float, ...]:
        """Steps of a drum in bar ``bar_index`` (from 0); empty where the groove lacks the drum."""
        bars = self.lines.get(drum, ((),))
        return bars[bar_index % len(bars)]

    @property
    def steps_beats(self) -> tuple[float, ...]:
        """Positions of the steps in beats from the start of the bar, swing included."""
        return _steps_beats(self.metre.beats_per_bar, self.steps_per_bar, self.swing)


@lru_cache(maxsize=64)
def _steps_beats(beats: int, steps: int, swing: float) -> tuple[float, ...]:
    late = (0.0, 2 * swing - 1)
    return tuple((step + late[step % 2]) * (beats / steps) for step in range(steps))


class _Reader:
    """Parses one file; errors name line and column."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.header: dict[str, tuple[str, int, int]] = {}
        self.shift_ms: dict[str, float] = {}
        self.lines: dict[str, tuple[str, int, int]] = {}

    def wrong(self, line: int, column: int, what: str) -> Trouble:
        what = " ".join(what.split())  # a value may contain line breaks
        if len(what) > LONGEST_REMARK:
            what = f"{what[: LONGEST_REMARK // 2]} ... {what[-LONGEST_REMARK // 2 :]}"
        return Trouble(f"{self.name}.groove:{line}:{column}: {what}")

    def take(self, number: int, raw: str) -> None:
        text = raw.split("#", 1)[0].rstrip()
        if not text.strip():
            return
        column = len(text) - len(text.lstrip()) + 1
        bar_at, colon_at = text.find("|"), text.find(":")
        if bar_at >= 0 and (colon_at < 0 or bar_at < colon_at):
            drum = text[:bar_at].strip()
            if drum not in DRUMS:
                raise self.wrong(number, column, f"unknown instrument {drum!r}.{near(drum, DRUMS)}")
            if drum in self.lines:
                raise self.wrong(number, column, f"{drum} stands here twice")
            self.lines[drum] = (text, number, bar_at)
        elif colon_at >= 0:
            key = " ".join(text[:colon_at].split()).lower()
            value = text[colon_at + 1 :]
            at = colon_at + 2 + len(value) - len(value.lstrip())
            value = value.strip()
            if key.startswith("shift "):
                self.take_shift(key.removeprefix("shift "), value, number, column, at)
            elif key not in HEADER:
                raise self.wrong(number, column, f"unknown line {key!r}.{near(key, HEADER)}")
            elif key in self.header:
                raise self.wrong(number, column, f"{key} stands here twice")
            else:
                self.header[key] = (value, number, at)
        else:
            raise self.wrong(number, column, "neither 'word: value' nor 'instrument | x... |'")

    def take_shift(self, drum: str, value: str, number: int, column: int, at: int) -> None:
        if drum not in DRUMS:
            raise self.wrong(number, column, f"unknown instrument {drum!r}.{near(drum, DRUMS)}")
        found = re.fullmatch(r"([+-]?\d{1,4}(?:\.\d{1,3})?)\s*ms", value, re.ASCII)
        if not found or abs(float(found[1])) > LONGEST_SHIFT_MS:
            raise self.wrong(number, at, f"{value!r}: a shift such as +8 ms, at most {LONGEST_SHIFT_MS:g}, expected")
        self.shift_ms[drum] = float(found[1])

    def metre(self) -> Metre:
        value, line, at = self.header.get("metre", ("4/4", 1, 1))
        try:
            return Metre.parse(value)
        except ValueError as error:
            raise self.wrong(line, at, str(error)) from None

    def steps(self, metre: Metre) -> int:
        value, line, at = self.header.get("steps", ("16", 1, 1))
        beats = metre.beats_per_bar
        if not re.fullmatch(r"\d{1,3}", value, re.ASCII) or not 1 <= int(value) <= MOST_STEPS or int(value) % beats:
            raise self.wrong(
                line, at, f"steps {value}: a multiple of the bar's {beats} beats, at most {MOST_STEPS}, expected"
            )
        return int(value)

    def tempo(self) -> tuple[float, float]:
        value, line, at = self.header.get("tempo", ("", 0, 0))
        low_bpm, high_bpm = TEMPO_RANGE_BPM
        if not line:
            return 90.0, 130.0
        found = re.fullmatch(r"(\d{1,3}(?:\.\d)?)(?:\s*-\s*(\d{1,3}(?:\.\d)?))?", value, re.ASCII)
        low, high = (float(found[1]), float(found[2] or found[1])) if found else (0.0, 0.0)
        if not low_bpm <= low <= high <= high_bpm:
            raise self.wrong(
                line, at, f"tempo {value}: such as 118-130, within {low_bpm:g} to {high_bpm:g}, expected"
            )
        return low, high

    def swing(self, metre: Metre, steps: int) -> float:
        value, line, at = self.header.get("swing", ("50 %", 1, 1))
        found = re.fullmatch(r"(\d{1,2}(?:\.\d{1,3})?)\s*%", value, re.ASCII)
        share = float(found[1]) / 100 if found else 0.0
        if not SWING_RANGE[0] <= share <= SWING_RANGE[1]:
            raise self.wrong(line, at, f"swing {value}: 50 % (straight) to 75 % expected")
        if share > 0.5 and steps // metre.beats_per_bar % 2:
            raise self.wrong(line, at, "swing needs an even number of steps a beat")
        return share

    def beats(self, key: str, metre: Metre) -> tuple[float, ...]:
        value, line, at = self.header.get(key, ("", 1, 1))
        beats = []
        for word in re.finditer(r"\S+", value):
            if not re.fullmatch(r"\d{1,2}(\.\d{1,3})?", word[0], re.ASCII) or not (
                1 <= float(word[0]) < metre.beats_per_bar + 1
            ):
                raise self.wrong(
                    line, at + word.start(), f"{word[0]!r}: a beat from 1 to {metre.beats_per_bar} expected"
                )
            beats.append(float(word[0]))
        return tuple(sorted(set(beats)))

    def cells(self, drum: str, steps: int) -> tuple[tuple[float, ...], ...]:
        text, line, at = self.lines[drum]
        if not text.endswith("|") or text.count("|") < 2:
            raise self.wrong(line, len(text), "a bar ends with |")
        bars: list[tuple[float, ...]] = []
        bar: list[float] = []
        for column, sign in enumerate(text[at + 1 :], at + 2):
            if sign == "|":
                if len(bar) != steps:
                    raise self.wrong(line, column, f"{len(bar)} steps in this bar, {steps} expected")
                bars.append(tuple(bar))
                bar = []
            elif sign in VELOCITY:
                bar.append(VELOCITY[sign])
            elif not sign.isspace():
                raise self.wrong(line, column, f"{sign!r} in a bar: X accent, x hit, o ghost or . rest expected")
        if len(bars) > MOST_BARS:
            raise self.wrong(line, at + 1, f"{len(bars)} bars, at most {MOST_BARS} expected")
        return tuple(bars)

    def hold_to(self, groove: Groove, key: str, beats: Sequence[float], drums: Sequence[str]) -> None:
        """Check that every bar has one of ``drums``, louder than a ghost note, on each of ``beats``."""
        line, at = self.header.get(key, ("", 1, 1))[1:]
        steps_per_beat = groove.steps_per_bar / groove.metre.beats_per_bar
        for bar in range(groove.bars):
            there = {
                round(step / steps_per_beat, 3)
                for drum in drums
                for step, velocity in enumerate(groove.bar_of(drum, bar))
                if velocity > VELOCITY["o"]
            }
            for beat in beats:
                if not any(abs(where - (beat - 1)) < 0.01 for where in there):
                    raise self.wrong(line, at, f"no {' or '.join(drums)} on {beat:g} in bar {bar + 1}")


def parse_groove(text: str, name: str) -> Groove:
    """Parse the text of a groove file; ``name`` is its file name without the ending.

    Raises ``Trouble`` with file, line and column where the text is not a groove, or longer than a file may be.
    """
    if len(text) > MOST_BYTES:
        raise Trouble(f"{name}: too large: {len(text)} signs, at most {MOST_BYTES}")
    reader = _Reader(name)
    for number, raw in enumerate(text.removeprefix("\ufeff").split("\n"), 1):
        reader.take(number, raw.rstrip("\r"))
    if not reader.lines:
        raise reader.wrong(1, 1, "no instrument, such as 'kick | x... x... x... x... |'")
    metre = reader.metre()
    steps = reader.steps(metre)
    groove = Groove(
        name=name,
        title=reader.header.get("title", (name.replace("-", " ").capitalize(), 1, 1))[0],
        family=reader.header.get("family", ("own", 1, 1))[0],
        metre=metre,
        steps_per_bar=steps,
        tempo_range_bpm=reader.tempo(),
        lines=MappingProxyType({drum: reader.cells(drum, steps) for drum in reader.lines}),
        swing=reader.swing(metre, steps),
        kick_on=reader.beats("kick on", metre),
        backbeat_on=reader.beats("backbeat on", metre),
        shift_ms=MappingProxyType(reader.shift_ms),
    )
    reader.hold_to(groove, "kick on", groove.kick_on, ("kick",))
    reader.hold_to(groove, "backbeat on", groove.backbeat_on, SHARP_DRUMS)
    return groove


@lru_cache(maxsize=256)
def _read(path: Path, _changed_ns: int, _size_bytes: int) -> Groove:
    return parse_groove(read_text(path, MOST_BYTES), path.stem)


def read_groove(path: Path) -> Groove:
    """Read a groove file. Raises ``Trouble`` for a file that is missing, unreadable or no groove."""
    try:
        stat = path.stat()
    except OSError as error:
        raise Trouble(f"{shown(path.name)}: this groove cannot be read ({error.strerror})") from None
    return _read(path, stat.st_mtime_ns, stat.st_size)


def own_folder() -> Path:
    """Folder of the user's own grooves; it need not exist."""
    return data_folder() / "grooves"


def _files_in(folder: Path) -> dict[str, Path]:
    return {path.stem: path for path in sorted(folder.glob("*.groove"))} if folder.is_dir() else {}


@cache
def _shipped() -> dict[str, Path]:
    return _files_in(assets.path("grooves"))


def groove_files(folders: Sequence[Path] | None = None) -> dict[str, Path]:
    """Name and path of every groove: the shipped ones, replaced by those in ``folders`` (default: the user's own)."""
    found = dict(_shipped())
    for folder in (own_folder(),) if folders is None else folders:
        found |= _files_in(folder)
    return dict(sorted(found.items()))


def strays() -> list[Path]:
    """Visible files in the user's own folder without the ending of a groove."""
    folder = own_folder()
    if not folder.is_dir():
        return []
    return sorted(path for path in folder.iterdir() if path.suffix != ".groove" and not path.name.startswith("."))


def grooves(folders: Sequence[Path] | None = None, broken: list[Trouble] | None = None) -> dict[str, Groove]:
    """All grooves by name. ``Trouble`` of a broken file is appended to ``broken`` and its groove left out."""
    found = {}
    for name, path in groove_files(folders).items():
        try:
            found[name] = read_groove(path)
        except Trouble as trouble:
            if broken is not None:
                broken.append(trouble)
    return found


def groove(name: str, folders: Sequence[Path] | None = None) -> Groove:
    """Look a groove up by name. Raises ``Trouble`` with near names for an unknown one."""
    files = groove_files(folders)
    if name not in files:
        raise Trouble(f"There is no groove {name!r}.{near(name, files)} 'grooves' lists them all.")
    return read_groove(files[name])
