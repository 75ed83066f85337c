"""Sounds that a tutor makes of a record: what is heard where, and what is refused in one line."""

import json

import numpy as np
import pytest
import soundfile

from app.cli.commands import main
from synth.base.errors import Trouble
from synth.catalogue.catalogue import Catalogue
from synth.recording.decoder import Decoder
from synth.recording.teaching import LEAD_IN_S
from tests.synth.recording.drums import RATE_HZ, drums

BEAT_S, START_S = 60 / 124, 0.25


@pytest.fixture(scope="module")
def recording(tmp_path_factory):
    path = tmp_path_factory.mktemp("recording") / "drums.flac"
    soundfile.write(path, drums(bars=24)[0], RATE_HZ)
    return path


@pytest.fixture
def run(capsys):
    """Runs a command; gives status, output and trouble."""

    def command(*words: object) -> tuple[int, str, str]:
        status = main([*map(str, words)])
        told = capsys.readouterr()
        return status, told.out, told.err

    return command


def attacks_s(path, until_s=None):
    """Where the sound of a file rises most, by frames of 1 ms: the kicks and snares of ``drums``."""
    samples, rate = soundfile.read(path)
    power = np.square(samples.mean(axis=1) if samples.ndim > 1 else samples)
    frames = rate // 1000
    level = np.add.reduceat(power, np.arange(0, len(power), frames))
    rise = np.maximum(0, np.diff(np.log(level + 1e-6)))
    return np.flatnonzero(rise > 3) * frames / rate


@pytest.mark.usefixtures("no_processes")
@pytest.mark.proof
@pytest.mark.parametrize("ending", ["wav", "mp3"])
def test_bars_of_a_record_come_with_the_count_over_them(recording, run, tmp_path, ending):
    before = recording.read_bytes()
    out = tmp_path / f"counted.{ending}"
    status, told, _ = run(
        "records", "count", recording, out, "--from", 5, "--bars", 4, "--way", "letters", "--voice", "es"
    )
    assert status == 0
    assert "4 bars at 124.00 BPM" in told
    assert "for your own use" in told
    sound = soundfile.info(out)
    assert sound.duration == pytest.approx(LEAD_IN_S + 16 * BEAT_S, abs=0.05)
    assert recording.read_bytes() == before
    # Beats of the record lie where the count has them, to some ms.
    found = attacks_s(out)
    beats_s = LEAD_IN_S + BEAT_S * np.arange(1, 16)
    assert np.median([np.abs(found - beat_s).min() for beat_s in beats_s]) < 0.005


@pytest.mark.usefixtures("no_processes")
@pytest.mark.proof
def test_a_drum_intro_is_put_in_front_on_its_grid(recording, run, tmp_path):
    out = tmp_path / "intro.flac"
    status, told, _ = run("records", "intro", recording, out, "--bars", 4)
    assert status == 0
    assert f"{4 + 24} bars" in told
    samples, rate = soundfile.read(out)
    enters = round((LEAD_IN_S + 16 * BEAT_S) * rate)
    assert np.abs(samples[: round(LEAD_IN_S * rate) - 100]).max() < 1e-3
    assert np.abs(samples[enters - rate : enters]).max() > 0.05
    found = attacks_s(out)
    kicks_s = LEAD_IN_S + BEAT_S * np.array([0, 1, 2, 4, 6, 16, 18, 20, 24])
    assert np.median([np.abs(found - kick_s).min() for kick_s in kicks_s]) < 0.005


@pytest.mark.usefixtures("no_processes")
def test_what_cannot_be_made_is_one_line_and_nothing_is_written(recording, run, tmp_path):
    out = tmp_path / "out.wav"
    for words, why in (
        (("count", recording, recording.with_suffix(".txt")), ".txt"),
        (("count", recording, recording), "would replace the record itself"),
        (("count", recording, out, "--from", 900), "has bars 1 to"),
        (("intro", recording, out, "--groove", "waltz"), "not in four"),
        (("intro", recording, out, "--groove", "walz"), "walz"),
        (("count", tmp_path / "none.mp3", out), "no such record"),
    ):
        status, told, trouble = run("records", *words)
        assert (status, told) == (2, ""), words
        assert why in trouble
        assert trouble.count("\n") == 1
        assert not out.exists()


@pytest.mark.usefixtures("no_processes")
def test_of_a_record_that_goes_before_it_is_mixed_nothing_is_written(recording, run, tmp_path, monkeypatch):
    def gone(self, path, *_):
        raise Trouble(f"{path}: cannot be read (no such file or directory)")

    monkeypatch.setattr(Decoder, "weighed", gone)
    status, told, trouble = run("trial", "one", "--record", recording, "--out", tmp_path / "trial")
    assert (status, told) == (2, "")
    assert "no such file" in trouble
    assert not (tmp_path / "trial").exists()


@pytest.mark.proof
def test_a_trial_is_made_of_a_record_and_marked(recording, run, tmp_path):
    status, _, trouble = run("trial", "stopped-beat", "--record", recording, "--seed", 3, "--out", tmp_path / "trial")
    assert (status, trouble) == (0, "")
    made = json.loads((tmp_path / "trial" / "trial.json").read_text())
    (known,) = Catalogue()
    assert made["recorded"]["print"] == known.print
    samples, rate = soundfile.read(tmp_path / "trial" / "trial.wav")
    assert len(samples) / rate == pytest.approx(made["end_s"], abs=0.01)
    status, told, _ = run("mark", tmp_path / "trial" / "trial.json", made["expected"])
    assert told.startswith("Right.")
    for words, why in (
        (("one", "--record", recording, "--tempo", 120), "does not go with --record"),
        (("drum", "--record", recording), "not practised on your own records"),
    ):
        status, _, trouble = run("trial", *words, "--out", tmp_path / "more")
        assert (status, why in trouble) == (2, True), trouble
        assert not (tmp_path / "more").exists()
