"""The practise screen: the question, the sheet, the taps, the result, and one obvious next step."""

import numpy as np
from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QApplication, QComboBox, QSpinBox, QVBoxLayout, QWidget

from app import theme as look
from app.practice import Choice, Phase, Practice
from app.taps import TapReader
from app.widgets.controls import Figure, button, label, named, row
from app.widgets.count_sheet import CountSheet, Mark
from app.widgets.timing_strip import TimingStrip
from exercises.drills import drills
from exercises.trial import Result, Trial
from exercises.words import Say
from synth.errors import Trouble
from synth.grooves import grooves

# Often enough that a result appears within 50 ms of the trial's end, seldom enough to cost nothing.
SOUNDING_TICK_MS = 15
IDLE_TICK_MS = 200


def spoken(say: Say) -> str:
    """A sentence of the exercises in the window's language."""
    return say.rendered(lambda template: QCoreApplication.translate("say", template))


class PractiseScreen(QWidget):
    """Shows a ``Practice`` and steers it. ``marked`` is emitted when a trial has come to its end."""

    marked = Signal()

    def __init__(self, practice: Practice, theme: look.Theme) -> None:
        super().__init__()
        self.setObjectName("screen")
        self.practice = practice
        self._reader = TapReader()
        self._shown: tuple[Phase, Trial | None] | None = None

        self._heading = label("", "title")
        self._lead = label("", "lead", wrap=True)
        self._rung_words = label("", "soft", wrap=True)
        self._notice = label("", "lead", wrap=True)
        self._sheet = CountSheet(theme)
        self._strip = TimingStrip(theme)
        self._legend = label(
            self.tr(
                "Pen strokes are your taps, with early (\N{MINUS SIGN}) or late (+) in ms. "
                "A ring is a one you missed, a cross a tap that met no one."
            ),
            "small",
            wrap=True,
        )
        self._figures = {
            "hits": Figure(self.tr("ones met"), self.tr("How many of the ones had a tap of yours.")),
            "extra": Figure(self.tr("extra taps"), self.tr("Taps that met no one.")),
            "spread": Figure(
                self.tr("spread"), self.tr("How far your taps scatter around their own mean (standard deviation).")
            ),
            "bias": Figure(
                self.tr("bias"),
                self.tr("The mean of your taps, with its 95 % interval: minus is early, plus is late."),
            ),
        }
        self._next = button(self.tr("Start"), self.tr("Starts the sound. The Return key does the same."), "next")
        self._next.clicked.connect(self.go_on)
        self._next_key = label(self.tr("Return"), "key")
        self._stop = button(
            self.tr("Stop"), self.tr("Breaks the trial off; nothing of it is kept. Escape does the same.")
        )
        self._stop.clicked.connect(self.stop)
        self._stop_key = label(self.tr("Esc"), "key")
        self._stop.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._build_choices()

        column = QVBoxLayout(self)
        step = look.STEP_PX
        column.setContentsMargins(step * 5, step * 3, step * 5, step * 3)
        column.setSpacing(step * 2)
        column.addWidget(self._heading)
        column.addWidget(self._lead)
        column.addWidget(self._rung_words)
        column.addWidget(self._notice)
        column.addLayout(row(*self._figures.values(), None, spacing=step * 6))
        column.addWidget(self._sheet, 1)
        column.addWidget(self._legend)
        column.addWidget(self._strip)
        column.addLayout(
            row(self._choices, None, self._stop_key, self._stop, self._next_key, self._next, spacing=step)
        )

        for key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            # Holds in the whole window while this screen is the one that is shown.
            QShortcut(QKeySequence(key), self).activated.connect(self.go_on)
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self._tick)
        self._timer.start(IDLE_TICK_MS)
        self.redraw()

    def _build_choices(self) -> None:
        """The row in which drill, rung, groove and tempo may be chosen."""
        self._drill = QComboBox()
        for found in drills().values():
            self._drill.addItem(spoken(found.title()), found.id)
        self._rung = QSpinBox()
        self._rung.setPrefix(self.tr("Rung "))
        self._groove = QComboBox()
        self._groove.addItem(self.tr("Any groove"), None)
        for groove in grooves().values():
            self._groove.addItem(groove.title, groove.name)
        self._tempo = QSpinBox()
        self._tempo.setRange(39, 240)
        self._tempo.setSpecialValueText(self.tr("Any tempo"))
        self._tempo.setSuffix(self.tr(" BPM"))
        self._show_choice(self.practice.choice)
        named(self._drill, self.tr("Drill"), self.tr("What to practise."))
        named(self._rung, self.tr("Rung"), self.tr("How hard: 1 is the easiest."))
        named(self._groove, self.tr("Groove"), self.tr("Which drum pattern plays; any, unless you choose."))
        named(self._tempo, self.tr("Tempo"), self.tr("Beats a minute; any that fits the rung, unless you choose."))
        for control in (self._drill, self._groove):
            control.currentIndexChanged.connect(self._choose)
        for control in (self._rung, self._tempo):
            control.valueChanged.connect(self._choose)
        self._choices = QWidget()
        line = row(self._drill, self._rung, self._groove, self._tempo, spacing=look.STEP_PX)
        line.setContentsMargins(0, 0, 0, 0)
        self._choices.setLayout(line)

    def _show_choice(self, choice: Choice) -> None:
        self._drill.setCurrentIndex(max(0, self._drill.findData(choice.drill)))
        self._rung.setRange(1, len(self.practice.drill.rungs))
        self._rung.setValue(choice.rung)
        self._groove.setCurrentIndex(max(0, self._groove.findData(choice.groove)))
        self._tempo.setValue(39 if choice.tempo_bpm is None else round(choice.tempo_bpm))

    def _choose(self) -> None:
        tempo = self._tempo.value()
        drill = self._drill.currentData()
        self._rung.setMaximum(len(drills()[drill].rungs))
        self.practice.choose(
            Choice(drill, self._rung.value(), None if tempo == 39 else float(tempo), self._groove.currentData())
        )
        if self.practice.phase is not Phase.SOUNDING:
            self.practice.phase = Phase.READY
        self.redraw()

    def go_on(self) -> None:
        """The next step: start a trial, unless one sounds."""
        if self.practice.phase is Phase.SOUNDING:
            return
        try:
            self.practice.start()
        except Trouble as trouble:
            self.practice.notice = str(trouble)
            self.practice.phase = Phase.READY
            self.redraw()
            return
        application = QApplication.instance()
        assert application is not None
        application.installEventFilter(self)
        self._timer.start(SOUNDING_TICK_MS)
        self.redraw()

    def stop(self) -> None:
        """Break a sounding trial off."""
        self.practice.stop()
        self._settle()
        self.redraw()

    def _settle(self) -> None:
        application = QApplication.instance()
        if application is not None:
            application.removeEventFilter(self)
        self._timer.start(IDLE_TICK_MS)

    def showEvent(self, event: QShowEvent) -> None:
        """The next step has the keyboard."""
        super().showEvent(event)
        self._next.setFocus()

    def hideEvent(self, event: QHideEvent) -> None:
        """Leaving the screen breaks the trial off."""
        if self.practice.phase is Phase.SOUNDING:
            self.stop()
        super().hideEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """While a trial sounds: Escape stops it, any other key, click or touch on the sheet is a tap.

        Key events are taken where they enter the window, before any control sees them.
        """
        if event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            if event.key() == Qt.Key.Key_Escape:
                self.stop()
                return True
            if event.key() in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab) or event.modifiers() & (
                Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
            ):
                return False
        elif event.type() == QEvent.Type.KeyRelease:
            return True
        elif watched is not self._sheet:
            return False
        tap = self._reader.read(event)
        if tap is not None:
            self.practice.tap(tap)
            self._sheet.show_tally(len(self.practice.taps))
        return tap is not None or event.type() == QEvent.Type.KeyPress

    def _tick(self) -> None:
        before = self.practice.phase
        self.practice.tick()
        if self.practice.phase is not before:
            self._settle()
            self.redraw()
            self.marked.emit()
        elif before is Phase.SOUNDING and self.practice.trial is not None and self.practice.trial.help.sheet:
            self._sheet.show_sounding(self.practice.sounding_beat())

    def redraw(self) -> None:
        """Show the practice as it stands."""
        practice = self.practice
        phase = practice.phase
        sounding = phase is Phase.SOUNDING
        result = practice.result if phase is Phase.MARKED else None
        self._heading.setProperty("kind", "verdict" if result else "title")
        self._heading.setWordWrap(True)
        self._heading.setText(self._headline(result))
        self._heading.style().polish(self._heading)
        self._lead.setText(self._lead_text(result))
        self._lead.setVisible(bool(self._lead.text()))
        rung = practice.drill.rungs[practice.choice.rung - 1]
        self._rung_words.setText(self.tr("Rung {n}: {what}.").format(n=practice.choice.rung, what=rung.new))
        self._rung_words.setVisible(phase is Phase.READY)
        self._notice.setText(practice.notice)
        self._notice.setVisible(bool(practice.notice))
        self._show_figures(result)
        self._legend.setVisible(result is not None and result.taps is not None)
        self._strip.setVisible(result is not None and result.taps is not None)
        self._choices.setVisible(not sounding)
        self._next.setVisible(not sounding)
        self._next_key.setVisible(not sounding)
        self._stop.setVisible(sounding)
        self._stop_key.setVisible(sounding)
        self._next.setText(self.tr("Start") if phase is Phase.READY else self.tr("Next trial"))
        self._next.setAccessibleName(self._next.text())
        if not sounding:
            self._next.setFocus()
        self._draw_sheet(result)

    def _headline(self, result: Result | None) -> str:
        if result is not None:
            return spoken(result.verdict[0])
        return spoken(self.practice.drill.title())

    def _lead_text(self, result: Result | None) -> str:
        if result is not None:
            return " ".join(spoken(say) for say in result.verdict[1:])
        if self.practice.phase is Phase.SOUNDING and self.practice.trial is not None:
            return self.tr("{question} Space or any letter, a click or a touch on the sheet.").format(
                question=spoken(self.practice.trial.question)
            )
        return spoken(self.practice.drill.asks())

    def _show_figures(self, result: Result | None) -> None:
        marks = result.taps if result is not None else None
        shown = dict.fromkeys(self._figures, "")
        if marks is not None:
            shown["hits"] = self.tr("{hits} of {targets}").format(hits=marks.hits, targets=marks.targets)
            shown["extra"] = str(marks.extra) if marks.extra else ""
            if marks.spread_ms is not None:
                shown["spread"] = self.tr("{ms:.0f} ms").format(ms=marks.spread_ms)
            if marks.bias_ms is not None and marks.bias_ci95_ms is not None:
                half = (marks.bias_ci95_ms[1] - marks.bias_ci95_ms[0]) / 2
                shown["bias"] = f"{marks.bias_ms:+.0f} \N{PLUS-MINUS SIGN} {half:.0f} ms".replace(
                    "-", "\N{MINUS SIGN}"
                )
        for name, text in shown.items():
            self._figures[name].show_value(text)

    def _draw_sheet(self, result: Result | None) -> None:
        practice = self.practice
        state = (practice.phase, practice.trial)
        if state == self._shown:
            return
        self._shown = state
        trial = practice.trial
        if trial is None or practice.phase in (Phase.READY, Phase.VOID):
            self._sheet.show_count(None)
            return
        self._sheet.show_count(trial.count, blank=practice.phase is Phase.SOUNDING and not trial.help.sheet)
        if result is None or result.taps is None or practice.answer is None:
            return
        marks = result.taps
        errors = dict(zip(marks.pairs[:, 1].tolist(), marks.errors_ms.tolist(), strict=True))
        taps_s = practice.answer.taps_s
        self._sheet.show_marks(
            tuple(Mark(float(at), errors.get(index)) for index, at in enumerate(taps_s)),
            np.delete(trial.targets_s, marks.pairs[:, 0]),
        )
        self._strip.show_errors(marks.errors_ms, trial.period_s * 1000, marks.uncertainty_ms)

    def set_theme(self, theme: look.Theme) -> None:
        """Draw in another theme from now on."""
        self._sheet.set_theme(theme)
        self._strip.set_theme(theme)
