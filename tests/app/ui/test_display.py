"""The window needs a screen: without one the program says so, where Qt itself would abort."""

import sys

import pytest

from app.ui.display import NO_SCREEN, check_screen
from synth.base.errors import Trouble

pytestmark = pytest.mark.sampled(3)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="other systems always have a screen")
@pytest.mark.parametrize("platform", ["", "xcb", "wayland;xcb", "nonsense", "nonsense:size=1x1;xcb", "../xcb"])
def test_a_missing_screen_is_told(platform, monkeypatch):
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("QT_QPA_PLATFORM", platform)
    with pytest.raises(Trouble, match=NO_SCREEN):
        check_screen()


@pytest.mark.parametrize("platform", ["offscreen", "offscreen:enable_fonts", "nonsense;OFFSCREEN"])
def test_a_platform_without_a_display_is_used(platform, monkeypatch):
    for name in ("DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("QT_QPA_PLATFORM", platform)
    check_screen()
