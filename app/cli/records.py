"""The command ``records``: a learner's own audio files."""

import argparse
from pathlib import Path

from app.cli.argument_types import Parser, whole
from synth.base.errors import Trouble

# What would replace a file of the learner.
OUTPUTS = ("beats_out", "jams_out")


def add_records(commands: "argparse._SubParsersAction[Parser]", parser: type[Parser]) -> None:
    """Options of ``records``."""
    records = commands.add_parser("records", help="your own audio files: a list of them, and their grids")
    records.add_argument("--json", action="store_true", help="the list as JSON")
    kinds = records.add_subparsers(dest="kind", metavar="KIND", parser_class=parser)

    add = kinds.add_parser("add", help="find the grids of audio files and keep them in the list")
    add.add_argument("paths", type=Path, nargs="+", metavar="FILE|FOLDER|PLAYLIST")

    grid = kinds.add_parser("grid", help="tempo, beats, ones, phrases and intro of an audio file")
    grid.add_argument("record", metavar="FILE|ID")
    grid.add_argument("--beats", dest="beats_out", type=Path, metavar="OUT", help="write a line a beat")
    grid.add_argument("--jams", dest="jams_out", type=Path, metavar="OUT", help="write beats and phrases as JAMS")
    grid.add_argument("--json", action="store_true")

    confirm = kinds.add_parser("confirm", help="set right what is wrong in a grid, and confirm it by ear")
    confirm.add_argument("record", metavar="FILE|ID")
    confirm.add_argument("--by", choices=("learner", "tutor"), default="learner", help="who has listened")
    confirm.add_argument(
        "--beats", type=Path, metavar="FILE", help="the beats: seconds, a tab, bar.beat, a line a beat"
    )
    confirm.add_argument("--jams", type=Path, metavar="FILE", help="beats and phrases as JAMS")
    confirm.add_argument("--tempo", choices=("half", "double"), help="the tempo is half or twice what was found")
    confirm.add_argument("--one", type=seconds, action="append", metavar="S", help="a one is at S seconds")
    confirm.add_argument("--phrase", type=whole(1), metavar="BAR", help="a phrase begins with this bar")
    confirm.add_argument("--phrase-bars", type=int, choices=(4, 8, 16), metavar="4|8|16", help="bars of a phrase")
    confirm.add_argument("--intro", type=whole(0), metavar="BARS", help="bars of the intro")

    from app.cli.record_sounds import add_record_sounds

    add_record_sounds(kinds)

    forget = kinds.add_parser("forget", help="take a record out of the list; its file stays where it is")
    forget.add_argument("record", metavar="FILE|ID")

    out = kinds.add_parser("export-grids", help="write all confirmed grids, without the music")
    out.add_argument("file", type=Path, metavar="OUT")
    into = kinds.add_parser("import-grids", help="take in grids that somebody else has confirmed")
    into.add_argument("file", type=Path, metavar="FILE")


def seconds(text: str) -> float:
    """Parse a time within a recording in s."""
    from synth.catalogue.entry import LONGEST_S

    try:
        at_s = float(text)
    except ValueError:
        at_s = -1.0
    if not 0 <= at_s <= LONGEST_S:
        raise argparse.ArgumentTypeError(f"{text!r}: seconds from the start of the sound expected, such as 12.5")
    return at_s


def run_records(options: argparse.Namespace) -> int:
    """Run one of the commands. Raises ``Trouble``, also where a grid is refused."""
    from app.cli import record_commands as commands
    from app.cli.record_sounds import write_record_sound

    if options.kind is None:
        commands.list_all(options.json)
        return 0
    if options.kind == "add":
        return commands.add(options.paths)
    _check_outputs(options)
    runs = {
        "grid": commands.grid,
        "confirm": commands.confirm,
        "forget": commands.forget,
        "count": write_record_sound,
        "intro": write_record_sound,
        "export-grids": commands.export_grids,
        "import-grids": commands.import_grids,
    }
    runs[options.kind](options)
    return 0


def _check_outputs(options: argparse.Namespace) -> None:
    """``Trouble`` where an output would replace the sound, another record of the list, or the other output."""
    from synth.base.border import shown
    from synth.base.files import same
    from synth.catalogue.catalogue import Catalogue

    given = [path for name in OUTPUTS if (path := getattr(options, name, None)) is not None]
    into = getattr(options, "out", None) or (options.file if options.kind == "export-grids" else None)
    there = [path for path in (*given, into) if path is not None and path.exists()]
    catalogue = Catalogue() if there else None
    for path in there:
        if catalogue is not None and catalogue.lists(path):
            raise Trouble(f"{shown(path)}: this would replace the sound of a record of yours.")
    for path in given:
        if same(path, options.record) or (
            path.exists() and Path(options.record).exists() and path.samefile(options.record)
        ):
            raise Trouble(f"{shown(path)}: this would replace the sound itself.")
    if len(given) == 2 and same(*given):
        raise Trouble(f"{shown(given[0])}: --beats and --jams must be different files.")
