"""Fields of the settings about learners: the present one's name, and a button that adds another."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLineEdit, QVBoxLayout, QWidget

from app.ui.base import theme as look
from app.ui.widgets.controls import button, label, named, row
from exercises.logbook.learners import LONGEST_NAME


class NameField(QLineEdit):
    """A field for a learner's name; ``given`` carries one that was entered, white space folded."""

    given = Signal(str)

    def __init__(self, name: str, about: str) -> None:
        super().__init__()
        self.setMaxLength(LONGEST_NAME)
        named(self, name, about)
        self.editingFinished.connect(lambda: self.given.emit(self.name))

    @property
    def name(self) -> str:
        """The name as it stands, white space folded."""
        return " ".join(self.text().split())


class AddLearner(QWidget):
    """A button that opens a field for the new learner's name; ``added`` carries it."""

    added = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        about = self.tr("Somebody else who practises here, with a plan and a logbook of their own.")
        self.open = button(self.tr("Add a learner"), about)
        self.field = NameField(self.tr("The new learner's name"), about)
        self.field.setPlaceholderText(self.tr("Name"))
        self.add = button(self.tr("Add"), about)
        self.said = label("", "strong", wrap=True)
        self.open.clicked.connect(lambda: self._turn(opened=True))
        self.add.clicked.connect(self._add)
        self.field.returnPressed.connect(self._add)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(look.STEP_PX)
        column.addWidget(label(about, "soft", wrap=True))
        column.addLayout(row(self.open, self.field, self.add, None, spacing=look.STEP_PX))
        column.addWidget(self.said)
        self._turn(opened=False)

    def _turn(self, *, opened: bool) -> None:
        """Show the field, or the button that opens it."""
        for part, shown in ((self.open, not opened), (self.field, opened), (self.add, opened)):
            part.setVisible(shown)
        self.said.hide()
        if self.isVisible():
            (self.field if opened else self.open).setFocus()

    def _add(self) -> None:
        if self.field.isVisible() and self.field.name:
            name = self.field.name
            self.field.clear()
            self._turn(opened=False)
            self.added.emit(name)

    def say(self, words: str) -> None:
        """Show what came of it."""
        self.said.setText(words)
        self.said.show()
