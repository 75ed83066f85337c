"""The lines of today's plan, and what they say once an item is done."""

from datetime import UTC, datetime

import pytest
from PySide6.QtWidgets import QLabel

from app.practice.plan.today import Today
from app.ui.practise.plan.plan_card import PlanCard
from exercises.drills import drill
from exercises.learner.plan import plan
from exercises.progress.gains import Tally

NOW = datetime(2030, 1, 1, 12, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("stands", "told"), [(2, "rung 2 of {rungs}, up from 1"), (1, "rung 1 of {rungs}"), (None, "")]
)
def test_a_rung_that_was_won_today_is_told_with_the_one_before(qtbot, stands, told):
    """What it was is the rung that the plan began with; a fall is not rubbed in."""
    today = Today(plan(None, "me", NOW))
    at, item = next((at, item) for at, item in enumerate(today.plan.items) if item.drill == "drum")
    assert item.rung == 1
    today.counts, today.at = [item.trials for item in today.plan.items], len(today.plan.items)
    today.tallies[at] = Tally(4, 5)
    card = PlanCard()
    qtbot.addWidget(card)
    card.show_today(today, {} if stands is None else {"drum": stands}, {"drum": Tally(2, 4)})
    texts = [each.text() for each in card.findChildren(QLabel)]
    assert any(text.startswith("4 of 5 right, last time 2 of 4") for text in texts)
    rungs = [text for text in texts if "rung" in text]
    assert len(rungs) == bool(told)
    assert all(told.format(rungs=len(drill("drum").rungs)) in text for text in rungs)
