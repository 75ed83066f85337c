"""The table of trials: each cell says no more than the trial's own page did."""

import pytest
from PySide6.QtCore import Qt

from app.ui.logbook.trials_table import TrialsModel
from exercises.drills import drill
from exercises.trial.kept.record import record
from exercises.trial.trial import Answer
from synth.device.clock import utc_now


@pytest.mark.parametrize(("taps", "told"), [(2, False), (3, True)])
def test_no_spread_is_told_of_fewer_than_three_hits(qapp, taps, told):
    trial = drill("one").make(1, 4)
    answer = Answer(taps_s=trial.targets_s[:taps] + [0.01, -0.01, 0.02][:taps])
    result = drill("one").mark(trial, answer)
    assert result.taps.hits == taps
    model = TrialsModel()
    model.show_trials([record(trial, answer, result, when=utc_now(), simulated=True)])
    spread = model.index(0, model.columns.index("Spread")).data()
    assert bool(spread) is told


def test_a_tool_tip_shows_data_as_it_is(qapp):
    """Qt takes a tool tip for HTML where it looks like it, and would fetch what it names."""
    trial = drill("one").make(1, 4)
    answer = Answer(taps_s=trial.targets_s)
    one = record(trial, answer, drill("one").mark(trial, answer), when=utc_now(), groove="<img src=x>")
    model = TrialsModel()
    model.show_trials([one])
    cell = model.index(0, model.columns.index("Played"))
    assert cell.data().startswith("<img src=x>")
    assert "<img" not in cell.data(Qt.ItemDataRole.ToolTipRole)
