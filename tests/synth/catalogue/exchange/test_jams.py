"""JAMS: what we write is valid by the standard's own library and schema, and what it writes is read."""

import json
import warnings
from dataclasses import replace

import numpy as np
import pytest

from synth.base.errors import Trouble
from synth.catalogue.exchange.jams import grid_of_jams, jams_of
from tests.synth.catalogue.made import GRID, NO_GRID

# Of the library itself, which calls jsonschema as before.
pytestmark = [pytest.mark.filterwarnings("ignore::DeprecationWarning"), pytest.mark.sampled(4)]


@pytest.fixture(scope="module")
def jams():
    """The standard's own library, 0.3.5 (requirements-test.txt)."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return pytest.importorskip("jams")


def put(folder, data):
    path = folder / "a.jams"
    path.write_bytes(data if isinstance(data, bytes) else json.dumps(data).encode())
    return path


def test_the_library_reads_what_we_write(tmp_path, jams):
    path = put(tmp_path, jams_of(GRID, "Invented", "Nobody", "tutor"))
    found = jams.load(str(path), validate=True, strict=True)
    assert (found.file_metadata.title, found.file_metadata.duration) == ("Invented", GRID.duration_s)
    count = GRID.count()
    (beats,) = found.search(namespace="beat_position")
    assert [row.time for row in beats.data] == pytest.approx(count.beats_s, abs=1e-6)
    assert [row.value["position"] for row in beats.data] == count.beat_in_bar.tolist()
    phrases, intro = found.search(namespace="segment_open")
    assert [row.time for row in phrases.data] == pytest.approx(count.phrase_starts_s, abs=1e-6)
    assert next(iter(intro.data)).duration == pytest.approx(16 * 4 * 60 / 124)


@pytest.mark.parametrize("grid", [GRID, replace(GRID, phrase_first=3, phrase_bars=16, intro_bars=None, one_s=1.2)])
def test_a_grid_and_back(tmp_path, grid):
    again = grid_of_jams(put(tmp_path, jams_of(grid)), replace(NO_GRID))
    assert again.count().beats_s[:300] == pytest.approx(grid.count().beats_s[-len(again.count()) :][:300], abs=1e-5)
    assert (again.phrase_bars, again.phrase_first, again.intro_bars) == (
        grid.phrase_bars,
        grid.phrase_first,
        grid.intro_bars,
    )


@pytest.mark.parametrize("namespace", ["beat", "beat_position"])
def test_what_the_library_writes_is_read(tmp_path, jams, namespace):
    made, annotation = jams.JAMS(), jams.Annotation(namespace=namespace)
    for n in range(40):
        place = {"position": n % 4 + 1, "measure": n // 4 + 1, "num_beats": 4, "beat_units": 4}
        value = place if namespace == "beat_position" else float(n % 4 + 1)
        annotation.append(time=1 + n / 2, duration=0, value=value, confidence=0.5)
    made.annotations.append(annotation)
    made.file_metadata.duration = 60.0
    made.save(str(tmp_path / "a.jams"))
    grid = grid_of_jams(tmp_path / "a.jams", NO_GRID)
    assert (grid.tempo_bpm, grid.one_s) == pytest.approx((120, 1.0))


def beats(values, step_s: float = 0.5) -> dict:
    rows = [{"time": n * step_s, "duration": 0, "value": value, "confidence": None} for n, value in enumerate(values)]
    return {"annotations": [{"namespace": "beat", "annotation_metadata": {}, "data": rows}]}


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "no JAMS"),
        (b"[" * 100_000, "no JAMS"),
        (b'{"annotations": 5}', "no JAMS"),
        ({"annotations": [{"namespace": "beat", "data": [{"time": -1}]}]}, "no JAMS"),
        ({"annotations": [{"namespace": "beat", "data": [{"time": "now"}]}]}, "no JAMS"),
        ({}, "no beats"),
        ({"annotations": [{"namespace": "beat", "data": {"time": [1, 2]}}]}, "no beats"),
        (beats([None] * 40), "no beats"),
        (beats([1, 2, 3] * 20), "no beats"),
        (beats([1, 2, 3, 4], 0.0), "no beats"),
        (beats([True, 2, 3, 4] * 10), "no beats"),
        (beats([{"position": 1, "num_beats": 3}] * 40), "no beats"),
        (beats([1, 2, 3, 4]), "no beats"),
        (beats([1, 2, 3, 4] * 200), "after the end"),
        (beats([2] * 40), "no beats"),
        (b"x" * 31_000_000, "too large"),
    ],
)
def test_a_hostile_file_is_one_plain_line(tmp_path, data, says):
    with pytest.raises(Trouble, match=says) as caught:
        grid_of_jams(put(tmp_path, data), NO_GRID)
    assert "\n" not in str(caught.value)


def test_segments_that_are_no_phrases_change_nothing(tmp_path):
    data = beats([1, 2, 3, 4] * 20)
    rows = [{"time": float(at), "duration": 1e6, "value": "phrase", "confidence": None} for at in (1, 2, 30)]
    rows += [{"time": 1.0, "duration": 1e6, "value": "intro", "confidence": None}]
    data["annotations"].append({"namespace": "segment_open", "annotation_metadata": {}, "data": rows})
    grid = grid_of_jams(put(tmp_path, data), NO_GRID)
    assert (grid.phrase_bars, grid.intro_bars) == (8, None)
    assert np.isfinite(grid.count().beats_s).all()
