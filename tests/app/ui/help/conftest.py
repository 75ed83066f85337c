"""The help's screen by itself."""

import pytest

from app.ui.base import theme
from app.ui.dress import dress
from app.ui.help.screen import HelpScreen


@pytest.fixture
def screen(qtbot, qapp, player) -> HelpScreen:
    dress(theme.LIGHT)
    made = HelpScreen(player, None)
    qtbot.addWidget(made)
    made.resize(1280, 712)  # what the window's heading and foot leave of 1280x800
    made.show()
    made.activateWindow()
    qtbot.waitUntil(made.isActiveWindow)
    return made
