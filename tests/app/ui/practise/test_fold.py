"""Nothing that is needed lies below the fold: question, answers and next step, in small windows and large text.

The sizes are those of a window that fits a screen of 900 x 600 or 1280 x 800 with its frame.
"""

import pytest
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QPushButton, QWidget

from app.practice.plan.placing import Placing
from app.practice.plan.planned import Planned
from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Wish
from app.ui.base.language import speak
from app.ui.heading import PRACTISE
from app.ui.practise.practise_words import PractiseWords
from app.ui.window import Window
from exercises.drills import drills
from exercises.learner.placement import DrillRung
from exercises.trial.trial import Kind
from tests.app.silent import SilentPlayer
from tests.app.windows import open_window

# Title bar and borders of a common desktop, in px.
FRAME_PX = 40
# The rung of each drill that has the most answers, or the longest ones.
WIDEST = {"drum": 9, "stopped-beat": 9, "stopped-bar": 8, "find-again": 6, "in-line": 9, "feel": 3, "odd-phrase": 9}
LOOKS = [((900, 600 - FRAME_PX), 100), ((1280, 800 - FRAME_PX), 150)]
PLACE = {
    "en": "10 of 12: Find the count again (trial 10 of 10)",
    "es": "10 de 12: Vuelve a la cuenta (prueba 10 de 10)",
}


@pytest.fixture(params=["en", "es"])
def language(request, qapp):
    speak(qapp, request.param)
    yield request.param
    speak(qapp, "en")


@pytest.fixture(params=LOOKS, ids=str)
def window(request, qtbot, practice, language, monkeypatch) -> Window:
    """A window of this size in this text size and language, as in the middle of a plan."""
    size, percent = request.param
    monkeypatch.setattr(PractiseWords, "place", lambda _: PLACE[language])
    made = open_window(qtbot, practice, size)
    made.change({"text_percent": percent})
    made.setUpdatesEnabled(False)  # places are asked for, nothing is looked at
    made.resize(*size)
    for _ in range(3):
        QApplication.processEvents()
    return made


def below(window: Window) -> list[str]:
    """What of the question, of the answers and of the steps is not seen as a whole."""
    for _ in range(3):
        QApplication.processEvents()
    screen = window.contents.practise
    parts: list[QWidget] = [screen.heading, screen.lead, screen.notice]
    for holder in (screen.panel, screen.steps):
        for kind in (QPushButton, QLabel, QLineEdit):
            parts += holder.findChildren(kind)
    return [
        f"{part} {part.visibleRegion().boundingRect().size()} of {part.size()}"
        for part in parts
        if part.isVisible() and part.visibleRegion().boundingRect().size() != part.size()
    ]


def hidden(window: Window, player: SilentPlayer, drill: str) -> list[str]:
    """What of a drill's trial is not in sight, while it sounds, and while it asks."""
    practice, screen, found = window.session.practice, window.contents.practise, []
    practice.stop()
    practice.choose(Wish(drill, WIDEST.get(drill, 1)))
    screen.go_on()
    assert practice.phase is Phase.SOUNDING
    found += below(window)
    if practice.attempt.asks is not Kind.NONE:
        practice.voids.untapped = True  # a trial without taps is asked about too
        player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
        screen.tick()
        assert practice.phase is Phase.ASKING
        found += below(window)
    return [f"{drill}: {each}" for each in found]


@pytest.mark.proof
def test_question_answers_and_next_step_are_in_sight(window, player):
    """For every drill while a level is found, where the bar above takes some of the height.

    In free practice the same pages have more of it: there the drills with the most to show, and what is not marked.
    """
    screen, practice = window.contents.practise, window.session.practice
    marked = [id for id, one in drills().items() if one.kind is not Kind.NONE]
    found = below(window)  # the page before a trial, the same for all drills
    for drill in drills():
        if drill in WIDEST or drill not in marked:
            found += hidden(window, player, drill)
    bar, run = window.contents.open_first_run().bar, Placing(practice.course)
    for drill in marked:
        run.place = DrillRung(drill, 1)
        screen.stop()
        bar.show_run(run)  # what it says of the drill may take two lines
        found += below(window) + hidden(window, player, drill)
    assert found == []


def cut_next(window: Window) -> list[str]:
    """Next steps of the page shown that are not seen as a whole."""
    for _ in range(3):
        QApplication.processEvents()
    steps = [
        each for each in window.findChildren(QPushButton) if each.property("kind") == "next" and each.isVisible()
    ]
    return [each.text() for each in steps if each.visibleRegion().boundingRect().size() != each.size()]


@pytest.mark.proof
def test_the_next_step_of_every_other_page_is_in_sight(window, practice, logbook):
    """The welcome, the lesson, the plan, choosing freely."""
    found = []
    practice.follow_day(Planned(logbook.path))
    practice.plan_day()
    screen = window.contents.practise
    screen.tick()
    screen.redraw()
    found += [f"plan: {each}" for each in cut_next(window)]
    screen.lesson_asked.emit("")
    found += [f"lesson: {each}" for each in cut_next(window)]
    window.contents.show_tab(PRACTISE)
    screen.choose_freely()
    found += [f"choosing: {each}" for each in cut_next(window)]
    window.contents.show_welcome()
    for page in range(4):
        window.contents.first_run.welcome.show_page(page)
        found += [f"welcome {page + 1}: {each}" for each in cut_next(window)]
    assert found == []
