"""A long sitting in the real program: whole trials end to end at speed, with memory, drift and voids watched.

The window stands on the desk's X server, keys come through XTest, sound goes to the desk's sound server and is
recorded, trials go to a real logbook. Drums are named as soon as they can be; every so often every beat of a trial is
tapped, which tells how far the clock's line lies from the recording. Each trial has a seed of its own.

Two minutes, or as many seconds as TALLYBAR_SOAK_S says (1800 for the half hour). Memory is the resident size of the
program's process when a trial is over, as ``told_program`` measures it. The first quarter is warm-up: screens are
made, and the clocks have seen little yet.
"""

import os
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
from scipy.stats import theilslopes

SECONDS = float(os.environ.get("TALLYBAR_SOAK_S", "120"))
GOAL_DRIFT_MS, GOAL_MB_AN_HOUR = 1.0, 5.0
TEMPO_BPM = 174
# Where a trial of ``beat`` is loud for the first time, within 20 ms: near enough to know when to tap.
WAY_IN_S = 0.98
# What is no longer used is given back at once: else the C library keeps some MB of old sound, more or less each time.
GIVES_BACK = {"MALLOC_MMAP_THRESHOLD_": "131072", "MALLOC_TRIM_THRESHOLD_": "131072"}
# A press is known to this, and a tapped trial tells something when so many of its 24 presses are.
TOOK_S, FEWEST = 0.001, 8
LEAST_TAPPED = 6
ASKS_AGAIN = 4
# The phases of a trial that is over, and how long anything may take on a busy computer.
OVER, SLOW_S = ("marked", "void"), 8.0
# In half an hour drums are told eight times for each trial that is tapped; in two minutes more trials must be tapped.
DRUMS_BETWEEN, FEW_DRUMS_BETWEEN, LONG_S = 8, 2, 600.0


@dataclass
class Sitting:
    """What was seen: a row for each trial (moment, memory), and for each tapped one its taps, reported minus true.

    ``lost``: where the program stood when a trial did not come to its end. ``unkept``: seeds of trials that were
    shown as over and are not in the logbook, or the other way round. ``voids``: the reasons kept, empty if missing.
    ``disturbed``: what was done meanwhile to disturb it.
    """

    at_s: list[float] = field(default_factory=list)
    memory_mb: list[float] = field(default_factory=list)
    tapped_at_s: list[float] = field(default_factory=list)
    off_ms: list[np.ndarray] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)
    unkept: set[int] = field(default_factory=set)
    voids: list[str] = field(default_factory=list)
    disturbed: list[Any] = field(default_factory=list)


class Lost(Exception):
    """A trial did not come to its end; says where the program stood."""


class Learner:
    """Somebody at the desk's keyboard who looks at what is shown before each key."""

    def __init__(self, hand: Any, recorder: Any, program: Any) -> None:
        self.hand, self.recorder, self.program = hand, recorder, program

    def see(self) -> dict[str, Any]:
        """What is shown now."""
        return self.program.shown()[-1]

    def wait(self, within_s: float, *phases: str) -> dict[str, Any]:
        """What is shown as soon as it is one of these phases; what is shown then, if that takes too long."""
        end_s = time.perf_counter() + within_s
        while (seen := self.see())["phase"] not in phases and time.perf_counter() < end_s:
            time.sleep(0.01)
        return seen

    def turn_to(self, drill: str) -> None:
        """Choose another drill by keys alone, above or below in the list; ``Lost`` if it does not come."""
        from exercises.drills import drills

        order = list(drills())
        for _ in range(ASKS_AGAIN):
            if (seen := self.see())["drill"] == drill:
                return
            if seen["phase"] == "ready" and not seen["at_plan"]:
                self.hand.press("p")  # what is chosen freely is left, so that it can be turned to
                time.sleep(0.25)
            self.hand.press("f")
            self.wait(2, "ready")
            time.sleep(0.1)
            before = self.see()["drill"]
            self.hand.press("Down" if order.index(before) < order.index(drill) else "Up")
            end_s = time.perf_counter() + 2
            while self.see()["drill"] == before and time.perf_counter() < end_s:
                time.sleep(0.01)  # a second key before the first is shown would go too far
        raise self._lost()

    def begin(self, drill: str) -> int | None:
        """Return; where in the recording the sound begins, or None where it is broken before anything is heard.

        ``Lost`` if the trial does not begin.
        """
        self.turn_to(drill)
        number, since = len(self.program.shown()), self.recorder.count
        self.hand.press("Return")
        end_s = time.perf_counter() + SLOW_S
        while time.perf_counter() < end_s:
            time.sleep(0.02)
            phases = [seen["phase"] for seen in self.program.shown()[number:]]
            loud = np.flatnonzero(np.abs(self.recorder.samples(since)) > 1e-3)
            if "sounding" in phases and (len(loud) or phases[-1] in OVER):
                return since + int(loud[0]) if len(loud) else None
        raise self._lost()

    def end(self) -> None:
        """Wait for the trial's end; ``Lost`` if that does not come."""
        if self.wait(SLOW_S, *OVER)["phase"] not in OVER:
            raise self._lost()

    def _lost(self) -> Lost:
        """Where the program stands; what sounds is broken off."""
        seen = self.see()
        self.hand.press("Escape")
        self.wait(2, "ready")
        return Lost(f"{seen['drill']} {seen['phase']}, {seen['said'] or 'nothing said'}")

    def tell_drum(self) -> None:
        """A trial of ``drum``, cut short as soon as it sounds, and answered by a figure."""
        self.begin("drum")
        for _ in range(ASKS_AGAIN):
            # Void between the look and the key, Return starts the next one: that one is told then.
            if (phase := self.see()["phase"]) in OVER:
                return
            self.hand.press("Return" if phase == "sounding" else "1")
            self.wait(2, *(OVER if phase == "asking" else (*OVER, "asking")))
        self.end()

    def tap_beats(self, offsets_s: np.ndarray) -> np.ndarray:
        """A trial of ``beat``, tapped so far off what is heard; reported minus true in ms.

        The sound is known from the rung and the seed. Empty where taps did not all meet.
        """
        from exercises.drills import drill
        from tests.end_to_end.desk import RATE_HZ, lead_of

        place = self.begin("beat")
        if place is None:
            self.end()
            return np.empty(0)
        now = self.see()  # a drill that is turned to begins on the rung that fits
        targets_s = drill("beat").make(now["rung"], now["seed"], tempo_bpm=TEMPO_BPM).targets_s
        origin_s, sample_s = self.recorder.line()
        taps_s = origin_s + place * sample_s - WAY_IN_S + targets_s + np.resize(offsets_s, len(targets_s))
        tapped_s = np.array([self.hand.press_at("space", at_s) for at_s in taps_s])
        self.end()
        found = self.program.trials()[0]
        if found.void is not None:
            return np.empty(0)
        trial = drill("beat").make(found.rung, found.seed, tempo_bpm=TEMPO_BPM)
        sound = trial.samples(RATE_HZ).mean(axis=1)[: 8 * RATE_HZ]
        near = max(place - 2 * RATE_HZ, 0)  # what begins softly is heard a little after it began
        start = near + lead_of(sound, self.recorder.samples(near)[: 11 * RATE_HZ])
        origin_s, sample_s = self.recorder.line()
        heard_s = origin_s + (start + trial.targets_s * RATE_HZ) * sample_s
        if len(found.answer.taps_s) != len(tapped_s):
            return np.empty(0)
        off_ms = 1e3 * ((found.answer.taps_s - trial.targets_s) - (tapped_s - heard_s))
        # Where the screen took its time nobody knows when the tap was.
        return off_ms[np.array(self.hand.took_s[-len(tapped_s) :]) <= TOOK_S]


@contextmanager
def in_peace(desk: Any, program: Any) -> Iterator[list[Any]]:
    """Nothing is done to desk and program."""
    yield []


def sit(seconds: float, disturb: Callable[[Any, Any], Any] = in_peace) -> Sitting:
    """Trials one after the other for so long; what ``disturb`` does to desk and program lasts as long."""
    from exercises.logbook.store import Logbook
    from tests.end_to_end.desk import Desk, Hand, Recorder, wait_for
    from tests.end_to_end.program import ToldProgram, spread_offsets_s

    seen, words = Sitting(), ("--drill", "beat", "--rung", "1", "--tempo", str(TEMPO_BPM))
    between = DRUMS_BETWEEN if seconds >= LONG_S else FEW_DRUMS_BETWEEN
    offsets_s = spread_offsets_s(24)
    with tempfile.TemporaryDirectory() as folder, Desk(Path(folder)) as desk, Recorder(desk) as recorder:
        home, hand = Path(folder) / "learner", Hand(desk)
        desk.env |= GIVES_BACK
        with ToldProgram(desk, home, "told_program", *words) as program:
            hand.focus("Tallybar")
            wait_for(program.shown, 10, "nothing was shown")
            assert program.process is not None
            learner, number = Learner(hand, recorder, program), 0
            with disturb(desk, program) as seen.disturbed:
                end_s = time.perf_counter() + seconds
                # A little longer where the host made most of the tapped trials void.
                while time.perf_counter() < end_s + seconds / 2 * (len(seen.off_ms) < LEAST_TAPPED):
                    try:
                        if number % (between + 1):
                            learner.tell_drum()
                        elif len(off_ms := learner.tap_beats(offsets_s)) >= FEWEST:
                            seen.tapped_at_s.append(time.perf_counter())
                            seen.off_ms.append(off_ms)
                    except Lost as where:
                        seen.lost.append(str(where))
                    number += 1
                    seen.at_s.append(time.perf_counter())
                    seen.memory_mb.append(program.shown()[-1]["memory_mb"])
            with Logbook.open(home / "logbook.sqlite3") as logbook:
                kept = list(logbook.all())
            seen.voids = [trial.void or "" for trial in kept if trial.result is None or trial.void is not None]
            seen.unkept = {trial.seed for trial in kept} ^ {
                each["seed"] for each in program.shown() if each["phase"] in OVER
            }
        assert not any(word in program.said for word in ("tallybar:", "Traceback")), program.said
        hand.close()
    return seen


def figures(seconds: float = SECONDS) -> dict[str, dict[str, Any]]:
    """Growth of memory, drift, trials that were void, and those that nobody can explain."""
    from tests.end_to_end.desk import missing

    if missing():
        return {"drift_ms": {"value": None, "unit": "ms", "met": None, "note": missing()}}
    seen = sit(seconds)
    found: dict[str, dict[str, Any]] = {}
    at_s, memory_mb = np.array(seen.at_s), np.array(seen.memory_mb)
    warm_s = at_s[0] + (at_s[-1] - at_s[0]) / 4
    medians_ms = np.array([np.median(each) for each in seen.off_ms])
    off_ms = medians_ms[np.array(seen.tapped_at_s) >= warm_s]
    third = max(len(off_ms) // 3, 1)
    drift_ms = float(np.median(off_ms[-third:]) - np.median(off_ms[:third])) if len(off_ms) > 1 else None
    found["drift_ms"] = {
        "value": drift_ms,
        "unit": "ms",
        "goal": f"within {GOAL_DRIFT_MS:g}",
        "met": None if drift_ms is None else abs(drift_ms) <= GOAL_DRIFT_MS,
        "note": f"{len(seen.at_s)} trials in {seconds:g} s; of {len(off_ms)} tapped ones after warm-up the SD is "
        f"{np.std(off_ms):.2f}, of their taps {np.median([each.std(ddof=1) for each in seen.off_ms]):.2f}; the first "
        f"trial lay {medians_ms[0] - np.median(off_ms):+.2f} from them"
        if len(off_ms) > 1
        else f"{len(seen.at_s)} trials in {seconds:g} s, too few of them tapped",
        "tapped_medians_ms": [round(float(each), 3) for each in medians_ms],
    }
    warm = at_s >= warm_s
    # What making a trial takes for the moment swings by some MB; the median slope of all pairs (Theil and Sen) sees
    # past it.
    slope, _, low, high = 3600 * np.array(theilslopes(memory_mb[warm], at_s[warm]))
    grown_mb = slope * float(np.ptp(at_s[warm])) / 3600
    long = seconds >= LONG_S
    found["memory_mb_an_hour"] = {
        "value": float(slope),
        "unit": "MB/h",
        "goal": f"at most {GOAL_MB_AN_HOUR:g}",
        "met": bool(slope <= GOAL_MB_AN_HOUR) if long else None,
        "note": f"95 %: {low:+.1f} to {high:+.1f}; {grown_mb:+.2f} MB after warm-up, "
        f"{np.median(memory_mb[-9:]):.0f} MB at the end" + ("" if long else "; too short to judge an hour by"),
        "grown_mb": float(grown_mb),
    }
    unexplained = seen.voids.count("") + len(seen.lost) + len(seen.unkept)
    found["void_trials"] = {
        "value": len(seen.voids),
        "unit": "",
        "met": None,
        "note": "; ".join(sorted(set(filter(None, seen.voids)))),
    }
    found["unexplained_trials"] = {
        "value": unexplained,
        "unit": "",
        "goal": "0",
        "met": not unexplained,
        "note": f"{seen.voids.count('')} void without a reason, {len(seen.unkept)} shown as over and not kept or the "
        f"other way round, {len(seen.lost)} that never came{''.join(f'; {each}' for each in sorted(set(seen.lost)))}",
    }
    return found
