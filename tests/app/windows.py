"""The window as a person has it before them: shown, in light colours, with the keyboard."""

import os
from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QLoggingCategory
from PySide6.QtWidgets import QApplication

from app.practice.practice import Practice
from app.session import Session
from app.ui.base import theme
from app.ui.dress import dress
from app.ui.heading import PRACTISE
from app.ui.widgets.screens import Screens
from app.ui.window import Window


def open_window(qtbot, practice: Practice, size: tuple[int, int] | None = None, *, tab: int = PRACTISE) -> Window:
    """A window on a practice, of its own size or another, with one of its screens; it goes with the test."""
    dress(theme.LIGHT)
    window = Window(Session(practice))
    qtbot.addWidget(window)
    if size is not None:
        window.resize(*size)
    if tab != PRACTISE:
        window.contents.show_tab(tab)  # before anything is laid out and painted
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    return window


def open_alone(qtbot, stack: Screens, size: tuple[int, int]) -> None:
    """Show screens as the window does, without the rest of it, which takes most of the time."""
    dress(theme.LIGHT)
    qtbot.addWidget(stack)
    stack.resize(*size)
    stack.show()
    stack.activateWindow()
    qtbot.waitUntil(stack.isActiveWindow)


@contextmanager
def shown_window(practice: Practice) -> Iterator[Window]:
    """The same without pytest, offscreen, for a benchmark in a process of its own."""
    os.environ["QT_QPA_PLATFORM"] = "offscreen"
    QLoggingCategory.setFilterRules("default.warning=false")
    application = QApplication.instance() or QApplication(["tallybar"])
    theme.load_fonts()
    dress(theme.LIGHT)
    window = Window(Session(practice))
    window.resize(1280, 800)
    window.show()
    application.processEvents()
    yield window
    window.close()
