"""A first day from the first Return to the closing page: how much of it is spent doing something.

Plan, trials, marking, levels and logbook are the program's own; the clock is moved by the benchmark, and the drums
are not mixed. A simulated learner gets four of five right and takes the times below, which are assumed. Doing
something is: a tap is due (from a beat before the first target to a beat after the last, or all along in the lesson),
a question is open (asked, or it may be answered while the sound plays), or counting aloud was asked for.
"""

import tempfile
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np

from tests.app.silent import SilentPlayer, silence

DAYS = 5
GOAL_PCT, GOAL_FIRST_TAP_S = 55.0, 30.0
# Seconds that a learner takes: to answer a question that is asked, to read a result, to read the plan between items.
ANSWERS_S, READS_S, PLANS_S = 2.5, 3.5, 2.0
# From Return to the first frame of a sound: queued blocks and the player's delay.
STARTS_S = 0.2
RIGHT = 0.8


class Day:
    """The seconds of a day by what is asked meanwhile; ``first_tap_s`` after the first Return."""

    def __init__(self) -> None:
        self.at_s, self.first_tap_s = 0.0, None
        self.spent: Counter[str] = Counter()

    def spend(self, seconds: float, what: str = "") -> None:
        """Let seconds pass."""
        self.spent[what] += max(seconds, 0.0)
        self.at_s += max(seconds, 0.0)

    def tapped(self, in_s: float = 0.0) -> None:
        """A tap is due so many seconds from now."""
        if self.first_tap_s is None:
            self.first_tap_s = self.at_s + in_s

    def share_pct(self, *without: str) -> float:
        """Share of the day in which something was asked, in %."""
        asked = sum(spent_s for what, spent_s in self.spent.items() if what and what not in without)
        return 100 * asked / self.at_s


def lesson(day: Day) -> None:
    """The first words, heard once, with taps along from the first beat on."""
    from app.practice.lesson import PARTS
    from app.ui.help.sounds import example

    for part in PARTS:
        heard = example(part)
        begins_s = float(heard.counts[0].beats_s[0])
        day.spend(STARTS_S + begins_s)
        day.tapped()
        day.spend(heard.end_s - begins_s, "tap")
        day.spend(READS_S)


def trial(day: Day, practice: Any, player: SilentPlayer, rng: np.random.Generator) -> None:
    """One trial of the plan, from Return to the next one."""
    from app.demo.simulated import simulate
    from app.inputs.taps import Tap
    from app.practice.trial.attempt import Phase
    from exercises.trial.trial import Kind

    player.now_s = day.at_s
    practice.begin()
    attempt = practice.attempt
    made = attempt.trial
    answer = simulate("perfect" if rng.random() < RIGHT else "random", made, int(rng.integers(1 << 30)))
    day.spend(STARTS_S)
    end_s = attempt.trial_end_s()
    if attempt.by_taps:
        for tap_s in answer.taps_s:
            attempt.tap(Tap(player.start_s + float(tap_s), "key", True))
        if made.entry is not None and len(answer.taps_s):
            end_s = float(answer.taps_s[0])
        first_s, last_s = (float(made.targets_s[at]) for at in (0, -1))
        due_s = max(0.0, first_s - made.period_s)
        day.tapped(first_s)
        day.spend(min(due_s, end_s))
        until_s = min(last_s + made.period_s, end_s)
        day.spend(until_s - due_s, "tap")
        day.spend(end_s - max(until_s, due_s))
    else:
        begins_s = float(made.count.beats_s[0])
        day.spend(begins_s)
        what = "aloud" if made.kind is Kind.NONE else "early answer" if attempt.cut_short else ""
        day.spend(end_s - begins_s, what)
    player.now_s = player.start_s + end_s + 0.001
    practice.tick()
    if practice.phase is Phase.ASKING:
        day.spend(ANSWERS_S, "question")
        practice.answer_with(str(answer.value))
    if practice.phase is not Phase.READY:
        day.spend(READS_S)


def first_day(seed: int) -> Day:
    """A day with seeds of its own."""
    from app.inputs.equipment import Equipment
    from app.practice.learner.present_learner import PresentLearner
    from app.practice.plan.planned import Planned
    from app.practice.practice import Practice
    from app.practice.trial.next_trial import Ahead
    from exercises.logbook.store import Logbook

    rng, day, player = np.random.default_rng(seed), Day(), SilentPlayer()
    with tempfile.TemporaryDirectory() as folder, Logbook.open(Path(folder) / "logbook.sqlite3") as logbook:
        practice = Practice(
            Equipment(player),
            PresentLearner(logbook),
            Ahead(lambda: int(rng.integers(1 << 31))),
            now=lambda: day.at_s,
        )
        practice.follow_day(Planned(logbook.path, None, clock=lambda: datetime(2031, 3, 3, 18, tzinfo=UTC)))
        practice.plan_day()
        practice.day.poll()
        today = practice.today
        if today.lesson_due:
            lesson(day)
            today.end_lesson(day.at_s)
        while not today.finished:
            at = today.at
            trial(day, practice, player, rng)
            if today.at != at and not today.finished:
                practice.put_away()
                day.spend(PLANS_S)
    return day


def figures() -> dict[str, dict[str, Any]]:
    """Shares of the day and the time to its first tap, over some days."""
    with patch("synth.sound.mixdown.mixdown_together", silence):
        days = [first_day(seed) for seed in range(DAYS)]
    whole, quiet = (float(np.mean([each.share_pct(*without) for each in days])) for without in ((), ("aloud",)))
    first_s = max(each.first_tap_s for each in days)
    minutes = np.mean([each.at_s for each in days]) / 60
    parts = ", ".join(
        f"{what or 'nothing'} {100 * sum(d.spent[what] for d in days) / sum(d.at_s for d in days):.0f} %"
        for what in ("tap", "question", "early answer", "aloud", "")
    )
    share = {"unit": "%", "goal": f"at least {GOAL_PCT:g}"}
    return {
        "first_day_something_to_do_pct": {
            "value": whole,
            "met": whole >= GOAL_PCT,
            "note": f"{DAYS} days of {minutes:.1f} minutes: {parts}",
            **share,
        },
        "first_day_without_counting_pct": {"value": quiet, "unit": "%", "note": "counting aloud left out"},
        "first_tap_due_s": {
            "value": float(first_s),
            "unit": "s",
            "goal": f"at most {GOAL_FIRST_TAP_S:g}",
            "met": first_s <= GOAL_FIRST_TAP_S,
            "note": "from Return on the first item of the plan; the latest of these days",
        },
    }
