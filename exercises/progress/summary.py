"""Summary of a learner's practice: amount, levels, trends."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from datetime import date
from typing import Any

from exercises.drills import drills, marked_drills
from exercises.learner.attention import cost, cost_says
from exercises.learner.level import chance_of, responses
from exercises.learner.stored_levels import learner_levels
from exercises.logbook.history import Practised, Week, practised, voids, weeks
from exercises.logbook.store import Logbook
from exercises.progress.inner_beat import DRILL as INNER_BEAT
from exercises.progress.inner_beat import inner_beat, inner_beat_says
from exercises.progress.mistakes import Mistakes, mistakes
from exercises.progress.trends import Estimate, Trend, trend
from exercises.timing.clock_and_hand import Pooled
from exercises.trial.kept.record import TrialRecord
from exercises.trial.modes import Mode
from exercises.trial.side_task import kept_up
from synth.base.words import Say, Template, plural

HEAD = Template("summary.head", "{learner}: {trials} in {weeks}, {minutes} of practice.")
TRIAL, TRIALS = Template("summary.trial", "1 trial"), Template("summary.trials", "{n} trials")
WEEK, WEEKS = Template("summary.week", "1 week"), Template("summary.weeks", "{n} weeks")
MINUTE, MINUTES = Template("summary.minute", "1 minute"), Template("summary.minutes", "{n} minutes")
# Latest trials from which the cost of being busy is computed.
LATEST = 500

VOIDS = Template("summary.voids", "Trials that do not count: {n}, by the learner's own word: {said}.")
THIS_WEEK = Template("summary.this_week", "In the latest week: {minutes} (listening: {listening} min).")


def head(learner: str, over: Sequence[Week]) -> Say:
    """Amount of practice in total."""
    return HEAD(
        learner=learner,
        trials=plural(sum(week.trials for week in over), TRIAL, TRIALS),
        weeks=plural(len(over), WEEK, WEEKS),
        minutes=_minutes(sum(week.spent_s for week in over)),
    )


def latest_week(over: Sequence[Week]) -> Say | None:
    """Amount of practice in the last of the weeks; None without any."""
    if not over:
        return None
    return THIS_WEEK(minutes=_minutes(over[-1].spent_s), listening=round(over[-1].sound_s / 60))


def voids_says(voids: tuple[int, int]) -> Say | None:
    """How many trials do not count (see ``exercises.logbook.history.voids``); None without any."""
    return VOIDS(n=voids[0], said=voids[1]) if voids[0] else None


def _minutes(seconds: float) -> Say:
    return plural(round(seconds / 60), MINUTE, MINUTES)


@dataclass(frozen=True, slots=True, eq=False)
class Summary:
    """One learner: practice by week; practice, trend and mistakes of every marked drill.

    ``busy``: drill id -> cost of a side task, for drills that were practised busy. ``voids``: how many trials do not
    count, and how many of them by the learner's word. ``inner_beat``: see there.
    """

    learner: str
    weeks: tuple[Week, ...]
    drills: tuple[tuple[Practised, Trend, Mistakes], ...]
    busy: Mapping[str, Say] = field(default_factory=dict)
    voids: tuple[int, int] = (0, 0)
    inner_beat: tuple[float, Pooled] | None = None

    def lines(self) -> Iterator[str]:
        """The summary in words."""
        yield str(head(self.learner, self.weeks))
        if (latest := latest_week(self.weeks)) is not None:
            yield str(latest)
        if (void := voids_says(self.voids)) is not None:
            yield str(void)
        for _, of, wrong in self.drills:
            title = drills()[of.drill].title()
            also = (self.busy[of.drill],) if of.drill in self.busy else ()
            inner = inner_beat_says(self.inner_beat) if of.drill == INNER_BEAT else ()
            yield f"  {title}: " + " ".join(map(str, (*of.verdict, *wrong.verdict, *also, *inner)))

    def to_json(self) -> dict[str, Any]:
        """Plain values with units in the names."""
        return {
            "learner": self.learner,
            "void": self.voids[0],
            "void_by_learner": self.voids[1],
            "weeks": [
                {
                    "monday": week.monday.isoformat(),
                    "trials": week.trials,
                    "void": week.voids,
                    "practice_s": round(week.spent_s, 1),
                    "listening_s": round(week.sound_s, 1),
                }
                for week in self.weeks
            ],
            "drills": [_drill_json(*each) for each in self.drills],
            "inner_beat": None
            if self.inner_beat is None
            else {"tempo_bpm": round(self.inner_beat[0], 1), **asdict(self.inner_beat[1])},
        }


def _drill_json(of: Practised, shown: Trend, wrong: Mistakes) -> dict[str, Any]:
    change, curve = shown.change, shown.curve
    return {
        "drill": of.drill,
        "trials": of.trials,
        "first": of.first.isoformat(),
        "last": of.last.isoformat(),
        "rung": shown.rung if shown.known else None,
        "answers": shown.level.answers,
        "level_logits": round(shown.level.theta, 3),
        "level_se_logits": round(shown.level.sd, 3),
        "success_at_rung": _success(shown),
        "right": _estimate(shown.right),
        "spread_ms": _estimate(shown.spread_ms),
        "bias_ms": _estimate(shown.bias_ms),
        "spread_change": None
        if change is None
        else {
            "called": ("closer", "none", "further")[change.called + 1],
            "evidence": float(f"{change.evidence:.3g}"),
            "ratio": round(change.ratio, 3),
            "ci95": [round(change.low, 3), round(change.high, 3)],
        },
        "curve": None
        if curve is None
        else {
            "floor_ms": round(curve.floor, 3),
            "gain_ms": round(curve.gain, 3),
            "rate_per_trial": round(curve.rate, 6),
        },
        "beat_tapped": {str(beat): round(share, 4) for beat, share in wrong.beat_tapped.items()},
        "verdict": " ".join(map(str, (*shown.verdict, *wrong.says))),
    }


def _success(of: Trend) -> dict[str, Any] | None:
    """Probability of a right answer on the rung that suits, once it is known."""
    if not of.known:
        return None
    found = of.level.success(of.rung, chance_of(of.drill, of.rung))
    return {"value": round(found.value, 3), "ci95": [round(found.low, 3), round(found.high, 3)]}


def _estimate(of: Estimate | None) -> dict[str, Any] | None:
    if of is None:
        return None
    return {"value": round(of.value, 4), "ci95": [round(of.low, 4), round(of.high, 4)], "n": of.n}


def summary(logbook: Logbook, learner: str, now: date | None = None) -> Summary:
    """Summary of a learner over all marked drills practised, in the order of the ladder; ``now`` as in ``weeks``."""
    any_of = "SELECT 1 FROM trials WHERE learner = ? LIMIT 1"
    if not logbook.rows(any_of, (logbook.number(learner),)):  # thousands of learners without a trial take no second
        return Summary(learner, (), ())
    done, stands = practised(logbook, learner), learner_levels(logbook, learner)
    ladder = [each for each in marked_drills() if each.id in done]
    return Summary(
        learner,
        tuple(weeks(logbook, learner, now=now)),
        tuple(
            (done[each.id], trend(logbook, learner, each.id, stands), mistakes(logbook, learner, each.id))
            for each in ladder
        ),
        {each.id: says for each in ladder if (says := busy_cost(logbook, learner, each.id)) is not None},
        voids(logbook, learner),
        inner_beat(logbook, learner) if INNER_BEAT in done else None,
    )


def busy_cost(logbook: Logbook, learner: str, drill: str) -> Say | None:
    """Cost of being busy in a drill from its latest trials; None where none of them was busy.

    Excludes busy trials whose side task was abandoned, and plain ones after the day of the last valid busy trial,
    which would include learning.
    """
    ever = logbook.rows(
        "SELECT 1 FROM days WHERE learner = ? AND drill = ? AND mode = ? LIMIT 1",
        (logbook.number(learner), drill, Mode.BUSY.value),
    )
    latest = logbook.trials(LATEST, learner=learner, drill=drill) if ever else []
    if not any(each.mode is Mode.BUSY for each in latest):
        return None
    told = [each for each in latest if _side_task_done(each)]
    until = max((each.when[:10] for each in told), default="")
    plain = responses((each for each in latest if each.when[:10] <= until), mode=Mode.PLAIN)
    return cost_says(cost(plain.get(drill, []), responses(told, mode=Mode.BUSY).get(drill, [])))


def _side_task_done(record: TrialRecord) -> bool:
    marks = record.result or {}
    return record.mode is Mode.BUSY and kept_up(marks.get("side_right", 0), marks.get("side_shown", 0))
