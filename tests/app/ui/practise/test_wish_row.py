"""The row of choices: what it emits is a wish like any other."""

from app.practice.next_trial import Wish
from app.ui.practise.wish_row import WishRow
from exercises.trial.modes import Mode


def test_choosing_a_drill_keeps_the_mode_a_mode(qapp):
    """The logbook asks the mode of a trial for its value: a plain text there would lose the answer."""
    row, told = WishRow(Wish("beat", seed=7, tempo_bpm=120.0, mode=Mode.BARE)), []
    row.changed.connect(told.append)
    row.drill.setCurrentIndex(row.drill.findData("drum"))
    assert told == [Wish("drum", seed=7, tempo_bpm=120.0, mode=Mode.BARE)]
    assert isinstance(told[0].mode, Mode)
