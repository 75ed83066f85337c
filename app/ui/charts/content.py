"""Request and content of the logbook screen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from exercises.logbook.history import Change, PracticeDay, Week
    from exercises.progress.mistakes import Mistakes
    from exercises.progress.overview import LadderRow, Suggestion
    from exercises.progress.trends import Trend
    from exercises.trial.kept.record import TrialRecord
    from synth.base.words import Say


# Trials that are listed at first, and that each step adds.
LATEST = 200


@dataclass(frozen=True, slots=True)
class Question:
    """Learner (by id), drill (None: all) and tempo band (None: all) to be shown.

    ``listed`` is the number of the latest trials.
    """

    learner: str | None = None
    drill: str | None = None
    band: int | None = None
    listed: int = LATEST


@dataclass(frozen=True, slots=True, eq=False)
class Content:
    """Answer to a question; empty for an id that is not among the ``learners`` (id and label of each).

    ``head``, ``latest_week``, ``voids`` cover all drills. ``busy`` is the cost of the side task in the drill shown;
    ``benches`` are the benches on the drill's days, the first included.
    """

    question: Question
    learners: tuple[tuple[str, str], ...] = ()
    invented: int = 0
    trials: int = 0
    places: tuple[LadderRow, ...] = ()
    weeks: tuple[Week, ...] = ()
    calendar: tuple[PracticeDay, ...] = ()
    head: Say | None = None
    latest_week: Say | None = None
    voids: Say | None = None
    inner_beat: tuple[Say, ...] = ()
    tasks: tuple[Suggestion, ...] = ()
    latest: tuple[TrialRecord, ...] = ()
    bands: tuple[int, ...] = ()
    trend: Trend | None = None
    benches: tuple[Change, ...] = ()
    mistakes: Mistakes | None = None
    answers: tuple[tuple[str, Say], ...] = ()
    busy: Say | None = None
