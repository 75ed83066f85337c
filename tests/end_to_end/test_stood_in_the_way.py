"""What once stood in the way of a first day, on the real screen: nothing is answered, changed or lost by accident."""

import time

import pytest

from app.settings import Settings
from exercises.logbook.store import Logbook
from tests.end_to_end.desk import wait_for
from tests.end_to_end.test_todays_plan import LOOKS_S, WELCOME_PAGES, Pointer, QuickProgram

# Presses of Tab from the first choice of the settings to the learner's name.
TABS_TO_NAME = 7


@pytest.mark.desk
def test_a_name_an_answer_a_wheel_and_a_look_at_the_help_cost_nothing(desk, hand, tmp_path):
    """By keys alone, but for the wheel.

    Return answers no question by itself; help leaves the question as it is; another tab drops the trial, not the day;
    the wheel turns no number that nobody is at; another name keeps every trial.
    """
    home = tmp_path / "home"
    with QuickProgram(desk, home) as program:

        def until(what: str, **holds: object) -> dict:
            """What is shown once it holds all that."""

            def found() -> dict | None:
                now = (program.shown() or [{}])[-1]
                return now if holds.items() <= now.items() else None

            return wait_for(found, 20, f"not shown: {what}, but {(program.shown() or [{}])[-1]}")

        def named(name: str) -> list[str]:
            with Logbook.open(home / "logbook.sqlite3") as logbook:
                known = logbook.known()
                return [f"{each.name} {logbook.count(each.id)}" for each in known if each.name == name]

        hand.focus("Tallybar")
        for letter in "mia":
            hand.press(letter)
        for page in range(1, WELCOME_PAGES + 1):
            until("the next page of the welcome", page=f"WelcomeScreen {page}")
            time.sleep(LOOKS_S)
            hand.press("Return")
        until("the plan", page="PractiseScreen", phase="ready", at=0)
        for _ in ("the lesson", "counting along"):
            time.sleep(LOOKS_S)
            hand.press("s")
        until("the first question drill", at=1)
        time.sleep(LOOKS_S)
        hand.press("Return")
        asked = until("a question", phase="asking", drill="drum")
        time.sleep(LOOKS_S)
        hand.press("Return")
        time.sleep(LOOKS_S)
        hand.press("F1")
        until("the help", page="HelpScreen")
        hand.press("Escape")
        back = until("the question again", phase="asking")
        assert (back["drill"], back["expected"], program.trials()) == ("drum", asked["expected"], [])
        hand.press("1")
        until("a result", phase="marked")
        wait_for(lambda: named("mia") == ["mia 1"], 10, "the trial was not kept")

        time.sleep(LOOKS_S)
        hand.press("Return")
        until("the next trial", phase="sounding")
        hand.press_with("Control_L", "comma")
        until("the settings", page="SettingsScreen")
        hand.move(*Pointer(hand, program, home)._place("A day's practice"))
        hand.wheel(3)
        for _ in range(TABS_TO_NAME):
            hand.press("Tab")
        hand.press_with("Control_L", "a")
        for letter in "miriam":
            hand.press(letter)
        hand.press("Return")
        wait_for(lambda: named("miriam") == ["miriam 1"], 10, f"not renamed: {named('mia')}")
        assert named("mia") == []
        assert f"minutes_a_day = {Settings().minutes_a_day}" in (home / "settings.toml").read_text()
        hand.press_with("Control_L", "1")
        until("the day as it was", page="PractiseScreen", phase="ready", at=1)
        assert program.process.poll() is None
        assert "Traceback" not in program.said
