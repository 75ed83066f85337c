"""The practise screen with the largest text: what belongs together is seen together, and nothing stands alone."""

import pytest
from PySide6.QtCore import QLocale, QPoint
from PySide6.QtWidgets import QBoxLayout, QLabel

from app.demo.pictures import SEED, Look, Shown
from app.ui.base import theme
from app.ui.base.language import speak
from app.ui.dress import dress
from app.ui.widgets.controls import KeyButton
from app.ui.widgets.sheet.sheet_places import LOWEST_PX
from synth.device.clock import utc_now


@pytest.fixture
def scenes(qapp, invented_weeks):
    """Makes the screens up to the last result, in one look; afterwards text and language are as before."""
    path = invented_weeks(2, SEED, utc_now())
    before, sessions = QLocale(), []

    def play(size, percent, language):
        sessions.append(shown := Shown(qapp, Look(size, "light", percent, language), path))
        for name in shown.scenes():
            yield name, shown.window.contents.practise
            if name == "08-bring-in-result":
                return

    yield play
    for shown in sessions:
        shown.window.close()
        shown.window.deleteLater()
    theme.set_text_scale(1.0)
    dress(theme.LIGHT)
    speak(qapp, "en", QLocale("C"))
    QLocale.setDefault(before)


def beyond(screen) -> int:
    """By how much the page is longer than its room, in px."""
    return screen.page_view.verticalScrollBar().maximum()


def hints(screen) -> list[str]:
    """The key hints that are seen in the line of steps."""
    return [
        part.text()
        for part in screen.steps.findChildren(QLabel)
        if part.property("kind") == "key" and part.isVisible()
    ]


def held_in_a_small_window(name: str, screen) -> None:
    """Fail where a result is not seen as a whole in 900 x 600 at 100 %; ``test_access`` asks it of each.

    Verdict, figures, strip, sheet and legend stand above the steps with their keys.
    """
    if name.endswith("result"):
        assert (name, beyond(screen)) == (name, 0)
        assert (name, len(hints(screen))) == (name, 5)


def held_in_large_text(name: str, screen) -> None:
    """Fail where a page of practice does not keep together what belongs together, at 200 % in 1280 x 800.

    ``test_access`` asks it of each in Spanish, whose words are longer: WCAG 2.2, 1.4.4 asks for 200 % without loss.
    """
    assert screen.steps.lines.direction() == QBoxLayout.Direction.LeftToRight
    if name in ("02-free", "05-busy-sounding"):
        assert beyond(screen) == 0
    if name == "02-free":
        assert not screen.sheet.isVisible()
    if name.endswith("result"):
        assert screen.heading.height() < 2 * screen.heading.fontMetrics().lineSpacing()
        sheet = screen.sheet.mapTo(screen.page_view, QPoint(0, screen.sheet.height() // 2)).y()
        assert sheet < screen.page_view.height()
        assert screen.sheet._places().blocks.line_px > 1.6 * LOWEST_PX
        assert len(hints(screen)) == 5  # of five actions, with short names
        for each in screen.steps.findChildren(KeyButton):
            assert not each.isVisible() or "Tecla" in each.toolTip()


@pytest.mark.proof
def test_large_text_in_a_large_window(scenes):
    """1920 x 1080 at 200 %: every result is seen as a whole."""
    results = 0
    for name, screen in scenes((1920, 1080), 200, "en"):
        if name.endswith("result"):
            results += 1
            assert (name, beyond(screen)) == (name, 0)
            assert hints(screen)
    assert results == 6
