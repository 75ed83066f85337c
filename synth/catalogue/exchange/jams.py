"""JAMS, an open standard of annotations in plain JSON: beats with their places, and phrases as segments.

Namespaces ``beat_position`` and ``segment_open``, written by the schema of JAMS 0.3 (Humphrey et al. 2014, Proc.
ISMIR, 591-596, from memory). Read are ``beat_position``, ``beat`` with numbers, and segments named phrase and intro.
"""

from dataclasses import replace
from pathlib import Path
from typing import Annotated, Any

import numpy as np
from msgspec import Meta, Struct

from synth.base.border import Unfit, fitted, parsed, read_bytes, shown
from synth.base.errors import Trouble
from synth.base.words import Template
from synth.catalogue.correction import PHRASES
from synth.catalogue.exchange.beats_file import FEWEST, Beats, checked, grid_of_beats
from synth.recording.grid import Grid

JAMS_VERSION = "0.3.5"
MOST_BYTES, MOST_ROWS = 30_000_000, 100_000
PHRASE, INTRO = "phrase", "intro"

NO_JAMS = Template("jams.no_jams", "{path}: no JAMS file ({why}).")
NO_BEATS = Template("jams.no_beats", "{path}: no beats with their places in the bar are in it.")

Time = Annotated[float, Meta(ge=0, le=1e6)]


class Row(Struct):
    """An observation."""

    time: Time
    duration: Time = 0.0
    value: Any = None


class Annotation(Struct):
    """Annotations of one kind; dense ones are of no use here."""

    namespace: Annotated[str, Meta(max_length=200)]
    data: Annotated[list[Row], Meta(max_length=MOST_ROWS)] | dict[str, Any]


class File(Struct):
    """What is read of a JAMS file."""

    annotations: Annotated[list[Annotation], Meta(max_length=1000)] = []


def jams_of(grid: Grid, title: str = "", artist: str = "", by: str = "") -> dict[str, Any]:
    """A grid as the plain values of a JAMS file; ``by``: who has confirmed it. ``ValueError`` if it was refused."""
    count = grid.count()
    rows = zip(count.beats_s.tolist(), count.bar_number.tolist(), count.beat_in_bar.tolist(), strict=True)
    beats = [
        _row(at_s, 0.0, {"position": beat, "measure": bar, "num_beats": grid.beats_per_bar, "beat_units": 4})
        for at_s, bar, beat in rows
    ]
    starts = count.phrase_starts_s.tolist()
    phrases = [
        _row(start_s, end_s - start_s, PHRASE)
        for start_s, end_s in zip(starts, [*starts[1:], count.end_s], strict=True)
    ]
    kinds = [("beat_position", beats), ("segment_open", phrases)]
    if grid.intro_bars:
        long_s = grid.intro_bars * grid.beats_per_bar * grid.beat_s
        kinds.append(("segment_open", [_row(grid.one_s, long_s, INTRO)]))
    about = {"annotation_tools": "Tallybar", "annotator": {"role": by} if by else {}}
    return {
        "file_metadata": {
            "title": title,
            "artist": artist,
            "release": "",
            "duration": grid.duration_s,
            "identifiers": {},
            "jams_version": JAMS_VERSION,
        },
        "annotations": [
            {
                "namespace": kind,
                "data": rows,
                "annotation_metadata": about,
                "sandbox": {},
                "time": 0,
                "duration": grid.duration_s,
            }
            for kind, rows in kinds
        ],
        "sandbox": {},
    }


def _row(at_s: float, long_s: float, value: object) -> dict[str, Any]:
    return {"time": round(max(0.0, at_s), 6), "duration": round(long_s, 6), "value": value, "confidence": None}


def grid_of_jams(path: Path, before: Grid) -> Grid:
    """The steady grid of a JAMS file's first beats with places; where it has no phrases they stay as ``before``.

    Raises ``Trouble`` where it is none, has no beats, or its beats wander or lie outside the sound.
    """
    try:
        found = fitted(parsed(read_bytes(path, MOST_BYTES)), File)
    except Unfit as slip:
        raise Trouble(NO_JAMS(path=shown(path), why=str(slip))) from slip
    beats = next((each for kept in found.annotations if (each := _beats(kept)) is not None), None)
    if beats is None:
        raise Trouble(NO_BEATS(path=shown(path)))
    grid = grid_of_beats(checked(beats, shown(path)), before, shown(path))
    segments = [
        row
        for kept in found.annotations
        if kept.namespace.startswith("segment") and isinstance(kept.data, list)
        for row in kept.data
        if isinstance(row.value, str)
    ]
    return _with_segments(grid, sorted(segments, key=lambda row: row.time))


def _beats(kept: Annotation) -> Beats | None:
    """Beats with their numbers; None for other annotations, and where a place is missing or not in four."""
    if kept.namespace not in ("beat", "beat_position") or not isinstance(kept.data, list) or len(kept.data) < FEWEST:
        return None
    rows = sorted(kept.data, key=lambda row: row.time)
    places = [_place(row.value) for row in rows]
    if 1 not in places or None in places:
        return None
    at_s = np.array([row.time for row in rows])
    first = places.index(1)
    number = np.arange(len(rows), dtype=np.int64) - first
    in_bar = np.array([place or 0 for place in places]) - 1
    if (number % 4 != in_bar).any() or (np.diff(at_s) <= 0).any():
        return None
    return Beats(at_s, number)


def _place(value: Any) -> int | None:
    """The beat of the bar, 1 to 4; None for anything else."""
    if isinstance(value, dict):
        if value.get("num_beats", 4) != 4:
            return None
        value = value.get("position")
    if isinstance(value, bool) or not isinstance(value, int | float) or value not in (1, 2, 3, 4):
        return None
    return int(value)


def _with_segments(grid: Grid, rows: list[Row]) -> Grid:
    """The grid with the phrases and the intro that segments name."""
    bar_s = grid.beats_per_bar * grid.beat_s

    def bar_at(at_s: float) -> int:
        return round((at_s - grid.one_s) / bar_s)

    starts = [bar_at(row.time) for row in rows if row.value == PHRASE]
    if len(starts) > 1:
        steps = np.diff(starts)
        length = int(np.median(steps))
        if length in PHRASES and np.mean(steps == length) > 0.5:
            grid = replace(grid, phrase_bars=length, phrase_first=starts[1] % length, phrase_confidence=1.0)
    intro = next((row for row in rows if row.value == INTRO), None)
    if intro is not None and 0 <= (bars := bar_at(intro.time + intro.duration)) <= 10_000:
        grid = replace(grid, intro_bars=bars)
    return grid
