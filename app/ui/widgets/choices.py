"""A row of buttons of which one is chosen."""

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QWidget

from app.ui.base import theme as look
from app.ui.widgets.controls import button, row


class Choices(QWidget):
    """Shows one of several values as chosen; ``chosen`` is emitted with another when the learner picks it."""

    chosen = Signal(object)

    def __init__(self, name: str, choices: Sequence[tuple[object, str, str]]) -> None:
        """``choices`` are value, label and description; ``name`` is the group's name."""
        super().__init__()
        self.setAccessibleName(name)
        self._values = [value for value, _, _ in choices]
        self._group = QButtonGroup(self)
        buttons = []
        for place, (_, words, description) in enumerate(choices):
            made = button(words, description or name, "choice", checkable=True)
            made.setAccessibleName(f"{name}: {words}")
            self._group.addButton(made, place)
            buttons.append(made)
        line = row(*buttons, None, spacing=look.STEP_PX)
        line.setContentsMargins(0, 0, 0, 0)
        self.setLayout(line)
        self._group.idClicked.connect(lambda place: self.chosen.emit(self._values[place]))

    def show_value(self, value: object) -> None:
        """Check the button of this value (no button if the value is unknown) without emitting ``chosen``."""
        self._group.setExclusive(False)
        for made in self._group.buttons():
            made.setChecked(self._values[self._group.id(made)] == value)
        self._group.setExclusive(True)

    def take_focus(self) -> None:
        """Focus the checked button."""
        chosen = self._group.checkedButton()
        if chosen is not None:
            chosen.setFocus()
