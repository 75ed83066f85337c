"""The command ``records``: a learner's own audio files."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from app.cli.argument_types import Parser
from app.cli.output import number_of, say, say_json
from synth.base.errors import Trouble

if TYPE_CHECKING:
    from synth.recording.grid import Grid


def add_records(commands: "argparse._SubParsersAction[Parser]", parser: type[Parser]) -> None:
    """Options of ``records``."""
    records = commands.add_parser("records", help="the grid of your own audio files")
    kinds = records.add_subparsers(dest="kind", metavar="KIND", required=True, parser_class=parser)
    grid = kinds.add_parser("grid", help="find tempo, beats, ones, phrases and intro of an audio file")
    grid.add_argument("file", type=Path, metavar="FILE")
    grid.add_argument("--beats", type=Path, metavar="OUT", help="write a line a beat: seconds, bar.beat")
    grid.add_argument("--json", action="store_true")


def run_records(options: argparse.Namespace) -> None:
    """Print what was found of a file. Raises ``Trouble`` if it cannot be read or its grid is refused."""
    from synth.base.border import shown
    from synth.base.files import write_text
    from synth.recording.finding.analysis import grid_of

    if options.beats is not None and options.beats.exists() and options.beats.samefile(options.file):
        raise Trouble(f"{shown(options.beats)}: --beats would replace the sound itself.")
    grid = grid_of(options.file)
    if grid.refused is not None:
        raise Trouble(f"{shown(options.file)}: {grid.refused}")
    if options.beats is not None:
        write_text(options.beats, grid.count().text())
    if options.json:
        say_json(_plain(grid))
    else:
        _tell(grid)


def _plain(grid: "Grid") -> dict[str, object]:
    return {
        "tempo_bpm": round(grid.tempo_bpm, 4),
        "sure": grid.sure,
        "confirmed_by": None,
        "phrase_bars": grid.phrase_bars,
        "intro_bars": grid.intro_bars,
        "uncertainty_ms": round(grid.uncertainty_ms, 1),
        "steady_until_s": round(grid.steady_until_s, 3),
        "one_s": round(grid.one_s, 4),
        "phrase_first": grid.phrase_first,
        "duration_s": round(grid.duration_s, 3),
        "tempo_confidence": round(grid.tempo_confidence, 2),
        "one_confidence": round(grid.one_confidence, 2),
        "phrase_confidence": round(grid.phrase_confidence, 2),
    }


def _tell(grid: "Grid") -> None:
    say(f"{grid.tempo_bpm:.2f} BPM, in four; bar 1 begins at {grid.one_s:.3f} s")
    intro = "unknown" if grid.intro_bars is None else number_of(grid.intro_bars, "bar")
    first = grid.phrase_first % grid.phrase_bars + 1
    say(f"phrases of {grid.phrase_bars} bars, one of them from bar {first}; intro: {intro}")
    say(f"beats to {grid.uncertainty_ms:.1f} ms, until {grid.steady_until_s:.1f} s of {grid.duration_s:.1f} s")
    say("sure" if grid.sure else "not sure: let a person listen to it before it is used")
