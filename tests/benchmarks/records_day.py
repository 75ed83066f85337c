"""A folder of songs goes in, is confirmed by ear and practised on for a whole day's plan, by keys alone.

The program runs on the real X server of the end-to-end tests, its clock and loudspeaker ``TIMES`` times as fast (see
``quick_program``). Songs: of each kind of `tests/recordings/songs.py` some that are counted, and songs that must be
refused. What a grid is worth is told by the song's own truth, which the program does not have. A grid that is right
is confirmed by Return; one that is not stays as it was found. Two weeks of an invented learner stand in the logbook.
"""

import contextlib
import json
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np

# Of each kind of song so many; kinds that need packages that are not there are left out.
OF_A_KIND = 3
REFUSED = ("waltz", "five-four", "six-eight")
TIMES = 12
LOOKS_S, ANALYSIS_S, TRIAL_AT_MOST_S = 10 / TIMES, 600.0, 30.0
KEYS = {"/": "slash", ".": "period", "-": "minus", "_": "underscore"}
ENOUGH = "That is enough for today."


def fill(folder: Path) -> dict[str, Any]:
    """Write the songs, their kinds in turn; their truth by file name, None for one to refuse."""
    import soundfile

    from synth.score.arranging.arrangement import arrange
    from synth.score.grooves import groove
    from synth.sound.kit import Kit
    from synth.sound.mixdown import mixdown
    from tests.benchmarks.records import counted
    from tests.recordings.songs import write

    truths: dict[str, Any] = {}
    kinds: dict[str, int] = {}
    for song in counted():
        kinds[song.kind] = kinds.get(song.kind, 0) + 1
        if kinds[song.kind] <= OF_A_KIND:
            path, truth = write(song, folder)
            name = f"{len(truths):02}{path.suffix}"
            path.rename(folder / name)
            truths[name] = truth
    for name in REFUSED:
        pattern = groove(name, [])
        record = arrange(pattern, tempo_bpm=pattern.usual_tempo_bpm, form="intro:8,verse:32", seed=18, song=True)
        file = f"{len(truths):02}.flac"
        soundfile.write(folder / file, mixdown(record, Kit(18, 44_100)), 44_100)
        truths[file] = None
    return truths


def is_right(grid: dict[str, Any], truth: Any) -> bool:
    """Whether tempo, beats and ones of a grid are those of the song."""
    from tests.benchmarks.records import ONE_WITHIN_S, beats_f

    if abs(grid["tempo_bpm"] - truth.tempo_bpm) > 0.01:
        return False
    beats_s = np.arange(grid["one_s"], grid["duration_s"], 60 / grid["tempo_bpm"])
    if beats_f(beats_s, truth.beats_s[truth.beats_s > beats_s[0] - 0.1]) < 0.9:
        return False
    return truth.ones_s is None or float(np.abs(truth.ones_s - grid["one_s"]).min()) < ONE_WITHIN_S


class Day:
    """The hand before the program, and what came of it."""

    def __init__(self, hand: Any, program: Any, home: Path) -> None:
        self.hand, self.program, self.home = hand, program, home
        self.begun_s = time.perf_counter()

    def entries(self) -> dict[str, dict[str, Any]]:
        """What the catalogue holds, by file name."""
        found = [json.loads(each.read_text()) for each in (self.home / "recordings").glob("?" * 32 + ".json")]
        return {Path(each["path"]).name: each for each in found}

    def until(self, holds: Callable[[], object], seconds: float, why: str) -> Any:
        """What holds, once it does."""
        from tests.end_to_end.desk import wait_for

        return wait_for(holds, seconds, f"{why}: {self.program.shown()[-1:]} {self.program.said}")

    def page(self) -> str:
        """The page that is shown."""
        return str(self.program.shown()[-1]["page"])

    def add(self, folder: Path, many: int) -> float:
        """Let a folder in by its dialog; the seconds until each file is analysed."""
        self.hand.press_with("Control_L", "4")
        self.until(lambda: self.page() == "RecordsScreen", 10, "no page of records")
        self.hand.down("Shift_L")
        self.hand.press_with("Control_L", "o")
        self.hand.up("Shift_L")
        self.hand.focus("Add a folder…")
        for letter in str(folder):
            self.hand.press(KEYS.get(letter, letter), held_s=0.005)
        self.hand.press("Return")
        self.hand.focus("Tallybar")
        begun_s = time.perf_counter()
        self.until(lambda: len(self.entries()) == many, ANALYSIS_S, "not every file was read")
        return time.perf_counter() - begun_s

    def confirm(self, right: set[str]) -> None:
        """Open one record after the other; confirm what is right."""
        self.hand.focus("Tallybar")  # nobody manages windows: a dialog that closes late takes the keyboard with it
        time.sleep(2.0)
        self.hand.press("Home")
        for name in sorted(self.entries()):
            if name in right:
                self.hand.press("Return")
                self.until(lambda: self.page() == "RecordPage", 10, f"{name} was not opened")
                time.sleep(LOOKS_S)
                self.hand.press("Return")
                self.until(lambda name=name: self.entries()[name]["state"] == "confirmed", 10, f"{name}: not kept")
                self.until(lambda: self.page() == "RecordsScreen", 10, "no way back")
                time.sleep(0.3)
            self.hand.press("Down")

    def practise(self) -> dict[str, Any]:
        """The whole plan by keys, two of three answers right; what the closing page tells."""
        self.hand.press_with("Control_L", "1")
        self.until(lambda: self.page() == "PractiseScreen", 10, "no plan")
        seen, answered = self.program.shown(), 0
        while seen[-1].get("heading") != ENOUGH:
            now = seen[-1]
            if now["phase"] in ("ready", "marked", "void") and now["next"]:
                time.sleep(LOOKS_S)
                self.hand.press("Return")
            elif now["phase"] == "asking" or (now["phase"] == "sounding" and now["by_taps"]):
                answered += 1
                (self._answer if now["phase"] == "asking" else self._tap)(now, answered % 3 > 0)
            seen = self.program.wait(len(seen), TRIAL_AT_MOST_S, f"nothing came after {now}")
        return dict(seen[-1])

    def _tap(self, trial: dict[str, Any], right: bool) -> None:
        from tests.end_to_end.test_todays_plan import tap

        tap(self.hand, trial, right)

    def _answer(self, trial: dict[str, Any], right: bool) -> None:
        """Press the figure of a choice, or type a number or a place; what is wrong is the first bar and beat."""
        from tests.end_to_end.test_todays_plan import answer

        if trial["asks"] == "choice":
            answer(self.hand, trial, right)
            return
        text = str(trial["expected"]).removesuffix(".0") if right else "11"
        bar, _, _ = text.partition(".")
        for key in text if len(bar) > 1 else text.replace(".", ""):
            self.hand.press(KEYS.get(key, key), held_s=0.005)
        self.hand.press("Return")


@contextlib.contextmanager
def short() -> Iterator[Path]:
    """A folder whose path can be typed without the shift key."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder).with_name(f"songs{abs(hash(folder)) % 10**8}")
        path.mkdir()
        try:
            yield path
        finally:
            for each in path.iterdir():
                each.unlink()
            path.rmdir()


def figures() -> dict[str, dict[str, Any]]:
    """Grids of the folder right or refused, and the day on them."""
    from app.demo.invented import PEOPLE, demo_weeks
    from exercises.trial.versions import MARKING
    from tests.end_to_end.desk import Desk, Hand, missing
    from tests.end_to_end.test_todays_plan import QuickProgram

    if lacking := missing():
        return {"trials_on_records": {"value": None, "met": None, "note": lacking}}
    with tempfile.TemporaryDirectory() as kept, short() as folder:
        home = Path(kept) / "data"
        home.mkdir()
        truths = fill(folder)
        for _ in demo_weeks(home / "logbook.sqlite3", 2, 1, now=datetime.now(UTC)):
            pass
        settings = f'first_run_done = true\nlearner = "{PEOPLE[0].name}"\nminutes_a_day = 10\nmarking = {MARKING}\n'
        (home / "settings.toml").write_text(settings + "records_percent = 100\n")
        with (
            Desk(Path(kept)) as desk,
            QuickProgram(desk, home) as program,
            contextlib.closing(Hand(desk)) as hand,
        ):
            hand.focus("Tallybar")
            program.wait(0, 20, "no plan")
            day = Day(hand, program, home)
            read_s = day.add(folder, len(truths))
            found = day.entries()
            states = {name: each["state"] for name, each in found.items()}
            refused = {name for name, state in states.items() if state == "refused"}
            right = {
                name for name in set(found) - refused if truths[name] and is_right(found[name]["grid"], truths[name])
            }
            sure_wrong = {name for name in set(found) - refused - right if found[name]["grid"]["sure"]}
            day.confirm(right)
            last = day.practise()
            trials = [each for each in program.trials() if each.void is None and not each.simulated]
            void = [each for each in program.trials() if each.void is not None]
            said = program.said
    on_records = [each for each in trials if each.recording]
    wanted = {name for name, truth in truths.items() if truth is None}
    done = last["at"] == len(last["trials"]) and last["counts"] == last["trials"] and "Traceback" not in said
    drills = sorted({each.drill for each in on_records})
    return {
        "songs_right": {
            "value": len(right),
            "unit": f"of {len(truths) - len(wanted)}",
            "note": f"read in {read_s:.0f} s",
        },
        "songs_refused": {
            "value": len(refused & wanted),
            "unit": f"of {len(wanted)}",
            "goal": "all",
            "met": refused >= wanted,
            "note": f"{len(refused - wanted)} of the others refused",
        },
        "sure_and_wrong": {"value": len(sure_wrong), "unit": "songs", "goal": "none", "met": not sure_wrong},
        "plan_done": {"value": int(done), "goal": "1", "met": done, "note": f"items: {', '.join(last['drills'])}"},
        "trials_on_records": {
            "value": len(on_records),
            "unit": f"of {len(trials)}",
            "goal": "at least half",
            "met": 2 * len(on_records) >= len(trials),
            "note": f"{', '.join(drills)}; {len({each.recording for each in on_records})} records, {len(void)} void",
        },
    }
