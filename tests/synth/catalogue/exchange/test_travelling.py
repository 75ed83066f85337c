"""A tutor's grids: written without music or paths, taken in by a learner, at the times of the learner's own file."""

from dataclasses import replace

import numpy as np
import pytest

from synth.base.errors import Trouble
from synth.catalogue.adding import arrived
from synth.catalogue.catalogue import Catalogue
from synth.catalogue.exchange.travelling import Taken, take_grids, write_grids
from synth.catalogue.recording import State
from tests.synth.catalogue.made import recording
from tests.synth.catalogue.test_adding import TODAY, found_in, put
from tests.synth.recording.drums import RATE_HZ, drums

pytestmark = pytest.mark.sampled(4)


@pytest.fixture(scope="module")
def song() -> np.ndarray:
    return drums(bars=48)[0]


@pytest.fixture
def grids(tmp_path, song):
    """A tutor's file, whose one recording has phrases of 16 bars."""
    tutor = Catalogue(tmp_path / "tutor")
    made = arrived(tutor, put(tmp_path / "of tutor", "secret name.flac"), found_in(song), TODAY)
    tutor.keep(made.with_grid(replace(made.grid, phrase_bars=16)).confirmed("tutor"))
    assert write_grids(tutor, tmp_path / "grids.jsonl") == 1
    return tmp_path / "grids.jsonl"


@pytest.fixture
def mine(tmp_path):
    return Catalogue(tmp_path / "mine")


def test_no_path_travels(grids):
    assert "secret" not in grids.read_text()
    assert "of tutor" not in grids.read_text()


def test_a_grid_waits_for_its_record(tmp_path, grids, mine, song):
    assert take_grids(mine, grids, TODAY) == Taken(new=1)
    assert mine.usable() == []
    made = arrived(mine, put(tmp_path / "a", "1.flac", b"other bytes"), found_in(song), TODAY)
    assert len(mine) == 1
    assert (made.grid.phrase_bars, made.confirmed_by, made.usable) == (16, "tutor", True)
    assert take_grids(mine, grids, TODAY) == Taken(left=1)


def test_another_encoding_must_be_heard_first(tmp_path, grids, mine, song):
    late = np.concatenate([np.zeros(551), song + 0.003 * np.random.default_rng(0).standard_normal(len(song))])
    arrived(mine, put(tmp_path / "a", "1.mp3", b"other bytes"), found_in(late), TODAY)
    assert take_grids(mine, grids, TODAY) == Taken(replaced=1)
    (made,) = mine
    assert (made.grid.phrase_bars, made.state, made.usable) == (16, State.FOUND, False)
    assert made.grid.one_s == pytest.approx(0.25 + 551 / RATE_HZ, abs=0.0003)
    assert take_grids(mine, grids, TODAY) == Taken(unplaced=1)
    assert list(mine) == [made]


def test_what_one_has_confirmed_stays(tmp_path, grids, mine, song):
    made = arrived(mine, put(tmp_path / "a", "1.flac"), found_in(song), TODAY).confirmed("learner")
    mine.keep(made)
    assert take_grids(mine, grids, TODAY) == Taken(left=1)
    assert list(mine) == [made]


@pytest.mark.parametrize(
    "spoil",
    [
        lambda lines: [],
        lambda lines: lines[:1],
        lambda lines: [lines[1], lines[0]],
        lambda lines: [lines[0], lines[1][:-20]],
        lambda lines: [lines[0], lines[1].replace('"confirmed"', '"found"')],
        lambda lines: [lines[0], lines[1].replace('"tempo_bpm":124.0', '"tempo_bpm":1e99')],
        lambda lines: [lines[0].replace('"recordings":1', '"recordings":2'), *lines[1:], "x" * 100_000],
        lambda lines: ["[" * 100_000],
    ],
)
def test_a_hostile_file_is_one_line_and_nothing_is_taken(tmp_path, grids, mine, spoil):
    bad = tmp_path / "bad.jsonl"
    bad.write_text("\n".join(spoil(grids.read_text().splitlines())))
    with pytest.raises(Trouble) as caught:
        take_grids(mine, bad, TODAY)
    assert "\n" not in str(caught.value)
    assert len(mine) == 0


def test_nothing_confirmed_is_nothing_to_write(mine, tmp_path):
    mine.keep(recording())
    with pytest.raises(Trouble, match="No record is confirmed"):
        write_grids(mine, tmp_path / "grids.jsonl")
    assert not (tmp_path / "grids.jsonl").exists()
