"""What is done from the moment that the window is on the screen, while all behind its first picture is loaded.

What became of it is told by the settings' file, by what the desk's sound server plays, by the program's exit status,
and once by the window itself.
"""

import signal

import numpy as np
import pytest

from tests.end_to_end.desk import wait_for
from tests.end_to_end.program import Program, ToldProgram

NAME = "earlybird"
LETTER_S = 0.03  # a fast typist's
SLOW_S = 30  # for a busy computer


@pytest.fixture
def practised(tmp_path):
    """The data folder of a learner who has seen the welcome."""
    made = tmp_path / "home"
    made.mkdir()
    (made / "settings.toml").write_text("first_run_done = true\n")
    return made


@pytest.mark.desk
def test_a_name_typed_into_the_first_picture_is_the_learner_s(desk, hand, tmp_path):
    """The welcome's first page asks for it, and Return gives it."""
    settings = tmp_path / "home" / "settings.toml"
    with Program(desk, settings.parent) as program:
        hand.focus("Tallybar", looks_s=0)
        for letter in NAME:
            hand.press(letter, held_s=LETTER_S)
        hand.press("Return")
        given = f'learner = "{NAME}"'
        wait_for(lambda: settings.exists() and given in settings.read_text(), SLOW_S, f"another name: {program.said}")


@pytest.mark.desk
def test_control_2_and_space_in_the_first_picture_play_the_board(desk, hand, recorder, practised):
    with Program(desk, practised) as program:
        hand.focus("Tallybar", looks_s=0)
        since = recorder.count
        hand.press_with("Control_L", "2")
        hand.press("space")
        wait_for(lambda: np.any(np.abs(recorder.samples(since)) > 1e-3), SLOW_S, f"nothing sounds: {program.said}")


@pytest.mark.desk
def test_return_in_the_first_picture_starts_the_trial(desk, hand, practised):
    """A busy computer may keep its sound from coming, so that the window is asked."""
    with ToldProgram(desk, practised, "told_program", "--drill", "beat") as program:
        hand.focus("Tallybar", looks_s=0)
        hand.press("Return")
        program.wait(SLOW_S, "a trial that was begun", lambda now: now["phase"] != "ready")


@pytest.mark.desk
def test_closed_in_the_first_picture_it_ends_and_keeps_the_settings(desk, hand, practised):
    with Program(desk, practised) as program:
        hand.close_window("Tallybar")
        assert program.process.wait(SLOW_S) == 0
        assert "Traceback" not in program.said
    assert "window_width_px = 1280" in (practised / "settings.toml").read_text()


@pytest.mark.desk
def test_control_c_in_the_first_picture_ends_it_with_the_shell_s_status(desk, hand, practised):
    with Program(desk, practised) as program:
        hand.focus("Tallybar", looks_s=0)
        program.process.send_signal(signal.SIGINT)
        assert program.process.wait(SLOW_S) == 130
        assert "Traceback" not in program.said
