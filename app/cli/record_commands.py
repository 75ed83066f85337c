"""What the commands of ``records`` do and print."""

import argparse
import sys
from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import Any

from app.cli.output import complain, number_of, say, say_json
from synth.base.border import shown
from synth.base.errors import Trouble
from synth.base.files import replace_with, write_json, write_text
from synth.base.words import Say
from synth.catalogue import analysis
from synth.catalogue.adding import arrived, known
from synth.catalogue.catalogue import Catalogue
from synth.catalogue.correction import double, half, intro_ends, one_at, phrase_at
from synth.catalogue.exchange.beats_file import grid_of_beats, read_beats
from synth.catalogue.exchange.jams import grid_of_jams, jams_of
from synth.catalogue.exchange.travelling import take_grids, write_grids
from synth.catalogue.gathering import gathered
from synth.catalogue.queue import Queue
from synth.catalogue.recording import Recording, State
from synth.device.clock import today
from synth.recording.grid import Grid
from synth.recording.source import RecordingSource

ID_SHOWN = 8
# Seconds between looks at the queue, in which Ctrl-C is heard.
LOOK_S = 0.2


def list_all(as_json: bool) -> None:
    """Print every recording of the list."""
    catalogue = _catalogue()
    if as_json:
        say_json([_plain(each) for each in catalogue])
        return
    for each in catalogue:
        say(_line(each))
    say(number_of(len(catalogue), "record") + f", {len(catalogue.usable())} ready for drills")


def add(paths: Sequence[Path]) -> int:
    """Analyse what is not known yet; the exit status is 2 where nothing that was named has a grid."""
    catalogue = _catalogue()
    files = gathered(paths)
    had: list[bool] = []

    def told(path: str, what: Recording | Say) -> None:
        had.append(isinstance(what, Recording) and what.why is None)
        line = _line(what, path) if isinstance(what, Recording) else str(what)
        if len(files) == 1 and not had[-1]:
            complain(_why(path, what))
        else:
            say(line)

    queue = Queue(catalogue, today, told, kept=False)
    try:
        queue.add(files)
        while not queue.wait(LOOK_S):
            _show(queue)
    finally:
        queue.close()
    if len(files) > 1:
        (say if any(had) else complain)(f"{len(files)} files: {sum(had)} with a grid, {len(had) - sum(had)} without")
    return 0 if any(had) else 2


def grid(options: argparse.Namespace) -> None:
    """Print the grid of a file or of a recording in the list, and write it where asked."""
    found, recording = _found(options.record)
    if found.refused is not None:
        raise Trouble(_why(options.record, found.refused))
    with ExitStack() as together:
        outs = [
            together.enter_context(replace_with(out)) if out is not None else None
            for out in (options.beats_out, options.jams_out)
        ]
        if outs[0] is not None:
            write_text(outs[0], found.count().text())
        if outs[1] is not None:
            about = (recording.title, recording.artist, recording.confirmed_by) if recording else ("", "", "")
            write_json(outs[1], jams_of(found, *about))
    by = (recording and recording.confirmed_by) or None
    if options.json:
        say_json(_plain_grid(found, by))
    else:
        _tell(found, by)


def confirm(options: argparse.Namespace) -> None:
    """Set right what is asked for and confirm the grid; a file that is not in the list is added to it."""
    catalogue = _catalogue()
    recording = _listed(catalogue, options.record)
    found = recording.grid
    if recording.state is State.UNREADABLE:
        raise Trouble(_why(options.record, found.refused))
    name = shown(options.record)
    if options.beats is not None:
        found = grid_of_beats(read_beats(options.beats), found, shown(options.beats))
    if options.jams is not None:
        found = grid_of_jams(options.jams, found)
    if found.refused is not None:
        raise Trouble(_why(options.record, found.refused))
    try:
        if options.tempo is not None:
            found = half(found) if options.tempo == "half" else double(found)
        if options.one:
            found = one_at(found, options.one)
        if options.phrase is not None or options.phrase_bars is not None:
            first = found.phrase_first + 1 if options.phrase is None else options.phrase
            found = phrase_at(found, first, options.phrase_bars)
        if options.intro is not None:
            found = intro_ends(found, options.intro)
    except ValueError as slip:
        raise Trouble(f"{name}: {slip}.") from slip
    recording = recording.with_grid(found).confirmed(options.by)
    catalogue.keep(recording)
    _tell(recording.grid, recording.confirmed_by)


def forget(options: argparse.Namespace) -> None:
    """Take a recording out of the list."""
    catalogue = _catalogue()
    recording = catalogue.find(options.record)
    catalogue.forget(recording.print)
    say(f"{shown(recording.name)}: no longer in the list; the file is where it was")


def export_grids(options: argparse.Namespace) -> None:
    """Write the confirmed grids."""
    written = write_grids(_catalogue(), options.file)
    say(f"{options.file}: {number_of(written, 'grid')}, without the music")


def import_grids(options: argparse.Namespace) -> None:
    """Take in grids."""
    taken = take_grids(_catalogue(), options.file, today())
    say(
        f"{number_of(taken.new, 'grid')} for records that may turn up; {taken.replaced} for records in the list;"
        f" {taken.left} left, since yours are confirmed"
        + (f"; {taken.unplaced} left, which bring nothing new or do not fit your file" if taken.unplaced else "")
    )


def recording_source(record: str) -> tuple[RecordingSource, bool]:
    """A file or a recording of the list as what plays, and whether its grid is unsure. Raises ``Trouble``.

    A file that is not in the list is analysed and added to it.
    """
    recording = _listed(_catalogue(), record)
    if recording.why is not None:
        raise Trouble(_why(record, recording))
    if not Path(recording.path).is_file():
        raise Trouble(f"{shown(recording.path or recording.name)}: the file is not there.")
    return recording.source(), not recording.usable


# --- within


def _catalogue() -> Catalogue:
    catalogue = Catalogue()
    for notice in catalogue.notices:
        complain(notice)
    return catalogue


def _found(record: str) -> tuple[Grid, Recording | None]:
    """The grid of a file or of a recording in the list; the file is not added."""
    catalogue = _catalogue()
    if not Path(record).exists():
        recording = catalogue.find(record)
        return recording.grid, recording
    known_one = catalogue.unchanged(record)
    if known_one is not None:
        return known_one.grid, known_one
    return analysis.found_of(record).grid, None


def _listed(catalogue: Catalogue, record: str) -> Recording:
    """A recording of the list; a file that is not in it is analysed and added."""
    if not Path(record).exists():
        return catalogue.find(record)
    if (recording := known(catalogue, record)) is not None:
        return recording
    return arrived(catalogue, record, analysis.found_of(record), today())


def _why(path: str, what: object) -> str:
    """Why there is no grid, with the file's name in front where the sentence has none."""
    says = what.why if isinstance(what, Recording) else what
    text = str(says)
    return text if isinstance(says, Say) and "path" in says.values else f"{shown(path)}: {text}"


def _show(queue: Queue) -> None:
    progress = queue.progress
    if sys.stderr.isatty() and progress.of > 1:
        print(f"\r{progress.done} of {progress.of}. Ctrl-C stops. ", end="", file=sys.stderr, flush=True)


def _line(recording: Recording, path: str = "") -> str:
    """A recording in one line of the list."""
    name = shown(f"{recording.artist}: {recording.name}" if recording.artist else recording.name, 60)
    id = recording.print[:ID_SHOWN]
    if recording.why is not None:
        return (
            f"{id}  {'-':>7}      {name}: {recording.why}"
            if recording.state is State.REFUSED
            else f"{id}  {'-':>7}      {recording.why}"
        )
    by = recording.confirmed_by
    how = f"confirmed by {by}" if by else "sure" if recording.grid.sure else "not sure"
    gone = "" if Path(recording.path).is_file() else "; the file is not there"
    minutes, rest = divmod(round(recording.duration_s), 60)
    return f"{id}  {recording.grid.tempo_bpm:7.2f} BPM  {minutes}:{rest:02d}  {name}; {how}{gone}"


def _plain(recording: Recording) -> dict[str, Any]:
    here = Path(recording.path).is_file()
    about = {
        "id": recording.print,
        "title": recording.title,
        "artist": recording.artist,
        "path": recording.path,
        "here": here,
        "state": recording.state.value,
        "usable": recording.usable and here,
        "added": recording.added.isoformat(),
        "grid_version": recording.grid_version,
        "duration_s": round(recording.duration_s, 3),
        "why": None if recording.why is None else str(recording.why),
    }
    grid = None if recording.why is not None else _plain_grid(recording.grid, recording.confirmed_by or None)
    return about | {"grid": grid}


def _plain_grid(grid: Grid, by: str | None) -> dict[str, object]:
    return {
        "tempo_bpm": round(grid.tempo_bpm, 4),
        "sure": grid.sure,
        "confirmed_by": by,
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
        "octave_confidence": round(grid.octave_confidence, 2),
    }


def _tell(grid: Grid, by: str | None) -> None:
    say(f"{grid.tempo_bpm:.2f} BPM, in four; bar 1 begins at {max(0.0, grid.one_s):.3f} s")
    intro = "unknown" if grid.intro_bars is None else number_of(grid.intro_bars, "bar")
    first = grid.phrase_first % grid.phrase_bars + 1
    say(f"phrases of {grid.phrase_bars} bars, one of them from bar {first}; intro: {intro}")
    say(f"beats to {grid.uncertainty_ms:.1f} ms, until {grid.steady_until_s:.1f} s of {grid.duration_s:.1f} s")
    if grid.asks_octave and not by:
        say("half or double the tempo may be what is felt: listen, and confirm it with --tempo half or double")
    sure = "sure" if grid.sure else "not sure: let a person listen to it before it is used"
    say(f"confirmed by {by}" if by else sure)
