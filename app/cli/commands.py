"""The command line. Commands import what they need when they run, so that the window starts fast."""

import argparse
import errno
import os
import sys
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from app.cli.argument_types import Parser, seed_number, tempo_bpm
from app.cli.output import complain, prepare_output, say, say_json
from app.ctrl_c import act, note, put_back
from synth.base.border import shown
from synth.base.errors import Trouble, near
from synth.base.folders import HOME_VARIABLE, data_folder

if TYPE_CHECKING:
    from synth.recording.source import RecordingSource

EXIT_TROUBLE = 2
# errno of standard output on a full disk or a broken device (POSIX.1-2017, write).
NOT_WRITTEN = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)
WORDS = ("demo", "drills", "grooves", "render", "trial", "mark", "check", "plan", "logbook", "report", "records")


def parser() -> argparse.ArgumentParser:
    """The parser of all commands."""
    top = Parser(
        prog="tallybar",
        description="Ear training for counting beats, bars and phrases. Without a command it opens the window.",
        epilog=f"Logbook and own grooves are in {data_folder()}; the variable {HOME_VARIABLE} names another folder.",
    )
    top.add_argument("--version", action="store_true", help="say which version this is")
    top.add_argument(
        "--install-desktop-entry",
        action="store_true",
        help="put the program among the desktop's programs, with its icon",
    )
    _add_choice(top)
    commands = top.add_subparsers(dest="command", metavar="COMMAND", parser_class=Parser)

    demo = commands.add_parser("demo", help="a short practice by a simulated learner, without screen or speaker")
    demo.add_argument("--out", type=Path, default=Path("tallybar-demo"), metavar="DIR")
    demo.add_argument("--seed", type=seed_number, default=1)
    demo.add_argument("--weeks", type=int, metavar="N", help="instead: a logbook of N invented weeks")
    demo.add_argument("--pictures", type=Path, metavar="DIR", help="instead: every screen in every look, as PNG")
    demo.add_argument("--every-trial", action="store_true", help="with --weeks: keep and tell each trial by itself")

    for name, words in (("drills", "the drills there are"), ("grooves", "the grooves there are")):
        listing = commands.add_parser(name, help=words)
        listing.add_argument("--json", action="store_true")

    from app.cli.render import add_render

    add_render(commands)

    trial = commands.add_parser("trial", help="make one trial as files: sound and trial.json")
    trial.add_argument("drill", metavar="DRILL|TRIAL.json", help="a trial.json is made into sound again")
    trial.add_argument("--rung", type=int, help="1 if left out")
    trial.add_argument("--seed", type=seed_number, help="0 if left out")
    trial.add_argument("--tempo", type=tempo_bpm, metavar="BPM")
    trial.add_argument("--groove", metavar="NAME")
    trial.add_argument("--kit-family", metavar="FAMILY", help="the kind of drum kit, for instance machine")
    trial.add_argument("--record", metavar="FILE|ID", help="one of your own audio files, in place of own drums")
    trial.add_argument("--out", type=Path, required=True, metavar="DIR")

    about_mark = "mark an answer: taps, seconds from the start of the sound, one a line; or what was asked"
    mark = commands.add_parser("mark", help=about_mark, description=about_mark)
    mark.add_argument("trial", type=Path, metavar="TRIAL.json")
    mark.add_argument(
        "answer",
        metavar="ANSWER",
        help="a file with the taps; for feel and tempo, with the taps and a line 'answer: VALUE'; for drills that are"
        " answered without taps a file with the answer, or the answer itself: a place in the count such as 3.2, a"
        " number, one of the choices by its key, by its number on the screen, or in its words; or 'lost',"
        " whatever was asked, where the count was lost",
    )
    mark.add_argument("--json", action="store_true")

    check = commands.add_parser("check", help="what this computer's sound and timing are good for")
    check.add_argument("--json", action="store_true")

    planned = commands.add_parser("plan", help="today's plan, and which drills are in every plan or in none")
    planned.add_argument("--learner", metavar="NAME")
    for word, about in (
        ("always", "have it in every day's plan"),
        ("never", "leave it out of every plan"),
        ("usual", "have it in the plan when it is due"),
    ):
        planned.add_argument(f"--{word}", action="append", default=[], metavar="DRILL", help=about)
    planned.add_argument("--json", action="store_true")

    from app.cli.logbook_commands import add_logbook

    add_logbook(commands, Parser)

    from app.cli.records import add_records

    add_records(commands, Parser)

    report = commands.add_parser("report", help="one page about a learner for the tutor, as PDF")
    report.add_argument("--learner", metavar="NAME")
    report.add_argument("--file", type=Path, metavar="LOGBOOK", help="another logbook than your own")
    report.add_argument("out", type=Path, metavar="OUT.pdf")
    return top


def _add_choice(to: argparse.ArgumentParser) -> None:
    """Options of the window: the trial to open with."""
    to.add_argument("--drill", metavar="DRILL", help="open the window with this drill chosen")
    to.add_argument("--rung", type=int, metavar="N", help="a rung, instead of the one that fits the learner")
    to.add_argument("--tempo", type=tempo_bpm, metavar="BPM")
    to.add_argument("--groove", metavar="NAME")
    to.add_argument("--kit-family", metavar="FAMILY", help="the kind of drum kit, for instance machine")
    to.add_argument("--seed", type=seed_number, metavar="N", help="make every trial from this seed")


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; exit status 0, or 2 with one line on standard error."""
    prepare_output()
    before = note()
    try:
        return _main(argv)
    finally:
        put_back(before)


def _main(argv: Sequence[str] | None) -> int:
    try:
        try:
            return _run(list(sys.argv[1:] if argv is None else argv))
        except Trouble as trouble:
            complain(trouble)
            return EXIT_TROUBLE
        finally:
            # Flush here, where a closed pipe can be handled: at exit Python would complain.
            print(end="", flush=True)
    except BrokenPipeError:
        # The reader closed the pipe (``tallybar drills | head``).
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except OSError as slip:
        if slip.filename is not None:  # a name that is too long, a folder without rights
            complain(f"{shown(slip.filename)}: {slip.strerror}")
            return EXIT_TROUBLE
        if slip.errno not in NOT_WRITTEN:
            raise
        # A full disk, most likely. Discard pending output, which would fail again at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        with suppress(OSError):  # if standard error is full, too, only the status reports it
            complain(f"the output cannot be written ({slip.strerror})")
        return EXIT_TROUBLE
    except KeyboardInterrupt:
        return 130


def _run(words: list[str]) -> int:
    if not words:  # the window at once: it needs none of what follows, which takes a fifth of a second
        from app.ui.start import open_window

        return open_window({})
    if not words[0].startswith("-") and words[0] not in WORDS:
        raise Trouble(f"{words[0]!r} is no command.{near(words[0], WORDS)} Known: {', '.join(WORDS)}.")
    from app.cli.logbook_commands import in_new_words

    options = parser().parse_args(in_new_words(words))
    if options.version:
        from app import version

        print(f"tallybar {version()}")
        return 0
    if options.install_desktop_entry:
        from app.cli.desktop import install

        say("\n".join(install()))
        return 0
    if options.command:
        act()  # the window does so in its own time
    run: Callable[[argparse.Namespace], int | None] = globals()[f"_{options.command or 'window'}"]
    return run(options) or 0


def _window(options: argparse.Namespace) -> int:
    # Report wrong arguments first: there may be no screen either.
    if options.drill is not None:
        from exercises.drills import drill
        from exercises.forms.rungs import pick_rung

        found = drill(options.drill)
        if options.rung is not None:
            pick_rung(found.rungs, options.rung, found.id)
    if options.groove is not None:
        from synth.score.grooves import groove

        groove(options.groove)
    if options.kit_family is not None:
        from synth.sound.kits import check_family

        check_family(options.kit_family)
    from app.ui.start import open_window

    named = {
        "drill": options.drill,
        "rung": options.rung,
        "tempo_bpm": options.tempo,
        "groove": options.groove,
        "seed": options.seed,
        "kit_family": options.kit_family,
    }
    return open_window({field: value for field, value in named.items() if value is not None})


def _demo(options: argparse.Namespace) -> None:
    from app.demo.demo import demo, invented_weeks

    lines: Iterable[object]
    if options.pictures is not None:
        from app.demo.pictures import pictures

        lines = pictures(options.pictures)
    elif options.weeks is not None:
        lines = invented_weeks(options.out, options.weeks, options.seed, options.every_trial)
    else:
        lines = demo(options.out, options.seed)
    for line in lines:
        say(line)


def _check(options: argparse.Namespace) -> int:
    from app.inputs.check import run

    return run(options.json)


def _plan(options: argparse.Namespace) -> None:
    from app.cli.plan import plan_command

    plan_command(options)


def _logbook(options: argparse.Namespace) -> None:
    from app.cli.logbook_commands import run_logbook

    run_logbook(options)


def _records(options: argparse.Namespace) -> int:
    from app.cli.records import run_records

    return run_records(options)


def _report(options: argparse.Namespace) -> None:
    from app.ui.logbook.report import report_command

    report_command(options.file, options.learner, options.out)
    say(options.out)


def _drills(options: argparse.Namespace) -> None:
    from exercises.drills import drills

    rows = [
        {
            "id": drill.id,
            "title": str(drill.title()),
            "asks": str(drill.asks()),
            "records": drill.records,
            "rungs": [{"rung": number, "new": str(row.new)} for number, row in enumerate(drill.rungs, 1)],
        }
        for drill in drills().values()
    ]
    _list(rows, options.json, "{id:<14} {title:<24} {asks}")
    if not options.json:
        say("")
        for drill in drills().values():
            if not drill.records:
                say(drill.not_on_records(drill=drill.title()))


def _grooves(options: argparse.Namespace) -> int:
    from synth.score.grooves import grooves, strays

    broken: list[Trouble] = []
    rows = [
        {
            "name": groove.name,
            "title": groove.title,
            "family": groove.family,
            "metre": str(groove.metre),
            "tempo_bpm": list(groove.tempo_range_bpm),
        }
        for groove in grooves(broken=broken).values()
    ]
    for trouble in broken:
        complain(trouble)
    for path in strays():
        complain(f"{path} is not read: a groove's file ends with .groove")
    _list(rows, options.json, "{name:<22} {metre:<5} {tempo_bpm[0]:g}-{tempo_bpm[1]:g} BPM   {family}")
    return EXIT_TROUBLE if broken else 0


def _list(rows: list[dict[str, Any]], as_json: bool, line: str) -> None:
    if as_json:
        say_json(rows)
    else:
        for row in rows:
            say(line.format(**row))


def _render(options: argparse.Namespace) -> None:
    from app.cli.render import render

    render(options)


def _trial(options: argparse.Namespace) -> None:
    from app.cli.trial_files import write_trial
    from exercises.drills import drill
    from exercises.trial.kept.trial_file import read_trial

    chosen = (options.rung, options.seed, options.tempo, options.groove, options.kit_family, options.record)
    if not options.drill.endswith(".json"):
        rung, seed = (usual if given is None else given for given, usual in zip(chosen[:2], (1, 0), strict=True))
        made = drill(options.drill).make(
            rung,
            seed,
            tempo_bpm=options.tempo,
            groove=options.groove,
            kit_family=options.kit_family,
            recording=None if options.record is None else _record_of(options),
        )
    elif chosen != (None,) * 6:
        raise Trouble(
            f"{options.drill}: --rung, --seed, --tempo, --groove, --kit-family and --record go with a drill,"
            " not with a file."
        )
    else:
        made = read_trial(options.drill)
    write_trial(options.out, made)


def _record_of(options: argparse.Namespace) -> "RecordingSource":
    """The record that a trial is made of. ``Trouble`` where its grid is unsure, or with what it does not have."""
    from app.cli.record_commands import recording_source

    for name in ("tempo", "groove", "kit_family"):
        if getattr(options, name) is not None:
            raise Trouble(f"--{name.replace('_', '-')} does not go with --record: a record brings its own.")
    source, unsure = recording_source(options.record)
    if unsure:
        raise Trouble(
            f"{options.record}: its count is not sure. Listen to it and confirm it first: tallybar records confirm"
        )
    return source


def _mark(options: argparse.Namespace) -> None:
    from exercises.drills import drill_of
    from exercises.trial.answers import answer_of
    from exercises.trial.kept.trial_file import read_trial

    trial = read_trial(options.trial)
    try:
        drill = drill_of(trial)
    except Trouble as slip:
        raise Trouble(f"{options.trial}: {slip}") from slip
    try:
        result = drill.mark(trial, answer_of(options.answer, trial))
    except (LookupError, ArithmeticError) as slip:  # another version's, or nobody's
        raise Trouble(f"{options.trial}: {drill.id} cannot mark this trial.") from slip
    if options.json:
        say_json(result.to_json())
        return
    say(str(result))
    marks = result.taps
    if marks is not None:
        print(f"{marks.hits} of {marks.targets} met, {marks.missed} missed, {marks.extra} extra")
        if marks.bias_ms is not None and marks.spread_ms is not None and marks.bias_ci95_ms is not None:
            low, high = marks.bias_ci95_ms
            print(
                f"bias {marks.bias_ms:+z.1f} ms (95 %: {low:+z.1f} to {high:+z.1f}), "
                f"spread {marks.spread_ms:.1f} ms; minus is early, plus is late"
            )
