"""Steady songs with exact truth for the benchmark `records`: our own, by our kits or a sound font, General MIDI songs
arranged for it (`arranged.py`), and others.

The others are those of Debian packages, read where they are installed, or under the folder that
``TALLYBAR_SONGS`` names, and used for nothing else: openttd-openmsx 0.4 (GPL-2) and freedoom 0.12 (BSD-3-clause,
its songs are lumps of its .wad files). Only those with one tempo, drums, notes on its grid and no other metre than
four are taken; where none is stated, the ones are not known. FluidSynth plays them, with pretty_midi's sound font
(GPL-2).

A song belongs to the part for tuning or to the part that counts by a hash of its name.
"""

import io
import os
import struct
import warnings
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from synth.base.arrays import Samples, Seconds
from tests.recordings.arranged import arranged
from tests.recordings.styles import STYLES

ROOT = Path(os.environ.get("TALLYBAR_SONGS", "/"))
MIDI_FOLDER = ROOT / "usr/share/games/openttd/baseset/openmsx"
WAD_FOLDER = ROOT / "usr/share/games/doom"
LONGEST_S, SHORTEST_S, FEWEST_DRUMS = 120.0, 40.0, 100
ON_GRID = 0.8
FORMS = (
    "intro:8,verse:16,break:8,drop:16",
    "intro:16,verse:16,drop:24",
    "intro:4,verse:8,chorus:8,verse:8,chorus:16,outro:4",
    "intro:8,verse:16,build:8,drop:16,outro:8",
    "verse:16,break:4,verse:16,break:4,drop:8",
)
RATES = (44_100, 48_000, 32_000, 22_050)
FORMATS = (".flac", ".mp3", ".ogg", ".wav")


@dataclass(frozen=True, slots=True)
class Truth:
    """What is known of a song, times in s; None is not known. ``late_s``: how far behind the beat its drums are."""

    tempo_bpm: float
    beats_s: Seconds
    ones_s: Seconds | None
    phrases_s: Seconds | None = None
    intro_bars: int | None = None
    late_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Song:
    """A song: ``make()`` gives samples (n,) or (n, 2), their rate and the truth."""

    name: str
    kind: str
    ending: str
    make: Callable[[], tuple[Samples, int, Truth]]

    @property
    def tuning(self) -> bool:
        """Whether it belongs to the part for tuning, which is never counted."""
        return for_tuning(self.name)


def for_tuning(name: str) -> bool:
    """Whether the song of a name belongs to the part for tuning."""
    return zlib.crc32(name.encode()) % 2 == 0


def own_songs(number: int, kind: str = "own") -> Iterator[Song]:
    """Songs of our own grooves in four, with drawn tempo, kit, form and format; ``kind`` "font" lets a font play."""
    from synth.score.grooves import grooves

    names = [name for name, each in sorted(grooves().items()) if str(each.metre) == "4/4"]
    for seed in range(number):
        rng = np.random.default_rng([18, seed, len(kind)])
        name = names[(seed * 7 + len(kind)) % len(names)]
        low, high = grooves()[name].tempo_range_bpm
        tempo = round(float(rng.uniform(low, high)), int(rng.integers(0, 3)))
        form, rate = FORMS[int(rng.integers(len(FORMS)))], int(RATES[int(rng.integers(4))])
        form_rate = (form, rate if kind == "own" else 44_100)
        yield Song(
            f"{kind}-{seed}-{name}-{tempo:g}",
            kind,
            FORMATS[int(rng.integers(4))],
            lambda name=name, tempo=tempo, seed=seed, form_rate=form_rate: _own(name, tempo, seed, *form_rate, kind),
        )


def _own(name: str, tempo: float, seed: int, form: str, rate: int, kind: str) -> tuple[Samples, int, Truth]:
    from synth.midi.writing import midi_bytes
    from synth.score.arranging.arrangement import arrange
    from synth.score.grooves import groove
    from synth.sound.kit import Kit
    from synth.sound.mixdown import mixdown

    record = arrange(
        groove(name, []), tempo_bpm=tempo, form=form, phrase_bars=8 if seed % 3 else 4, seed=seed, song=True
    )
    count = record.count
    hits = record.hits.only("kick", "snare", "clap")
    on_beat = np.abs(count.beats_s[:, None] - hits.grid_s).min(axis=0) < 1e-6
    late_s = float(np.median((hits.onset_s - hits.grid_s)[on_beat]))
    truth = Truth(tempo, count.beats_s, count.ones_s, count.phrase_starts_s, record.intro_bars, late_s)
    if kind == "own":
        return mixdown(record, Kit(seed, rate)), rate, truth
    return played(midi_bytes(record)), 44_100, truth


def played(data: bytes) -> Samples:
    """A MIDI file played by FluidSynth, (n,) at 44 100 Hz."""
    import pretty_midi

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        song = pretty_midi.PrettyMIDI(io.BytesIO(data))
        for each in song.instruments:
            each.notes = [note for note in each.notes if note.start < LONGEST_S]
        return np.asarray(song.fluidsynth(fs=44_100), np.float32)


def midi_songs(tuning: bool) -> Iterator[Song]:
    """The General MIDI songs that are there, of either part."""
    files = {path.stem: path.read_bytes() for path in sorted(MIDI_FOLDER.glob("*.mid"))}
    for path in sorted(WAD_FOLDER.glob("*.wad")):
        files |= {f"{path.stem}-{name}": data for name, data in _lumps(path) if data not in files.values()}
    for name, data in files.items():
        if for_tuning(name) == tuning and (song := _midi_song(name, data)) is not None:
            yield song


def _lumps(path: Path) -> Iterator[tuple[str, bytes]]:
    """MIDI files within a .wad: a directory of offset, size and name stands at the place that its head names."""
    whole = path.read_bytes()
    _, number, at = struct.unpack("<4sii", whole[:12])
    for start, size, name in struct.iter_unpack("<ii8s", whole[at : at + 16 * number]):
        if whole[start : start + 4] == b"MThd":
            yield name.rstrip(b"\0").decode(), whole[start : start + size]


def _midi_song(name: str, data: bytes) -> Song | None:
    import mido

    file = mido.MidiFile(file=io.BytesIO(data))
    tempos, metres, drums, ticks = set(), set(), 0, []
    for track in file.tracks:
        tick = 0
        for message in track:
            tick += message.time
            if message.type == "set_tempo":
                # pretty_midi, which plays them, reads tempos of the first track alone
                tempos.add(message.tempo if track is file.tracks[0] else None)
            elif message.type == "time_signature":
                metres.add((message.numerator, message.denominator))
            elif message.type == "note_on" and message.velocity:
                drums += message.channel == 9
                ticks.append(tick)
    if len(tempos) != 1 or None in tempos or metres - {(4, 4)} or drums < FEWEST_DRUMS or file.length < SHORTEST_S:
        return None
    # Notes within a fiftieth of a beat of the sixteenths or the triplets of the stated beat.
    beats = np.array(ticks)[:, None] / file.ticks_per_beat * np.array([3, 4])
    if np.mean((np.abs(beats - np.rint(beats)) / [3, 4]).min(axis=1) < 0.02) < ON_GRID:
        return None  # written without heed of its own tempo
    beat_s = tempos.pop() / 1e6

    def make() -> tuple[Samples, int, Truth]:
        beats_s = np.arange(int(file.length / beat_s)) * beat_s
        return played(data), 44_100, Truth(60 / beat_s, beats_s, beats_s[::4] if metres else None)

    return Song(name, "midi", FORMATS[zlib.crc32(data) % 4], make)


def arranged_songs(number: int) -> Iterator[Song]:
    """Songs arranged in General MIDI, the styles by turns, with a drawn format."""
    names = sorted(STYLES)
    for seed in range(number):
        name = names[seed % len(names)]
        ending = FORMATS[int(np.random.default_rng([19, seed]).integers(4))]
        yield Song(f"arranged-{seed}-{name}", "arranged", ending, lambda name=name, seed=seed: _arranged(name, seed))


def _arranged(name: str, seed: int) -> tuple[Samples, int, Truth]:
    song = arranged(name, seed)
    truth = Truth(song.tempo_bpm, song.beats_s, song.ones_s, song.phrases_s, song.intro_bars)
    return np.asarray(song.midi.fluidsynth(fs=44_100), np.float32), 44_100, truth


def songs(own: int, font: int, general: int, *, tuning: bool) -> list[Song]:
    """Either part of them."""
    made = [*own_songs(own), *own_songs(font, "font"), *arranged_songs(general)]
    return [*(song for song in made if song.tuning == tuning), *midi_songs(tuning)]


def write(song: Song, folder: Path) -> tuple[Path, Truth]:
    """The song as a file in its format."""
    import soundfile

    samples, rate, truth = song.make()
    path = folder / f"song{song.ending}"
    more: dict[str, Any] = {".mp3": {"format": "MP3"}, ".ogg": {"format": "OGG", "subtype": "VORBIS"}}.get(
        song.ending, {}
    )
    with soundfile.SoundFile(path, "w", rate, 1 if samples.ndim == 1 else samples.shape[1], **more) as sound:
        for start in range(0, len(samples), rate):
            sound.write(samples[start : start + rate])
    return path, truth
