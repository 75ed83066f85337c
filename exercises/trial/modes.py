"""Modes of a drill: plain, busy with a side task, bare of help on the screen."""

from dataclasses import replace
from enum import StrEnum

from exercises.trial.side_task import SideTask, Task, side_task
from exercises.trial.trial import Help, Trial


class Mode(StrEnum):
    """How a drill was run."""

    PLAIN = "plain"
    BUSY = "busy"
    BARE = "bare"


def in_mode(trial: Trial, mode: Mode, task: Task = Task.PARITY) -> tuple[Trial, SideTask | None]:
    """The trial in that mode, and its side task (None unless busy). Bare removes sheet and voice only."""
    if mode is Mode.BARE:
        return replace(trial, help=Help()), None
    return trial, side_task(trial, task) if mode is Mode.BUSY else None
