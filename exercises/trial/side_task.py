"""The side task: a simple task during counting that measures the attention counting takes.

Things are shown one after another, each answered by one of two keys: a number is even or odd, or a colour (with its
own shape, for colour-blind people) is warm or cold. The loss in counting against the plain drill measures
automaticity: the dual-task method (Schneider & Shiffrin 1977, Psychol. Rev. 84, 1-66, who studied visual search;
from memory). That it holds for counting is our assumption.

Intervals are irregular and unrelated to the beat, and at least 1.7 s: nothing flashes.
"""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from exercises.trial.result import Result
from exercises.trial.trial import LOST_COUNT, Trial
from synth.base.draws import seeded
from synth.base.words import Say, Template

# Range of seconds between two things, and seconds to answer.
SHORTEST_GAP_S, LONGEST_GAP_S = 1.7, 2.9
ANSWER_WITHIN_S = 1.6
# Seconds before the first thing.
FIRST_S = 3.0
# Least share of right answers; below, the side task was abandoned and the count tells nothing.
KEPT_UP = 0.7


class Key(StrEnum):
    """The two answer keys."""

    LEFT = "left"
    RIGHT = "right"


class Shape(StrEnum):
    """Shape of a colour; numbers have none."""

    NONE = "none"
    DISC = "disc"
    SQUARE = "square"
    TRIANGLE = "triangle"
    CROSS = "cross"


class Task(StrEnum):
    """What is to be distinguished."""

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
    """One thing shown: onset in seconds of the sound, its words, its shape, and the right key."""

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
        """Instruction for the learner."""
        return ASKS[self.task]()

    def shown(self, at_s: float) -> Thing | None:
        """The thing on the screen at ``at_s`` seconds of the sound."""
        row = bisect_right([thing.at_s for thing in self.things], at_s) - 1
        if row < 0 or at_s >= self.things[row].at_s + ANSWER_WITHIN_S:
            return None
        return self.things[row]


def side_task(trial: Trial, task: Task = Task.PARITY) -> SideTask:
    """The side task of a trial, determined by the trial's seed. No thing repeats immediately."""
    rng = seeded(list(Task).index(task), trial.rung, trial.seed)
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
    """Whether the side task was done: enough right answers of those shown."""
    return shown > 0 and right >= KEPT_UP * shown


@dataclass(frozen=True, slots=True)
class SideMarks:
    """Counts of a side task, and the median time to a right answer in ms (None without any)."""

    shown: int
    right: int
    wrong: int
    missed: int
    reaction_ms: float | None

    @property
    def kept_up(self) -> bool:
        """Whether the side task was done, so that the count is informative."""
        return kept_up(self.right, self.shown)

    def figures(self) -> dict[str, float | str | None]:
        """Figures that a busy trial adds to its result."""
        return {
            "side_shown": self.shown,
            "side_right": self.right,
            "side_wrong": self.wrong,
            "side_missed": self.missed,
            "side_reaction_ms": None if self.reaction_ms is None else round(self.reaction_ms, 1),
        }


def mark_side(task: SideTask, answers: Iterable[tuple[float, Key]]) -> SideMarks:
    """Mark answers (seconds from the start of the sound, key), in any order: the first to each thing counts."""
    return mark_times([thing.at_s for thing in task.things], [thing.key for thing in task.things], answers)


def mark_times(times_s: Sequence[float], keys: Sequence[Key], answers: Iterable[tuple[float, Key]]) -> SideMarks:
    """``mark_side`` for things at ``times_s``, sorted, with these right keys."""
    first: dict[int, tuple[float, Key]] = {}
    for at_s, key in sorted(answers, key=lambda each: each[0]):
        row = bisect_right(times_s, at_s) - 1
        if row >= 0 and at_s < times_s[row] + ANSWER_WITHIN_S:
            first.setdefault(row, (at_s - times_s[row], key))
    right = [after_s for row, (after_s, key) in first.items() if key is keys[row]]
    return SideMarks(
        shown=len(times_s),
        right=len(right),
        wrong=len(first) - len(right),
        missed=len(times_s) - len(first),
        reaction_ms=1000 * float(np.median(right)) if right else None,
    )


DONE = Template("side.done", "In the side task you had {right} of {shown}.")
LET_GO = Template(
    "side.let_go",
    "In the side task you had only {right} of {shown}: keep both going, even if the count suffers at first.",
)
NOTHING = Template("side.nothing", "This trial was too short for a side task.")


def busy_result(result: Result, marks: SideMarks) -> Result:
    """Add the side task's figures and sentence to a result; none where the trial ended as the count was lost."""
    if result.given == LOST_COUNT:
        return result
    told = DONE if marks.kept_up else LET_GO
    say = told(right=marks.right, shown=marks.shown) if marks.shown else NOTHING()
    return replace(result, verdict=(*result.verdict, say), figures={**result.figures, **marks.figures()})
