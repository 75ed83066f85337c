"""What we rely on in the Qt bindings themselves."""

import sys

from PySide6.QtWidgets import QLabel


def test_calls_that_return_nothing_keep_the_count_of_none(qtbot):
    """PySide6 6.12.0 took a reference to None with every such call; on Python 3.11, where None is counted like any
    object, a few minutes of painting ended the program ("deallocating None")."""
    words = QLabel()
    qtbot.addWidget(words)
    before = sys.getrefcount(None)
    for _ in range(500):
        words.setText("x")
    assert abs(sys.getrefcount(None) - before) < 100
