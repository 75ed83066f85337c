"""Who practises, and who else may: the learners of the logbook, and the present one even before a first trial."""

from app.practice.learner.present_learner import PresentLearner
from app.practice.practice import Practice
from exercises.logbook.learners import SHORT, Learner
from synth.base.errors import Trouble


def everyone(present: PresentLearner) -> tuple[list[Learner], int]:
    """The learners to choose from, and the place of the present one among them."""
    known: list[Learner] = []
    number = None
    if present.logbook is not None:
        try:
            known, number = present.logbook.known(), present.logbook.number(present.key)
        except Trouble:
            known = []  # reported on saving
    place = next((at for at, each in enumerate(known) if each.number == number), None)
    if place is not None:
        return known, place
    name = present.name
    label = f"{name} #{present.key[:SHORT]}" if name in {each.name for each in known} else name
    return [*known, Learner(0, present.key, name, label)], len(known)


def own_label(present: PresentLearner) -> str:
    """The label of the learner who practises."""
    known, place = everyone(present)
    return known[place].label


def change(practice: Practice, id: str) -> None:
    """Let another learner practise, by id: levels and plan become theirs."""
    practice.stop()
    practice.attempt, practice.learner.id = None, id or None
    practice.learner.relearn(other=True)
    if practice.day is not None:
        practice.day.today = None
    practice.plan_day()
