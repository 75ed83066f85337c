"""The practise screen: today's plan, the question, the sheet, the answer, the result, and one obvious next step."""

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QApplication, QSizePolicy, QVBoxLayout, QWidget

from app import theme as look
from app.ahead import Wish
from app.lines import lined
from app.practice import Phase, Practice
from app.screens.plan_words import PlanWords
from app.tap_filter import TapFilter
from app.widgets.answer_panel import AnswerPanel
from app.widgets.controls import KeyButton, button, label, row
from app.widgets.count_sheet import CountSheet
from app.widgets.figures import Figures
from app.widgets.minutes import Minutes
from app.widgets.plan_card import PlanCard
from app.widgets.screens import Page, Scrolled
from app.widgets.side_view import SideView
from app.widgets.steps import Steps
from app.widgets.timing_strip import TimingStrip
from app.widgets.trial_sheet import draw_trial
from app.widgets.wish_row import WishRow
from app.words import spoken
from exercises.trial import Kind, Result, Trial
from synth.errors import Trouble

# Often enough that a result appears within 50 ms of the trial's end, seldom enough to cost nothing.
SOUNDING_TICK_MS = 15
IDLE_TICK_MS = 200
# The least height of the sheet: while it is listened to, and with a result (at a text size of 100 %).
SHEET_PX, RESULT_SHEET_PX = 176, 208
IDLE = (Phase.READY, Phase.MARKED, Phase.VOID)


class PractiseScreen(QWidget):
    """Shows a ``Practice`` and steers it.

    While today's plan is followed its own page stands between the items; otherwise a row of controls says what comes
    next. ``marked`` is emitted when a trial has come to its end, ``minutes_chosen`` when a day is made longer or
    shorter, ``help_asked`` when the help page on a figure is wanted.
    """

    marked = Signal()
    minutes_chosen = Signal(int)
    help_asked = Signal(str)

    def __init__(self, practice: Practice, theme: look.Theme) -> None:
        super().__init__()
        self.setObjectName("screen")
        self.practice = practice
        self._shown: tuple[Phase, Trial | None] | None = None
        self._guided = False

        self._words = PlanWords(self)
        self._place = label("", "soft")
        self._heading = label("", "title", wrap=True)
        self._lead = label("", "lead", wrap=True)
        self._soft = label("", "soft", wrap=True)
        self._notice = label("", "lead", wrap=True)
        self._plan = PlanCard()
        self._minutes = Minutes()
        self._minutes.chosen.connect(self._choose_minutes)
        self._figures = Figures()
        self._figures.help_asked.connect(self.help_asked)
        self._side = SideView(theme)
        self._sheet = CountSheet(theme)
        self._sheet.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        self._strip = TimingStrip(theme)
        self._filter = TapFilter(practice, self._sheet, self._side, self.stop, self._tapped)
        self._legend = label("", "small", wrap=True)
        self._panel = AnswerPanel()
        self._panel.answered.connect(self._answer)
        self._wishes = WishRow(practice.wish)
        self._wishes.changed.connect(self._choose)
        self._next = button(self.tr("Start"), self.tr("Starts the sound. The Return key does the same."), "next")
        self._next.installEventFilter(self)
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
        self._to_plan = KeyButton(
            self.tr("Today's plan"), self.tr("Shows what is planned for today."), self.tr("P"), key_first=True
        )
        self._to_plan.clicked.connect(self.follow_plan)
        self._skip = KeyButton("", "", self.tr("S"), key_first=True)
        self._skip.clicked.connect(self.skip)
        self._freely = KeyButton("", "", self.tr("F"), key_first=True)
        self._freely.clicked.connect(self.choose_freely)

        step = look.STEP_PX
        # What does not fit is scrolled; the next step stands below it and stays in sight.
        page = Page()
        column = QVBoxLayout(page)
        column.setContentsMargins(step * 5, step * 3, step * 5, step)
        column.setSpacing(step * 2)
        top = QVBoxLayout()
        top.setSpacing(step // 2)
        line = row(self._heading, self._minutes)
        line.setStretch(0, 1)
        top.addWidget(self._place)
        top.addLayout(line)
        top.addWidget(self._lead)
        top.addWidget(self._soft)
        column.addLayout(top)
        for part in (self._notice, self._figures, self._panel, self._side):
            column.addWidget(part)
        column.addWidget(self._plan, 1)
        column.addWidget(self._sheet, 1)
        column.addWidget(self._legend)
        column.addWidget(self._strip)
        column.addWidget(self._wishes)
        self._steps = Steps(
            row(self._to_plan, self._skip, self._freely, spacing=step),
            row(self._stop_key, self._stop, self._again_key, self._again, self._next_key, self._next, spacing=step),
        )
        foot = row(self._steps)
        foot.setContentsMargins(step * 5, step, step * 5, step * 3)
        self._scroll = Scrolled(page)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self._scroll, 1)
        whole.addLayout(foot)

        # They hold in the whole window while this screen is the one that is shown.
        for key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            QShortcut(QKeySequence(key), self).activated.connect(self.go_on)
        QShortcut(QKeySequence(Qt.Key.Key_Escape), self).activated.connect(self.stop)
        # Letters hold only while their button is seen: while a trial sounds they are taps.
        self._letters: list[tuple[QShortcut, QWidget]] = []
        for code, control in (
            (Qt.Key.Key_H, self._again),
            (Qt.Key.Key_P, self._to_plan),
            (Qt.Key.Key_S, self._skip),
            (Qt.Key.Key_F, self._freely),
        ):
            shortcut = QShortcut(QKeySequence(code), self)
            shortcut.activated.connect(control.click)
            self._letters.append((shortcut, control))
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self._tick)
        self._timer.start(IDLE_TICK_MS)
        self.redraw()

    # -- what the learner does ------------------------------------------------------------------------------------

    def go_on(self) -> None:
        """The next step: start a trial, end listening and be asked, give the answer, or turn to the plan's page."""
        phase, today = self.practice.phase, self.practice.today
        if phase is Phase.SOUNDING:
            self.practice.ask_now()
            if self.practice.phase is not phase:
                self._settle()
        elif phase is Phase.ASKING:
            self._panel.give()
            return
        elif phase is Phase.MAKING or (self.practice.follows and not self.practice.planned):
            return
        elif today is None or (not today.finished and (phase is Phase.READY or today.turn_goes_on)):
            self._start()
        elif phase is Phase.READY:
            self.window().close()
            return
        else:
            self.practice.phase = Phase.READY
        self.redraw()

    def _start(self) -> None:
        try:
            self.practice.begin()
        except Trouble as trouble:
            self.practice.notice = lined(trouble)
            self.practice.phase = Phase.READY
            return
        if self.practice.phase is Phase.SOUNDING:
            self._filter.turn_on()
        self._timer.start(SOUNDING_TICK_MS)

    def skip(self) -> None:
        """Leave the item of the plan that is on."""
        self.practice.skip()
        self._turn_to_ready()

    def follow_plan(self) -> None:
        """Back to today's plan; one that has not been begun is made anew from what was answered meanwhile."""
        self.practice.free = False
        planner = self.practice.planner
        if planner is not None and not (planner.today is not None and planner.today.begun):
            self.practice.plan_day()
        self._turn_to_ready()
        self._watch_plan()

    def choose_freely(self) -> None:
        """Choose drill, rung, groove, tempo and mode by hand."""
        self.practice.free = True
        self._wishes.show_wish(self.practice.wish)
        self._turn_to_ready()
        self._wishes.take_focus()

    def _choose_minutes(self, minutes: int) -> None:
        self.practice.plan_day(minutes)
        self._turn_to_ready()
        self._watch_plan()
        self.minutes_chosen.emit(minutes)

    def _turn_to_ready(self) -> None:
        self.practice.stop()
        self.practice.phase, self.practice.notice = Phase.READY, ""
        self.practice.prepare()
        self._settle()
        self.redraw()

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
            self.practice.notice = lined(trouble)
        if self.practice.again:
            self._timer.start(SOUNDING_TICK_MS)
        self.redraw()

    def _answer(self, text: str) -> None:
        try:
            self.practice.answer_with(text)
        except Trouble as trouble:
            self.practice.notice = lined(trouble)
        self.redraw()
        if self.practice.phase is Phase.MARKED:
            self._done()

    def _done(self) -> None:
        self.marked.emit()
        QTimer.singleShot(0, self, self._prepare)  # once the result has been painted

    def _prepare(self) -> None:
        if self.practice.phase in IDLE:
            self.practice.prepare()

    def _choose(self, wish: Wish) -> None:
        self.practice.choose(wish)
        self.practice.phase = Phase.READY
        self.practice.prepare()
        self.redraw()

    def offer(self, wish: Wish, *, guided: bool = False) -> None:
        """Take another wish for the next trial, what is shown staying; ``guided``: nothing else can be chosen."""
        self._guided = guided
        self.practice.free = self.practice.free or guided
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
        if self.practice.phase in (Phase.MAKING, Phase.SOUNDING, Phase.ASKING):
            self.stop()
        super().hideEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The space bar is for tapping: it never presses the next step, which Return does."""
        return (
            event.type() in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease)
            and isinstance(event, QKeyEvent)
            and event.key() == Qt.Key.Key_Space
        )

    def _tapped(self) -> None:
        self._sheet.show_tally(len(self.practice.taps))

    def _settle(self) -> None:
        self._filter.turn_off()
        planner = self.practice.planner
        self._timer.start(SOUNDING_TICK_MS if planner is not None and planner.making else IDLE_TICK_MS)

    def _tick(self) -> None:
        before, again = self.practice.phase, self.practice.again
        try:
            self.practice.tick()
        except Trouble as trouble:
            self.practice.notice = lined(trouble)
        if self.practice.phase is not before:
            if self.practice.phase is Phase.SOUNDING:
                self._filter.turn_on()
            else:
                self._settle()
            self.redraw()
            if self.practice.phase in (Phase.MARKED, Phase.VOID):
                self._done()
            elif before is Phase.SOUNDING:  # listened to the end
                QTimer.singleShot(0, self, self._prepare)
            return
        if before in IDLE:
            self._watch_plan()
        trial = self.practice.trial
        if self.practice.again or (before is Phase.SOUNDING and trial is not None and trial.help.sheet):
            self._sheet.show_sounding(self.practice.sounding_beat())
        if self.practice.side is not None and before is Phase.SOUNDING:
            self._side.show_thing(self.practice.side.shown(self.practice.position_s()))
        if self.practice.again is not again:
            self._timer.start(SOUNDING_TICK_MS if self.practice.again else IDLE_TICK_MS)
            self.redraw()

    # -- what is shown --------------------------------------------------------------------------------------------

    def _watch_plan(self) -> None:
        """See to it that there is a plan, today's, and show it when it comes."""
        planner = self.practice.planner
        if planner is None:
            return
        if not planner.making and (planner.today is None or (planner.stale and self.practice.phase is Phase.READY)):
            self.practice.plan_day()
            self._settle()
        if planner.poll():
            self.practice.notice = f"{self.practice.notice} {planner.notice}".strip()
            self.practice.prepare()
            self._settle()
            self.redraw()

    def redraw(self) -> None:
        """Show the practice as it stands."""
        practice, phase, today = self.practice, self.practice.phase, self.practice.today
        idle = phase in IDLE
        planned = practice.follows and phase is Phase.READY
        result = practice.result if phase is Phase.MARKED else None
        kind = "verdict" if result else "title"
        if self._heading.property("kind") != kind:
            self._heading.setProperty("kind", kind)
            self._heading.style().polish(self._heading)
        if planned:
            self._heading.setText(self._words.heading(today))
        else:
            self._heading.setText(spoken(result.verdict[0] if result else practice.drill.title()))
        in_turn = today is not None and not planned and phase is not Phase.MAKING
        _show(self._place, self._words.place(today) if today is not None and in_turn else "")
        _show(self._lead, self._words.lead(today) if planned else self._lead_text(result))
        _show(self._soft, self._words.rest(today) if planned else self._rung_text() if phase is Phase.READY else "")
        _show(self._notice, practice.notice)
        self._figures.show_result(result, practice.trial, practice.calibrated)
        tapped = result is not None and result.taps is not None
        self._legend.setVisible(tapped)
        self._legend.setText(self._legend_text())
        self._strip.setVisible(tapped)
        self._wishes.setVisible(phase is Phase.READY and not planned and not self._guided)
        self._show_panel(phase is Phase.ASKING)
        self._side.setVisible(phase is Phase.SOUNDING and practice.side is not None)
        self._show_plan(planned)
        early = phase is Phase.SOUNDING and practice.asks is not Kind.NONE and not practice.by_taps
        self._next.setText(self.tr("Answer now") if early else self._next_text(planned))
        self._next.setAccessibleName(self._next.text())
        self._next.setEnabled(not planned or practice.planned)
        for part in (self._next, self._next_key):
            part.setVisible(idle or early)
        for part in (self._stop, self._stop_key):
            part.setVisible(not idle or practice.again)
        for part in (self._again, self._again_key):
            part.setVisible(result is not None and not practice.again)
        self._show_ways(planned)
        chooses = self._wishes.isAncestorOf(QApplication.focusWidget() or self)
        if (idle or early) and not chooses:
            self._next.setFocus()
        # A result is read on the sheet; before it, sheet and question fit into the window together.
        self._sheet.setMinimumHeight(look.px(RESULT_SHEET_PX) if result else SHEET_PX)
        self._sheet.setVisible(not planned)
        self._draw_sheet()

    def _show_plan(self, planned: bool) -> None:
        planner, today = self.practice.planner, self.practice.today
        shown = planned and today is not None
        self._plan.setVisible(shown)
        self._minutes.setVisible(planned and not (today is not None and today.begun))
        if planner is not None:
            self._minutes.show_minutes(planner.minutes)
        if shown and today is not None:
            self._plan.show_today(today)

    def _show_ways(self, planned: bool) -> None:
        """The ways that lead aside from the next step."""
        practice, phase, today = self.practice, self.practice.phase, self.practice.today
        over = phase in (Phase.MARKED, Phase.VOID)
        steered = practice.planner is not None and not self._guided
        self._to_plan.setVisible(steered and (over or (phase is Phase.READY and practice.free)))
        leaves = over and today is not None and not today.finished and today.turn_goes_on
        self._skip.setVisible(today is not None and not today.finished and (planned or leaves))
        self._skip.show_name(
            self.tr("Skip the rest of it") if leaves else self.tr("Skip this one"),
            self.tr("Goes on to what comes next in the plan; what is skipped comes back another day."),
            self.tr("S"),
        )
        self._freely.setVisible(not self._guided and (planned or (over and not practice.follows)))
        self._freely.show_name(
            self.tr("Choose freely"), self.tr("Choose drill, rung, groove, tempo and mode by hand."), self.tr("F")
        )
        for shortcut, control in self._letters:
            shortcut.setEnabled(not control.isHidden())
        self._steps.arrange()

    def _next_text(self, planned: bool) -> str:
        phase, today = self.practice.phase, self.practice.today
        if planned:
            return self._words.start(today)
        if phase is Phase.READY:
            return self.tr("Start")
        return self.tr("Next trial") if today is None else self._words.next_step(today, void=phase is Phase.VOID)

    def _legend_text(self) -> str:
        """What the strokes, rings and crosses are, and what the figures beside them are counted from."""
        words = [
            self.tr("A stroke is a tap of yours, a ring a target you missed, a cross a tap that met none."),
            self.tr("Early is −, late is +, in ms."),
        ]
        if not self.practice.calibrated:
            words.append(
                self.tr("This computer is not calibrated: they are told from your own average, not from the drums.")
            )
        return " ".join(words)

    def _rung_text(self) -> str:
        number = self.practice.rung
        what = spoken(self.practice.drill.rungs[number - 1].new())
        return self.tr("Rung {n}: {what}.").format(n=number, what=what)

    def _lead_text(self, result: Result | None) -> str:
        practice = self.practice
        if result is not None:
            return " ".join(spoken(say) for say in result.verdict[1:])
        if practice.phase is Phase.MAKING:
            return self.tr("One moment: the drums are being recorded …")
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

    def _draw_sheet(self) -> None:
        state = (self.practice.phase, self.practice.trial)
        if state != self._shown:
            self._shown = state
            self._scroll.verticalScrollBar().setValue(0)
            draw_trial(self._sheet, self._strip, self.practice)

    def set_theme(self, theme: look.Theme) -> None:
        """Draw in another theme from now on."""
        self._sheet.set_theme(theme)
        self._side.set_theme(theme)
        self._strip.set_theme(theme)
        self.redraw()


def _show(words, text: str) -> None:  # type: ignore[no-untyped-def]
    """Show a label's text, or hide the label where there is none."""
    words.setText(text)
    words.setVisible(bool(text))
