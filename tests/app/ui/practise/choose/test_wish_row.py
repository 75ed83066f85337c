"""The row of choices: what it emits is a wish like any other."""

from PySide6.QtWidgets import QSpinBox

from app.practice.trial.next_trial import Wish
from app.ui.practise.choose.wish_row import WishRow
from exercises.learner.chosen import Chosen
from exercises.trial.modes import Mode


def test_choosing_a_rung_keeps_the_mode_a_mode(qapp):
    """The logbook asks the mode of a trial for its value: a plain text there would lose the answer."""
    row, told = WishRow(Wish("beat", seed=7, tempo_bpm=120.0, mode=Mode.BARE)), []
    row.changed.connect(told.append)
    row.findChild(QSpinBox).setValue(3)
    assert told == [Wish("beat", 3, seed=7, tempo_bpm=120.0, mode=Mode.BARE)]
    assert isinstance(told[0].mode, Mode)


def test_the_place_of_a_drill_in_the_plan_is_shown_and_chosen(qapp):
    row, told = WishRow(Wish("beat")), []
    row.planned.connect(lambda *words: told.append(words))
    row.show_chosen(Chosen(always=("one",), never=("drum",)))
    shown = {}
    for drill in ("beat", "one", "drum"):
        row.show_wish(Wish(drill))
        shown[drill] = row.place.currentData()
    assert shown == {"beat": "", "one": "always", "drum": "never"}
    assert told == []
    row.place.setCurrentIndex(row.place.findData("always"))
    assert told == [("drum", "always")]
    row.show_wish(Wish("count-along"))
    assert not row.place.isEnabled()
