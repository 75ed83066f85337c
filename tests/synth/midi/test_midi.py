"""MIDI in and out, against the standard's bytes and files that this project did not write."""

import contextlib
import io
import os
import struct
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import mido
import numpy as np
import pretty_midi
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from synth.base.errors import Trouble
from synth.midi.general_midi import DRUM_OF_NOTE, GM_DRUMS, is_midi
from synth.midi.reading import midi_arrangement
from synth.midi.writing import midi_bytes, write_midi
from synth.score.arranging.arrangement import arrange
from synth.score.grooves import grooves
from synth.score.hits import DRUMS, PITCHED, SWEEPS

pytestmark = pytest.mark.sampled(3)

GROOVES = grooves()
DATA = Path(__file__).parents[2] / "data"


written = midi_bytes


def foreign(tmp_path: Path, *, kind: int = 1, channel: int = 9, name: str = "Drums") -> Path:
    """A file made with mido alone: 2 bars of 4/4 at 120, a bar of 3/4, 1 bar of 4/4 at 90."""
    meta = [
        (0, mido.MetaMessage("set_tempo", tempo=500_000)),
        (0, mido.MetaMessage("time_signature", numerator=4, denominator=4)),
        (8 * 480, mido.MetaMessage("time_signature", numerator=3, denominator=4)),
        (11 * 480, mido.MetaMessage("time_signature", numerator=4, denominator=4)),
        (11 * 480, mido.MetaMessage("set_tempo", tempo=666_667)),
    ]
    quarters = range(15)
    notes = [
        (480 * q, mido.Message("note_on", channel=channel, note=(36, 38)[q % 2], velocity=100)) for q in quarters
    ]
    notes += [(480 * q + 200, message.copy(velocity=0)) for q, (_, message) in zip(quarters, notes, strict=True)]
    midi = mido.MidiFile(type=kind, ticks_per_beat=480)
    for events in [meta, notes] if kind else [meta + notes]:
        track = mido.MidiTrack([mido.MetaMessage("track_name", name=name)])
        now = 0
        for tick, message in sorted(events, key=lambda row: row[0]):
            track.append(message.copy(time=tick - now))
            now = tick
        midi.tracks.append(track)
    path = tmp_path / "foreign.mid"
    midi.save(path)
    return path


def test_drums_have_their_general_midi_numbers() -> None:
    """General MIDI 1 percussion, as pretty_midi 0.2.11 names it."""
    for drum, words in {
        "kick": "Bass Drum 1",
        "snare": "Acoustic Snare",
        "clap": "Hand Clap",
        "rim": "Side Stick",
        "closed_hat": "Closed Hi Hat",
        "open_hat": "Open Hi Hat",
        "pedal_hat": "Pedal Hi Hat",
        "ride": "Ride Cymbal 1",
        "crash": "Crash Cymbal 1",
        "high_tom": "High Tom",
        "low_tom": "Low Floor Tom",
        "shaker": "Maracas",
        "tambourine": "Tambourine",
        "cowbell": "Cowbell",
    }.items():
        assert pretty_midi.note_number_to_drum_name(GM_DRUMS[drum][0]) == words
    assert set(GM_DRUMS) == set(DRUMS)
    assert set(DRUM_OF_NOTE.values()) == set(DRUMS)


@pytest.mark.parametrize(
    ("tempo_bpm", "tempo_bytes"),
    [(60, "0f4240"), (100, "0927c0"), (120, "07a120"), (128, "07270e"), (140, "068a1b"), (174, "0542fc")],
)
def test_tempo_and_metre_bytes(tempo_bpm: int, tempo_bytes: str) -> None:
    """Set Tempo is microseconds a quarter, Time Signature 4/4 is 04 02 18 08 (Standard MIDI Files 1.0)."""
    data = written(arrange(GROOVES["backbeat"], tempo_bpm=tempo_bpm, form="verse:4"))
    assert bytes.fromhex("ff5103" + tempo_bytes) in data
    assert bytes.fromhex("ff580404021808") in data
    assert data[8:14] == struct.pack(">HHH", 1, 2, 960)


def test_compound_tempo_stays_per_quarter() -> None:
    """6/8 at a dotted quarter of 80 is written as quarter 120, signature 06 03 24 08."""
    from synth.score.grooves import parse_groove

    groove = parse_groove("metre: 6/8\nsteps: 12\nkick |X..... ......|\nsnare|...... x.....|", "w")
    arrangement = arrange(groove, tempo_bpm=80, form="verse:4")
    data = written(arrangement)
    assert bytes.fromhex("ff510307a120") in data
    assert bytes.fromhex("ff580406032408") in data


@pytest.mark.parametrize(
    ("name", "tempo_bpm", "quarter_bpm", "metre"),
    [
        ("backbeat", 128, 128, (4, 4)),
        ("waltz", 100, 100, (3, 4)),
        ("five-four", 140, 140, (5, 4)),
        ("six-eight", 80, 120, (6, 8)),
    ],
)
def test_mido_reads_tempo_and_metre_again(
    name: str, tempo_bpm: float, quarter_bpm: float, metre: tuple[int, int]
) -> None:
    """mido 1.3.3 reads one tempo, per quarter to the microsecond, and one signature; 3/4 is 03 02 18 08."""
    data = written(arrange(GROOVES[name], tempo_bpm=tempo_bpm, form="intro:4,verse:4", song=True))
    conductor = mido.MidiFile(file=io.BytesIO(data)).tracks[0]
    assert [event.tempo for event in conductor if event.type == "set_tempo"] == [round(6e7 / quarter_bpm)]
    signatures = [event for event in conductor if event.type == "time_signature"]
    assert [(event.numerator, event.denominator) for event in signatures] == [metre]
    assert (bytes.fromhex("ff580403021808") in data) == (name == "waltz")


@pytest.mark.sweep
@pytest.mark.parametrize("name", sorted(GROOVES))
def test_what_goes_out_comes_back(name: str, tmp_path: Path) -> None:
    """Through a file and back every hit is the same drum within half a tick, and the whole truth stands."""
    sent = arrange(GROOVES[name], tempo_bpm=113, form="intro:4,verse:8", seed=2)
    write_midi(tmp_path / "record.mid", sent)
    back = midi_arrangement(tmp_path / "record.mid")
    half_tick_s = 60 / 113 * sent.metre.quarters_per_beat**-1 / 960 / 2
    # 1e-6 s a beat more: the file's tempo is in whole microseconds.
    np.testing.assert_allclose(back.hits.onset_s, sent.hits.onset_s, atol=half_tick_s + 1e-6 * len(sent.count))
    names = [[a.hits.voices[voice] for voice in a.hits.voice] for a in (sent, back)]
    assert sorted(names[0]) == sorted(names[1])
    ours, theirs = sent.truth(48_000).to_json(), back.truth(48_000).to_json()
    for key in ("beat_in_bar", "bar_number", "bar_in_phrase", "phrase_number", "metre", "intro_bars"):
        assert ours[key] == theirs[key], key
    assert [s.name for s in back.sections] == ["intro", "verse"]


def test_the_song_comes_back_with_its_notes(tmp_path: Path) -> None:
    """Bass, chords, pad, lead, voice and sweeps keep voice, pitch, time and length within a tick."""
    sent = arrange(GROOVES["disco"], tempo_bpm=120, form="intro:4,verse:8,build:4,chorus:8", song=True, seed=3)
    write_midi(tmp_path / "record.mid", sent)
    back = midi_arrangement(tmp_path / "record.mid")
    for name in (*PITCHED, *SWEEPS):
        ours, theirs = sent.hits.only(name), back.hits.only(name)
        order = [np.lexsort((hits.onset_s, hits.pitch)) for hits in (ours, theirs)]
        assert ours.pitch[order[0]].tolist() == theirs.pitch[order[1]].tolist(), name
        np.testing.assert_allclose(ours.onset_s[order[0]], theirs.onset_s[order[1]], atol=0.5 / 1920 + 1e-6)
        np.testing.assert_allclose(ours.duration_s[order[0]], theirs.duration_s[order[1]], atol=1.1 / 1920)


def test_another_reader_hears_the_same_times() -> None:
    """pretty_midi reads our file to the same kick times within half a tick."""
    sent = arrange(GROOVES["broken-beat"], tempo_bpm=125, form="verse:8")
    midi = pretty_midi.PrettyMIDI(io.BytesIO(written(sent)))
    assert midi.instruments[0].is_drum
    kicks = sorted(note.start for note in midi.instruments[0].notes if note.pitch == 36)
    np.testing.assert_allclose(kicks, sent.hits.only("kick").onset_s, atol=60 / 125 / 960 / 2 + 1e-4)
    np.testing.assert_allclose(midi.get_downbeats()[:8], sent.count.ones_s, atol=1e-3)


@pytest.mark.parametrize("kind", [0, 1])
def test_a_foreign_file_with_a_bar_of_three_and_a_change_of_tempo(tmp_path: Path, kind: int) -> None:
    """Expected by arithmetic: ones at 0, 2, 4, 5.5 s, end 4 x 2/3 s later."""
    arrangement = midi_arrangement(foreign(tmp_path, kind=kind))
    np.testing.assert_allclose(arrangement.count.ones_s, [0, 2, 4, 5.5], atol=1e-6)
    assert arrangement.count.beat_in_bar.tolist() == [1, 2, 3, 4, 1, 2, 3, 4, 1, 2, 3, 1, 2, 3, 4]
    assert arrangement.count.end_s == pytest.approx(5.5 + 4 * 0.666667)
    np.testing.assert_allclose(arrangement.hits.onset_s, arrangement.count.beats_s, atol=1e-9)
    assert arrangement.groove == "foreign"


def test_a_named_track_stands_in_for_channel_10(tmp_path: Path) -> None:
    """Drums on another channel are found by the track's name, and without it the file holds no drums."""
    assert len(midi_arrangement(foreign(tmp_path, channel=3, name="Drum machine")).hits) == 15
    with pytest.raises(Trouble, match="no drums"):
        midi_arrangement(foreign(tmp_path, channel=3, name="Piano"))


def test_two_bars_from_a_public_score() -> None:
    """Kick on 1 and 3, snare on 2 and 4, eighths on the hat: the score's own notes (music21's drum_sample)."""
    arrangement = midi_arrangement(DATA / "two_bars_of_drums.mid")
    beats = {name: (arrangement.hits.only(name).onset_s * 2 % 4 + 1).tolist() for name in ("kick", "snare", "crash")}
    assert beats == {"kick": [1, 3, 3.5, 4.5] * 2, "snare": [2, 4] * 2, "crash": [1]}
    assert arrangement.count.end_s == pytest.approx(4.0)


def test_the_tempo_may_be_chosen() -> None:
    """Two bars at 90: 2 x 240/90 s."""
    arrangement = midi_arrangement(DATA / "two_bars_of_drums.mid", tempo_bpm=90)
    assert arrangement.tempo_bpm == 90
    assert arrangement.count.end_s == pytest.approx(2 * 240 / 90)


@pytest.mark.parametrize("tempo_bpm", [None, 90])
def test_metre_and_tempo_are_those_of_the_first_bar_not_of_the_pick_up(
    tmp_path: Path, tempo_bpm: float | None
) -> None:
    """A quarter in 1/4 at 60 before bars of 3/4 at 120: 3/4 and 120 it is, or the tempo that is asked for."""
    conductor = mido.MidiTrack(
        [
            mido.MetaMessage("marker", text="pick-up"),
            mido.MetaMessage("time_signature", numerator=1, denominator=4),
            mido.MetaMessage("set_tempo", tempo=1_000_000),
            mido.MetaMessage("time_signature", numerator=3, denominator=4, time=480),
            mido.MetaMessage("set_tempo", tempo=500_000),
        ]
    )
    hits = [mido.Message("note_on", channel=9, note=36, velocity=100, time=480 * (at > 0)) for at in range(7)]
    path = tmp_path / "pick-up.mid"
    mido.MidiFile(ticks_per_beat=480, tracks=[conductor, mido.MidiTrack(hits)]).save(path)
    back = midi_arrangement(path, tempo_bpm=tempo_bpm)
    assert str(back.metre) == "3/4"
    assert back.tempo_bpm == (tempo_bpm or 120)
    assert back.count.bar_number.tolist() == [0, 1, 1, 1, 2, 2, 2]
    np.testing.assert_allclose(np.diff(back.count.beats_s)[1:], 60 / (tempo_bpm or 120), atol=1e-6)


def test_beside_drums_on_channel_10_a_track_named_drums_is_a_part(tmp_path: Path) -> None:
    """Steel drums are no drum kit: their notes are played, too, by a voice of their own."""
    path = foreign(tmp_path)
    midi = mido.MidiFile(path)
    steel = [mido.MetaMessage("track_name", name="Steel drums"), mido.Message("program_change", program=114)]
    for note in (60, 64, 100):
        steel += [mido.Message("note_on", note=note), mido.Message("note_off", note=note, time=240)]
    midi.tracks.append(mido.MidiTrack(steel))
    midi.save(path)
    hits = midi_arrangement(path).hits
    assert len(hits.only("kick", "snare")) == 15
    assert sorted(hits.pitch[hits.pitch > 0].tolist()) == [60, 64, 100]


def test_an_excerpt_with_silence_before_it_survives(tmp_path: Path) -> None:
    """Lead-in and the rest of a bar become bar 0; every later one stays where it was."""
    sent = arrange(GROOVES["backbeat"], tempo_bpm=100, form="verse:8").excerpt(6, 20, lead_in_s=0.7)
    write_midi(tmp_path / "part.mid", sent)
    back = midi_arrangement(tmp_path / "part.mid")
    np.testing.assert_allclose(back.count.ones_s[-3:], sent.count.ones_s[-3:], atol=1e-4)
    assert back.count.bar_number[0] == 0


def test_what_is_no_midi_file_is_trouble(tmp_path: Path) -> None:
    """Missing, a folder, empty, text, truncated, without notes, too long, too big: one line each."""
    assert is_midi("a/B.MID")
    assert not is_midi("backbeat")
    good = written(arrange(GROOVES["backbeat"], tempo_bpm=120, form="verse:4"))
    path = tmp_path / "x.mid"

    def told(data: bytes) -> str:
        path.write_bytes(data)
        with pytest.raises(Trouble) as trouble:
            midi_arrangement(path)
        assert "\n" not in str(trouble.value)
        return str(trouble.value)

    def one_note(
        delta: bytes, tempo: bytes = b"", signature: bytes = b"", head: tuple[int, int, int] = (0, 1, 96)
    ) -> bytes:
        body = tempo + signature + delta + b"\x99\x24\x40\x00\xff\x2f\x00"
        return b"MThd" + struct.pack(">IHHH", 6, *head) + b"MTrk" + struct.pack(">I", len(body)) + body

    assert "empty" in told(b"")
    assert "broken" in told(b"kick | x... |")
    assert "ends too early" in told(good[: len(good) // 2])
    assert "too long" in told(one_note(b"\xff\xff\xff\x7f"))
    assert "no tempo" in told(one_note(b"\x00", tempo=b"\x00\xff\x51\x03\x00\x00\x01"))
    assert "tempo of no length" in told(one_note(b"\x00", tempo=b"\x00\xff\x51\x03\x00\x00\x00"))
    assert "time signature" in told(one_note(b"\x00", signature=b"\x00\xff\x58\x04\x04\xff\x18\x08"))
    assert "type 2" in told(one_note(b"\x00", head=(2, 1, 96)))
    assert "film frames" in told(one_note(b"\x00", head=(0, 1, 0xE728)))
    assert "too large" in told(b"MThd" * 100_000)
    for nowhere in (tmp_path, tmp_path / "no.mid", tmp_path / "a\0b.mid"):
        with pytest.raises(Trouble):
            midi_arrangement(nowhere)


GOOD = written(arrange(GROOVES["backbeat"], tempo_bpm=120, form="verse:2"))[:1500]


@pytest.mark.proof
@settings(max_examples=150, deadline=None)
@given(
    cut=st.integers(0, len(GOOD)),
    changes=st.lists(st.tuples(st.integers(0, len(GOOD) - 1), st.integers(0, 255)), max_size=12),
    tail=st.binary(max_size=30),
)
def test_broken_bytes_never_break_the_reader(
    tmp_path_factory: pytest.TempPathFactory, cut: int, changes: list[tuple[int, int]], tail: bytes
) -> None:
    """Cut, changed and lengthened files give a record or a Trouble, never another error."""
    data = bytearray(GOOD)
    for at, byte in changes:
        data[at] = byte
    path = tmp_path_factory.getbasetemp() / "broken.mid"
    path.write_bytes(bytes(data[:cut]) + tail if cut % 3 else bytes(data) + tail)
    with contextlib.suppress(Trouble):
        assert len(midi_arrangement(path).hits)


def test_pretty_midi_is_loaded_when_something_is_written() -> None:
    """Not by an import of ours: it takes 70 ms."""
    script = "import sys, synth.midi.reading, synth.midi.writing, app.cli.render; print('pretty_midi' in sys.modules)"
    root = Path(__file__).parents[3]
    done = subprocess.run(
        [sys.executable, "-P", "-c", script],
        env=os.environ | {"PYTHONPATH": str(root)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == "False\n"


def test_a_note_without_an_end_is_heard(tmp_path: Path) -> None:
    """mido reads drums that are never switched off; pretty_midi, which drops them, does not read for us."""
    track = mido.MidiTrack(mido.Message("note_on", channel=9, note=note, time=480) for note in (36, 38, 36, 38))
    mido.MidiFile(ticks_per_beat=480, tracks=[track]).save(tmp_path / "open.mid")
    assert len(midi_arrangement(tmp_path / "open.mid").hits) == 4
    dropped = pretty_midi.PrettyMIDI(str(tmp_path / "open.mid"))
    assert not any(instrument.notes for instrument in dropped.instruments)


def test_a_tempo_that_changes_beyond_ten_million_ticks_is_told() -> None:
    """10 420 beats of 960 ticks before the change: pretty_midi takes such a file for broken."""
    sent = arrange(GROOVES["backbeat"], tempo_bpm=200, form="verse:2610")
    beats_s = sent.count.beats_s + 0.1 * np.maximum(np.arange(len(sent.count)) - 10_420, 0)
    slower = replace(sent, count=replace(sent.count, beats_s=beats_s, end_s=beats_s[-1] + 0.4))
    with pytest.raises(Trouble, match="too late"):
        midi_bytes(slower)
