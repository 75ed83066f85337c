"""The commands ``records count`` and ``records intro``: sounds that a tutor makes of a record, as files."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from app.cli.argument_types import Parser, whole
from app.cli.output import complain, number_of, say
from synth.base.border import shown
from synth.base.errors import Trouble

if TYPE_CHECKING:
    from synth.score.arranging.arrangement import Arrangement

OWN_USE = "It is for your own use, as the record is."


def add_record_sounds(kinds: "argparse._SubParsersAction[Parser]") -> None:
    """Options of both commands."""
    from synth.recording.teaching import INTRO_GROOVE, INTROS

    count = kinds.add_parser("count", help="write a record, or some bars of it, with the count spoken over it")
    count.add_argument("record", metavar="FILE|ID")
    count.add_argument("out", type=Path, metavar="OUT", help="a .wav, .flac, .mp3 or .ogg")
    count.add_argument("--from", dest="first", type=whole(1), default=1, metavar="BAR", help="the first bar; 1")
    count.add_argument("--bars", type=whole(1), metavar="N", help="so many bars; to the end")
    count.add_argument("--way", choices=("bars", "letters"), help="1 2 3 4 or 1 A B C; the settings' way")
    count.add_argument("--voice", choices=("en", "es"), help="its language; the window's if not given")
    intro = kinds.add_parser("intro", help="write a record with a drum intro in front, at its tempo and on its beats")
    intro.add_argument("record", metavar="FILE|ID")
    intro.add_argument("out", type=Path, metavar="OUT", help="a .wav, .flac, .mp3 or .ogg")
    intro.add_argument("--bars", type=int, choices=INTROS, default=8, help="of the intro; 8")
    intro.add_argument("--from", dest="first", type=whole(1), default=1, metavar="BAR", help="the record's first bar")
    intro.add_argument("--groove", default=INTRO_GROOVE, metavar="NAME")
    intro.add_argument("--seed", type=whole(0), default=0, metavar="N", help="another performance of the drums")


def write_record_sound(options: argparse.Namespace) -> None:
    """Write the sound of a record that is counted. Raises ``Trouble``; then nothing is written."""
    from app.cli.record_commands import recording_source
    from app.practice.records.written import ENDINGS, LONGEST_S
    from synth.base.files import check_ending, same
    from synth.recording.teaching import part_of, with_intro

    check_ending(options.out, ENDINGS)
    source, unsure = recording_source(options.record)
    if same(options.out, Path(source.sound.path)):
        raise Trouble(f"{shown(options.out)}: this would replace the record itself.")
    spoken, language = None, "en"
    if options.kind == "count":
        sound = part_of(source, options.first, options.bars)
        spoken, language = _way(options)
    else:
        sound = with_intro(source, options.bars, options.groove, seed=options.seed, first_bar=options.first)
    if sound.duration_s > LONGEST_S:
        raise Trouble(
            f"{shown(source.sound.title)}: longer than {LONGEST_S / 60:g} minutes. Say which bars: --from, --bars."
        )
    _write(options.out, sound, source.sound.title, spoken, language)
    bars = number_of(len(sound.count.ones_s), "bar")
    if unsure:
        complain(f"{shown(source.sound.title)}: its count is not sure. Listen whether the one is right.")
    say(f"{options.out}: {bars} at {sound.tempo_bpm:.2f} BPM, {sound.duration_s:.1f} s. {OWN_USE}")


def _way(options: argparse.Namespace) -> tuple[str, str]:
    from app.cli.render import voice_of
    from app.settings import load, settings_path
    from synth.device.clock import utc_now

    return options.way or load(settings_path(), utc_now()).settings.way, voice_of(options)


def _write(out: Path, sound: "Arrangement", title: str, spoken: str | None, language: str) -> None:
    from app.practice.records.written import RATE_HZ, write_layers
    from synth.sound.kit import Kit
    from synth.sound.mixdown import Layer

    layers = [Layer(sound, Kit(0, RATE_HZ), spoken=spoken, language=language)]
    write_layers(out, layers, f"{title}, {sound.tempo_bpm:.2f} BPM")
