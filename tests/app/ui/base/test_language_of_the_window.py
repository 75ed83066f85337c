"""The window in another language: everything in it is translated, and fits."""

import os
import re
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QTranslator
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QScrollArea, QWidget

from app.demo.simulated import simulate
from app.inputs.taps import Tap
from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Wish
from app.session import Session
from app.ui.base import theme
from app.ui.base.words import groove_words, spoken
from app.ui.charts.base_chart import Chart
from app.ui.dress import dress
from app.ui.logbook.screen import LogbookScreen
from app.ui.window import Window
from exercises.drills import drills
from exercises.logbook.store import Logbook
from exercises.trial.trial import Kind
from tests.app.ui.base.spanish import ENGLISH, QUOTED, SAME, SPANISH

pytestmark = pytest.mark.sampled(3)

ROOT = Path(__file__).parents[4]


@pytest.fixture
def window(qtbot, practice, qapp, monkeypatch):
    """Makes the window in the language of the moment, on a computer without sound devices."""
    monkeypatch.setattr("app.ui.screens.sound_card.outputs", tuple)
    monkeypatch.setattr("app.ui.screens.sound_card.microphones", tuple)

    opened: list[Window] = []

    def make() -> Window:
        theme.set_text_scale(1.0)
        dress(theme.LIGHT)
        made = Window(Session(practice))
        qtbot.addWidget(made)
        made.resize(made.sizeHint())  # a little less than 1280 by 800
        made.show()
        opened.append(made)
        return made

    yield make
    for each in opened:
        each.session.shelf.close()


def _texts(root: QWidget) -> dict[str, QWidget]:
    """Every text that a widget shows or says to a screen reader, with the widget."""
    found: dict[str, QWidget] = {}
    for part in (root, *root.findChildren(QWidget)):
        told = [part.accessibleName(), part.accessibleDescription(), part.toolTip()]
        if isinstance(part, QLabel | QAbstractButton):
            told.append(part.text())
        if isinstance(part, QComboBox):
            told += [part.itemText(at) for at in range(part.count())]
        found |= dict.fromkeys(filter(None, told), part)
    return found


def _tabs(window: Window) -> list[str]:
    return [tab.text() for tab in window.contents.tabs.buttons()]


def _places(window: Window) -> list[int]:
    return [window.contents.tabs.id(tab) for tab in window.contents.tabs.buttons()]


def _open_all(window: Window) -> None:
    for place in _places(window):
        window.contents.show_tab(place)
    window.contents.show_welcome()


def test_another_language_changes_the_window(window, speaking):
    """Names of the screens, sentences of the exercises, titles of grooves, and the locale of every screen."""
    speaking("es")
    spanish = window()
    assert _tabs(spanish)[:3] == ["Practicar", "Pizarra", "Cuaderno"]
    assert spanish.contents.practise.choosing.list.drills.rows[0][1][:2] == (
        "Contar al compás",
        "Cuenta en voz alta con la hoja y la voz.",
    )
    assert spanish.locale().decimalPoint() == ","
    assert groove_words("waltz") == "Vals"
    speaking("en")
    assert _tabs(window())[:3] == ["Practise", "Board", "Logbook"]


class Marking(QTranslator):
    """Puts a mark, its context and a mark before every text that goes through translation."""

    def translate(self, context, source, disambiguation=None, n=-1):
        return f"¤{context}¤{source}"


def test_every_text_of_every_screen_goes_through_translation(window, qapp, speaking):
    """A text without the mark was never offered for translation."""
    speaking("en")
    marking = Marking(qapp)
    qapp.installTranslator(marking)
    made = window()
    _open_all(made)
    # Ways of counting, levels in dB, language names, what the learner has typed.
    same = re.compile(r"Tallybar|English|Español|[\d ,.:±%A-C+−←→]*|F11|D|G|P|H|V|me|\d+ dB")
    assert [text for text in _texts(made) if "¤" not in text and not same.fullmatch(text)] == []


def test_a_button_is_no_longer_in_spanish_than_in_english(window, qapp, speaking):
    """Or has ten letters at most: beside a key's name there is room for no more in large text."""
    speaking("en")
    marking = Marking(qapp)
    qapp.installTranslator(marking)
    made = window()
    _open_all(made)
    spanish = {(about, source): text for about, source, text, _ in SPANISH}
    buttons = {tuple(part.text().split("¤")[1:]) for part in made.findChildren(QAbstractButton) if "¤" in part.text()}
    qapp.removeTranslator(marking)
    assert len(buttons) > 30
    longer = {
        (key[1], spanish[key]) for key in buttons if key in spanish and len(spanish[key]) > max(10, len(key[1]))
    }
    assert longer == set()


def _cut(window: Window) -> list[str]:
    """Texts that their widget is too small for, once the layouts have settled."""
    for _ in range(3):
        QCoreApplication.processEvents()
    cut = []
    for part in window.findChildren(QWidget):
        if not part.isVisible():
            continue
        if isinstance(part, QScrollArea) and part.widget() is not None:
            beyond = part.widget().width() - part.viewport().width()
            if beyond > 0:
                cut.append(f"{part.widget().objectName()}: {beyond} px beyond the edge")
        if isinstance(part, QAbstractButton) and part.text() and part.width() < part.sizeHint().width():
            cut.append(part.text())
        if isinstance(part, QLabel) and part.text():
            if part.wordWrap():
                short = part.height() < part.heightForWidth(part.width())
            else:
                short = part.width() < part.fontMetrics().horizontalAdvance(part.text())
            if short:
                cut.append(part.text())
    return cut


@pytest.mark.proof
@pytest.mark.parametrize("language", ["en", "es"])
def test_no_text_is_cut_in_a_small_window(window, speaking, language):
    """Spanish is a fifth longer than English; every label and button still has its room."""
    speaking(language)
    made = window()
    for place in _places(made):
        made.contents.show_tab(place)
        assert (place, _cut(made)) == (place, [])
        assert made.size() == made.sizeHint()
    made.contents.show_welcome()
    for page in range(4):
        made.contents.first_run.welcome.show_page(page)
        assert (page, _cut(made)) == (page, [])


def _english(window: QWidget) -> list[str]:
    """Texts in sight that have an English word in them."""
    shown = (text for text, part in _texts(window).items() if part.isVisible())
    return [text for text in shown if text not in SAME and ENGLISH.search(QUOTED.sub("", text))]


@pytest.mark.proof
def test_a_trial_of_every_drill_is_in_spanish_and_fits(window, speaking, practice, player):
    """From the question to what is said of somebody who only guesses, in a small window."""
    speaking("es")
    made = window()
    wrong = {}

    def look(drill: str) -> None:
        if found := _english(made) + _cut(made):
            wrong[drill, practice.phase] = found

    for drill in drills():
        practice.choose(Wish(drill, 2))
        practice.put_away()
        made.contents.practise.redraw()
        look(drill)
        made.contents.practise.go_on()
        assert practice.phase is Phase.SOUNDING
        look(drill)
        answer = simulate("random", practice.trial, 3)
        for tap_s in answer.taps_s:
            practice.attempt.tap(Tap(player.start_s + float(tap_s), "key", True))
        player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
        made.contents.practise.tick()
        if practice.phase is Phase.ASKING:
            look(drill)
            made.contents.practise.answer(
                f"{answer.value:.0f}" if isinstance(answer.value, float) else str(answer.value)
            )
        assert practice.phase is (Phase.READY if practice.drill.kind is Kind.NONE else Phase.MARKED)
        look(drill)
    assert wrong == {}


def test_the_logbook_with_its_charts_is_in_spanish(qtbot, qapp, speaking, invented_weeks):
    """Every value that a chart's marker can tell, too: a chart is no widget of ours, and tells it by a signal."""
    speaking("es")
    path = invented_weeks(6, 1, datetime(2030, 5, 1, 12, tzinfo=UTC))
    theme.set_text_scale(1.0)
    dress(theme.LIGHT)
    with Logbook.open(path) as logbook:
        screen = LogbookScreen(logbook)
        qtbot.addWidget(screen)
        screen.resize(1280, 740)
        screen.show()
        found, charts = {}, set()
        for drill in (None, "turn", "one", "stopped-bar"):
            screen.open_drill(drill)
            screen.wait()
            for name, card in screen.content.cards.items():
                picture = card.picture
                if card.isHidden() or not isinstance(picture, Chart):
                    continue
                charts.add(name)
                for at in range(len(picture.xs)):
                    picture.mark(at)
                    found |= dict.fromkeys(_english(screen), (drill, name))
        assert found == {}
        assert {"minutes", "spread", "share", "bias", "rung", "beat", "lost"} <= charts


def test_titles_of_drills_are_no_wider_than_in_english(qapp, speaking):
    """Pictures that have a fixed width for them, such as the ladder, would cut them short."""

    def widest_px() -> float:
        metrics = QFontMetricsF(theme.font(theme.TYPE.body))
        return max(metrics.horizontalAdvance(spoken(drill.title())) for drill in drills().values())

    speaking("en")
    english_px = widest_px()
    speaking("es")
    assert widest_px() <= english_px


START = """
import app.ui.window
class Window(app.ui.window.Window):
    def listen(self):
        tabs, practise = self.contents.tabs, self.contents.practise
        print(tabs.buttons()[0].text(), practise.heading.text(), self.locale().decimalPoint(), flush=True)
        raise SystemExit(0)
app.ui.window.Window = Window
from app.cli.commands import main
main([])
"""


def test_the_window_starts_in_the_language_of_the_settings(tmp_path):
    """From the settings file to the first window, as the program is started."""
    (tmp_path / "settings.toml").write_text('language = "es"\nfirst_run_done = true\n', encoding="utf-8")
    surroundings = os.environ | {"TALLYBAR_HOME": str(tmp_path), "QT_QPA_PLATFORM": "offscreen", "LC_ALL": "C.UTF-8"}
    run = subprocess.run(
        [sys.executable, "-c", START], cwd=ROOT, env=surroundings, capture_output=True, timeout=60, check=True
    )
    assert run.stdout.decode("utf-8").splitlines()[-1] == "Practicar La práctica de hoy ,"
