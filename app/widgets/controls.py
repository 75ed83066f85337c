"""Labels, buttons and key hints in the program's own dress: one call each, so that screens read as layouts."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget

from app import theme as look


def label(text: str = "", kind: str = "body", *, wrap: bool = False) -> QLabel:
    """A label in one of the style sheet's kinds: title, verdict, lead, soft, small, figure, key, name, body."""
    made = QLabel(text)
    made.setProperty("kind", kind)
    made.setWordWrap(wrap)
    made.setTextFormat(Qt.TextFormat.PlainText)
    if kind == "key":
        made.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
    return made


def button(text: str, description: str, kind: str = "plain") -> QPushButton:
    """A button with its description for a screen reader; kind "next" is the one next step of a screen."""
    made = QPushButton(text)
    made.setProperty("kind", kind)
    made.setAccessibleName(text)
    made.setAccessibleDescription(description)
    made.setMinimumHeight(look.TARGET_PX)
    return made


def named(widget: QWidget, name: str, description: str = "") -> QWidget:
    """Name a control for a screen reader."""
    widget.setAccessibleName(name)
    widget.setAccessibleDescription(description)
    return widget


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
