"""Sixty verdicts drawn at random from simulated trials of all drills, printed with the facts of their trials.

Each is checked by rule: what it counts, names and praises is what the trial holds. The figure says how many verdicts
break one; the verdicts themselves go to standard error, in English, or in Spanish with TALLYBAR_VERDICTS=es.
TALLYBAR_VERDICTS_SEED draws others.

World: every marked drill, a rung drawn evenly, one of the simulated learners or of the tappers below, calibrated in
two trials of three, an uncertainty of 3 ms; seed 5, from which the trials' seeds are drawn as well.
"""

import os
import re
import sys
from typing import Any

import numpy as np

from app.demo.simulated import LEARNERS, simulate
from exercises.drills import drills, marked_drills
from exercises.timing.drift import HEARD_SHARE
from exercises.trial.habit import asked_for
from exercises.trial.result import Result
from exercises.trial.trial import LOST_COUNT, Answer, Kind, Trial

MANY, SEED, UNCERTAINTY_MS = 60, 5, 3.0
COUNTS = re.compile(r"(\d+) of (\d+)\b")


def doubled(trial: Trial, rng: np.random.Generator) -> Answer:
    """Some targets tapped twice."""
    again = rng.random(len(trial.targets_s)) < rng.uniform(0.05, 0.5)
    return Answer(np.sort(np.append(trial.targets_s, trial.targets_s[again] + 0.12)), _near(trial, rng))


def gappy(trial: Trial, rng: np.random.Generator) -> Answer:
    """Some targets left out, an uneven hand."""
    kept_s = trial.targets_s[rng.random(len(trial.targets_s)) < rng.uniform(0.5, 0.95)]
    return Answer(np.sort(kept_s + rng.normal(rng.normal(0, 0.02), 0.02, len(kept_s))), _near(trial, rng))


def lost(trial: Trial, rng: np.random.Generator) -> Answer:
    """Says that the count was lost."""
    return Answer(value=LOST_COUNT)


def _near(trial: Trial, rng: np.random.Generator) -> str | float | None:
    """An answer drawn from all of them."""
    offered = drills()[trial.drill].answers(trial)
    return offered[int(rng.integers(len(offered)))] if offered else trial.expected


def draw(rng: np.random.Generator) -> tuple[str, Trial, Answer, bool]:
    """Who answered, the trial, the answer, and whether the equipment was calibrated."""
    ladder = marked_drills()
    one = ladder[int(rng.integers(len(ladder)))]
    trial = one.make(int(rng.integers(len(one.rungs))) + 1, int(rng.integers(2**31)))
    own = {"doubled": doubled, "gappy": gappy, "lost": lost}
    names = [*LEARNERS, *own]
    who = names[int(rng.integers(len(names)))]
    answer = own[who](trial, rng) if who in own else simulate(who, trial)
    if answer.value is None and (trial.then is not Kind.NONE or trial.kind not in (Kind.TAPS, Kind.PRESS)):
        answer = Answer(answer.taps_s, _near(trial, rng))
    return who, trial, answer, bool(rng.random() < 2 / 3)


def broken(trial: Trial, answer: Answer, result: Result, calibrated: bool) -> list[str]:
    """Rules that a verdict breaks."""
    text, marks, found = result.text, result.taps, []
    if result.right is not None and not str(result).startswith("Right. " if result.right else "Not yet. "):
        found.append("right or wrong does not stand first")
    if not calibrated and re.search(r"\bms (early|late)\b|on time|too close", text):
        found.append("early or late without calibration")
    if not result.right and len(result.verdict) == 1 and text.count(".") < 2 and "?" not in text:
        found.append("wrong without a next step")
    if any(len(re.findall(r"[\w'%]+", each)) > 25 for each in re.split(r"(?<=[.?!])\s", text)):
        found.append("a sentence of more than 25 words")
    if marks is None:
        return found
    asked = asked_for(marks.targets, marks.hits, marks.hits + marks.extra)
    if not asked and re.search(r"on time|steady|every time", text):
        found.append("praise for taps that are not what was asked")
    if marks.extra and re.search(r"had (it|the \w+|every \w+) every time|You had every", text):
        found.append("extra taps hidden behind praise")
    told = COUNTS.search(text)
    if told and int(told[2]) == marks.targets and int(told[1]) != marks.hits:
        found.append("another count of what was met")
    many = re.search(r"(\d+|one) (?:taps?|press(?:es)?) too many", text)
    if many and int(many[1].replace("one", "1")) != marks.extra:
        found.append("another count of what was too many")
    if marks.bias_ci95_ms is not None and calibrated:
        low, high = marks.bias_ci95_ms[0] - marks.uncertainty_ms, marks.bias_ci95_ms[1] + marks.uncertainty_ms
        band_ms = 1000 * HEARD_SHARE * trial.period_s
        if "on time" in text and not -band_ms <= low <= high <= band_ms:
            found.append("on time where that is not sure")
        if re.search(r"about \d+ ms (early|late)", text) and low <= 0 <= high:
            found.append("early or late where that is not sure")
    return found


def facts(trial: Trial, answer: Answer, result: Result, who: str, calibrated: bool) -> str:
    """The trial in a line."""
    parts = [f"{trial.drill} {trial.rung}", who, "calibrated" if calibrated else "not calibrated"]
    if result.taps is not None:
        marks = result.taps
        parts.append(f"{marks.hits} of {marks.targets} met, {marks.extra} extra")
        if marks.bias_ci95_ms is not None:
            low, high = marks.bias_ci95_ms
            parts.append(f"bias {marks.bias_ms:.0f} ({low:.0f} to {high:.0f}), spread {marks.spread_ms:.0f} ms")
    elif trial.kind is Kind.PRESS and answer.taps_s.size:
        parts.append(f"off {result.figures.get('off_bars')} bars {result.figures.get('off_beats')} beats")
    if result.given is not None or result.expected is not None:
        parts.append(f"said {result.given}, it was {result.expected}")
    return ", ".join(parts)


def figures() -> dict[str, dict[str, Any]]:
    """Draws, checks and prints the verdicts."""
    rng, wrong = np.random.default_rng(int(os.environ.get("TALLYBAR_VERDICTS_SEED", SEED))), 0
    spoken = str
    if os.environ.get("TALLYBAR_VERDICTS") == "es":
        from PySide6.QtWidgets import QApplication

        from app.ui.base import language, words

        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
        app = QApplication.instance() or QApplication([])
        language.speak(app, "es")
        spoken = words.spoken
    for at in range(MANY):
        who, trial, answer, calibrated = draw(rng)
        result = drills()[trial.drill].mark(trial, answer, uncertainty_ms=UNCERTAINTY_MS, calibrated=calibrated)
        slips = broken(trial, answer, result, calibrated)
        wrong += bool(slips)
        said = " ".join(map(spoken, result.verdict))
        print(f"{at + 1:2}. {facts(trial, answer, result, who, calibrated)}", file=sys.stderr)
        print(f"    {'Right.' if result.right else 'Not yet.'} {said}", file=sys.stderr)
        for slip in slips:
            print(f"    BROKEN: {slip}", file=sys.stderr)
    return {
        "verdicts_that_break_a_rule": {
            "value": wrong,
            "unit": "",
            "goal": "0",
            "met": wrong == 0,
            "note": f"of {MANY}, seed {SEED}",
        }
    }
