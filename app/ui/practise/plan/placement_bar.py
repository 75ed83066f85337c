"""The bar above the practice during a placement run: progress, next step, and a way out."""

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QProgressBar, QVBoxLayout, QWidget

from app.practice.plan.placing import Placing
from app.practice.practice import Practice
from app.practice.trial.attempt import Phase
from app.ui.base import theme as look
from app.ui.base.words import spoken, unbroken
from app.ui.widgets.controls import button, label, named, row
from exercises.drills import drills
from exercises.learner.placement import LONGEST_S
from synth.device.clock import now_s

TICK_MS = 200


class PlacementBar(QWidget):
    """Shows a ``Placing`` and its result.

    ``next_asked``: another trial is to be asked, or the run is over; ``stopped``: it was stopped early.
    """

    next_asked = Signal()
    stopped = Signal()

    def __init__(self, practice: Practice) -> None:
        super().__init__()
        self.setObjectName("screen")
        self._practice = practice
        self._run: Placing | None = None
        self.words = label("", "lead", wrap=True)
        self.words.setProperty("kind", "strong")
        self._time = label("", "soft")
        self._progress = QProgressBar()
        self._progress.setRange(0, round(LONGEST_S))
        self._progress.setTextVisible(False)
        named(self._progress, self.tr("Time used"))
        self.stop = button("", "")
        self.stop.clicked.connect(self.leave)
        step = look.STEP_PX
        column = QVBoxLayout(self)
        column.setContentsMargins(step * 5, step, step * 5, 0)
        column.setSpacing(step)
        line = row(self.words, self._time, self.stop)
        line.setStretch(0, 1)
        column.addLayout(line)
        column.addWidget(self._progress)
        self._timer = QTimer(self)
        self._timer.setInterval(TICK_MS)
        self._timer.timeout.connect(self.tick)
        self.hide()

    @property
    def run(self) -> Placing | None:
        """The run shown, if any."""
        return self._run

    def begin(self, run: Placing) -> None:
        """Show and start a run."""
        run.begin()
        self.show_run(run)
        if run.place is not None:
            self.next_asked.emit()

    def show_run(self, run: Placing) -> None:
        """Show a run already started."""
        self._run = run
        self.show()
        self._timer.start()
        self.redraw()

    def tick(self) -> None:
        """Poll the run."""
        run = self._run
        if run is None:
            return
        was_over = run.over
        if run.poll():
            self.next_asked.emit()
        if was_over and self._practice.phase is Phase.SOUNDING:
            self.close_run()  # the first trial after the run has begun
            return
        self.redraw()

    def marked(self) -> None:
        """Handle the end of a trial."""
        if self._run is not None and self._practice.course is self._run:
            self.next_asked.emit()
            self.redraw()

    def leave(self) -> None:
        """Stop the run; hide the bar when it is over."""
        run = self._run
        if run is None:
            return
        if run.over:
            self.close_run()
            return
        run.stop()
        self.next_asked.emit()
        self.stopped.emit()
        self.redraw()

    def close_run(self) -> None:
        """Hide the bar."""
        self._timer.stop()
        self._run = None
        self.hide()

    def redraw(self) -> None:
        """Show the run's state."""
        run = self._run
        if run is None:
            return
        if run.over:
            words = self._found(run)
        elif run.place is None:
            words = self.tr("Looking where you begin: choosing the first trial …")
        elif self._practice.phase in (Phase.SOUNDING, Phase.ASKING):  # what it asks stands below
            words = self.tr("Looking where you begin. Trial {n}.").format(n=run.asked + 1)
        else:
            asks = spoken(drills()[run.place.drill].asks())
            words = self.tr("Looking where you begin. Trial {n}: {asks}").format(n=run.asked + 1, asks=asks)
            if run.asked and self._practice.phase is Phase.MARKED:
                words = self.tr("Looking where you begin. That was trial {n}. Next: {asks}").format(
                    n=run.asked, asks=asks
                )
        self.words.setText(words)
        used = round(run.used_s(now_s()))
        self._time.setText(
            self.tr("{m}:{s:02d} of at most {all}:00").format(m=used // 60, s=used % 60, all=round(LONGEST_S / 60))
        )
        self._time.setVisible(not run.over)
        self._progress.setValue(self._progress.maximum() if run.over else used)
        name = self.tr("Close") if run.over else self.tr("Stop here")
        self.stop.setText(name)
        self.stop.setAccessibleName(name)
        self.stop.setAccessibleDescription(self.tr("Ends it; what you have answered counts."))

    def _found(self, run: Placing) -> str:
        """The level found, the number of answers, and how certain it is."""
        if not run.asked:
            return self.tr("Nothing was answered, so you begin where the ladder begins.")
        begins, (right, n) = run.begins, run.tally
        drill = drills()[begins.drill]
        words = [
            self.tr("You begin with {drill}, rung {rung} of {rungs}.").format(
                drill=spoken(drill.title()), rung=begins.rung, rungs=len(drill.rungs)
            )
        ]
        if any(place.drill == begins.drill for place in run.run.asked):
            words.append(self.tr("Right in this drill: {right} of {n}.").format(right=right, n=n))
        else:
            words.append(self.tr("Right in all: {right} of {n}.").format(right=right, n=n))
        if not run.run.sure:
            words.append(self.tr("That is a first guess: practice corrects it."))
        return unbroken(" ".join(words))
