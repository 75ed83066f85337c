"""The phrase of the board: tempo, groove, file and second record, without a window."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import soundfile

from app.practice.board.board_phrase import Beside, BoardPhrase, FileRecord, Hear, render, save_midi, save_sound
from app.practice.board.tapped_tempo import TappedTempo
from synth.base.errors import Trouble
from synth.catalogue.catalogue import Catalogue
from synth.midi.writing import write_midi
from synth.recording.source import RecordingSource, of_file
from synth.recording.teaching import LEAD_IN_S
from synth.score.arranging.arrangement import EARLIEST_S, arrange
from synth.score.grooves import groove, grooves
from tests.synth.catalogue.made import recording
from tests.synth.recording.drums import RATE_HZ as DRUMS_HZ
from tests.synth.recording.drums import drums
from tests.synth.recording.test_source import GRID, PRINT

RATE_HZ = 48_000


@pytest.fixture
def midi(tmp_path) -> FileRecord:
    """Four bars of a waltz with bass and chords at 132 BPM, as a file."""
    path = tmp_path / "three.mid"
    write_midi(path, arrange(groove("waltz"), tempo_bpm=132, form="verse:4", song=True))
    return FileRecord.read(path)


def test_a_groove_takes_its_usual_tempo_and_says_so():
    before = BoardPhrase()
    after = before.with_groove("waltz")
    assert after.tempo_bpm == round(groove("waltz").usual_tempo_bpm) != before.tempo_bpm
    usual = f"{after.tempo_bpm:g}"
    assert str(after.tempo_told(before, "Waltz")) == f"Waltz usually has {usual} BPM, so the tempo is {usual} now."


def test_a_tempo_set_by_hand_stays_with_any_groove_and_says_so():
    before = BoardPhrase().at_tempo(101.4)
    assert before.tempo_bpm == 101
    for name in grooves():
        after = before.with_groove(name)
        assert after.tempo_bpm == 101
        told = after.tempo_told(before, "This")
        if name == before.groove or after.usual_bpm == 101:
            assert told is None
        else:
            usual = after.usual_bpm
            assert str(told) == f"The tempo stays at 101, as you set it; This usually has {usual} BPM."


def test_other_changes_say_nothing_of_the_tempo():
    before = BoardPhrase()
    for after in (before.at_tempo(120), replace(before, bars=32), replace(before, hear=Hear.SONG)):
        assert after.tempo_told(before, "Backbeat") is None


@pytest.mark.parametrize(("bpm", "kept"), [(10, 40), (40.4, 40), (127.6, 128), (300, 240)])
def test_any_whole_tempo_within_limits(bpm, kept):
    assert BoardPhrase().at_tempo(bpm).tempo_bpm == kept


def test_a_second_record_that_no_bar_has_room_for_goes():
    phrase = replace(BoardPhrase(), beside=Beside.FOUR)
    assert phrase.with_groove("waltz").beside is Beside.NONE
    assert phrase.with_groove("four-on-the-floor").beside is Beside.FOUR
    assert replace(phrase, beside=Beside.HALF).with_groove("waltz").beside is Beside.HALF


def test_a_file_is_played_at_its_tempo_with_all_that_is_in_it(midi):
    phrase = BoardPhrase().with_record(midi)
    assert (phrase.hear, phrase.tempo_bpm, phrase.metre.beats_per_bar) == (Hear.SONG, 132, 3)
    assert len(phrase.count()) == 12
    assert BoardPhrase().at_tempo(90).with_record(midi).tempo_bpm == 90
    assert phrase.with_groove("backbeat").file is None


def test_a_file_that_cannot_be_read_is_trouble(tmp_path):
    bad = tmp_path / "bad.mid"
    bad.write_bytes(b"no music")
    with pytest.raises(Trouble, match=r"bad\.mid"):
        FileRecord.read(bad)


def test_the_second_record_has_drums_of_another_family_and_begins_where_it_was_put(unheard):
    phrase = replace(BoardPhrase("four-on-the-floor", 240.0), aloud=False)
    assert render(phrase, RATE_HZ).beside is None
    for beside, beats in ((Beside.ONE, 0), (Beside.THREE, 2), (Beside.HALF, 8)):
        made = render(replace(phrase, beside=beside), RATE_HZ)
        assert made.beside.beats == beats
        assert made.beside.kit is not made.kit


@pytest.mark.parametrize("bpm", [40, 97, 128, 240])
def test_a_tempo_tapped_in_is_the_median_of_its_intervals(bpm):
    """One tap that is late by a third of a beat changes nothing."""
    tapped, beat_s = TappedTempo(), 60 / bpm
    assert tapped.tap(10.0) is None
    found = [tapped.tap(10.0 + at * beat_s + (beat_s / 3 if at == 4 else 0)) for at in range(1, 9)]
    assert found[-1] == bpm


def test_after_a_pause_another_tempo_is_tapped():
    tapped = TappedTempo()
    for at_s in (0.0, 0.5, 1.0):
        tapped.tap(at_s)
    assert tapped.tap(4.0) is None
    assert tapped.tap(5.0) == 60


# -- own records -----------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def recorded(tmp_path_factory) -> RecordingSource:
    path = tmp_path_factory.mktemp("board") / "drums.wav"
    samples, beats_s = drums(bars=20)
    soundfile.write(path, samples, DRUMS_HZ)
    grid = replace(
        GRID,
        tempo_bpm=124.0,
        one_s=float(beats_s[0]),
        start_s=float(beats_s[0]),
        steady_until_s=len(samples) / DRUMS_HZ,
        duration_s=len(samples) / DRUMS_HZ,
        phrase_bars=4,
        phrase_first=0,
        intro_bars=4,
    )
    return of_file(str(path), grid, print=PRINT, title="Invented drums")


def test_a_recording_plays_alone_from_its_first_phrase_after_the_intro(recorded):
    record = FileRecord.of(recorded)
    assert record.recorded
    assert record.record.count.bar_number[0] == 5
    phrase = BoardPhrase(beside=Beside.TWO, own_tempo=True, tempo_bpm=90).with_record(record)
    assert (phrase.tempo_bpm, phrase.hear, phrase.beside) == (124, Hear.SONG, Beside.NONE)
    assert [phrase.at_tempo(bpm).tempo_bpm for bpm in (60, 120, 200)] == [117, 120, 131]  # within 6 %
    assert phrase.with_groove("backbeat").file is None
    eight = replace(record, record=replace(record.record, phrase_bars=8))
    assert [BoardPhrase(bars=16).with_record(each).bars for each in (record, eight)] == [4, 8]  # its own phrases
    with pytest.raises(Trouble, match="no notes to save"):
        save_midi(phrase, Path("out.mid"))


def test_a_recording_goes_round_on_its_beats_with_the_count_over_it(recorded):
    phrase = replace(BoardPhrase().with_record(FileRecord.of(recorded)), bars=4, aloud=False)
    loop = render(phrase, 44_100)
    beat_s = 60 / 124
    level = np.add.reduceat(np.square(loop.samples.mean(axis=1)), np.arange(0, len(loop.samples), 44))
    rise_s = np.flatnonzero(np.diff(np.log(level + 1e-7)) > 2.5) * 44 / 44_100
    lead_s = loop.lead_frames / 44_100
    for round_s in (0.0, loop.round_frames / 44_100):
        found = [np.abs(rise_s - (lead_s + round_s + beat * beat_s)).min() for beat in range(1, 16)]
        assert np.median(found) < 0.005
    spoken = render(replace(phrase, aloud=True), 44_100)
    assert spoken.samples.shape == loop.samples.shape
    assert np.abs(spoken.samples - loop.samples).max() > 0.05
    for beat in (0, 3, 15):  # one by itself is as loud as in the loop, up to the next
        frames, at = round(0.8 * beat_s * 44_100), round(loop.phrase.count.beats_s[beat] * 44_100)
        alone = loop.beat_sound(beat)[round(EARLIEST_S * 44_100) :][:frames]
        off = [np.abs(loop.samples[at + by :][:frames] - alone).max() for by in (-1, 0, 1)]  # a frame of rounding
        assert min(off) < 0.01 * np.abs(alone).max()
    with pytest.raises(Trouble, match="Invented drums is too short for a phrase of 32 bars"):
        render(replace(phrase, bars=32), 44_100)


@pytest.mark.parametrize(("intro", "bars"), [(4, 4), (8, 4), (4, 8)])
def test_drums_go_before_the_phrase_of_a_recording_at_its_tempo(recorded, intro, bars):
    """By hand: at 124 BPM the record's phrase comes ``4 * intro`` beats after the loop's first one, each round."""
    phrase = replace(BoardPhrase().with_record(FileRecord.of(recorded)), bars=bars, aloud=False, intro=intro)
    count = phrase.count()
    assert count.phrase_number.tolist() == [1] * 4 * intro + [2] * 4 * bars
    assert count.bar_in_phrase[4 * intro] == 1
    loop = render(phrase, 44_100)
    assert len(loop.count) == 4 * (intro + bars)
    assert np.allclose(loop.count.beats_s, count.beats_s, atol=1e-4)
    enters_s = 4 * intro * 60 / 124
    recorded_s = loop.phrase.recorded.start_s - loop.lead_frames / 44_100
    assert recorded_s == pytest.approx(enters_s, abs=0.06)
    assert loop.phrase.hits.grid_s.max() - loop.lead_frames / 44_100 < enters_s
    # Drums from the first beat on, the record's in the last bars, and both again in the next round.
    for round_s in (0.0, loop.round_frames / 44_100):
        for beat in (0, 4 * intro - 4, 4 * intro, 4 * (intro + bars) - 4):
            at = loop.lead_frames + round((round_s + beat * 60 / 124) * 44_100)
            if at + 3000 < len(loop.samples):
                assert np.abs(loop.samples[at : at + 3000]).max() > 0.1, (round_s, beat)
    for beat in (1, 4 * intro):  # and each by itself
        assert np.abs(loop.beat_sound(beat)).max() > 0.05


def test_an_intro_is_for_recordings_alone(recorded, midi):
    phrase = replace(BoardPhrase().with_record(FileRecord.of(recorded)), intro=8)
    assert phrase.with_record(FileRecord.of(recorded)).intro == 8
    assert phrase.with_groove("backbeat").intro == 0
    assert phrase.with_record(midi).intro == 0
    assert not phrase.same_count(replace(phrase, intro=4))


def test_the_phrase_of_a_recording_is_saved_once_round_as_it_is_heard(recorded, tmp_path):
    phrase = replace(BoardPhrase().with_record(FileRecord.of(recorded)), intro=4).at_tempo(120)
    out = tmp_path / "out.wav"
    assert str(save_sound(phrase, out)) == f"{out} is written. It is for your own use, as the record is."
    sound = soundfile.info(out)
    assert sound.duration == pytest.approx(LEAD_IN_S + 8 * 2.0, abs=0.01)  # eight bars at 120 BPM
    before = Path(recorded.sound.path).read_bytes()
    for path, why in (
        (Path(recorded.sound.path), "would replace the sound of a record"),
        (out.with_suffix(".txt"), "end with"),
    ):
        with pytest.raises(Trouble, match=why):
            save_sound(phrase, path)
    assert Path(recorded.sound.path).read_bytes() == before
    other = tmp_path / "other.wav"
    Catalogue().keep(recording(2, path=str(other)))
    with pytest.raises(Trouble, match="would replace the sound of a record"):
        save_sound(phrase, other)
    assert not other.exists()
