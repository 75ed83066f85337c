"""What becomes of a file: known, moved, a copy, another encoding, new; and nothing is lost."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
import soundfile

from synth.base.errors import Trouble
from synth.catalogue import adding
from synth.catalogue.adding import arrived, known
from synth.catalogue.alignment import AnchorWriter
from synth.catalogue.analysis import Found, analysed
from synth.catalogue.catalogue import Catalogue
from synth.catalogue.gathering import gathered
from synth.catalogue.prints import PrintWriter
from synth.catalogue.recording import State
from synth.recording.refusals import NO_FFMPEG, NO_PROCESS, NOT_AUDIO
from tests.synth.catalogue.made import GRID, NO_GRID
from tests.synth.recording.drums import RATE_HZ, drums

pytestmark = pytest.mark.sampled(3)

TODAY = date(2030, 5, 2)


def found_in(samples: np.ndarray, grid=GRID) -> Found:
    """What would be found of samples, the grid being given."""
    sound, anchors = PrintWriter(RATE_HZ), AnchorWriter()
    sound.push(samples.astype(np.float32))
    anchors.push(samples.astype(np.float32))
    duration_s = len(samples) / RATE_HZ
    grid = replace(grid, duration_s=duration_s, steady_until_s=min(grid.steady_until_s, duration_s))
    return Found(grid, RATE_HZ, sound.done(), anchors.done(), "Invented", "Nobody")


@pytest.fixture(scope="module")
def song() -> np.ndarray:
    return drums(bars=48)[0]


@pytest.fixture(scope="module")
def found(song) -> Found:
    return found_in(song)


@pytest.fixture
def catalogue(tmp_path):
    return Catalogue(tmp_path / "data")


def put(folder, name: str, data: bytes = b"bytes of a sound"):
    folder.mkdir(exist_ok=True)
    path = folder / name
    path.write_bytes(data)
    return path


def test_a_new_file_is_kept_and_then_known(catalogue, tmp_path, found):
    path = put(tmp_path / "a", "1.flac")
    assert known(catalogue, path) is None
    made = arrived(catalogue, path, found, TODAY)
    assert (made.title, made.artist, made.state, made.path) == ("Invented", "Nobody", State.FOUND, str(path))
    assert known(Catalogue(tmp_path / "data"), path) == made


def test_a_moved_file_is_known_by_its_bytes(catalogue, tmp_path, found):
    path = put(tmp_path / "a", "1.flac")
    made = arrived(catalogue, path, found, TODAY).confirmed("tutor")
    catalogue.keep(made)
    moved = path.rename(tmp_path / "other name.flac")
    again = known(catalogue, moved)
    assert (again.print, again.path, again.confirmed_by) == (made.print, str(moved), "tutor")
    assert len(catalogue) == 1


def test_a_moved_folder_is_found_again(catalogue, tmp_path, song):
    for number in range(3):
        path = put(tmp_path / "a", f"{number}.flac", bytes([number]) * 1000)
        arrived(
            catalogue, path, found_in(np.roll(song, number * 10_000) * np.linspace(1, 0.1 * number, len(song))), TODAY
        )
    assert len(catalogue) == 3
    put(tmp_path / "a", "cover.jpg")
    (tmp_path / "a").rename(tmp_path / "b")
    assert catalogue.usable() == []
    before = {each.print for each in catalogue}
    assert {known(catalogue, path).print for path in gathered([tmp_path])} == before
    assert {each.path for each in catalogue} == {str(tmp_path / "b" / f"{number}.flac") for number in range(3)}
    found = list(catalogue)
    assert [known(catalogue, each.path) for each in found] == found == list(catalogue)
    assert len(found) == 3


def test_an_unplugged_drive_loses_nothing(catalogue, tmp_path, found):
    path = put(tmp_path / "a", "1.flac")
    made = arrived(catalogue, path, found, TODAY)
    path.unlink()
    assert list(Catalogue(tmp_path / "data")) == [made]
    assert catalogue.usable() == []
    put(tmp_path / "a", "1.flac")
    assert known(catalogue, path).print == made.print


def test_a_copy_is_the_same_recording(catalogue, tmp_path, song, found):
    path = put(tmp_path / "a", "1.flac")
    made = arrived(catalogue, path, found, TODAY)
    same = known(catalogue, put(tmp_path / "a", "copy.flac"))
    other = arrived(catalogue, put(tmp_path / "a", "1.mp3", b"other bytes"), found_in(0.9 * song), TODAY)
    assert {made.print} == {same.print, other.print}
    assert [each.path for each in other.copies] == [str(tmp_path / "a" / "copy.flac"), str(tmp_path / "a" / "1.mp3")]
    assert other.path == str(path)
    assert known(catalogue, tmp_path / "a" / "1.mp3") == other
    path.unlink()  # then a copy stands in
    assert known(catalogue, tmp_path / "a" / "copy.flac").path == str(tmp_path / "a" / "copy.flac")


def test_other_tags_keep_a_confirmed_grid(catalogue, tmp_path, found):
    path = put(tmp_path / "a", "1.flac")
    made = arrived(catalogue, path, found, TODAY).confirmed("learner")
    catalogue.keep(made)
    put(tmp_path / "a", "1.flac", b"other tags, the same sound")
    again = arrived(catalogue, path, replace(found, title="Renamed"), TODAY)
    assert (again.title, again.state, again.grid_version) == ("Renamed", State.CONFIRMED, 1)
    assert len(catalogue) == 1


def test_another_encoding_moves_a_confirmed_grid_and_asks_again(catalogue, tmp_path, song, found):
    path = put(tmp_path / "a", "1.flac")
    made = arrived(catalogue, path, found, TODAY)
    mine = replace(made.grid, phrase_bars=16)  # what a person has set right
    catalogue.keep(made.with_grid(mine).confirmed("learner"))
    path.unlink()
    late = np.concatenate([np.zeros(551), song + 0.003 * np.random.default_rng(0).standard_normal(len(song))])
    again = arrived(catalogue, put(tmp_path / "a", "1.mp3", b"other bytes"), found_in(late), TODAY)
    assert again.print == made.print
    assert again.grid.one_s == pytest.approx(mine.one_s + 551 / RATE_HZ, abs=0.0003)
    assert (again.grid.phrase_bars, again.grid_version, again.state) == (16, 3, State.FOUND)
    assert not again.usable


def test_a_file_that_was_replaced_is_another_recording(catalogue, tmp_path, found):
    path = put(tmp_path / "a", "1.flac")
    before = arrived(catalogue, path, found, TODAY)
    put(tmp_path / "a", "1.flac", b"another record")
    after = arrived(catalogue, path, found_in(drums(bars=40, tempo_bpm=118, seed=4)[0]), TODAY)
    assert before.print != after.print
    assert catalogue.at(path) == after
    assert catalogue.get(before.print).path == ""
    back = known(catalogue, put(tmp_path / "a", "found.flac"))
    assert (back.print, back.path) == (before.print, str(tmp_path / "a" / "found.flac"))


def test_what_cannot_be_read_or_has_no_grid_is_a_row_that_says_why(catalogue, tmp_path, song):
    bad = arrived(catalogue, put(tmp_path / "a", "1.mp3"), Trouble(NOT_AUDIO(path="1.mp3")), TODAY)
    none = arrived(catalogue, put(tmp_path / "a", "2.mp3", b"2"), found_in(song, NO_GRID), TODAY)
    assert (bad.state, str(bad.why)) == (State.UNREADABLE, "1.mp3: this is no sound that can be read.")
    assert (none.state, none.why) == (State.REFUSED, NO_GRID.refused)
    assert {each.print for each in Catalogue(tmp_path / "data")} == {bad.print, none.print}
    assert known(catalogue, bad.path) == bad


def test_what_lacked_a_program_is_tried_again_when_it_is_there(catalogue, tmp_path, monkeypatch):
    path = put(tmp_path / "a", "1.m4a")
    arrived(catalogue, path, Trouble(NO_FFMPEG(path="1.m4a")), TODAY)
    monkeypatch.setattr(adding, "ffmpeg", lambda: None)
    assert known(catalogue, path) is not None
    monkeypatch.setattr(adding, "ffmpeg", lambda: "ffmpeg")
    assert known(catalogue, path) is None


def test_what_the_computer_could_not_look_at_is_looked_at_again(catalogue, tmp_path, found):
    path = put(tmp_path / "a", "1.flac")
    with pytest.raises(Trouble, match="no process could be started"):
        arrived(catalogue, path, Trouble(NO_PROCESS(path="1.flac", why="out of memory")), TODAY)
    assert known(catalogue, path) is None
    assert arrived(catalogue, path, found, TODAY).state is State.FOUND


def test_a_file_that_went_away_is_trouble_and_leaves_no_row(catalogue, tmp_path, song):
    for found in (found_in(song), Trouble(NOT_AUDIO(path="1.mp3"))):
        with pytest.raises(Trouble):
            arrived(catalogue, tmp_path / "gone.mp3", found, TODAY)
    assert len(catalogue) == 0


def test_all_is_found_of_a_real_file(tmp_path, song):
    path = tmp_path / "a.flac"
    with soundfile.SoundFile(path, "w", RATE_HZ, 1) as file:
        file.title = "Invented"
        file.write(song)
    found = analysed(path)
    assert found.grid.tempo_bpm == pytest.approx(124, abs=0.01)
    assert (found.rate_hz, found.title, len(found.sound)) == (RATE_HZ, "Invented", 256)
    again = found_in(song)
    assert (found.anchors, found.sound) == (again.anchors, again.sound)
