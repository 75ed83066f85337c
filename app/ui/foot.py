"""The foot of the window: listening time of the week, and the hint to take a pause."""

from PySide6.QtCore import QLocale, QTimer
from PySide6.QtWidgets import QWidget

from app.practice.pause import Sitting
from app.practice.practice import Practice
from app.ui.base import theme as look
from app.ui.base.words import unbroken
from app.ui.widgets.controls import label, row
from synth.base.errors import Trouble
from synth.device.clock import now_s, today

WATCH_MS = 1000


class Foot(QWidget):
    """Watches a practice's player; call ``show_week`` after each trial."""

    def __init__(self, practice: Practice, sitting: Sitting) -> None:
        super().__init__()
        self.setObjectName("screen")
        self._practice = practice
        self._sitting = sitting
        self.pause = label("", "small", wrap=True)
        self.week = label("", "small")
        self.week.setToolTip(
            self.tr(
                "Advised at most for leisure (WHO-ITU H.870): 80 dBA over 40 hours a week, for children 75 "
                "dBA. The program cannot know the level at your ear."
            )
        )
        self.week.setAccessibleDescription(self.week.toolTip())
        line = row(self.pause, self.week)
        line.setStretch(0, 1)
        line.setContentsMargins(look.STEP_PX * 5, 0, look.STEP_PX * 5, look.STEP_PX)
        self.setLayout(line)
        self._watch = QTimer(self)
        self._watch.setInterval(WATCH_MS)
        self._watch.timeout.connect(lambda: self.look(now_s()))
        self._watch.start()
        self.show_week()

    def look(self, now: float) -> None:
        """Show the hint when a pause is due, else hide it."""
        if self._practice.player.playing:
            self._sitting.heard(now)
        due = self._sitting.pause_due(now)
        if due != bool(self.pause.text()):
            words = self.tr("Twenty minutes since you last rested. Rest for five.")
            self.pause.setText(words if due else "")

    def show_week(self) -> None:
        """Show the listening time of the week."""
        words = ""
        if self._practice.learner.logbook is not None:
            from exercises.logbook.history import weeks

            try:
                found = weeks(self._practice.learner.logbook, self._practice.learner.key, today())
            except Trouble:
                found = []  # reported when a trial is saved
            minutes = sum(week.sound_s for week in found) / 60
            if round(minutes):
                text = self.tr("Listened this week: {n} min of trials").format(n=QLocale().toString(round(minutes)))
                words = unbroken(text)
        self.week.setText(words)
