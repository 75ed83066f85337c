"""The wish of the next trial made whole: with the rung that fits the learner, and with the own record that plays."""

from dataclasses import replace

from app.practice.learner.present_learner import PresentLearner
from app.practice.records.own_records import NONE_FITS, OwnRecords
from app.practice.trial.next_trial import Wish
from synth.base.errors import Trouble


def rung_of(wish: Wish, learner: PresentLearner) -> int:
    """The rung of a wish: the one chosen, or else the one that fits."""
    return learner.fitting_rung(wish.drill, recorded=wish.on_record) if wish.rung is None else wish.rung


def rungs_next(wish: Wish, chosen: Wish, learner: PresentLearner) -> list[int]:
    """Rungs on which the trial after that of a whole wish may be, if its drill stays: the ``chosen`` one's if any."""
    assert wish.rung is not None
    return learner.rungs_after(wish.drill, wish.rung) if chosen.rung is None else [wish.rung]


def whole(wish: Wish, learner: PresentLearner, records: OwnRecords | None, *, by_hand: bool) -> Wish:
    """A wish with its rung, and with the record that plays if it asks for one.

    Where none fits: ``Trouble`` if that was chosen ``by_hand``, otherwise it has the program's own sound.
    """
    rung = rung_of(wish, learner)
    if not wish.on_record:
        return replace(wish, rung=rung)
    try:
        if records is None:
            raise Trouble(NONE_FITS())
        rung = max(1, rung)  # the introduction is not on records
        return replace(wish, rung=rung, recording=records.draw(wish.drill, rung, wish.record))
    except Trouble:
        if by_hand:
            raise
        return own_sound(wish, learner)


def own_sound(wish: Wish, learner: PresentLearner) -> Wish:
    """A wish with its rung, and with the program's own sound in place of a record."""
    own = replace(wish, record="")
    return replace(own, rung=rung_of(own, learner))
