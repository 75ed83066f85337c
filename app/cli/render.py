"""The command ``render``: a practice sound or MIDI file, with its ground truth."""

import argparse
import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

from app.cli.argument_types import Parser, drum_notes, seed_number, tempo_bpm, whole
from app.cli.output import say
from synth.base.border import shown
from synth.base.errors import Trouble
from synth.sound.kits import FAMILY_NAMES

if TYPE_CHECKING:
    from synth.base.arrays import Samples
    from synth.score.arranging.arrangement import Arrangement

RATE_HZ = 48_000
ENDINGS = (".wav", ".flac", ".mp3", ".ogg", ".mid")
BAR_WIDTH = 32
SILENCE_S = 1.0  # of the lead-in, before its bar
FIRST_WORD_S = 0.2  # before the first beat that a voice counts: a word begins before its beat
LONGEST_TAG = 200
USUAL_FORM = "intro:8,verse:16"
# Options of the sound, which a MIDI file cannot hold, and of a MIDI file that is read.
FOR_SOUND = ("lead_in", "count_for", "voice", "title", "comment")
FOR_MIDI = ("channel", "notes", "bar_1")


def render(options: argparse.Namespace) -> None:
    """Write all requested files, or none."""
    from synth.base.files import check_ending, replace_with, write_json, write_text
    from synth.midi.writing import write_midi

    ending = check_ending(options.out, ENDINGS)
    if options.count != "none" and ending == ".mid":
        raise Trouble(f"{options.out}: a MIDI file has no voice to count with; leave --count out, or write a .wav.")
    if ending == ".mid":
        _refuse(options, FOR_SOUND, "is for a sound, not for a MIDI file")
    if options.count == "none":
        _refuse(options, ("count_for",), "needs --count bars or --count letters")
        if not options.lead_in:
            _refuse(options, ("voice",), "needs --count bars, --count letters or --lead-in")
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
            write_json(truth_out, truth.to_json() | {"hits": record.hits.to_json()})
        if beats_out:
            write_text(beats_out, truth.beats_text())
    say(f"{options.out}: {_bars(record)} at {record.tempo_bpm:g} BPM, {record.count.end_s:.3f} s")


def _refuse(options: argparse.Namespace, names: Iterable[str], why: str) -> None:
    """Raise ``Trouble`` if one of these options is given."""
    for name in names:
        if getattr(options, name) not in (None, False):
            raise Trouble(f"--{name.replace('_', '-')} {why}.")


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
    import numpy as np

    from synth.midi.general_midi import is_midi
    from synth.score.arranging.arrangement import arrange
    from synth.score.grooves import groove
    from synth.score.variation import varied

    if is_midi(options.groove):
        record = _midi_record(options)
    else:
        _refuse(options, FOR_MIDI, "is for a --groove that is a MIDI file")
        found = groove(options.groove)
        if options.seed:
            found = varied(found, np.random.default_rng(options.seed))
        record = arrange(
            found,
            tempo_bpm=options.tempo or found.usual_tempo_bpm,
            form=USUAL_FORM if options.form is None else options.form,
            phrase_bars=options.phrase or 4,
            seed=options.seed,
            song=options.song,
        )
    if options.lead_in:
        return record.counted_in(SILENCE_S)
    return record if options.count == "none" else record.excerpt(0, lead_in_s=FIRST_WORD_S)


def _midi_record(options: argparse.Namespace) -> "Arrangement":
    """The drums and parts of a MIDI file, repeated to fill the form if one is given."""
    from synth.midi.reading import midi_arrangement
    from synth.midi.repeating import filled
    from synth.score.form import Form

    _refuse(options, ("song",), "is for a groove of the program: a MIDI file brings its own parts")
    form = None if options.form is None else Form.parse(options.form)
    record = midi_arrangement(
        Path(options.groove),
        options.seed,
        tempo_bpm=options.tempo,
        channel=None if options.channel is None else options.channel - 1,
        notes=options.notes,
        bar_one=options.bar_1,
        phrase_bars=options.phrase,
    )
    return record if form is None else filled(record, form, options.phrase or 4)


def _write_sound(out: Path, record: "Arrangement", options: argparse.Namespace) -> None:
    """Write block by block: memory does not grow with the duration."""
    from synth.base.files import open_sound
    from synth.sound.kit import Kit
    from synth.sound.mixdown import duration_frames, mixdown_blocks

    bar = record.count.bar_number
    said = options.count_for if options.count != "none" else 0
    beats = len(bar) if said is None else int((bar <= said).sum())
    if not options.lead_in and said == 0:
        beats = 0
    blocks = mixdown_blocks(
        record,
        Kit(options.kit_seed, RATE_HZ, family=options.kit_family),
        spoken=("bars" if options.count == "none" else options.count) if beats else None,
        spoken_beats=beats,
        language=voice_of(options) if beats else "en",
    )
    with open_sound(out, RATE_HZ, tags=_tags(record, options)) as write:
        for block in _shown(blocks, duration_frames(record, RATE_HZ)):
            write(block)


def voice_of(options: argparse.Namespace) -> str:
    """The language of the voice: as asked for, else the learner's, else the desktop's if there are words in it."""
    from app.settings import LANGUAGES, load, settings_path
    from synth.device.clock import utc_now

    if options.voice is not None:
        return str(options.voice)
    settings = load(settings_path(), utc_now()).settings
    desktop = next(filter(None, map(os.environ.get, ("LC_ALL", "LC_MESSAGES", "LANG"))), "")[:2]
    wanted = (settings.voice, settings.language, desktop)
    return next((language for language in wanted if language in LANGUAGES), "en")


def _bars(record: "Arrangement") -> str:
    bars = int(record.count.bar_number[-1])
    return f"{bars} bar{'s' * (bars != 1)}"


def _tags(record: "Arrangement", options: argparse.Namespace) -> dict[str, str]:
    """Title, with the tempo, and comment; whatever a name holds, one line without control characters."""
    count = record.count
    first_s = count.beats_s[count.bar_number > 0][0]
    title = record.groove if options.title is None else options.title
    comment = f"{_bars(record)} of {record.metre}; bar 1 begins at {first_s:.3f} s. Made with Tallybar."
    return {
        "title": f"{shown(title, LONGEST_TAG)}, {record.tempo_bpm:g} BPM",
        "comment": shown(comment if options.comment is None else options.comment, LONGEST_TAG),
    }


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
    words = commands.add_parser("render", help="make a practice sound: .wav, .flac, .mp3, .ogg or .mid")
    words.add_argument("--groove", default="four-on-the-floor", metavar="NAME|FILE.mid")
    words.add_argument("--tempo", type=tempo_bpm, metavar="BPM")
    words.add_argument("--form", metavar="NAME:BARS,...", help=f"{USUAL_FORM}; a MIDI file is repeated to fill it")
    words.add_argument("--phrase", type=int, choices=(4, 8, 16), metavar="4|8|16", help="bars of a phrase")
    words.add_argument("--count", choices=("none", "bars", "letters"), default="none", help="a voice counts along")
    words.add_argument("--count-for", type=whole(1), metavar="N", help="the voice stops after N bars")
    words.add_argument("--voice", choices=("en", "es"), help="its language; the window's if not given")
    words.add_argument("--lead-in", action="store_true", help="a counted bar first, from 1 s on")
    words.add_argument("--song", action="store_true", help="bass, chords and lead enter after the intro")
    words.add_argument("--kit-seed", type=seed_number, default=0, metavar="N", help="another drum kit")
    words.add_argument("--kit-family", choices=FAMILY_NAMES, metavar="FAMILY", help=" or ".join(FAMILY_NAMES))
    words.add_argument(
        "--seed", type=seed_number, default=0, metavar="N", help="another performance: 0 plays the groove as written"
    )
    words.add_argument("--title", metavar="TEXT", help="title of the file; the tempo is added")
    words.add_argument("--comment", metavar="TEXT", help="comment of the file")
    words.add_argument("--channel", type=whole(1, 16), metavar="1-16", help="the channel of FILE.mid with the drums")
    words.add_argument(
        "--notes", type=drum_notes, metavar="NOTE=DRUM,...", help="drums of its notes: 60=kick,62=none"
    )
    words.add_argument("--bar-1", type=whole(1), metavar="BEAT", help="its beat on which bar 1 begins, from 1")
    words.add_argument("--truth", type=Path, metavar="FILE.json", help="also write the truth of the sound")
    words.add_argument("--beats", type=Path, metavar="FILE.txt", help="also write a line a beat: seconds, bar.beat")
    words.add_argument("out", type=Path, metavar="OUT")
