"""What it was and what the learner took it for, or the others, side by side; the one that sounds now is marked."""

from functools import cached_property

from PySide6.QtWidgets import QFrame, QLabel, QVBoxLayout, QWidget

from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.widgets.controls import label, named
from app.ui.widgets.flow import Flow
from exercises.trial.replay import IT_WAS, YOU_SAID, Version
from exercises.trial.result import Result
from exercises.trial.trial import LOST_COUNT, Trial

# Choices of a question that are heard one after the other.
MOST = 4


class VersionBox(QFrame):
    """One of them: its name above whose it is. The truth has a whole border, the answer a broken one."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("version")
        self.name: QLabel = label("", "name")
        self._whose, self._label = label("", "small"), ""
        step = look.STEP_PX
        column = QVBoxLayout(self)
        column.setContentsMargins(step * 3, step, step * 3, step)
        column.setSpacing(0)
        column.addWidget(self.name)
        column.addWidget(self._whose)

    def show_version(self, whose: str, name: str, *, own: bool) -> None:
        """Show a name."""
        self._label = whose
        self.name.setText(name)
        self.setProperty("own", own)
        named(self, f"{whose}: {name}", "")
        self.show_sounding(False)

    def show_sounding(self, sounds: bool) -> None:
        """Mark it as sounding, in words and by its ground."""
        self._whose.setText(self.tr("{whose}: sounds now").format(whose=self._label) if sounds else self._label)
        self.setProperty("state", "now" if sounds else "")
        self.style().polish(self)


class VersionsRow(QWidget):
    """Hidden where nothing is to be told apart."""

    def __init__(self) -> None:
        super().__init__()
        self._now: int | None = None
        self.hide()

    @cached_property
    def boxes(self) -> tuple[VersionBox, ...]:
        """One a version; made when they are first asked for."""
        made = tuple(VersionBox() for _ in range(MOST))
        for box in made:
            box.hide()
        self.setLayout(Flow(*made, gap_px=look.STEP_PX * 2))
        return made

    def show_result(self, result: Result | None, trial: Trial | None, versions: tuple[Version, ...]) -> None:
        """Show the versions; of a lost count the right answer alone."""
        told = [(spoken(each.label), spoken(each.say)) for each in versions]
        own = [each.label.template == YOU_SAID for each in versions]
        if not told and result is not None and result.given == LOST_COUNT and trial is not None:
            words = {choice.key: spoken(choice.say) for choice in trial.choices}
            right = words.get(str(trial.expected)) or _plain(trial.expected)
            told, own = ([(spoken(IT_WAS()), right)], [False]) if right else ([], [])
        self._now = None
        self.setVisible(bool(told))
        if not told:
            return
        for at, box in enumerate(self.boxes):
            box.setVisible(at < len(told))
            if at < len(told):
                box.show_version(*told[at], own=own[at])

    def show_sounding(self, at: int | None) -> None:
        """Mark the version that sounds."""
        if at == self._now:
            return
        self._now = at
        for each, box in enumerate(self.boxes):
            box.show_sounding(each == at)


def _plain(value: str | float | None) -> str:
    return f"{value:g}" if isinstance(value, float | int) else str(value or "")
