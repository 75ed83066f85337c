"""Reads the content of the logbook screen; may run in any thread."""

from dataclasses import replace
from datetime import timedelta

from app.ui.base.words import groove_words
from app.ui.charts.content import Content, Question
from exercises.drills import drills
from exercises.learner.stored_levels import learner_levels
from exercises.logbook.history import bands, changes, practice_days, practised, voids, weeks
from exercises.logbook.learners import matches
from exercises.logbook.store import Logbook
from exercises.progress.inner_beat import DRILL as INNER_BEAT
from exercises.progress.inner_beat import inner_beat, inner_beat_says
from exercises.progress.mistakes import mistakes
from exercises.progress.overview import invented, ladder, tasks
from exercises.progress.summary import busy_cost, head, latest_week, voids_says
from exercises.progress.trends import trend
from synth.device.clock import today

# Days of the calendar: its months are fewer.
CALENDAR_D = 100


def read_page(logbook: Logbook, question: Question) -> Content:
    """Read the content for a question; for a drill or tempo not yet practised, that of all of them.

    Without a learner in the question the first one is read; for an unknown learner nothing.
    """
    known = logbook.known()
    who = next(iter(known if question.learner is None else matches(known, question.learner)), None)
    learners = tuple((each.id, each.label) for each in known)
    if who is None:
        return Content(Question(question.learner), learners=learners)
    learner = who.id
    done, levels = practised(logbook, learner), learner_levels(logbook, learner)
    drill = question.drill if question.drill in done and question.drill in drills() else None
    found = () if drill is None else tuple(sorted(bands(logbook, learner, drill)))
    band = question.band if question.band in found else None
    latest = logbook.trials(question.listed, learner=learner, drill=drill)
    page = Content(
        Question(learner, drill, band, question.listed),
        learners=learners,
        invented=invented(logbook, learner),
        trials=sum(each.trials for each in done.values()),
        places=ladder(levels, done),
        latest=tuple(each if each.learner == who.label else replace(each, learner=who.label) for each in latest),
    )
    for name in {record.groove for record in page.latest}:
        groove_words(name)  # titles come from the grooves' files: read here, so that the window need not
    if drill is None:
        wrong = {each.drill: mistakes(logbook, learner, each.drill) for each in page.places if each.answers}
        over = tuple(weeks(logbook, learner, now=today()))
        return replace(
            page,
            weeks=over,
            calendar=tuple(practice_days(logbook, learner, today() - timedelta(days=CALENDAR_D))),
            head=head(who.label, over),
            latest_week=latest_week(over),
            voids=voids_says(voids(logbook, learner)),
            tasks=tasks(page.places, wrong, levels.fresh),
        )
    shown, wrong_here = trend(logbook, learner, drill, levels, band), mistakes(logbook, learner, drill)
    return replace(
        page,
        bands=found,
        trend=shown,
        benches=tuple(changes(logbook, shown.days)),
        mistakes=wrong_here,
        answers=tuple(wrong_here.words.items()),
        busy=busy_cost(logbook, learner, drill),
        inner_beat=tuple(inner_beat_says(inner_beat(logbook, learner))) if drill == INNER_BEAT else (),
    )
