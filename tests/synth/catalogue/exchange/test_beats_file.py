"""Grids from files of beats: those that `render --beats` writes, by people, and hostile ones."""

from dataclasses import replace

import numpy as np
import pytest

from synth.base.errors import Trouble
from synth.catalogue.exchange.beats_file import grid_of_beats, read_beats
from synth.score.arranging.arrangement import arrange
from synth.score.grooves import groove
from tests.synth.catalogue.made import GRID, NO_GRID

pytestmark = pytest.mark.sampled(4)


def put(folder, text):
    path = folder / "beats.txt"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def lines(at_s, first: int = 0) -> str:
    rows = [(each, (first + n) // 4 + 1, (first + n) % 4 + 1) for n, each in enumerate(at_s)]
    return "".join(f"{each:.6f}\t{bar}.{beat}\n" for each, bar, beat in rows)


def test_a_grid_and_back(tmp_path):
    grid = grid_of_beats(read_beats(put(tmp_path, GRID.count().text())), GRID, "beats.txt")
    assert grid.count().beats_s == pytest.approx(GRID.count().beats_s, abs=1e-6)
    same = replace(grid, tempo_bpm=GRID.tempo_bpm, one_s=GRID.one_s)
    assert same == replace(GRID, tempo_confidence=1.0, one_confidence=1.0, uncertainty_ms=grid.uncertainty_ms)
    assert grid.uncertainty_ms == pytest.approx(3.0, abs=0.01)


def test_what_render_writes_is_read(tmp_path):
    record = arrange(groove("four-on-the-floor", []), tempo_bpm=127.3, form="intro:8,verse:16", phrase_bars=8, seed=1)
    text = record.truth(48_000).beats_text()
    grid = grid_of_beats(read_beats(put(tmp_path, text)), NO_GRID, "beats.txt")
    assert grid.tempo_bpm == pytest.approx(127.3, abs=1e-4)
    assert grid.count().beats_s[: len(record.count)] == pytest.approx(record.count.beats_s, abs=1e-5)


def test_another_one_keeps_phrases_where_they_were(tmp_path):
    before = replace(GRID, phrase_first=3, one_s=2.0, start_s=1.9)
    text = lines(before.one_s + before.beat_s * np.arange(1, 101))  # the ones a beat later
    grid = grid_of_beats(read_beats(put(tmp_path, text)), before, "beats.txt")
    assert grid.one_s == pytest.approx(before.one_s + before.beat_s)
    assert grid.count().phrase_starts_s[0] == pytest.approx(before.count().phrase_starts_s[0] + before.beat_s)


def test_beats_of_people_scatter_and_some_are_missing(tmp_path):
    rng = np.random.default_rng(0)
    text = lines(1.0 + 0.5 * np.arange(200) + 0.003 * rng.standard_normal(200))
    text = "".join(line + "\n" for n, line in enumerate(text.splitlines()) if n % 7 != 3) + "\n# a remark\n"
    grid = grid_of_beats(read_beats(put(tmp_path, text)), NO_GRID, "beats.txt")
    assert grid.tempo_bpm == pytest.approx(120, abs=0.01)
    assert grid.one_s == pytest.approx(1.0, abs=0.002)
    assert 4 < grid.uncertainty_ms < 5


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "too few beats"),
        ("1.0\t1.1\n" * 20, "line 2: later than the line before"),
        (lines(np.arange(20.0)[::-1] / 2), "line 2: later"),
        (lines(1 + 0.5 * np.arange(40) + 0.04 * np.sin(np.arange(40) / 6)), "wanders"),
        (lines(1 + 9.0 * np.arange(10)), "wanders"),
        (lines(100 + 0.5 * np.arange(400)), "after the end"),
        ("".join(f"{n / 2}\t{n // 5 + 1}.{n % 5 + 1}\n" for n in range(40)), "not counted in four"),
        ("1.0 2\n", "line 1: seconds, a tab and bar.beat"),
        ("nan\t1.1\n", "line 1"),
        ("1e3\t1.1\n", "line 1"),
        ("-1.0\t1.1\n", "line 1"),
        ("9" * 5000 + "\t1.1\n", "line 1"),
        ("1.0\t" + "9" * 5000 + ".1\n", "line 1"),
        (b"\xff\xfe", "UTF-8"),
        (b"1.0\t1.1\0", "line 1"),
        pytest.param(lambda: lines(np.arange(150_000) / 2), "more beats than", id="many"),
        pytest.param(lambda: "x" * 9_000_000, "too large", id="large"),
    ],
)
def test_a_hostile_file_is_one_plain_line(tmp_path, text, says):
    path = put(tmp_path, text() if callable(text) else text)
    with pytest.raises(Trouble, match=says) as caught:
        grid_of_beats(read_beats(path), GRID, "beats.txt")
    assert "\n" not in str(caught.value)
