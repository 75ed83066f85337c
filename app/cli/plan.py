"""The command ``plan``: today's plan of a learner, and the drills that are in every plan or in none."""

import argparse
from contextlib import nullcontext
from dataclasses import replace

from app.cli.logbook_commands import known_learner
from app.cli.output import complain, say, say_json
from app.learner_settings import keep_choices, of_learner, present
from app.settings import load, save, settings_path, with_drill
from exercises.drills import drill, drills
from exercises.learner.plan import plan
from exercises.learner.reasons import LESSON
from exercises.logbook.learners import Learner, label_of
from exercises.logbook.opening import reading
from exercises.logbook.store import FILE_NAME
from exercises.trial.trial import Kind
from synth.base.border import shown
from synth.base.errors import Trouble
from synth.base.folders import data_folder
from synth.device.clock import utc_now

NOT_MARKED = "{id}: nothing is marked in it, so it is the warm-up of the first days alone."
TWICE = "{id}: 'always', 'never' or 'usual', not two of them."


def _wished(options: argparse.Namespace) -> dict[str, str]:
    """Drill -> its place in the plan as asked for; ``Trouble`` for one that is unknown, or named twice."""
    wished = dict[str, str]()
    for place, names in (("always", options.always), ("never", options.never), ("", options.usual)):
        for name in names:
            found = drill(name)
            if found.kind is Kind.NONE:
                raise Trouble(NOT_MARKED.format(id=found.id))
            if found.id in wished:
                raise Trouble(TWICE.format(id=found.id))
            wished[found.id] = place
    return wished


def plan_command(options: argparse.Namespace) -> None:
    """Set what is asked for, then print the plan.

    Raises ``Trouble`` for an unknown drill, one that is named twice, settings that cannot be written, and a logbook
    that cannot be read; nothing is then changed.
    """
    now = utc_now()
    loaded = load(settings_path(), now)
    for message in loaded.messages:
        complain(message)
    wished, path = _wished(options), data_folder() / FILE_NAME
    if options.learner and not path.exists():
        raise Trouble(f"There is no logbook yet, so nothing is known of {shown(options.learner, 60)!r}.")
    with reading(path) if path.exists() else nullcontext() as logbook:
        own = present(loaded.settings, logbook)
        who = known_learner(logbook, options.learner)
        settings = own if who is None else of_learner(own, settings_path(), who, now).settings
        for id, place in wished.items():
            settings = replace(settings, **with_drill(settings, id, place))  # type: ignore[arg-type]
        chosen = settings.chosen
        made = plan(logbook, settings.learner_id, now.astimezone(), settings.minutes_a_day, None, chosen)
        there = list[Learner]() if logbook is None else logbook.known()
        learner = settings.learner if who is None and len(there) < 2 else label_of(there, settings.learner_id)
    if wished and settings.learner_id == own.learner_id:
        save(settings, settings_path())
    elif wished:
        keep_choices(settings, settings_path())
    rows = [
        {"drill": item.drill, "rung": item.rung, "trials": item.trials, "minutes": minutes, "why": str(item.why)}
        for item, minutes in zip(made.items, made.whole_minutes, strict=True)
    ]
    rests = None if made.rests is None else str(made.rests)
    if options.json:
        kept = {"always": list(chosen.always), "never": list(chosen.never)}
        about = {"learner": learner, "minutes": made.minutes, "lesson_minutes": made.lesson_minutes}
        say_json({**about, "items": rows, "rests": rests, **kept})
        return
    if made.lesson:
        say(f"{'(lesson)':<24} {made.lesson_minutes} minutes   {LESSON}")
    for row in rows:
        minutes = "1 minute" if row["minutes"] == 1 else f"{row['minutes']} minutes"
        say(f"{row['drill']:<14} rung {row['rung']:<3} {minutes:<11} {row['why']}")
    lines = [rests] if rests else []
    for what, ids in (("In every plan", chosen.always), ("In no plan", chosen.never)):
        if known := [each for each in ids if each in drills()]:
            lines.append(f"{what}: {', '.join(known)}.")
    for line in lines:
        say(line)
