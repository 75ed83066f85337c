"""The side task: something simple that goes on while one counts, to learn how much attention counting still takes.

While the drums play, things are shown one after another, each to be answered by one of two keys: a number is even or
odd, or a colour (with a shape of its own, for those who see colours alike) is warm or cold. What the count loses
against the plain drill tells how automatic it has become: the dual-task measure of automatic skills (Schneider &
Shiffrin 1977, Psychol. Rev. 84, 1-66; from memory).

Things come at uneven intervals that have nothing to do with the beat, so that they neither help nor drag it, and
never more often than once in 1.5 s: nothing flashes.
"""

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from exercises.trial.trial import Result, Trial
from synth.base.words import Say, Template

# Seconds from one thing to the next, and how long each may be answered.
SHORTEST_GAP_S, LONGEST_GAP_S = 1.7, 2.9
ANSWER_WITHIN_S = 1.6
# Nothing comes while the first bars are heard.
FIRST_S = 3.0
# Below this share of right answers somebody has let the side task go, and the count tells nothing about attention.
KEPT_UP = 0.7


class Key(StrEnum):
    """The two answers: the left and the right one of two keys."""

    LEFT = "left"
    RIGHT = "right"


class Shape(StrEnum):
    """The shape that goes with a colour; numbers have none."""

    NONE = "none"
    DISC = "disc"
    SQUARE = "square"
    TRIANGLE = "triangle"
    CROSS = "cross"


class Task(StrEnum):
    """What is to be told apart."""

    PARITY = "parity"
    COLOUR = "colour"


ASKS = {
    Task.PARITY: Template("side.asks.parity", "Meanwhile numbers are shown: left key for even, right key for odd."),
    Task.COLOUR: Template(
        "side.asks.colour", "Meanwhile colours are shown: left key for red and orange, right key for blue and green."
    ),
}
RED, ORANGE, BLUE, GREEN = (
    Template("side.red", "red"),
    Template("side.orange", "orange"),
    Template("side.blue", "blue"),
    Template("side.green", "green"),
)
COLOURS = (
    (RED, Shape.DISC, Key.LEFT),
    (ORANGE, Shape.TRIANGLE, Key.LEFT),
    (BLUE, Shape.SQUARE, Key.RIGHT),
    (GREEN, Shape.CROSS, Key.RIGHT),
)
NUMBER = Template("side.number", "{n}")


@dataclass(frozen=True, slots=True)
class Thing:
    """One thing shown: when (seconds from the start of the sound), what it says, its shape, and the right key."""

    at_s: float
    says: Say
    shape: Shape
    key: Key


@dataclass(frozen=True, slots=True)
class SideTask:
    """The things of one trial, in order, at least ``SHORTEST_GAP_S`` apart."""

    task: Task
    things: tuple[Thing, ...]

    @property
    def asks(self) -> Say:
        """What the learner is to do, in one sentence."""
        return ASKS[self.task]()

    def shown(self, at_s: float) -> Thing | None:
        """What stands on the screen at that moment of the sound."""
        row = bisect_right([thing.at_s for thing in self.things], at_s) - 1
        if row < 0 or at_s >= self.things[row].at_s + ANSWER_WITHIN_S:
            return None
        return self.things[row]


def side_task(trial: Trial, task: Task = Task.PARITY) -> SideTask:
    """The side task of a trial, by the trial's seed: the same trial shows the same things.

    The same thing never comes twice running, so that each is seen to change.
    """
    rng = np.random.default_rng([list(Task).index(task), trial.rung, trial.seed])
    end_s = trial.count.end_s - ANSWER_WITHIN_S
    things: list[Thing] = []
    at_s, before = FIRST_S + float(rng.uniform(0, LONGEST_GAP_S - SHORTEST_GAP_S)), -1
    many = 8 if task is Task.PARITY else len(COLOURS)
    while at_s < end_s:
        drawn = int(rng.integers(many if before < 0 else many - 1))
        drawn += before >= 0 and drawn >= before
        before = drawn
        if task is Task.PARITY:
            n = drawn + 2
            things.append(Thing(at_s, NUMBER(n=n), Shape.NONE, Key.RIGHT if n % 2 else Key.LEFT))
        else:
            says, shape, key = COLOURS[drawn]
            things.append(Thing(at_s, says(), shape, key))
        at_s += float(rng.uniform(SHORTEST_GAP_S, LONGEST_GAP_S))
    return SideTask(task, tuple(things))


def kept_up(right: int, shown: int) -> bool:
    """Whether so many right answers of those asked for are a side task that was done."""
    return shown > 0 and right >= KEPT_UP * shown


@dataclass(frozen=True, slots=True)
class SideMarks:
    """How the side task went: counts, and the median time to a right answer in ms (None without any)."""

    shown: int
    right: int
    wrong: int
    missed: int
    reaction_ms: float | None

    @property
    def kept_up(self) -> bool:
        """Whether the side task was done at all: only then does the count tell about attention."""
        return kept_up(self.right, self.shown)

    def figures(self) -> dict[str, float | str | None]:
        """What a busy trial adds to its result."""
        return {
            "side_shown": self.shown,
            "side_right": self.right,
            "side_wrong": self.wrong,
            "side_missed": self.missed,
            "side_reaction_ms": None if self.reaction_ms is None else round(self.reaction_ms, 1),
        }


def mark_side(task: SideTask, answers: Iterable[tuple[float, Key]]) -> SideMarks:
    """Mark answers (seconds from the start of the sound, key), in any order: the first to each thing counts."""
    first: dict[int, tuple[float, Key]] = {}
    times = [thing.at_s for thing in task.things]
    for at_s, key in sorted(answers, key=lambda each: each[0]):
        row = bisect_right(times, at_s) - 1
        if row >= 0 and at_s < times[row] + ANSWER_WITHIN_S:
            first.setdefault(row, (at_s - times[row], key))
    right = [after_s for row, (after_s, key) in first.items() if key is task.things[row].key]
    return SideMarks(
        shown=len(times),
        right=len(right),
        wrong=len(first) - len(right),
        missed=len(times) - len(first),
        reaction_ms=1000 * float(np.median(right)) if right else None,
    )


DONE = Template("side.done", "Beside it you had {right} of {shown}.")
LET_GO = Template(
    "side.let_go", "Beside it you had only {right} of {shown}: keep both going, even if the count suffers at first."
)
NOTHING = Template("side.nothing", "This trial was too short for a side task.")


def busy_result(result: Result, marks: SideMarks) -> Result:
    """The result of a busy trial: the side task's figures added, and one sentence on it at the end."""
    told = DONE if marks.kept_up else LET_GO
    say = told(right=marks.right, shown=marks.shown) if marks.shown else NOTHING()
    return replace(result, verdict=(*result.verdict, say), figures={**result.figures, **marks.figures()})
