"""Ways to run a drill: plainly, busy with a side task, or bare of help on the screen."""

from dataclasses import replace
from enum import StrEnum

from exercises.trial.side_task import SideTask, Task, side_task
from exercises.trial.trial import Help, Trial


class Mode(StrEnum):
    """How a drill was run: plainly, with a side task, or without help on the screen."""

    PLAIN = "plain"
    BUSY = "busy"
    BARE = "bare"


def in_mode(trial: Trial, mode: Mode, task: Task = Task.PARITY) -> tuple[Trial, SideTask | None]:
    """The trial as it is run in that mode, and the side task that goes with it (None but where busy).

    Bare takes sheet and voice away, and changes neither the drums nor what is asked.
    """
    if mode is Mode.BARE:
        return replace(trial, help=Help()), None
    return trial, side_task(trial, task) if mode is Mode.BUSY else None
