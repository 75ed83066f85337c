"""Labels, buttons and key hints in the program's own dress: one call each, so that screens read as layouts."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget

from app import theme as look


def label(text: str = "", kind: str = "body", *, wrap: bool = False) -> QLabel:
    """A label of one kind: title, verdict, board, figure, heading, name, lead, strong, soft, small, key."""
    made = QLabel(text)
    if kind in ("title", "verdict", "board", "figure", "heading"):
        made.setFont(look.font(look.TYPE.title, serif=True))  # for its lining figures; the style sheet says the rest
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


class KeyButton(QPushButton):
    """A button with the key that does the same beside its name, as a key hint."""

    def __init__(self, name: str, description: str, key: str, *, key_first: bool = False) -> None:
        super().__init__()
        self.setProperty("kind", "choice")
        self._name, self._key = label(kind="body"), label(kind="key")
        line = row(*((self._key, self._name) if key_first else (self._name, self._key)), spacing=look.STEP_PX)
        line.setContentsMargins(look.STEP_PX, 0, look.STEP_PX, 0)
        self.setLayout(line)
        for part in (self._name, self._key):
            part.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.show_name(name, description, key)

    def show_name(self, name: str, description: str, key: str) -> None:
        """Call the button something else from now on."""
        self._name.setText(name)
        self._key.setText(key)
        named(self, name, description)
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        """Room for name and key."""
        return self.layout().sizeHint().expandedTo(QSize(look.TARGET_PX, look.TARGET_PX))

    def minimumSizeHint(self) -> QSize:
        """Nothing of them is ever cut off."""
        return self.sizeHint()


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
