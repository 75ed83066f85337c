"""The practise screen: the question, the sheet, the taps, the answer, the result, and one obvious next step."""

import numpy as np
from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QKeySequence, QMouseEvent, QShortcut, QShowEvent
from PySide6.QtWidgets import QApplication, QVBoxLayout, QWidget

from app import theme as look
from app.ahead import Wish
from app.practice import Phase, Practice
from app.taps import TapReader
from app.widgets.answer_panel import AnswerPanel
from app.widgets.controls import button, label, row
from app.widgets.count_sheet import CountSheet, Mark
from app.widgets.figures import Figures
from app.widgets.side_view import SideView
from app.widgets.timing_strip import TimingStrip
from app.widgets.wish_row import WishRow
from app.words import spoken
from exercises.side_task import Key
from exercises.trial import Answer, Kind, Result, Trial
from synth.clock import now_s
from synth.errors import Trouble

# Often enough that a result appears within 50 ms of the trial's end, seldom enough to cost nothing.
SOUNDING_TICK_MS = 15
IDLE_TICK_MS = 200
SIDE_KEYS = {Qt.Key.Key_Left: Key.LEFT, Qt.Key.Key_Right: Key.RIGHT}


class PractiseScreen(QWidget):
    """Shows a ``Practice`` and steers it. ``marked`` is emitted when a trial has come to its end."""

    marked = Signal()

    def __init__(self, practice: Practice, theme: look.Theme) -> None:
        super().__init__()
        self.setObjectName("screen")
        self.practice = practice
        self._reader = TapReader()
        self._shown: tuple[Phase, Trial | None] | None = None
        self._guided = False

        self._heading = label("", "title", wrap=True)
        self._lead = label("", "lead", wrap=True)
        self._rung_words = label("", "soft", wrap=True)
        self._notice = label("", "lead", wrap=True)
        self._figures = Figures()
        self._side = SideView(theme)
        self._sheet = CountSheet(theme)
        self._strip = TimingStrip(theme)
        self._legend = label(
            self.tr(
                "Pen strokes are your taps, with early (\N{MINUS SIGN}) or late (+) in ms. "
                "A ring is a target you missed, a cross a tap that met none."
            ),
            "small",
            wrap=True,
        )
        self._panel = AnswerPanel()
        self._panel.answered.connect(self._answer)
        self._wishes = WishRow(practice.wish)
        self._wishes.changed.connect(self._choose)
        self._next = button(self.tr("Start"), self.tr("Starts the sound. The Return key does the same."), "next")
        self._next.clicked.connect(self.go_on)
        self._next_key = label(self.tr("Return"), "key")
        self._stop = button(
            self.tr("Stop"), self.tr("Breaks the trial off; nothing of it is kept. Escape does the same.")
        )
        self._stop.clicked.connect(self.stop)
        self._stop.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._stop_key = label(self.tr("Esc"), "key")
        self._again = button(self.tr("Hear it again"), self.tr("Plays it once more, with the count shown. Key H."))
        self._again.clicked.connect(self.hear_again)
        self._again_key = label(self.tr("H"), "key")

        step = look.STEP_PX
        column = QVBoxLayout(self)
        column.setContentsMargins(step * 5, step * 3, step * 5, step * 3)
        column.setSpacing(step * 2)
        for part in (
            self._heading,
            self._lead,
            self._rung_words,
            self._notice,
            self._figures,
            self._panel,
            self._side,
        ):
            column.addWidget(part)
        column.addWidget(self._sheet, 1)
        column.addWidget(self._legend)
        column.addWidget(self._strip)
        column.addLayout(
            row(
                self._wishes,
                None,
                self._stop_key,
                self._stop,
                self._again_key,
                self._again,
                self._next_key,
                self._next,
                spacing=step,
            )
        )

        # They hold in the whole window while this screen is the one that is shown.
        for key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            QShortcut(QKeySequence(key), self).activated.connect(self.go_on)
        QShortcut(QKeySequence(Qt.Key.Key_Escape), self).activated.connect(self.stop)
        QShortcut(QKeySequence(Qt.Key.Key_H), self).activated.connect(self.hear_again)
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self._tick)
        self._timer.start(IDLE_TICK_MS)
        self.redraw()

    # -- what the learner does ------------------------------------------------------------------------------------

    def go_on(self) -> None:
        """The next step: start a trial, end listening and be asked, or give the answer."""
        phase = self.practice.phase
        if phase is Phase.SOUNDING:
            self.practice.ask_now()
            if self.practice.phase is not phase:
                self._settle()
        elif phase is Phase.ASKING:
            self._panel.give()
            return
        else:
            self._start()
        self.redraw()

    def _start(self) -> None:
        try:
            self.practice.start()
        except Trouble as trouble:
            self.practice.notice = str(trouble)
            self.practice.phase = Phase.READY
            return
        application = QApplication.instance()
        assert application is not None
        application.installEventFilter(self)
        self._timer.start(SOUNDING_TICK_MS)

    def stop(self) -> None:
        """Break a trial off."""
        self.practice.stop()
        self._settle()
        self.redraw()

    def hear_again(self) -> None:
        """Hear the trial that is over once more, the count shown along with it."""
        try:
            self.practice.hear_again()
        except Trouble as trouble:
            self.practice.notice = str(trouble)
        if self.practice.again:
            self._timer.start(SOUNDING_TICK_MS)
        self.redraw()

    def _answer(self, text: str) -> None:
        try:
            self.practice.answer_with(text)
        except Trouble as trouble:
            self.practice.notice = str(trouble)
        self.redraw()
        if self.practice.phase is Phase.MARKED:
            self._done()

    def _done(self) -> None:
        self.marked.emit()
        self.practice.prepare()

    def _choose(self, wish: Wish) -> None:
        self.practice.choose(wish)
        self.practice.phase = Phase.READY
        self.practice.prepare()
        self.redraw()

    def offer(self, wish: Wish, *, guided: bool = False) -> None:
        """Take another wish for the next trial, what is shown staying; ``guided``: nothing else can be chosen."""
        self._guided = guided
        self.practice.choose(wish)
        self._wishes.show_wish(wish)
        self.practice.prepare()
        self.redraw()

    # -- events and time ------------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """The next step has the keyboard."""
        super().showEvent(event)
        self._next.setFocus()

    def hideEvent(self, event: QHideEvent) -> None:
        """Leaving the screen breaks the trial off."""
        if self.practice.phase in (Phase.SOUNDING, Phase.ASKING):
            self.stop()
        super().hideEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """While a trial is answered by taps: any key but the steering ones, a click or a touch on the sheet is one.

        Key events are taken where they enter the window, before any control sees them.
        """
        self._reader.watch(event)
        if not self.practice.by_taps and self.practice.side is None:
            return False
        if event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            if self.practice.side is not None and event.key() in SIDE_KEYS:
                if not event.isAutoRepeat():
                    self.practice.side_answer(now_s(), SIDE_KEYS[event.key()])
                return True
            if not self.practice.by_taps:
                return False
            steers = event.key() in (Qt.Key.Key_Escape, Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
            if steers or event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier):
                if event.key() == Qt.Key.Key_Escape:
                    self.stop()
                return event.key() == Qt.Key.Key_Escape
        elif event.type() == QEvent.Type.KeyRelease:
            return True
        elif watched is self._side and event.type() == QEvent.Type.MouseButtonPress:
            assert isinstance(event, QMouseEvent)
            half = Key.LEFT if event.position().x() < self._side.width() / 2 else Key.RIGHT
            self.practice.side_answer(now_s(), half)
            return True
        elif watched is not self._sheet or not self.practice.by_taps:
            return False
        tap = self._reader.read(event)
        if tap is not None:
            self.practice.tap(tap)
            self._sheet.show_tally(len(self.practice.taps))
        return tap is not None or event.type() == QEvent.Type.KeyPress

    def _settle(self) -> None:
        application = QApplication.instance()
        if application is not None:
            application.removeEventFilter(self)
        self._timer.start(IDLE_TICK_MS)

    def _tick(self) -> None:
        before, again = self.practice.phase, self.practice.again
        try:
            self.practice.tick()
        except Trouble as trouble:
            self.practice.notice = str(trouble)
        if self.practice.phase is not before:
            self._settle()
            self.redraw()
            if self.practice.phase in (Phase.MARKED, Phase.VOID):
                self._done()
            return
        trial = self.practice.trial
        if self.practice.again or (before is Phase.SOUNDING and trial is not None and trial.help.sheet):
            self._sheet.show_sounding(self.practice.sounding_beat())
        if self.practice.side is not None and before is Phase.SOUNDING:
            self._side.show_thing(self.practice.side.shown(self.practice.position_s()))
        if self.practice.again is not again:
            self._timer.start(SOUNDING_TICK_MS if self.practice.again else IDLE_TICK_MS)
            self.redraw()

    # -- what is shown --------------------------------------------------------------------------------------------

    def redraw(self) -> None:
        """Show the practice as it stands."""
        practice, phase = self.practice, self.practice.phase
        idle = phase in (Phase.READY, Phase.MARKED, Phase.VOID)
        result = practice.result if phase is Phase.MARKED else None
        kind = "verdict" if result else "title"
        if self._heading.property("kind") != kind:
            self._heading.setProperty("kind", kind)
            self._heading.style().polish(self._heading)
        self._heading.setText(spoken(result.verdict[0] if result else practice.drill.title()))
        _show(self._lead, self._lead_text(result))
        number = practice.rung
        words = self.tr("Rung {n}: {what}.").format(n=number, what=practice.drill.rungs[number - 1].new)
        _show(self._rung_words, words if phase is Phase.READY else "")
        _show(self._notice, practice.notice)
        self._figures.show_result(result, practice.trial)
        tapped = result is not None and result.taps is not None
        self._legend.setVisible(tapped)
        self._strip.setVisible(tapped)
        self._wishes.setVisible(idle and not self._guided)
        self._show_panel(phase is Phase.ASKING)
        self._side.setVisible(phase is Phase.SOUNDING and practice.side is not None)
        early = phase is Phase.SOUNDING and practice.asks is not Kind.NONE and not practice.by_taps
        self._next.setText(
            self.tr("Start") if phase is Phase.READY else self.tr("Answer now") if early else self.tr("Next trial")
        )
        self._next.setAccessibleName(self._next.text())
        for part in (self._next, self._next_key):
            part.setVisible(idle or early)
        for part in (self._stop, self._stop_key):
            part.setVisible(not idle or practice.again)
        for part in (self._again, self._again_key):
            part.setVisible(result is not None and not practice.again)
        if idle or early:
            self._next.setFocus()
        self._draw_sheet(result)

    def _lead_text(self, result: Result | None) -> str:
        practice = self.practice
        if result is not None:
            return " ".join(spoken(say) for say in result.verdict[1:])
        if practice.trial is None or practice.phase in (Phase.READY, Phase.VOID):
            return spoken(practice.drill.asks())
        words = [spoken(practice.trial.question)]
        if practice.phase is Phase.SOUNDING and practice.by_taps:
            words.append(self.tr("Space or any letter, a click or a touch on the sheet."))
        if practice.phase is Phase.SOUNDING and practice.side is not None:
            words.append(spoken(practice.side.asks))
        return " ".join(words)

    def _show_panel(self, asking: bool) -> None:
        trial = self.practice.trial
        if not asking or trial is None:
            self._panel.hide()
            self._panel.ask(Kind.NONE)
            return
        self._panel.ask(
            self.practice.asks,
            choices=[(choice.key, spoken(choice.say)) for choice in trial.choices],
            bars=trial.truth().phrase_bars,
            beats=int(trial.count.beat_in_bar.max()),
            gives=spoken(self.practice.drill.gives()),
            about=self.practice.drill.gives_about,
        )
        self._panel.show()
        self._panel.take_focus()

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
        uncovered = trial.help.sheet or practice.phase is Phase.MARKED
        self._sheet.show_count(trial.count, way=practice.wish.way, blank=not uncovered)
        if result is None or practice.answer is None:
            return
        marks = result.taps
        if marks is None:
            self._draw_press(trial, practice.answer, result)
            return
        errors = dict(zip(marks.pairs[:, 1].tolist(), marks.errors_ms.tolist(), strict=True))
        self._sheet.show_marks(
            tuple(Mark(float(at), errors.get(index)) for index, at in enumerate(practice.answer.taps_s)),
            np.delete(trial.targets_s, marks.pairs[:, 0]),
        )
        self._strip.show_errors(marks.errors_ms, trial.period_s * 1000, marks.uncertainty_ms)

    def _draw_press(self, trial: Trial, answer: Answer, result: Result) -> None:
        """The press that started a second record, and where it should have come."""
        if trial.entry is None:
            return
        off = result.figures.get("off_ms") if result.right else None
        marks = tuple(Mark(float(at), off if isinstance(off, float) else None) for at in answer.taps_s[:1])
        self._sheet.show_marks(marks, np.empty(0) if result.right else trial.targets_s)

    def set_theme(self, theme: look.Theme) -> None:
        """Draw in another theme from now on."""
        self._sheet.set_theme(theme)
        self._side.set_theme(theme)
        self._strip.set_theme(theme)


def _show(words, text: str) -> None:  # type: ignore[no-untyped-def]
    """Show a label's text, or hide the label where there is none."""
    words.setText(text)
    words.setVisible(bool(text))
