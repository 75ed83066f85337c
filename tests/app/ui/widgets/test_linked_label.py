"""Trade words are links to the help: by mouse and keys, in both languages, each to a page that there is."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from app.ui.base.language import speak
from app.ui.base.trade_words import FORMS, found
from app.ui.base.words import spoken
from app.ui.help.chapters import PAGES
from app.ui.widgets.linked_label import LinkedLabel
from exercises.drills import drills, find_again, stopped_bar, stopped_beat

ASKS = "Tap only the one, the first beat of every bar. <b>"


@pytest.fixture
def label(qtbot):
    """A label of the lead kind between two buttons, in a window that is shown."""
    window = QWidget()
    column, made = QVBoxLayout(window), LinkedLabel("lead")
    for part in (QPushButton("before"), made, QPushButton("after")):
        column.addWidget(part)
    qtbot.addWidget(window)
    made.setText(ASKS)
    window.resize(600, 200)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    made.held = window
    made.pages = []
    made.help_asked.connect(made.pages.append)
    return made


def test_every_word_leads_to_a_page():
    assert set(FORMS) <= set(PAGES)
    assert [(ASKS[first:last], page) for first, last, page in found(ASKS)] == [
        ("the one", "one"),
        ("beat", "beat"),
        ("bar", "bar"),
    ]


def test_an_everyday_word_is_no_link_to_a_page_on_something_else():
    """ "The one to come" is no one of a bar, and drums that break off are no break."""
    for say, page in ((stopped_beat.ON, "one"), (stopped_bar.ONE_BEAT_ON, "one"), (find_again.ASKS, "break")):
        assert page not in {each for _, _, each in found(say.text)}


def test_only_whole_words_and_each_page_once():
    text = "Barely in a bar: bars of a Phrase, one and the only."
    assert [text[first:last] for first, last, _ in found(text)] == ["bar", "Phrase"]


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_question_has_a_link(qapp, language):
    """What a drill asks holds a word that the help explains, but for two that ask without any."""
    speak(qapp, language)
    try:
        bare = [one.id for one in drills().values() if not list(found(spoken(one.asks())))]
    finally:
        speak(qapp, "en")
    assert set(bare) <= {"in-line", "faster"}


def test_the_text_is_plain_and_html_is_shown_as_written(label):
    assert label.text() == label.accessibleName() == ASKS
    assert "&lt;b&gt;" in QWidget.property(label, "text")


def test_tab_goes_from_word_to_word_and_return_opens_one(label, qtbot):
    """The window's own Return does not get the key."""
    label.window().layout().itemAt(0).widget().setFocus()
    for page in ("one", "beat", "bar"):
        QTest.keyClick(label.window().focusWidget(), Qt.Key.Key_Tab)
        assert label.hasFocus()
        QTest.keyClick(label, Qt.Key.Key_Return if page != "beat" else Qt.Key.Key_F1)
        assert label.pages[-1] == page
    QTest.keyClick(label, Qt.Key.Key_Tab)
    assert not label.hasFocus()


def test_a_click_opens_a_word(label, qtbot):
    words = label.fontMetrics().horizontalAdvance("Tap only th")
    qtbot.mouseClick(label, Qt.MouseButton.LeftButton, pos=QPoint(words, label.height() // 2))
    assert label.pages == ["one"]


def test_without_a_trade_word_it_takes_no_focus(label):
    label.linking = False
    label.setText(ASKS)
    assert label.focusPolicy() is Qt.FocusPolicy.NoFocus
    label.linking = True
    label.setText("Listen.")
    assert label.focusPolicy() is Qt.FocusPolicy.NoFocus
    assert label.textFormat() is Qt.TextFormat.PlainText
