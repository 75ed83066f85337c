"""The bottom line: side by side while it fits, as soon as a control comes or goes."""

import pytest
from PySide6.QtWidgets import QBoxLayout, QPushButton

from app.ui.practise.plan.step_row import Steps
from app.ui.widgets.controls import row


@pytest.mark.parametrize("at_once", [True, False])
def test_a_control_that_comes_or_goes_counts_at_once(qtbot, qapp, at_once):
    """The row of a control knows of it only once Qt has laid it out, which it does later."""
    parts = [QPushButton("a long name") for _ in range(3)]
    steps = Steps(row(*parts[:2]), row(parts[2]))
    qtbot.addWidget(steps)
    wide = steps.sizeHint().width()
    parts[1].hide()
    steps.resize(wide - 1, 100)
    steps.show()
    for shown in (True, False, True):
        if not at_once:
            qapp.processEvents()
        parts[1].setVisible(shown)
        steps.arrange()
        directions = QBoxLayout.Direction
        assert steps.lines.direction() == (directions.TopToBottom if shown else directions.LeftToRight)
        assert steps.sizeHint().width() == wide if shown else steps.sizeHint().width() < wide
