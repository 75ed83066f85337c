"""Factories for labels, buttons and key hints in the program's style."""

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from html import escape

from PySide6.QtCore import QEvent, QObject, QSignalBlocker, QSize, Qt
from PySide6.QtGui import QFontMetricsF, QWheelEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLayout,
    QPushButton,
    QSizePolicy,
    QSlider,
    QSpinBox,
    QWidget,
)

from app.ui.base import theme as look

# Padding of a button with a key hint.
PADDING_PX = 12
# Padding of a field, at 100 % text size.
FIELD_PX = 10


def label(text: str = "", kind: str = "body", *, wrap: bool = False) -> QLabel:
    """A label of one kind: title, verdict, board, figure, heading, name, lead, strong, soft, small, key."""
    made = QLabel(text)
    if kind in ("title", "verdict", "board", "figure", "heading", "name"):
        made.setFont(look.font(look.TYPE.title, serif=True))  # for its lining figures; the style sheet says the rest
    made.setProperty("kind", kind)
    made.setWordWrap(wrap)
    made.setTextFormat(Qt.TextFormat.PlainText)
    if kind == "key":
        made.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        made.setAlignment(Qt.AlignmentFlag.AlignCenter)
    return made


def button(text: str, description: str, kind: str = "plain", *, checkable: bool = False) -> QPushButton:
    """A button with its description for a screen reader; kind "next" is the one next step of a screen."""
    made = Choice(text) if checkable else QPushButton(text)
    made.setProperty("kind", kind)
    made.setAccessibleName(text)
    made.setAccessibleDescription(description)
    made.setMinimumHeight(look.TARGET_PX)
    return made


def turn_into(part: QWidget, kind: str) -> None:
    """Change the kind of a label or button and restyle it."""
    if part.property("kind") != kind:
        part.setProperty("kind", kind)
        part.style().polish(part)


def fit_heading(heading: QLabel, largest: str, room_px: float, *, shrink: bool) -> None:
    """Give a heading its ``largest`` kind, or if it may ``shrink`` the largest that needs one line of the room."""
    sizes = {"verdict": look.TYPE.verdict, "title": look.TYPE.title, "heading": look.TYPE.lead}
    kinds = list(sizes)[list(sizes).index(largest) :]

    def wide(kind: str) -> float:
        font = look.font(look.px(sizes[kind]), serif=True, strong=True)
        return QFontMetricsF(font).horizontalAdvance(heading.text())

    fitting = (each for each in kinds if wide(each) <= room_px)
    turn_into(heading, next(fitting, kinds[-1]) if shrink else kinds[0])


class Choice(QPushButton):
    """A button of a group of which one is checked.

    A screen reader's action "Toggle" is a press, too; Qt only checks the button then, without ``clicked``.
    """

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.setCheckable(True)
        self._told = False
        self.toggled.connect(self._press)

    def setChecked(self, on: bool) -> None:
        """Check or uncheck without a press."""
        self._told = True
        super().setChecked(on)
        self._told = False

    def nextCheckState(self) -> None:
        self._told = True
        super().nextCheckState()
        self._told = False

    def _press(self, on: bool) -> None:
        if on and not self._told:
            self.click()


class KeyButton(QPushButton):
    """A button that shows its shortcut key before its name.

    The hint of a screen's next step, which is a plain ``button``, is outside, before it.
    """

    def __init__(self, name: str, description: str, key: str) -> None:
        super().__init__()
        self.setProperty("kind", "choice")
        self.words, self.hint = label(kind="body"), label(kind="key")
        self.line = row(self.hint, self.words, spacing=look.STEP_PX)
        self.line.setContentsMargins(PADDING_PX, 0, PADDING_PX, 0)
        self.setLayout(self.line)
        for part in (self.words, self.hint):
            part.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.show_name(name, description, key)

    def show_name(self, name: str, description: str, key: str) -> None:
        """Change name, description and key."""
        self.words.setText(name)
        self.hint.setText(key)
        named(self, name, description)
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        return self.line.sizeHint().expandedTo(QSize(look.TARGET_PX, look.control_px()))

    def minimumSizeHint(self) -> QSize:
        """The size hint, so that nothing is cut off."""
        return self.sizeHint()


def press(control: QWidget | None) -> bool:
    """Press a button, or open a combo box; whether it was one."""
    if isinstance(control, QAbstractButton):
        control.click()
    elif isinstance(control, QComboBox):
        control.showPopup()
    else:
        return False
    return True


def show(part: QLabel, words: str) -> None:
    """Set a label's text, and hide it where that is empty."""
    part.setText(words)
    part.setVisible(bool(words))


@contextmanager
def quiet(*controls: QObject) -> Iterator[None]:
    """Within it these emit no signals."""
    with ExitStack() as held:
        for each in controls:
            held.enter_context(QSignalBlocker(each))
        yield


@contextmanager
def laid_out_once(*layouts: QLayout) -> Iterator[None]:
    """Lay out afterwards, in this order: Qt does so each time when a part of a visible widget is shown."""
    for each in layouts:
        each.setEnabled(False)
    try:
        yield
    finally:
        for each in layouts:
            each.setEnabled(True)
            each.activate()


# The three controls below take the wheel only while they have the focus: else the page under the pointer scrolls.
# No other module makes a combo box, a number field or a slider.


class Box(QComboBox):
    """A combo box; with ``wheel`` false it never takes the wheel while it is closed."""

    def __init__(self, *, wheel: bool = True) -> None:
        super().__init__()
        self._wheel = wheel
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Change the choice, or leave the event to the page."""
        if self._wheel and self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()


class Slider(QSlider):
    """A horizontal slider."""

    def __init__(self) -> None:
        super().__init__(Qt.Orientation.Horizontal)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Move the handle, or leave the event to the page."""
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()


class NumberField(QSpinBox):
    """A number field with the text margin of a combo box, which a style sheet cannot set."""

    def __init__(self) -> None:
        super().__init__()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._space()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Change the number, or leave the event to the page."""
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.StyleChange:
            self._space()

    def _space(self) -> None:
        self.lineEdit().setTextMargins(look.px(FIELD_PX), 0, 0, 0)


def plain_tip(text: str) -> str:
    """A text for a tool tip, which Qt would take for HTML where it looks like it."""
    return f"<span>{escape(text)}</span>" if "<" in text else text


def named(widget: QWidget, name: str, description: str = "") -> QWidget:
    """Name a control for a screen reader."""
    widget.setAccessibleName(name)
    widget.setAccessibleDescription(description)
    return widget


def layout_of(widget: QWidget) -> QLayout:
    """The layout of a widget that has one."""
    layout = widget.layout()
    assert layout is not None
    return layout


def widgets_in(layout: QLayout) -> list[QWidget]:
    """The widgets of a layout, in their order; gaps and layouts within it are left out."""
    items = [layout.itemAt(at) for at in range(layout.count())]
    found = [item.widget() for item in items if item is not None]
    return [part for part in found if part is not None]


def take_out(layout: QLayout) -> Iterator[QWidget]:
    """Empty a layout; yields the widgets that were in it."""
    while (item := layout.takeAt(0)) is not None:
        part = item.widget()
        if part is not None:
            yield part


def row(*parts: QWidget | int | None, spacing: int = look.STEP_PX * 2) -> QHBoxLayout:
    """A row of widgets; ``None`` is a stretch, a number a gap in px."""
    made = QHBoxLayout()
    made.setSpacing(spacing)
    for part in parts:
        if part is None:
            made.addStretch(1)
        elif isinstance(part, int):
            made.addSpacing(part)
        else:
            made.addWidget(part)
    return made
