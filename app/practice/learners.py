"""Who practises, and who else may: the learners of the logbook, and the present one even before a first trial."""

from app.practice.practice import Practice
from exercises.logbook.learners import SHORT, Learner
from synth.base.errors import Trouble


def everyone(practice: Practice) -> tuple[list[Learner], int]:
    """The learners to choose from, and the place of the present one among them."""
    known: list[Learner] = []
    number = None
    if practice.logbook is not None:
        try:
            known, number = practice.logbook.known(), practice.logbook.number(practice.key)
        except Trouble:
            known = []  # reported on saving
    place = next((at for at, each in enumerate(known) if each.number == number), None)
    if place is not None:
        return known, place
    name = practice.learner
    label = f"{name} #{practice.key[:SHORT]}" if name in {each.name for each in known} else name
    return [*known, Learner(0, practice.key, name, label)], len(known)


def own_label(practice: Practice) -> str:
    """The label of the learner who practises."""
    known, place = everyone(practice)
    return known[place].label


def change(practice: Practice, id: str) -> None:
    """Let another learner practise, by id: levels and plan become theirs."""
    practice.stop()
    practice.attempt, practice.learner_id = None, id or None
    practice.relearn(other=True)
    if practice.day is not None:
        practice.day.today = None
    practice.plan_day()
