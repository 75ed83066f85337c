"""The catalogue: what is kept comes back, and a bad entry harms no other."""

import json
import os
from contextlib import contextmanager
from dataclasses import fields, replace

import pytest

from synth.base.errors import Trouble
from synth.catalogue.catalogue import Catalogue
from synth.catalogue.entry import GridEntry
from synth.catalogue.recording import Copy, Key, State
from synth.catalogue.seeking import key_of
from synth.recording.grid import Grid
from synth.recording.refusals import NOT_AUDIO
from tests.synth.catalogue.made import GRID, NO_GRID, REFUSED, recording

pytestmark = pytest.mark.sampled(4)


@pytest.fixture
def catalogue(tmp_path):
    return Catalogue(tmp_path)


def again(catalogue) -> Catalogue:
    return Catalogue(catalogue.folder.parent)


@pytest.mark.parametrize(
    "made",
    [
        recording(),
        recording().confirmed("tutor"),
        recording(grid=replace(GRID, one_s=-0.0006, start_s=0.0)),
        recording(copies=(Copy("/records/other.mp3", Key(5, 6, "f" * 32)),)),
        REFUSED,
        recording(grid=Grid.none(NOT_AUDIO(path="a.mp3"), 0.0), state=State.UNREADABLE, sound=b"", rate_hz=0),
        recording(path="/records/Ångström \udcff.flac", title="«Número uno»"),
    ],
)
def test_what_is_kept_comes_back(catalogue, made):
    catalogue.keep(made, b"anchors", b"outline")
    catalogue.keep(made)
    assert list(again(catalogue)) == [made]
    assert again(catalogue).anchors(made.print) == b"anchors"
    assert again(catalogue).outline(made.print) == b"outline"
    assert not catalogue.notices


def test_every_field_of_a_grid_is_kept():
    assert {each.name for each in fields(Grid)} <= set(GridEntry.__struct_fields__)


def test_the_same_bytes_are_told_whatever_the_time_of_the_file(catalogue):
    made = recording(key=Key(5, 1, "a" * 32))
    catalogue.keep(made)
    catalogue.keep(recording(2, key=Key(5, 1)))
    assert catalogue.same_bytes(Key(5, 2, "a" * 32)) == made
    assert catalogue.same_bytes(Key(6, 1, "a" * 32)) is None
    assert catalogue.same_bytes(Key(5, 1)) is None


def test_a_recording_is_found_by_file_id_title_and_bytes(catalogue, tmp_path):
    path = tmp_path / "a.flac"
    path.write_bytes(b"sound" * 100_000)
    made = recording(5, path=str(path), key=key_of(path))
    catalogue.keep(made)
    catalogue.keep(recording(6))
    for name in (str(path), made.print, "invented 5"):
        assert catalogue.find(name) == made
    moved = path.rename(tmp_path / "b.flac")
    assert catalogue.find(str(moved)) == made
    assert catalogue.unchanged(moved) is None
    with pytest.raises(Trouble, match="no such record"):
        catalogue.find("nothing")
    with pytest.raises(Trouble, match="several"):
        catalogue.find("0000")


def test_an_unchanged_file_is_known_without_reading_and_a_changed_one_is_not(catalogue, tmp_path):
    path = tmp_path / "a.flac"
    path.write_bytes(b"sound")
    catalogue.keep(recording(path=str(path), key=key_of(path)))
    assert catalogue.unchanged(path) is not None
    path.write_bytes(b"other sound")
    assert catalogue.unchanged(path) is None
    assert catalogue.at(path) is not None


def test_an_entry_that_goes_while_the_folder_is_read_takes_no_other_with_it(catalogue, monkeypatch):
    for number in range(1, 6):
        catalogue.keep(recording(number))
    scan = os.scandir

    @contextmanager
    def listed(folder):
        with scan(folder) as entries:
            every = sorted(entries, key=lambda each: each.name)
        (folder / every[0].name).unlink()
        yield iter(every)

    monkeypatch.setattr(os, "scandir", listed)
    assert catalogue.refresh()
    assert len(catalogue) == 4


def test_what_another_program_has_changed_is_read(catalogue):
    other = again(catalogue)
    catalogue.keep(recording(1))
    catalogue.keep(recording(2))
    assert other.refresh()
    assert not other.refresh()
    catalogue.keep(recording(1).confirmed("learner"))
    catalogue.forget(recording(2).print)
    assert other.refresh()
    assert list(other) == [recording(1).confirmed("learner")]
    assert other.at("/records/2.flac") is None


def _changed(**values):
    return lambda entry: entry | values


def _grid(**values):
    return lambda entry: entry | {"grid": entry["grid"] | values}


BAD = [
    _changed(print="e" * 32),
    _changed(format="other"),
    _changed(version=2),
    _changed(state="sure"),
    _changed(state="refused"),
    _changed(confirmed_by="tutor"),
    _changed(added="2030-13-41"),
    _changed(path="\0zz"),
    _changed(path=["/records"]),
    _changed(title="x" * 5000),
    _changed(sound="?"),
    _changed(anchors="?"),
    _changed(outline="?"),
    _changed(duration_s=-1),
    _grid(tempo_bpm=0),
    _grid(tempo_bpm=1e9),
    _grid(phrase_bars=0),
    _grid(phrase_bars=1),
    _grid(phrase_bars=32),
    _grid(beats_per_bar=0),
    _grid(one_s=500.0),
    _grid(start_s=500.0),
    _grid(tempo_bpm=200.0, one_s=-0.3, start_s=0.0),  # two beats at 0
    _grid(steady_until_s=5000.0),
    _grid(
        refused={"say": "x", "with": {"a": {"say": "b", "with": {"c": {"say": "d", "with": {"e": {"say": "f"}}}}}}}
    ),
    lambda entry: [entry],
    lambda entry: {},
]


@pytest.mark.parametrize("spoil", BAD)
def test_a_bad_entry_is_set_aside_and_the_others_work(catalogue, spoil):
    catalogue.keep(recording(1))
    catalogue.keep(recording(2))
    path = catalogue.folder / f"{recording(1).print}.json"
    path.write_text(json.dumps(spoil(json.loads(path.read_text()))))
    opened = again(catalogue)
    assert list(opened) == [recording(2)]
    assert len(opened.notices) == 1
    assert "\n" not in str(opened.notices[0])
    assert path.with_suffix(".broken.json").exists()
    assert not again(catalogue).notices


@pytest.mark.parametrize("data", [b"", b"\xff\xfe", b"[" * 100_000, b'{"format": NaN}', b"x" * 600_000])
def test_bytes_that_are_no_entry_harm_nothing(catalogue, data):
    catalogue.keep(recording(1))
    catalogue.keep(recording(2))
    (catalogue.folder / f"{recording(1).print}.json").write_bytes(data)
    assert list(again(catalogue)) == [recording(2)]


def test_a_folder_that_is_a_file_is_a_notice(tmp_path):
    (tmp_path / "recordings").write_text("")
    opened = Catalogue(tmp_path)
    assert not list(opened)
    assert len(opened.notices) == 1


def test_only_usable_ones_whose_file_is_there_are_for_drills(catalogue, tmp_path):
    (tmp_path / "1.flac").write_bytes(b"sound")
    here = {"path": str(tmp_path / "1.flac")}
    catalogue.keep(recording(1, **here))
    catalogue.keep(recording(2))
    catalogue.keep(recording(3, **here, grid=replace(GRID, sure=False)))
    catalogue.keep(recording(4, **here, grid=NO_GRID, state=State.REFUSED))
    assert catalogue.usable() == [recording(1, **here)]


def test_the_index_saves_opening_the_entries_and_is_never_believed_against_them(catalogue, monkeypatch):
    made = [recording(number) for number in range(1, 60)]
    for each in made:
        catalogue.keep(each)
    again(catalogue)
    catalogue.keep(recording(7).confirmed("tutor"))
    opened = []
    read = Catalogue._read
    monkeypatch.setattr(Catalogue, "_read", lambda self, print: opened.append(print) or read(self, print))
    found = again(catalogue)
    assert opened == [recording(7).print]
    assert {each.print for each in found} == {each.print for each in made}
    assert found.get(recording(7).print).confirmed_by == "tutor"


@pytest.mark.parametrize("data", [b"", b"{}", b"[{}]", b"[" * 9999, None])
def test_an_index_that_is_lost_or_broken_is_made_again(catalogue, data):
    for number in range(1, 60):
        catalogue.keep(recording(number))
    again(catalogue)
    index = catalogue.folder / "index.json"
    whole = json.loads(index.read_text())
    if data is None:
        index.write_text(json.dumps([each | {"entry": each["entry"] | {"state": "refused"}} for each in whole]))
    else:
        index.write_bytes(data)
    found = again(catalogue)
    assert len(found) == 59
    assert not found.notices
    assert json.loads(index.read_text()) == whole
