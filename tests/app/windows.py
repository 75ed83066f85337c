"""The window as a person has it before them: shown, in light colours, with the keyboard."""

from app.practice.practice import Practice
from app.session import Session
from app.ui.base import theme
from app.ui.dress import dress
from app.ui.window import Window


def open_window(qtbot, practice: Practice, size: tuple[int, int] | None = None) -> Window:
    """A window on a practice, of its own size or another; it goes with the test."""
    dress(theme.LIGHT)
    window = Window(Session(practice))
    qtbot.addWidget(window)
    if size is not None:
        window.resize(*size)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    return window
