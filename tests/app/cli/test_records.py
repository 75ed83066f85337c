"""The command `records`: what it prints and writes, and what it refuses in one line."""

import json

import numpy as np
import pytest
import soundfile

from app.cli.commands import main
from synth.catalogue import analysis
from synth.catalogue.catalogue import Catalogue
from tests.synth.recording.drums import RATE_HZ, drums

pytestmark = pytest.mark.sampled(4)


@pytest.fixture(scope="module")
def recording(tmp_path_factory):
    path = tmp_path_factory.mktemp("recording") / "drums.flac"
    samples, beats_s = drums(bars=24)
    with soundfile.SoundFile(path, "w", RATE_HZ, 1) as file:
        file.title, file.artist = "Invented drums", "Nobody"
        file.write(samples)
    return path, beats_s


@pytest.fixture
def records(capsys):
    """Runs ``records``; gives status, output and trouble."""

    def run(*words: object) -> tuple[int, str, str]:
        status = main(["records", *map(str, words)])
        told = capsys.readouterr()
        return status, told.out, told.err

    return run


def told_of(records, *words) -> dict:
    status, out, err = records(*words, "--json")
    assert (status, err) == (0, "")
    return json.loads(out)


@pytest.mark.usefixtures("no_processes")
def test_a_grid_as_json(recording, records):
    path, _ = recording
    told = told_of(records, "grid", path)
    keys = {"tempo_bpm", "sure", "confirmed_by", "phrase_bars", "intro_bars", "uncertainty_ms", "steady_until_s"}
    assert keys <= set(told)
    assert told["tempo_bpm"] == pytest.approx(124, abs=0.01)
    assert (told["confirmed_by"], told["phrase_bars"], told["intro_bars"]) == (None, 8, 8)
    assert len(Catalogue()) == 0


@pytest.mark.usefixtures("no_processes")
def test_beats_are_written_as_render_writes_them(recording, records, tmp_path):
    path, beats_s = recording
    before = path.read_bytes()
    status, out, _ = records("grid", path, "--beats", tmp_path / "beats.txt", "--jams", tmp_path / "a.jams")
    assert status == 0
    assert "124.00 BPM" in out
    rows = [line.split("\t") for line in (tmp_path / "beats.txt").read_text().splitlines()]
    assert [place for _, place in rows[:5]] == ["1.1", "1.2", "1.3", "1.4", "2.1"]
    assert np.array([float(at_s) for at_s, _ in rows]) == pytest.approx(beats_s[: len(rows)], abs=0.003)
    annotations = json.loads((tmp_path / "a.jams").read_text())["annotations"]
    assert len(annotations[0]["data"]) == len(rows)
    assert path.read_bytes() == before


@pytest.mark.usefixtures("no_processes")
def test_a_refusal_is_one_line_and_nothing_is_written(records, tmp_path):
    path = tmp_path / "silence.wav"
    soundfile.write(path, np.zeros(30 * RATE_HZ), RATE_HZ)
    status, out, err = records("grid", path, "--beats", tmp_path / "beats.txt", "--json")
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert "no steady beat" in err
    assert [each.name for each in tmp_path.glob("*.*")] == ["silence.wav"]


@pytest.mark.usefixtures("no_processes")
def test_outputs_never_replace_the_sound(recording, records, tmp_path):
    path, _ = recording
    before = path.read_bytes()
    (tmp_path / "link.txt").symlink_to(path)
    for words in (("--beats", path), ("--jams", path), ("--beats", tmp_path / "link.txt")):
        status, _, err = records("grid", path, *words)
        assert status == 2
        assert "would replace the sound" in err
    assert records("grid", path, "--beats", tmp_path / "a", "--jams", tmp_path / "a")[0] == 2
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    "words",
    [
        ("grid", "Invented drums", "--beats"),
        ("grid", "Invented drums", "--jams"),
        ("count", "Invented drums"),
        ("intro", "Invented drums"),
        ("export-grids",),
    ],
)
@pytest.mark.usefixtures("no_processes")
def test_no_output_replaces_a_record_of_the_list(recording, records, tmp_path, words):
    """Also where the record is named by its title, and where the output is another one."""
    path = tmp_path / "drums.flac"
    path.write_bytes(before := recording[0].read_bytes())
    assert records("add", path)[0] == 0
    (tmp_path / "link.flac").symlink_to(path)
    for out in (path, tmp_path / "link.flac"):
        status, _, err = records(*words, out)
        assert (status, err.count("\n")) == (2, 1)
        assert "would replace the" in err
    assert path.read_bytes() == before


def test_add_list_confirm_and_forget(recording, records, tmp_path, monkeypatch):
    path, _ = recording
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / "1.flac").write_bytes(path.read_bytes())
    (folder / "2.mp3").write_text("no sound")
    soundfile.write(folder / "3.wav", np.zeros(RATE_HZ), RATE_HZ)
    (folder / "list.m3u8").write_text("1.flac\n")
    status, out, err = records("add", folder)
    assert (status, err) == (0, "")
    assert "3 files: 1 with a grid, 2 without" in out
    assert "no sound that can be read" in out
    assert "only 1.0 s of sound" in out

    rows = told_of(records)
    assert {row["state"] for row in rows} == {"found", "refused", "unreadable"}
    row = next(row for row in rows if row["state"] == "found")
    assert (row["title"], row["artist"], row["path"]) == ("Invented drums", "Nobody", str(folder / "1.flac"))
    assert row["grid"]["confirmed_by"] is None
    assert "124.00 BPM  0:47  Nobody: Invented drums" in records()[1]

    # What is known is not analysed again.
    monkeypatch.setattr(analysis, "begun", None)
    assert records("add", folder / "list.m3u8")[0] == 0
    words = ("--one", 0.25 + 60 / 124, "--tempo", "double", "--phrase", 3, "--intro", 8, "--by", "tutor")
    status, out, _ = records("confirm", row["id"][:8], *words)
    assert status == 0
    assert "bar 1 begins at 0.73" in out
    assert "confirmed by tutor" in out
    told = told_of(records, "grid", folder / "1.flac")
    assert (told["confirmed_by"], told["intro_bars"], told["phrase_first"]) == ("tutor", 8, 2)
    assert told["tempo_bpm"] == pytest.approx(248, abs=0.02)

    (folder / "1.flac").rename(tmp_path / "moved.flac")
    assert told_of(records, "grid", row["id"])["confirmed_by"] == "tutor"
    assert "the file is not there" in records()[1]
    assert records("add", tmp_path / "moved.flac")[0] == 0
    assert told_of(records, "grid", tmp_path / "moved.flac")["confirmed_by"] == "tutor"

    assert records("forget", tmp_path / "moved.flac")[0] == 0
    assert len(told_of(records)) == 2
    assert (tmp_path / "moved.flac").read_bytes() == path.read_bytes()


@pytest.mark.usefixtures("no_processes")
def test_one_file_without_a_grid_is_a_line_and_status_2(records, tmp_path):
    path = tmp_path / "a.mp3"
    path.write_text("no sound")
    status, out, err = records("add", path)
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert "no sound that can be read" in err
    assert records("add", tmp_path / "gone.mp3")[0] == 2
    assert records("confirm", path)[0] == 2


@pytest.mark.usefixtures("no_processes")
def test_a_grid_is_given_as_a_file_of_beats_or_as_jams(recording, records, tmp_path):
    path, beats_s = recording
    (tmp_path / "own.flac").write_bytes(path.read_bytes())
    own = tmp_path / "own.flac"
    text = "".join(f"{at_s:.6f}\t{n // 4 + 1}.{n % 4 + 1}\n" for n, at_s in enumerate(beats_s[1:-4]))
    (tmp_path / "beats.txt").write_text(text)
    assert records("confirm", own, "--beats", tmp_path / "beats.txt")[0] == 0
    told = told_of(records, "grid", own)
    assert told["one_s"] == pytest.approx(beats_s[1], abs=1e-3)
    assert told["confirmed_by"] == "learner"
    assert records("grid", own, "--jams", tmp_path / "a.jams")[0] == 0
    assert records("confirm", own, "--one", beats_s[0])[0] == 0
    assert records("confirm", own, "--jams", tmp_path / "a.jams")[0] == 0
    assert told_of(records, "grid", own)["one_s"] == pytest.approx(beats_s[1], abs=1e-3)
    (tmp_path / "beats.txt").write_text("1 2 3")
    status, _, err = records("confirm", own, "--beats", tmp_path / "beats.txt")
    assert (status, err.count("\n")) == (2, 1)
    assert told_of(records, "grid", own)["confirmed_by"] == "learner"


@pytest.mark.usefixtures("no_processes")
def test_grids_travel(recording, records, tmp_path, monkeypatch):
    path, _ = recording
    own = tmp_path / "own.flac"
    own.write_bytes(path.read_bytes())
    assert records("export-grids", tmp_path / "grids.jsonl")[0] == 2
    assert records("confirm", own, "--by", "tutor", "--intro", 4)[0] == 0
    assert records("export-grids", tmp_path / "grids.jsonl")[0] == 0
    monkeypatch.setenv("TALLYBAR_HOME", str(tmp_path / "other"))
    assert records("import-grids", tmp_path / "grids.jsonl")[0] == 0
    assert records("add", own)[0] == 0
    told = told_of(records, "grid", own)
    assert (told["confirmed_by"], told["intro_bars"]) == ("tutor", 4)


@pytest.mark.parametrize(
    "words",
    [
        ("confirm", "nothing"),
        ("forget", "nothing"),
        ("grid", "nothing"),
        ("add", "nothing.m3u8"),
        ("import-grids", "nothing"),
        ("confirm", "nothing", "--one", "nan"),
        ("confirm", "nothing", "--intro", "-1"),
        ("dance",),
    ],
)
def test_a_wrong_word_is_one_line(records, words):
    status, out, err = records(*words)
    assert (status, out, err.count("\n")) == (2, "", 1)
