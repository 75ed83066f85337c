"""A newcomer's whole first day by keys alone, from an empty data folder to the plan's closing page; a tenth by mouse.

The program's clock and loudspeaker run 12 times as fast as life (see ``quick_program``): ten minutes of practice are
over in one. The window, the X server, the key presses, the plan and the logbook are real. What is shown
here is that the keyboard leads through it and that nothing is lost; how exactly a tap is told is for the other tests.
"""

import json
import os
import time
from datetime import datetime, timedelta
from pathlib import Path
from threading import Event, Thread
from typing import Self

import pytest

from app.demo.invented import PEOPLE
from exercises.trial.versions import MARKING
from tests.end_to_end.desk import wait_for
from tests.end_to_end.program import ToldProgram, command

TIMES = 12
# When the quick clock begins: noon, so that no day of a test ends at midnight.
NOON = datetime.now().astimezone().replace(hour=12, minute=0)
WELCOME_PAGES = 4
# True seconds for which a learner looks at a page: with the answer about what the plan assumes of somebody new.
LOOKS_S = 10 / TIMES
# True seconds for which a thing has to stay in its place before it is clicked on.
RESTS_S = 0.12
# True seconds by which a wrong press comes before its target: some beats of the quick clock.
HURRIES_S = 2.4 / TIMES
# Grooves and tempos in BPM of the records.
RECORDS = (("four-on-the-floor", "124"), ("backbeat", "104"), ("disco", "118"))
# What a trial takes at most on a busy computer, and for how long the window may stand still though it has a processor
# (see ``KeptWaiting``), in true seconds.
TRIAL_AT_MOST_S, STILL_AT_MOST_S = 20.0, 1.0


class QuickProgram(ToldProgram):
    """The program in quick time."""

    def __init__(self, desk, home, begun: datetime = NOON) -> None:
        super().__init__(desk, home, "quick_program", str(TIMES), begun.isoformat())

    def wait(self, number: int, seconds: float, why: str) -> list[dict]:
        """Everything shown once there are more than ``number`` of them."""
        return wait_for(lambda: len(found := self.shown()) > number and found, seconds, f"{why}: {self.said}")


def answer(hand, trial: dict, right: bool) -> None:
    """Pick a choice by its figure, as the question's answer or as another."""
    assert trial["asks"] == "choice"
    expected = trial["choices"].index(trial["expected"])
    hand.press(str((expected if right else expected + 1) % len(trial["choices"]) + 1), held_s=0.005)


def tap(hand, trial: dict, right: bool) -> None:
    """Tap the targets as they are heard, or every third of them; perfectly timed it need not be."""
    for at_s in trial["targets_s"][:: 1 if right else 3]:
        time.sleep(max(0.0, at_s - time.perf_counter()))
        hand.press("space", held_s=0.002)


class Watcher(Thread):
    """Runs beside the program until its block is left; ``longest_s`` is the longest wait that it saw."""

    def __init__(self) -> None:
        super().__init__(daemon=True)
        self.longest_s, self._over = 0.0, Event()

    def __enter__(self) -> Self:
        self.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._over.set()
        self.join()


class Sleeper(Watcher):
    """Sleeps in short turns: a wait is how much longer than asked for one took, by load alone."""

    def run(self) -> None:
        while not self._over.is_set():
            began_s = time.perf_counter()
            self._over.wait(0.005)
            self.longest_s = max(self.longest_s, time.perf_counter() - began_s - 0.005)


class Flusher(Watcher):
    """Writes to a file again and again: a wait is how long the disk kept it, whatever else was written there.

    A trial is on the disk before its result is shown, so that the window waits as long.
    """

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self._path = folder / "flushed"

    def run(self) -> None:
        with self._path.open("wb") as file:
            while not self._over.wait(0.05):
                began_s = time.perf_counter()
                file.write(b"x")
                file.flush()
                os.fsync(file.fileno())
                self.longest_s = max(self.longest_s, time.perf_counter() - began_s)


class Pointer:
    """Clicks on what the program shows, found by its words."""

    def __init__(self, hand, program: QuickProgram, home) -> None:
        self._hand, self._program, self._places = hand, program, home / "places.jsonl"

    def click(self, name: str) -> None:
        """Click on a button (its words), a choice ("choice" and its key) or the sheet, once it rests there."""
        self._hand.move(*self._place(name))
        self._hand.click(held_s=0.005)

    def _place(self, name: str) -> list[int]:
        def rests() -> list[int] | None:
            before = self._found().get(name)
            time.sleep(RESTS_S)
            return before if before == self._found().get(name) else None

        return wait_for(rests, 5, f"nowhere {name!r}: {self._program.shown()[-1]}")

    def _found(self) -> dict:
        """The places told last, of a line that is whole."""
        lines = self._places.read_bytes().split(b"\n") if self._places.exists() else []
        return json.loads(lines[-2]) if len(lines) > 1 else {}

    def answer(self, trial: dict, right: bool) -> None:
        """Click on a choice, or on the digits of a number or a place in the phrase, and on "Answer"."""
        expected = trial["expected"]
        if trial["asks"] == "choice":
            others = [key for key in trial["choices"] if key != expected]
            self.click(f"choice {expected if right else others[0]}")
            return
        digits = "".join(filter(str.isdigit, str(expected).removesuffix(".0")))
        other = "11" if digits != "11" else "12"
        for digit in digits if right else other:
            self.click(digit)
        self.click("Answer")

    def tap(self, trial: dict, right: bool) -> None:
        """Click on the sheet at the targets as they are heard, or at every third of them; a single one is hurried."""
        self._hand.move(*self._place("sheet"))
        targets_s = trial["targets_s"]
        if not right:
            targets_s = targets_s[::3] if len(targets_s) > 1 else [at_s - HURRIES_S for at_s in targets_s]
        for at_s in targets_s:
            time.sleep(max(0.0, at_s - time.perf_counter()))
            self._hand.click(held_s=0.002)


def _after(now: dict, shown: list[dict]) -> list[dict] | None:
    """What was shown, once it is another phase, or a plan that was still being made offers its first step."""
    last = shown[-1]
    planned = now["phase"] == "ready" and last["next"] and not now["next"]
    return shown if planned or last["phase"] != now["phase"] else None


@pytest.mark.desk
def test_the_tenth_day_by_mouse_alone(desk, hand, tmp_path, say, invented_weeks):
    """Five minutes of somebody with two weeks behind them: every trial begun, answered and kept by clicks.

    Three records are confirmed, songs of the program's own: some trials of the plan are on them.
    """
    home = tmp_path / "home"
    home.mkdir()
    for groove, tempo in RECORDS:
        song = tmp_path / f"{groove}.flac"
        command(
            desk, "render", "--groove", groove, "--tempo", tempo, "--form", "intro:16,verse:48", "--song", str(song)
        )
        command(desk, "records", "confirm", str(song), home=home)
    invented_weeks(2, 1, NOON).rename(home / "logbook.sqlite3")
    settings = f'first_run_done = true\nlearner = "{PEOPLE[0].name}"\nminutes_a_day = 5\nmarking = {MARKING}\n'
    settings += "records_percent = 100\n"
    (home / "settings.toml").write_text(settings)
    with QuickProgram(desk, home) as program:
        hand.focus("Tallybar")
        pointer = Pointer(hand, program, home)
        begun_s, answered = time.perf_counter(), 0
        seen = program.wait(0, 10, "no plan")
        while seen[-1].get("heading") != "That is enough for today.":
            now = seen[-1]
            assert now["page"] == "PractiseScreen", now
            if now["phase"] in ("ready", "marked", "void") and now["next"]:
                time.sleep(LOOKS_S)
                pointer.click(now["next"][0])
            elif now["phase"] == "asking" or (now["phase"] == "sounding" and now["by_taps"]):
                answered += 1
                (pointer.answer if now["phase"] == "asking" else pointer.tap)(now, answered % 3 > 0)
            seen = wait_for(
                lambda now=now: _after(now, program.shown()), TRIAL_AT_MOST_S, f"nothing came after {now}"
            )
        valid = [trial for trial in program.trials() if trial.void is None and not trial.simulated]
        say(
            f"the tenth day by mouse alone: {len(valid)} trials of {', '.join(seen[-1]['drills'])} kept in "
            f"{time.perf_counter() - begun_s:.0f} s"
        )
        for drill, trials in zip(seen[-1]["drills"], seen[-1]["trials"], strict=True):
            assert len([trial for trial in valid if trial.drill == drill]) == trials * (drill != "count-along")
        assert {trial.result["right"] for trial in valid} == {True, False}
        on_records = [trial for trial in valid if trial.recording]
        assert on_records, "no trial was on a record"
        assert len({trial.recording for trial in on_records}) > 1 or len(on_records) == 1
        assert program.process.poll() is None
        assert "Traceback" not in program.said


@pytest.mark.desk
def test_the_plan_of_the_first_day_by_keys_alone(desk, hand, tmp_path, say):
    """Return, H, the space bar and figures: every item gone through, every trial kept, one next step on every page.

    Started again on the same day, the program knows that the plan is done.
    """
    with QuickProgram(desk, tmp_path / "home") as program, Sleeper() as sleeper, Flusher(tmp_path) as flusher:
        hand.focus("Tallybar")
        begun_s = time.perf_counter()
        for page in range(1, WELCOME_PAGES + 1):
            assert program.wait(page - 1, 5, "no next page")[-1]["page"] == f"WelcomeScreen {page}"
            time.sleep(LOOKS_S)
            hand.press("Return")
        seen, answered, wrong = program.wait(WELCOME_PAGES, 5, "no plan"), 0, False
        # Beyond the plan: making trials, which the quick clock counts so many times, and hearing them again.
        made_s = again_s = 0.0
        while seen[-1].get("heading") != "That is enough for today.":
            now = seen[-1]
            if now["page"] == "LessonScreen":  # tapped along with or not, nothing is marked
                if now["next"]:
                    time.sleep(LOOKS_S)
                    hand.press("Return")
                seen = program.wait(len(seen), TRIAL_AT_MOST_S, f"nothing came after {now}")
                continue
            assert now["page"] == "PractiseScreen", now
            assert now["phase"] not in ("ready", "marked") or len(now["next"]) < 2, now
            if now["phase"] == "marked" and wrong:
                time.sleep(LOOKS_S)
                hand.press("h")
                wrong = False
            elif now["phase"] in ("ready", "marked", "void") and now["next"] and not now["again"]:
                if now["phase"] == "void" and now["by_taps"]:  # this computer stood still: it is asked once more
                    answered -= 1
                time.sleep(LOOKS_S)
                hand.press("Return")
            elif now["phase"] == "asking" or (now["phase"] == "sounding" and now["by_taps"]):
                answered += 1
                wrong = answered % 3 == 0
                (answer if now["phase"] == "asking" else tap)(hand, now, not wrong)
            since_s = time.perf_counter()
            seen = program.wait(len(seen), TRIAL_AT_MOST_S, f"nothing came after {now}")
            if now["phase"] in ("ready", "marked", "void", "making") and seen[-1]["phase"] in ("sounding", "making"):
                made_s += time.perf_counter() - since_s
            if now["again"]:
                again_s += time.perf_counter() - since_s
        took_s, last = time.perf_counter() - begun_s, seen[-1]
        kept = program.trials()
        *_, next_s, still_s = sorted(each["stood_still_s"] for each in seen[WELCOME_PAGES:])
        minutes = (last["spent_s"] - (TIMES - 1) * made_s - TIMES * again_s) / 60
        say(
            f"the first day by keys alone, clock and loudspeaker {TIMES} times as fast: {last['spent_s'] / 60:.1f} "
            f"minutes of practice in {took_s:.0f} s, {minutes:.1f} as planned, {len(kept)} trials kept, "
            f"longest wait of the window {still_s * 1e3:.0f} ms, of the disk {flusher.longest_s * 1e3:.0f} ms"
        )
        assert last["at"] == len(last["trials"])
        assert last["counts"] == last["trials"]
        assert 8 <= minutes <= 12

        # Every trial that is marked stands in the logbook; listening and counting along is not marked.
        valid = [trial for trial in kept if trial.void is None]
        for drill, trials in zip(last["drills"], last["trials"], strict=True):
            assert len([trial for trial in valid if trial.drill == drill]) == (
                0 if drill == "count-along" else trials
            )
        assert len(valid) == answered
        assert {trial.result["right"] for trial in valid} == {True, False}
        # Once the computer itself may have stood still, and so long as it kept a thread that only sleeps from waking,
        # or the disk a file.
        assert next_s < STILL_AT_MOST_S + sleeper.longest_s + flusher.longest_s

        assert len(last["next"]) == 1
        time.sleep(LOOKS_S)
        hand.press("Return")
        # The screen that is left may be drawn once more before.
        wait_for(lambda: program.shown()[-1]["page"] == "LogbookScreen", 5, "no logbook")
        assert program.process.poll() is None
        assert "Traceback" not in program.said

    with QuickProgram(desk, tmp_path / "home", NOON + timedelta(hours=1)) as again:
        before = len(again.shown())
        hand.focus("Tallybar")
        # The page is painted before its plan is read, and offers no next step until then.
        closing = wait_for(
            lambda: [each for each in again.shown()[before:] if each["next"]], 5, f"no next step: {again.said}"
        )[0]
        assert (closing["heading"], closing["counts"]) == (last["heading"], last["counts"])
