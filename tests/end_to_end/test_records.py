"""An own song as a record, by keys alone: added, analysed, confirmed by ear, and a trial practised on it.

The song is rendered by the command `render`, with its ones. Where it plays in the trial is known from outside: what
the sound server played is looked for in the song, by their cross-correlation.
"""

import json
import os
import shutil
import tempfile
import time
from pathlib import Path

import numpy as np
import pytest
import soundfile

from tests.end_to_end.desk import RATE_HZ, lead_of, wait_for
from tests.end_to_end.program import ToldProgram, command

# Forms: 32 bars at 124 BPM last 62 s. A hundredth of the analysis' patience on a busy computer.
SONG = ("render", "--groove", "four-on-the-floor", "--tempo", "124", "--form", "intro:8,verse:16,chorus:8", "--song")
ANALYSIS_S, TRIAL_S, AGAIN = 120.0, 60.0, 3
KEYS = {"/": "slash", ".": "period", "-": "minus"}
# How far the program's ones may be from those that were heard: the grid's own 3 ms, and the clock's line.
ONES_WITHIN_S, PART_S = 0.02, 6.0


@pytest.fixture
def short():
    """A folder whose path can be typed without the shift key."""
    folder = Path(tempfile.gettempdir(), f"tallybar{os.getpid()}")
    folder.mkdir()
    yield folder
    shutil.rmtree(folder)


def entry_of(home: Path) -> dict | None:
    """What the catalogue has of the only record."""
    for each in (home / "recordings").glob("?" * 32 + ".json"):
        return json.loads(each.read_text())
    return None


@pytest.mark.desk
def test_an_own_song_goes_in_is_confirmed_and_practised_on(desk, hand, recorder, tmp_path, short, say):
    home, song = tmp_path / "home", short / "song.wav"
    home.mkdir()
    (home / "settings.toml").write_text('first_run_done = true\nmarking = 9999\ndrill = "one"\nrung = 4\n')
    command(desk, *SONG, "--truth", str(short / "truth.json"), str(song))
    ones_s = np.array(json.loads((short / "truth.json").read_text())["ones_s"])
    with ToldProgram(desk, home, "told_program") as program:
        hand.focus("Tallybar")
        begun_s = time.perf_counter()
        hand.press_with("Control_L", "4")
        time.sleep(2.0)
        hand.press_with("Control_L", "o")
        hand.focus("Add files…")
        for letter in str(song):
            hand.press(KEYS.get(letter, letter))
        hand.press("Return")
        hand.focus("Tallybar")
        found = wait_for(lambda: entry_of(home), ANALYSIS_S, f"no record came: {program.said}")
        assert found["state"] == "found"
        assert found["grid"]["tempo_bpm"] == pytest.approx(124, abs=0.01)
        time.sleep(1.0)
        hand.turn("Return", 20)  # opens the record, which sounds
        for key in ("l", "p", "u", "u"):  # a beat later, a phrase here, and both taken back
            hand.press(key)
            time.sleep(0.3)
        hand.press("Return")
        confirmed = wait_for(
            lambda: (entry := entry_of(home))["state"] == "confirmed" and entry, 10, f"not confirmed: {program.said}"
        )
        assert (confirmed["confirmed_by"], confirmed["grid_version"]) == ("learner", 1)
        assert confirmed["grid"] == found["grid"]
        time.sleep(0.5)
        hand.press_with("Control_L", "g")  # practise on it
        time.sleep(1.0)
        for number in range(1, AGAIN + 1):  # again if a stalled computer made it void
            since = len(program.shown())
            hand.press("Return")
            heard = program.wait(TRIAL_S, "a trial", _sounds, since)
            for at_s in heard["targets_s"]:
                hand.press_at("space", at_s)
            trial = program.wait_for_trial(number, TRIAL_S)
            if trial.void is None:
                break
            time.sleep(1.0)
    assert trial.recording == found["print"]
    assert trial.void is None, trial.void
    assert trial.result["right"], trial.result
    bar_s = 240 / 124
    true_s = _heard_ones_s(recorder, song, ones_s, heard["targets_s"][0])[0]
    off_s = np.abs((np.array(heard["targets_s"]) - true_s + bar_s / 2) % bar_s - bar_s / 2)
    say(
        f"an own song as a record: added, confirmed and practised on in {time.perf_counter() - begun_s:.0f} s; the"
        f" ones asked for are at most {1000 * off_s.max():.1f} ms from those heard"
    )
    assert off_s.max() < ONES_WITHIN_S


def _sounds(told: dict) -> bool:
    """Whether a trial with targets sounds."""
    return told["phase"] == "sounding" and bool(told["targets_s"])


def _heard_ones_s(recorder, song: Path, ones_s: np.ndarray, at_s: float) -> np.ndarray:
    """When the ones of the song were heard, by some seconds of what was played from ``at_s`` on."""
    sound, rate_hz = soundfile.read(song, dtype="float32", always_2d=True)
    assert rate_hz == RATE_HZ
    zero_s, step_s = recorder.line()
    first = round((at_s - zero_s) / step_s)
    part = recorder.samples()[first : first + round(PART_S * RATE_HZ)]
    assert np.abs(part).max() > 0.001, "nothing was heard"
    place = lead_of(part, sound.mean(axis=1))
    return zero_s + step_s * (first + ones_s * RATE_HZ - place)
