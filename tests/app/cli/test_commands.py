"""The commands as a user types them: what they write, and one clear line with status 2 when they cannot."""

import json
import os
import re
import shlex
import shutil
import subprocess
import sys
import wave
from datetime import UTC, datetime
from pathlib import Path

import mido
import numpy as np
import pytest

import app.cli.render
from app.cli.commands import WORDS, main, parser
from app.demo.simulated import LEARNERS
from synth.score.grooves import own_folder
from synth.sound.kit import Kit
from tests.app.cli.typed import refused, run

pytestmark = pytest.mark.sampled(6)


class TestRender:
    def test_eight_bars_at_120_last_sixteen_seconds(self, tmp_path, capsys):
        """240 / BPM seconds a bar of four: 8 bars at 120 are 16.000 s (arithmetic)."""
        out, beats, truth = tmp_path / "r.wav", tmp_path / "b.txt", tmp_path / "t.json"
        status, said, _ = run(
            capsys, "render", "--tempo", 120, "--form", "intro:4,verse:4", "--truth", truth, "--beats", beats, out
        )
        assert status == 0
        assert "8 bars at 120 BPM, 16.000 s" in said
        with wave.open(str(out)) as sound:
            assert sound.getframerate() == 48_000
            assert sound.getnchannels() == 2
            assert sound.getnframes() >= 16 * 48_000
        known = json.loads(truth.read_text())
        np.testing.assert_allclose(known["ones_s"], np.arange(8) * 2.0, atol=1e-9)
        rows = [line.split("\t") for line in beats.read_text().splitlines()]
        assert len(rows) == 32
        assert rows[5][1] == "2.2"
        assert float(rows[5][0]) == pytest.approx(2.5)

    def test_midi_by_the_ending(self, tmp_path, capsys):
        assert run(capsys, "render", "--groove", "backbeat", "--tempo", 96, tmp_path / "r.mid")[0] == 0
        read = mido.MidiFile(tmp_path / "r.mid")
        assert read.ticks_per_beat == 960
        # Set Tempo in microseconds a quarter: 60e6 / 96 (Standard MIDI Files 1.0).
        assert next(m.tempo for m in read.tracks[0] if m.type == "set_tempo") == 625_000

    def test_the_same_words_give_the_same_sound(self, tmp_path, capsys, monkeypatch):
        monkeypatch.setattr("synth.sound.kit.Kit", Kit)
        for name in ("a.wav", "b.wav"):
            run(capsys, "render", "--form", "intro:4", "--seed", 3, "--kit-seed", 4, tmp_path / name)
        assert (tmp_path / "a.wav").read_bytes() == (tmp_path / "b.wav").read_bytes()

    def test_a_voice_counts_and_the_song_enters(self, tmp_path, capsys):
        """The counted record differs from the plain one; a MIDI file has no voice and says so."""
        words = ("--form", "intro:4,verse:4", "--tempo", 124)
        run(capsys, "render", *words, tmp_path / "plain.wav")
        run(capsys, "render", *words, "--count", "bars", tmp_path / "counted.wav")
        run(capsys, "render", *words, "--song", tmp_path / "song.wav")
        sounds = {(tmp_path / f"{name}.wav").read_bytes() for name in ("plain", "counted", "song")}
        assert len(sounds) == 3
        assert "voice" in refused(capsys, "render", *words, "--count", "bars", tmp_path / "a.mid")

    def test_a_long_record_is_written_in_blocks_and_shows_how_far_it_is(self, tmp_path, capsys, monkeypatch):
        monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
        status, _, err = run(capsys, "render", "--form", "intro:16,verse:48", tmp_path / "r.wav")
        assert status == 0
        parts = [int(part) for part in re.findall(r"(\d+)%", err)]
        assert len(set(parts)) > 5
        assert parts == sorted(parts)
        assert parts[-1] == 100

    def test_cancelling_leaves_nothing(self, tmp_path, capsys, monkeypatch):
        """Ctrl-C in the middle: status 130, no file, nothing half written."""

        def cancelled(blocks, frames):
            yield next(blocks)
            raise KeyboardInterrupt

        monkeypatch.setattr(app.cli.render, "_shown", cancelled)
        assert run(capsys, "render", "--form", "intro:16", tmp_path / "r.wav")[0] == 130
        assert list(tmp_path.iterdir()) == []

    def test_a_midi_file_plays_as_a_groove(self, tmp_path, capsys):
        """Two bars of General MIDI drums (36 Bass Drum 1, 38 Acoustic Snare) with a change of tempo."""
        file = mido.MidiFile(ticks_per_beat=480)
        track = mido.MidiTrack()
        file.tracks.append(track)
        track.append(mido.MetaMessage("set_tempo", tempo=500_000))
        for beat in range(8):
            note = 36 if beat % 2 == 0 else 38
            track.append(mido.Message("note_on", channel=9, note=note, velocity=100, time=0))
            track.append(mido.Message("note_off", channel=9, note=note, time=480))
            if beat == 3:
                track.append(mido.MetaMessage("set_tempo", tempo=400_000))
        file.save(tmp_path / "drums.mid")
        out, truth = tmp_path / "r.flac", tmp_path / "t.json"
        assert run(capsys, "render", "--groove", tmp_path / "drums.mid", "--truth", truth, out)[0] == 0
        beats = json.loads(truth.read_text())["beats_s"][:8]
        np.testing.assert_allclose(beats, [0, 0.5, 1.0, 1.5, 2.0, 2.4, 2.8, 3.2], atol=1e-6)


def test_the_help_tells_where_the_data_are(capsys, home, monkeypatch):
    monkeypatch.setattr("app.cli.commands.parser", parser)  # made anew, since it names the folder
    with pytest.raises(SystemExit):
        main(["--help"])
    said = capsys.readouterr().out
    assert str(home) in "".join(said.split())
    assert "TALLYBAR_HOME" in said


def readme_walk(section: str) -> list[list[str]]:
    """The words of each indented ``./run`` line of a section of the README, as a shell reads them (shlex, POSIX)."""
    text = (Path(__file__).parents[3] / "README.md").read_text(encoding="utf-8")
    lines = text.split(f"\n## {section}", 1)[1].split("\n## ")[0].replace("\\\n", " ").splitlines()
    return [shlex.split(line, comments=True)[1:] for line in lines if line.startswith("    ./run ")]


@pytest.mark.proof
def test_the_readme_is_a_walk_that_can_be_pasted_line_by_line(tmp_path, capsys, monkeypatch, qapp, invented_weeks):
    """In an empty folder, in its order, each line comes to its end; what they name is there afterwards."""
    week = invented_weeks(1, 1, datetime(2026, 3, 1, tzinfo=UTC))
    monkeypatch.chdir(tmp_path)
    walk = [*readme_walk("A practice sound"), *readme_walk("Other commands")]
    assert len(walk) >= 12
    assert {words[0] for words in walk} == set(WORDS)
    # These have tests of their own; one of the eight weeks is enough to read.
    monkeypatch.setattr("app.demo.demo.pictures", lambda folder, looks: iter(()))
    monkeypatch.setattr("app.demo.invented.demo_weeks", lambda book, *_, **__: iter([str(shutil.copy(week, book))]))
    monkeypatch.setattr("app.demo.demo.LEARNERS", {name: LEARNERS[name] for name in ("perfect", "beginner")})
    records: list[str] = []
    for words in walk:
        if (
            words[0] == "records" and len(words) > 2
        ):  # its files are the reader's own: each command has tests of its own
            records.append(words[1])
            continue
        if "--record" in words:
            continue
        if words == ["check"]:  # asks the devices of this computer
            continue
        if "--help" in words:
            with pytest.raises(SystemExit) as end:
                main(words)
            assert not end.value.code
            continue
        status, _, err = run(capsys, *words)
        assert (status, err) == (0, ""), words
    assert set(records) >= {"add", "grid", "confirm", "count", "intro"}
    for name in ("lesson.flac", "lesson.json", "lesson.txt", "one/trial.wav", "invented.pdf"):
        assert (tmp_path / name).stat().st_size > 0


class TestLists:
    def test_drills_and_grooves_as_json(self, capsys):
        drills = json.loads(run(capsys, "drills", "--json")[1])
        assert "one" in [drill["id"] for drill in drills]
        assert all(len(drill["rungs"]) >= 8 for drill in drills)
        grooves = json.loads(run(capsys, "grooves", "--json")[1])
        assert {"four-on-the-floor", "backbeat", "broken-beat", "half-time"} <= {groove["name"] for groove in grooves}


class TestOwnGrooves:
    """Grooves that a user adds to the data folder."""

    TEXT = "title: Mine\nfamily: house\nmetre: 4/4\nsteps: 16\ntempo: 110-130\nkick on: 1 2 3 4\n"

    def test_a_groove_of_ones_own_appears_and_plays(self, tmp_path, capsys):
        own = own_folder()
        own.mkdir(parents=True)
        (own / "mine.groove").write_text(self.TEXT + "kick | x... x... x... x... |\n")
        assert "mine" in run(capsys, "grooves")[1]
        assert run(capsys, "render", "--groove", "mine", "--form", "intro:4", tmp_path / "a.wav")[0] == 0

    def test_a_file_with_another_ending_is_told(self, capsys):
        own = own_folder()
        own.mkdir(parents=True)
        (own / "mine.txt").write_text(self.TEXT)
        status, _, err = run(capsys, "grooves")
        assert status == 0
        assert "mine.txt is not read" in err
        assert ".groove" in err

    def test_a_wrong_one_is_told_with_line_and_column_and_spoils_nothing(self, capsys):
        own = own_folder()
        own.mkdir(parents=True)
        (own / "mine.groove").write_text(self.TEXT + "kick | x... x..? x... x... |\n")
        status, said, err = run(capsys, "grooves")
        assert status == 2
        assert "backbeat" in said
        assert "mine.groove:7:" in err


class TestRefusals:
    def test_a_command_that_is_none_offers_the_near_one(self, capsys):
        assert "render" in refused(capsys, "rendr")

    def test_unknown_names_offer_the_near_ones(self, tmp_path, capsys):
        assert "backbeat" in refused(capsys, "render", "--groove", "backbeet", tmp_path / "a.wav")
        assert "one" in refused(capsys, "trial", "onne", "--out", tmp_path)

    @pytest.mark.parametrize("tempo", ["39.9", "240.1", "nan", "fast", "-120", "2"])
    def test_tempo_out_of_range(self, tmp_path, capsys, tempo):
        assert "tempo" in refused(capsys, "render", f"--tempo={tempo}", tmp_path / "a.wav")
        assert list(tmp_path.iterdir()) == []

    @pytest.mark.parametrize("form", ["", "intro", "intro:0", "intro:-4", "intro:x", ":4", "intro:8,,verse:4"])
    def test_forms_that_are_none(self, tmp_path, capsys, form):
        refused(capsys, "render", "--form", form, tmp_path / "a.wav")

    def test_places_that_cannot_be_written(self, tmp_path, capsys):
        (tmp_path / "folder.wav").mkdir()
        refused(capsys, "render", tmp_path / "folder.wav")
        refused(capsys, "render", tmp_path / "no" / "such" / "a.wav")
        refused(capsys, "render", tmp_path / "a.aiff")
        (tmp_path / "file").write_text("mine")
        refused(capsys, "trial", "one", "--out", tmp_path / "file")
        assert (tmp_path / "file").read_text() == "mine"

    @pytest.mark.parametrize(("truth", "beats"), [("a.wav", None), ("t.json", "./t.json"), (None, "link.wav")])
    def test_two_files_of_one_name_are_refused(self, tmp_path, capsys, truth, beats):
        """By whatever way the names lead to the same place; an older file stays as it was."""
        out = tmp_path / "a.wav"
        out.write_text("older")
        (tmp_path / "link.wav").symlink_to(out)
        words = [
            *(("--truth", tmp_path / truth) if truth else ()),
            *(("--beats", f"{tmp_path}/{beats}") if beats else ()),
        ]
        assert "different files" in refused(capsys, "render", "--form", "intro:4", *words, out)
        assert out.read_text() == "older"
        assert {path.name for path in tmp_path.iterdir()} == {"a.wav", "link.wav"}

    def test_nothing_is_half_written(self, tmp_path, capsys):
        """A truth that cannot be written leaves no sound behind either, and an older file as it was."""
        out = tmp_path / "a.wav"
        out.write_text("older")
        refused(capsys, "render", "--form", "intro:4", "--truth", tmp_path / "no" / "t.json", out)
        assert out.read_text() == "older"
        assert [path.name for path in tmp_path.iterdir()] == ["a.wav"]

    @pytest.mark.parametrize(
        ("text", "word"),
        [("", "no taps"), ("2.0\n1.0\n", "sorted"), ("12000\n14000\n16000\n", "milliseconds"), ("soon\n", "line 1")],
    )
    def test_taps_that_are_none(self, tmp_path, capsys, trial_json, text, word):
        taps = tmp_path / "taps.txt"
        taps.write_text(text)
        assert word in refused(capsys, "mark", trial_json, taps)

    def test_files_that_are_not_what_they_should_be(self, tmp_path, capsys, trial_json):
        broken = tmp_path / "broken.mid"
        broken.write_bytes(b"MThd\0\0\0\6\0\1\0\1\1\xe0MTrk\0\0\1\0")
        refused(capsys, "render", "--groove", broken, tmp_path / "a.wav")
        refused(capsys, "mark", tmp_path, trial_json)
        refused(capsys, "mark", trial_json, tmp_path)
        refused(capsys, "mark", broken, trial_json)
        refused(capsys, "mark", tmp_path / "none.json", trial_json)

    def test_wrong_options_are_told_in_one_line(self, tmp_path, capsys):
        refused(capsys, "render")
        refused(capsys, "render", "--phrase", "5", tmp_path / "a.wav")
        refused(capsys, "trial", "one", "--rung", "99", "--out", tmp_path / "t")
        refused(capsys, "trial", "one", "--seed", "-1", "--out", tmp_path / "t")
        assert f"from 0 to {'9' * 18}" in refused(capsys, "trial", "one", "--seed", "9" * 23, "--out", tmp_path / "t")
        assert "1 to 10000 bars" in refused(capsys, "render", "--form", "intro:99999999", tmp_path / "a.wav")

    @pytest.mark.parametrize(
        ("words", "told"),
        [
            (["--drill", "nonsense"], "no drill 'nonsense'"),
            (["--drill", "one", "--rung", "44"], "not 44"),
            (["--groove", "backbeet"], "backbeat"),
        ],
    )
    def test_wrong_words_are_told_before_a_missing_screen(self, capsys, monkeypatch, words, told):
        for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
            monkeypatch.delenv(name, raising=False)
        monkeypatch.setattr(sys, "platform", "linux")
        assert told in refused(capsys, *words)

    def test_without_a_screen_the_window_points_to_the_demo(self, capsys, monkeypatch):
        monkeypatch.delenv("DISPLAY", raising=False)
        monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
        monkeypatch.delenv("QT_QPA_PLATFORM", raising=False)
        monkeypatch.setattr(sys, "platform", "linux")
        assert "demo" in refused(capsys)
        monkeypatch.setenv("DISPLAY", ":987654")
        assert "demo" in refused(capsys)


@pytest.mark.parametrize("words", [["grooves"], ["--help"]])
def test_a_reader_who_has_gone_is_no_trouble(words, checkout):
    """As a user starts it, in a process of its own, into a pipe that nobody reads: it ends quietly."""
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(
        [sys.executable, "-m", "app", *words], cwd=checkout, stdout=write, stderr=subprocess.PIPE, check=False
    )
    os.close(write)
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
@pytest.mark.parametrize("words", [["drills"], ["--version"]])
def test_output_that_cannot_be_written_is_told_in_one_line(words, checkout):
    """As a user starts it, onto a disk that is full: /dev/full answers every write with ENOSPC (Linux, full(4))."""
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "app", *words], cwd=checkout, stdout=full, stderr=subprocess.PIPE, check=False
        )
    assert done.returncode == 2
    assert done.stderr.startswith(b"tallybar: the output cannot be written (")
    assert done.stderr.count(b"\n") == 1


@pytest.mark.parametrize("words", [["logbook", "restore"], ["logbook", "import"], ["mark"], ["report", "--file"]])
def test_a_name_that_is_too_long_is_told(tmp_path, capsys, words):
    name = str(tmp_path / ("x" * 300))
    more = {"mark": ["1"], "report": ["a.pdf"]}.get(words[0], [])
    assert main([*words, name, *more]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert "name too long" in err.lower()
