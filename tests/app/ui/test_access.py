"""Every screen as someone meets it who needs large type, a keyboard alone, or a screen reader.

The screens are those of the pictures: a real window with real trials, a still player, a simulated learner.
"""

from collections.abc import Iterator

import numpy as np
import pytest
from PySide6.QtCore import QLocale, QPoint, QRect, QSize, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QFrame,
    QLabel,
    QPushButton,
    QScrollArea,
    QScrollBar,
    QWidget,
)

from app.demo.pictures import SEED, Look, Shown
from app.inputs.taps import Tap
from app.practice.trial.attempt import Attempt, Phase
from app.session import Session
from app.ui.base import theme
from app.ui.base.language import speak
from app.ui.dress import dress
from app.ui.heading import BOARD, HELP, PRACTISE
from app.ui.help.chapters import PAGES
from app.ui.practise.screen import PractiseScreen
from app.ui.screens.sound_card import SoundCard
from app.ui.widgets.choices import Choices
from app.ui.widgets.screens import Scrolled
from app.ui.widgets.sheet import sheet_places
from app.ui.widgets.sheet.count_sheet import CountSheet
from app.ui.widgets.sheet.sheet_places import place_blocks
from app.ui.window import Window
from synth.device.clock import utc_now
from synth.score.metre import steady_count
from tests.app.flashes import frame, most_flashes
from tests.app.ui.base.test_theme import contrast
from tests.app.ui.practise.test_practise_room import held_in_a_small_window, held_in_large_text
from tests.app.windows import open_window

pytestmark = pytest.mark.sampled(4)

# WCAG 2.2, 2.5.8: targets are at least 24 by 24 CSS px.
TARGET_PX = 24


@pytest.fixture(scope="module")
def logbook_path(invented_weeks):
    return invented_weeks(2, SEED, utc_now())


@pytest.fixture
def _as_before(qapp):
    yield
    speak(qapp, "en")
    QLocale.setDefault(QLocale.c())


def shown(qapp, logbook_path, look: Look) -> Iterator[tuple[str, QWidget]]:
    shown = Shown(qapp, look, logbook_path)
    name = ""
    for name in shown.scenes():
        yield name, shown.window
    assert name


# -- nothing cut -----------------------------------------------------------------------------------------------------


def needed(widget: QWidget) -> tuple[int, int]:
    """Width and height that a label's or a button's words take."""
    hint = widget.sizeHint()
    if isinstance(widget, QLabel) and widget.wordWrap():
        longest = max((widget.fontMetrics().horizontalAdvance(word) for word in widget.text().split()), default=0)
        return longest, widget.heightForWidth(widget.width())
    if widget.hasHeightForWidth():
        return 0, widget.heightForWidth(widget.width())
    if isinstance(widget, QComboBox):
        return widget.fontMetrics().horizontalAdvance(widget.currentText()), widget.fontMetrics().height()
    return hint.width(), hint.height()


def faults(window: QWidget) -> Iterator[str]:
    """What is cut, covered or out of reach in the window as it stands."""
    places: list[tuple[QWidget, QRect]] = []
    for widget in window.findChildren(QWidget):
        if isinstance(widget, QScrollArea) and widget.isVisible() and widget.horizontalScrollBar().maximum() > 0:
            yield f"{widget.widget()} is {widget.horizontalScrollBar().maximum()} px wider than its room"
        if not isinstance(widget, QLabel | QPushButton | QComboBox) or not widget.isVisible():
            continue
        words = widget.currentText() if isinstance(widget, QComboBox) else widget.text() or widget.accessibleName()
        if not words:
            continue
        width, height = needed(widget)
        if width > widget.width() or height > widget.height():
            yield f"{words!r} needs {width} x {height} px and has {widget.width()} x {widget.height()}"
        seen = widget.visibleRegion().boundingRect()
        if not seen.isEmpty() and not isinstance(widget.parent(), QAbstractButton):
            places.append((widget, seen.translated(widget.mapTo(window, QPoint()))))
        if widget.property("kind") == "next" and seen.size() != widget.size():
            yield f"the next step {words!r} is not in sight"
    assert places
    for index, (one, here) in enumerate(places):
        for other, there in places[:index]:
            if here.intersects(there):
                yield f"{one.text()!r} lies over {other.text()!r}"


# What keeps together what belongs together on a page of practice.
HELD = {
    Look((900, 600)): held_in_a_small_window,
    Look((900, 600), language="es"): held_in_a_small_window,
    Look(percent=200, language="es"): held_in_large_text,
}


@pytest.mark.proof
@pytest.mark.usefixtures("_as_before")
@pytest.mark.parametrize("look", [Look(), Look(language="es"), Look(percent=200), *HELD], ids=str)
def test_no_words_are_cut_and_every_control_is_told_and_reached(qapp, logbook_path, look):
    """WCAG 2.2, 1.4.4: text to 200 % without loss of content, in a window of 1280 x 800; the next step in sight.

    At 100 % each screen is then held to WCAG 2.2, 4.1.2 (name, role), 2.5.8 (24 px), 2.4.3 (focus order) and 2.1.2
    (no trap): every control is told and reached.
    """
    held, found, results = HELD.get(look), [], 0
    for name, window in shown(qapp, logbook_path, look):
        for find in (faults,) if look.percent > 100 else (faults, tree_faults, order_faults):
            found += [f"{name}: {fault}" for fault in find(window)]
        if held is not None and "02" <= name[:2] <= "08":
            results += name.endswith("result")
            held(name, window.contents.practise)
    assert not found, "\n".join(found)
    assert results == (0 if held is None else 6)


@pytest.mark.proof
@pytest.mark.usefixtures("_as_before")
@pytest.mark.parametrize("language", ["en", "es"])
def test_no_page_of_the_help_is_cut(qapp, logbook_path, language):
    """The same for each page of the help at 200 %, also while a result waits to be gone back to."""
    shown = Shown(qapp, Look(percent=200, language=language), logbook_path)
    shown.window.show()
    found = []
    for page in PAGES:
        shown.window.contents.show_help(page)
        shown.window.contents.help.offer_back(Phase.MARKED)
        qapp.processEvents()
        found += [f"{page}: {fault}" for fault in faults(shown.window)]
    shown.window.close()
    assert not found, "\n".join(found)


# -- the tree that a screen reader walks -----------------------------------------------------------------------------

CONTROLS = {
    QAccessible.Role.Button,
    QAccessible.Role.CheckBox,
    QAccessible.Role.RadioButton,
    QAccessible.Role.PageTab,
    QAccessible.Role.ComboBox,
    QAccessible.Role.SpinBox,
    QAccessible.Role.Slider,
    QAccessible.Role.EditableText,
    QAccessible.Role.List,
    QAccessible.Role.Table,
}


def walk(told) -> Iterator:
    """The controls below an accessible thing: what can have the keyboard, or can be pressed."""
    for index in range(told.childCount()):
        child = told.child(index)
        if child is None or not child.isValid() or child.state().invisible:
            continue
        widget = child.object()
        # A scroll area is told itself, not the port through which its content is seen.
        port = isinstance(widget, QWidget) and getattr(widget.parent(), "viewport", lambda: None)() is widget
        if child.role() in CONTROLS or (child.state().focusable and isinstance(widget, QWidget) and not port):
            yield child
        if not isinstance(widget, QComboBox | QScrollBar) and child.role() not in (
            QAccessible.Role.List,
            QAccessible.Role.Table,
            QAccessible.Role.SpinBox,
        ):
            yield from walk(child)


def tree_faults(window: QWidget) -> Iterator[str]:
    told = None
    for told in walk(QAccessible.queryAccessibleInterface(window)):
        name, about = told.text(QAccessible.Text.Name), told.text(QAccessible.Text.Description)
        what = f"{told.role()} {name!r} {told.object()}"
        if not name:
            yield f"{what} has no name"
        if not about:
            yield f"{what} has no description"
        # Qt's role for a picture that takes keys, and for what scrolls, is Client; their names say what they are.
        if told.role() is QAccessible.Role.NoRole:
            yield f"{what} does not say what it is"
        if min(told.rect().width(), told.rect().height()) < TARGET_PX:
            yield f"{what} is {told.rect().width()} x {told.rect().height()} px"
    assert told is not None


def tab_stops(window: QWidget) -> list[QWidget]:
    """What has the keyboard after each press of Tab, until it comes round."""
    begun = window.focusWidget()
    stops: list[QWidget] = []
    for _ in range(80):
        window.focusNextChild()
        now = window.focusWidget()
        if now in stops:
            break
        stops.append(now)
    if begun is not None:
        begun.setFocus()
    return stops


def order_faults(window: QWidget) -> Iterator[str]:
    stops = tab_stops(window)
    assert stops
    for widget in window.findChildren(QWidget):
        if (
            widget.isVisible()
            and widget.isEnabled()
            and widget.focusPolicy() & Qt.FocusPolicy.TabFocus
            and widget.focusProxy() is None
            and not isinstance(widget, QAbstractButton)  # of a group of tabs or choices Tab stops at one
            and widget not in stops
        ):
            yield f"{widget} {widget.accessibleName()!r} is never reached by Tab"
    places = [stop.mapTo(window, QPoint()) for stop in stops]
    backs = [
        f"{one.accessibleName()!r} -> {other.accessibleName()!r}"
        for one, other, here, there in zip(stops, stops[1:], places, places[1:], strict=False)
        if there.y() + other.height() <= here.y() and there.x() <= here.x()
    ]
    if len(backs) > 1:  # once round is once back
        yield f"Tab goes back up: {backs}"


# -- the ring of the keyboard ----------------------------------------------------------------------------------------


@pytest.mark.sweep(1)
@pytest.mark.usefixtures("_as_before")
@pytest.mark.parametrize("sheet_theme", [theme.LIGHT, theme.DARK], ids=lambda each: each.name)
def test_the_ring_stands_outside_its_control(qtbot, practice, sheet_theme):
    """WCAG 2.2, 2.4.7 and 1.4.11: seen, at 3:1, and apart from the frame, which says what is chosen."""
    window = Window(Session(practice))
    qtbot.addWidget(window)
    window.change({"theme": sheet_theme.name})
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.contents.show_tab(99)
    control = window.contents.settings._choices["theme"].findChildren(QPushButton)[0]
    before = frame(control)
    control.setFocus()
    around = QRect(control.mapTo(window, QPoint()), control.size())
    ring = window.ring.geometry()
    assert ring.contains(around.adjusted(-3, -3, 3, 3))
    np.testing.assert_array_equal(frame(control), before)  # nothing of the control itself has changed
    image = window.grab().toImage()
    beside = [image.pixelColor(around.left() - out, around.center().y()).name() for out in range(1, 6)]
    shades = [contrast(shade, sheet_theme.sheet) for shade in beside]
    assert max(shades[:2]) < 1.1  # the gap
    assert max(shades[2:4]) >= 3.0
    assert shades[4] < 1.1


@pytest.mark.usefixtures("_as_before")
def test_the_ring_goes_along_and_is_cut_with_its_page(qtbot, practice):
    window = Window(Session(practice))
    qtbot.addWidget(window)
    window.change({"text_percent": 200})
    window.resize(1000, 500)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.contents.show_tab(99)
    page = next(each for each in window.contents.settings.findChildren(Scrolled))
    qtbot.waitUntil(lambda: page.verticalScrollBar().maximum() > 200)
    control = window.contents.settings._choices["theme"].findChildren(QPushButton)[0]
    control.setFocus()
    for scroll in (0, 60, 5):
        page.verticalScrollBar().setValue(scroll)
        corner = control.mapTo(window, QPoint()) - QPoint(4, 4)
        whole = QRect(corner, control.size() + QSize(8, 8))
        port = QRect(page.viewport().mapTo(window, QPoint()), page.viewport().size())
        assert window.ring.geometry() == whole & port
    page.verticalScrollBar().setValue(page.verticalScrollBar().maximum())
    assert not window.ring.isVisible()


@pytest.mark.usefixtures("_as_before")
def test_a_scroll_bar_takes_no_room_from_the_page(qtbot, practice):
    """With a bar or without, what is on the page ends where the heading's slider does."""
    window = Window(Session(practice))
    qtbot.addWidget(window)
    window.show()
    for height in (1000, 480):
        window.resize(1280, height)
        window.contents.show_tab(99)
        page = next(each for each in window.contents.settings.findChildren(Scrolled))
        qtbot.waitUntil(lambda page=page, height=height: page.bar.isVisible() == (height == 480))
        cards = [each for each in page.findChildren(QFrame) if each.objectName() == "card"]
        edges = {each.mapTo(window, QPoint(each.width(), 0)).x() for each in (*cards, window.contents.volume)}
        assert max(edges) == 1280 - 5 * theme.STEP_PX
        bar = page.bar.mapTo(window, QPoint()).x()
        assert bar >= max(edges)


# -- figures in large text -------------------------------------------------------------------------------------------


@pytest.mark.proof
@pytest.mark.usefixtures("_as_before")
@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080)])
def test_figures_are_no_smaller_in_large_text(qapp, qtbot, practice, size, monkeypatch):
    """WCAG 2.2, 1.4.4, at the sheets themselves: who needs larger text needs larger figures, not smaller ones."""
    drawn = []

    def placed(*given, **limits):
        drawn.append(place_blocks(*given, **limits))
        return drawn[-1]

    monkeypatch.setattr(sheet_places, "place_blocks", placed)
    window = Window(Session(practice))
    qtbot.addWidget(window)
    window.resize(*size)
    window.show()
    lines = {}
    for percent in (100, 200):
        window.change({"text_percent": percent})
        for place in (BOARD, HELP):
            window.contents.show_tab(place)
            qapp.processEvents()
            sheet = next(each for each in window.findChildren(CountSheet) if each.isVisible())
            sheet.grab()
            lines[place, percent] = drawn[-1].line_px
    for place in (BOARD, HELP):
        assert lines[place, 200] >= lines[place, 100]


# -- flashes ---------------------------------------------------------------------------------------------------------


@pytest.mark.proof
@pytest.mark.parametrize("sheet_theme", [theme.LIGHT, theme.DARK], ids=lambda each: each.name)
def test_the_practise_sheet_flashes_at_most_three_times_a_second(qtbot, practice, sheet_theme):
    """WCAG 2.2, 2.3.1, from rendered frames at 240 BPM with a tap on every eighth note: eight moments a second.

    Counted for every pixel of the screen over each second of 3 s, while the count is shown and while it is blank.
    """
    dress(sheet_theme)
    screen = PractiseScreen(practice)
    qtbot.addWidget(screen)
    screen.resize(640, 420)
    screen.choosing.hide()  # as while a trial sounds
    screen.sheet.show()
    sheet, count = screen.sheet, steady_count(240, [4, 4])
    second = 8  # eighth notes
    for blank in (False, True):
        sheet.show_count(count, blank=blank)
        frames = []
        for eighth in range(3 * second):
            sheet.show_sounding(eighth // 2 % len(count))
            sheet.show_tap(float(eighth * 0.125) % count.end_s)
            frames.append(frame(screen))
        assert most_flashes(frames, second) <= 3


# -- what leads to the help ------------------------------------------------------------------------------------------


@pytest.fixture
def window(qtbot, practice) -> Window:
    return open_window(qtbot, practice)


def marked(window, player) -> None:
    """A trial with every target met 10 ms late."""
    practice = window.session.practice
    window.contents.practise.go_on()
    for target_s in practice.trial.targets_s:
        practice.attempt.tap(Tap(player.start_s + float(target_s) + 0.010, "key", True))
    player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
    window.contents.practise.tick()


def test_a_figure_leads_to_its_page_by_click_and_by_f1(window, qtbot, player, practice, monkeypatch):
    """What bias, spread and uncertainty mean is told where they are shown; the result stays as it was."""
    monkeypatch.setattr(Attempt, "uncertainty_ms", lambda self: 4.0)
    marked(window, player)
    contents = window.contents
    for name in ("met", "spread", "bias", "uncertainty"):
        contents.show_tab(PRACTISE)
        link = contents.practise.figures.named[name].link
        qtbot.mouseClick(link, Qt.MouseButton.LeftButton)
        assert contents.help.page.id == name
        assert contents.stack.currentWidget() is contents.help
        contents.show_tab(PRACTISE)
        contents.help.open("beat")
        link.setFocus()
        qtbot.keyClick(link, Qt.Key.Key_F1)
        assert contents.help.page.id == name
        assert practice.phase is Phase.MARKED


def test_f1_is_no_tap(window, qtbot, practice, monkeypatch):
    """While a trial sounds every key is a tap but those that steer; F1 opens the help."""
    taps = []
    monkeypatch.setattr(Attempt, "tap", lambda self, tap: taps.append(tap))
    window.contents.practise.go_on()
    qtbot.keyClick(window, Qt.Key.Key_J)
    assert len(taps) == 1
    qtbot.keyClick(window, Qt.Key.Key_F1)
    assert len(taps) == 1
    assert window.contents.stack.currentWidget() is window.contents.help


@pytest.mark.usefixtures("_as_before")
def test_what_is_longer_than_the_window_is_scrolled_by_keys(window, qtbot, player, practice):
    """WCAG 2.2, 2.1.1: the page takes the keyboard while there is something to scroll, and shows that it has it."""
    window.resize(1000, 480)
    window.change({"text_percent": 200})
    marked(window, player)
    page = window.contents.practise.page_view
    qtbot.waitUntil(lambda: page.verticalScrollBar().maximum() > 0)
    assert page.focusPolicy() is Qt.FocusPolicy.TabFocus
    page.setFocus()
    assert page.bar.isVisible()
    assert window.ring.isVisible()
    assert window.ring.geometry() == QRect(page.bar.mapTo(window, QPoint()), page.bar.size())
    qtbot.keyClick(page, Qt.Key.Key_PageDown)
    assert page.verticalScrollBar().value() > 0
    qtbot.keyClick(window, Qt.Key.Key_Return)
    assert practice.phase is Phase.SOUNDING
    assert page.verticalScrollBar().value() == 0


def ask(part: QWidget, action: str) -> None:
    """Do one of a widget's actions as a screen reader does."""
    offered = QAccessible.queryAccessibleInterface(part).actionInterface()
    assert action in offered.actionNames()
    offered.doAction(action)


def test_toggling_a_tab_is_pressing_it(window):
    contents = window.contents
    for place, name in ((BOARD, "board"), (HELP, "help"), (PRACTISE, "practise")):
        ask(contents.tabs.button(place), "Toggle")
        assert contents.tabs.checkedId() == place
        assert contents.stack.currentWidget() is getattr(contents, name)


def test_toggling_a_choice_is_choosing_it_and_showing_one_is_not(qtbot):
    choices = Choices("Colours", [("light", "Light", ""), ("dark", "Dark", "")])
    qtbot.addWidget(choices)
    chosen = []
    choices.chosen.connect(chosen.append)
    light, dark = choices.findChildren(QPushButton)
    choices.show_value("light")
    ask(dark, "Toggle")
    assert chosen == ["dark"]
    assert dark.isChecked()
    assert not light.isChecked()
    ask(dark, "Press")
    qtbot.waitUntil(lambda: len(chosen) > 1)
    assert chosen == ["dark", "dark"]


def test_toggling_the_claps_is_choosing_them(qtbot):
    card = SoundCard()
    qtbot.addWidget(card)
    chosen = []
    card.claps_chosen.connect(chosen.append)
    ask(card.claps, "Toggle")
    ask(card.claps, "Toggle")
    assert chosen == [True, False]


def test_a_screen_opened_by_its_key_gives_the_keyboard_to_a_control(qtbot, practice):
    """Not to the page that scrolls."""
    window = open_window(qtbot, practice, (900, 600))
    screens = set()
    for key in "2345,1":
        qtbot.keyClick(window, key, Qt.KeyboardModifier.ControlModifier)
        assert not isinstance(QApplication.focusWidget(), QScrollArea), key
        screens.add(window.contents.stack.currentWidget())
    assert len(screens) == 6
