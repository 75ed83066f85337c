"""The command ``render``: a practice record as a sound or MIDI file, with its ground truth."""

import argparse
import os
import sys
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

from app.cli.arguments import Parser, seed_number, tempo_bpm
from app.cli.output import say
from synth.base.errors import Trouble

if TYPE_CHECKING:
    from synth.base.arrays import Samples
    from synth.score.arrangement import Arrangement

RATE_HZ = 48_000
ENDINGS = (".wav", ".flac", ".mid")
BAR_WIDTH = 32


def render(options: argparse.Namespace) -> None:
    """Write all requested files, or none."""
    from synth.base.files import check_ending, replace_with, write_json, write_text
    from synth.midi.writing import write_midi

    ending = check_ending(options.out, ENDINGS)
    if options.count != "none" and ending == ".mid":
        raise Trouble(f"{options.out}: a MIDI file has no voice to count with; leave --count out, or write a .wav.")
    _check_apart(options.out, options.truth, options.beats)
    record = _record(options)
    truth = record.truth(RATE_HZ)
    with ExitStack() as together:
        out = together.enter_context(replace_with(options.out))
        truth_out, beats_out = (
            together.enter_context(replace_with(path)) if path else None for path in (options.truth, options.beats)
        )
        if ending == ".mid":
            write_midi(out, record)
        else:
            _write_sound(out, record, options)
        if truth_out:
            write_json(truth_out, truth.to_json())
        if beats_out:
            write_text(beats_out, truth.beats_text())
    bars = int(record.count.bar_number[-1])
    say(f"{options.out}: {bars} bars at {record.tempo_bpm:g} BPM, {record.count.end_s:.3f} s")


def _check_apart(*paths: Path | None) -> None:
    """Raise ``Trouble`` if two paths are the same file."""
    seen: set[str] = set()
    for path in filter(None, paths):
        goal = os.path.realpath(path)
        if goal in seen:
            raise Trouble(f"{path}: OUT, --truth and --beats must be different files.")
        seen.add(goal)


def _record(options: argparse.Namespace) -> "Arrangement":
    """The arrangement, from a groove or a MIDI file."""
    from synth.midi.general_midi import is_midi
    from synth.midi.reading import midi_arrangement
    from synth.score.arrangement import arrange
    from synth.score.grooves import groove

    if is_midi(options.groove):
        return midi_arrangement(Path(options.groove), seed=options.seed, tempo_bpm=options.tempo)
    found = groove(options.groove)
    tempo_bpm = options.tempo or found.usual_tempo_bpm
    return arrange(
        found,
        tempo_bpm=tempo_bpm,
        form=options.form,
        phrase_bars=options.phrase,
        seed=options.seed,
        song=options.song,
    )


def _write_sound(out: Path, record: "Arrangement", options: argparse.Namespace) -> None:
    """Write block by block: memory does not grow with the duration."""
    from synth.base.files import open_sound
    from synth.sound.kit import Kit
    from synth.sound.mixdown import duration_frames, mixdown_blocks

    spoken = None if options.count == "none" else options.count
    blocks = mixdown_blocks(record, Kit(options.kit_seed, RATE_HZ), spoken=spoken)
    with open_sound(out, RATE_HZ) as sound:
        for block in _shown(blocks, duration_frames(record, RATE_HZ)):
            sound.write(block)


def _shown(blocks: "Iterator[Samples]", frames: int) -> "Iterator[Samples]":
    """The same blocks with a progress bar on the terminal; Ctrl-C stops and leaves nothing behind."""
    shown = sys.stderr.isatty()
    done = 0
    try:
        for block in blocks:
            yield block
            done += len(block)
            if shown:
                part = min(1.0, done / max(1, frames))
                filled = "#" * round(part * BAR_WIDTH)
                print(f"\r[{filled:<{BAR_WIDTH}}] {part:4.0%}  Ctrl-C cancels", end="", file=sys.stderr, flush=True)
    finally:
        if shown:
            print(f"\r{'':<{BAR_WIDTH + 24}}\r", end="", file=sys.stderr, flush=True)


def add_render(commands: "argparse._SubParsersAction[Parser]") -> None:
    """Options of ``render``."""
    words = commands.add_parser("render", help="make a practice record: .wav, .flac or .mid")
    words.add_argument("--groove", default="four-on-the-floor", metavar="NAME|FILE.mid")
    words.add_argument("--tempo", type=tempo_bpm, metavar="BPM")
    words.add_argument("--form", default="intro:8,verse:16", metavar="NAME:BARS,...")
    words.add_argument("--phrase", type=int, choices=(4, 8, 16), default=4, metavar="4|8|16")
    words.add_argument("--count", choices=("none", "bars", "letters"), default="none", help="a voice counts along")
    words.add_argument("--song", action="store_true", help="bass, chords and lead enter after the intro")
    words.add_argument("--kit-seed", type=seed_number, default=0, metavar="N", help="another drum kit")
    words.add_argument("--seed", type=seed_number, default=0, metavar="N", help="other fills and turns")
    words.add_argument("--truth", type=Path, metavar="FILE.json", help="also write the truth of the record")
    words.add_argument("--beats", type=Path, metavar="FILE.txt", help="also write a line a beat: seconds, bar.beat")
    words.add_argument("out", type=Path, metavar="OUT")
