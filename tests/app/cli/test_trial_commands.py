"""The commands ``trial`` and ``mark``: a trial as files, marked, and made into sound again."""

import json

import numpy as np
import pytest

from tests.app.cli.typed import refused, run

pytestmark = pytest.mark.sampled(6)


class TestTrialAndMark:
    def test_taps_20_ms_early_are_marked_so(self, tmp_path, capsys, trial_json):
        ones = np.array(json.loads(trial_json.read_text())["targets_s"])
        taps = tmp_path / "taps.txt"
        taps.write_text("".join(f"{one - 0.020:.6f}\n" for one in ones))
        status, said, _ = run(capsys, "mark", trial_json, taps, "--json")
        marked = json.loads(said)
        assert status == 0
        assert marked["hits"] == marked["targets"] == len(ones)
        assert (marked["missed"], marked["extra"]) == (0, 0)
        assert marked["bias_ms"] == pytest.approx(-20.0, abs=0.01)
        assert marked["spread_ms"] == pytest.approx(0.0, abs=0.01)
        keys = "targets hits missed extra bias_ms spread_ms bias_ci95_ms uncertainty_ms errors_ms beat_tapped verdict"
        assert set(keys.split()) <= set(marked)

    def test_a_learner_on_the_three_is_told(self, tmp_path, capsys, trial_json):
        trial = json.loads(trial_json.read_text())
        ones = np.array(trial["targets_s"]) + 2 * trial["period_s"]
        taps = tmp_path / "taps.txt"
        taps.write_text("\n".join(map(str, ones)))
        _, said, _ = run(capsys, "mark", trial_json, taps)
        assert "three" in said

    def test_taps_before_the_first_one_are_told_so(self, tmp_path, capsys, trial_json):
        """Somebody who tapped is not told that no tap came in."""
        trial = json.loads(trial_json.read_text())
        first_s, end_s = trial["targets_s"][0], trial["beats_s"][-1]
        taps = tmp_path / "taps.txt"
        for words, at in (
            ("before the first that counts", first_s - 2 * trial["period_s"]),
            ("had stopped", end_s + 2),
        ):
            taps.write_text(f"{at}\n")
            said = run(capsys, "mark", trial_json, taps)[1]
            assert words in said
            assert "No tap came in" not in said

    def test_a_choice_by_its_key_its_number_or_its_words(self, tmp_path, capsys):
        run(capsys, "trial", "drum", "--out", tmp_path)
        given = {}
        for answer in ("low", "1", "the kick", "The Snare or Clap", "2"):
            given[answer] = json.loads(run(capsys, "mark", tmp_path / "trial.json", answer, "--json")[1])["given"]
        assert list(given.values()) == ["low", "low", "low", "sharp", "sharp"]
        said = refused(capsys, "mark", tmp_path / "trial.json", "3")
        assert "low, sharp" in said
        assert "file" in said

    def test_a_place_in_the_count_is_an_answer_and_taps_are_a_file(self, tmp_path, capsys, trial_json):
        run(capsys, "trial", "stopped-bar", "--out", tmp_path)
        assert json.loads(run(capsys, "mark", tmp_path / "trial.json", "3.2", "--json")[1])["given"] == "3.2"
        assert "cannot be read" in refused(capsys, "mark", trial_json, "3.2")

    def test_a_bias_of_nothing_has_no_minus(self, tmp_path, capsys, trial_json):
        ones = np.array(json.loads(trial_json.read_text())["targets_s"])
        taps = tmp_path / "taps.txt"
        taps.write_text("".join(f"{one - 1e-7:.9f}\n" for one in ones))
        said = run(capsys, "mark", trial_json, taps)[1]
        assert "bias +0.0 ms (95 %: +0.0 to +0.0)" in said
        assert "-0.0," not in run(capsys, "mark", trial_json, taps, "--json")[1]

    def test_a_lost_count_is_wrong_and_no_error(self, tmp_path, capsys, trial_json):
        status, said, _ = run(capsys, "mark", trial_json, "lost")
        assert (status, said.splitlines()[0][:31]) == (0, "Not yet. You lost the count and")

    @pytest.mark.parametrize(("key", "wrong"), [("rung", 99), ("drill", "onne"), ("kind", "press")])
    def test_a_trial_that_no_drill_makes_is_refused(self, tmp_path, capsys, trial_json, key, wrong):
        trial_json.write_text(json.dumps(json.loads(trial_json.read_text()) | {key: wrong}))
        assert f"'{key}'" in refused(capsys, "mark", trial_json, tmp_path / "taps.txt")

    @pytest.mark.sweep("one")
    @pytest.mark.parametrize("drill", ["one", "turn", "feel"])
    def test_a_trial_of_taps_without_targets_is_none(self, tmp_path, capsys, drill):
        run(capsys, "trial", drill, "--out", tmp_path)
        file, taps = tmp_path / "trial.json", tmp_path / "taps.txt"
        file.write_text(json.dumps(json.loads(file.read_text()) | {"targets_s": []}))
        taps.write_text("1.0\n2.0\n")
        assert "targets_s is empty" in refused(capsys, "mark", file, taps)


class TestTrialAgain:
    """A trial.json made into sound again: its own, or plain drums, and said so."""

    def test_its_own_sound_in_the_same_version(self, tmp_path, capsys):
        run(capsys, "trial", "drum", "--rung", 3, "--tempo", 110, "--groove", "rock", "--out", tmp_path / "t")
        status, said, err = run(capsys, "trial", tmp_path / "t" / "trial.json", "--out", tmp_path / "again")
        assert (status, err) == (0, "")
        assert "drum alone" in said
        for name in ("trial.wav", "trial.json"):
            assert (tmp_path / "again" / name).read_bytes() == (tmp_path / "t" / name).read_bytes()

    def test_plain_drums_and_the_same_marks_in_another(self, tmp_path, capsys):
        run(capsys, "trial", "stopped-beat", "--out", tmp_path)
        trial = tmp_path / "trial.json"
        made = json.loads(trial.read_text())
        marks = run(capsys, "mark", trial, made["expected"], "--json")[1]
        own = (tmp_path / "trial.wav").read_bytes()
        trial.write_text(json.dumps(made | {"version": 1, "rung": 99}))
        status, _, err = run(capsys, "trial", trial, "--out", tmp_path)
        assert status == 0
        assert err == (
            "tallybar: Another version of the program made this trial. What sounds are plain drums on its beats, not"
            " its own sound.\n"
        )
        assert (tmp_path / "trial.wav").read_bytes() != own
        assert json.loads(trial.read_text())["version"] == 1
        again = json.loads(run(capsys, "mark", trial, made["expected"], "--json")[1])
        assert again == json.loads(marks) | {"rung": 99}

    def test_what_belongs_to_a_drill_is_refused_with_a_file(self, tmp_path, capsys, trial_json):
        assert "--rung" in refused(capsys, "trial", trial_json, "--rung", 2, "--out", tmp_path)
        data = json.loads(trial_json.read_text())
        trial_json.write_text(json.dumps(data | {"end_s": 9e5, "version": 1}))
        assert "10 minutes" in refused(capsys, "trial", trial_json, "--out", tmp_path)
