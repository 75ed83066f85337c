"""The practise screen: plan, question, sheet, answer, result, and one next step."""

from dataclasses import replace

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QApplication, QWidget

from app.inputs.tap_filter import TapFilter
from app.practice.choosing import ladder_of
from app.practice.practice import IDLE, Practice
from app.practice.trial.attempt import Phase
from app.practice.trial.course import Free
from app.practice.trial.next_trial import Wish
from app.ui.base.words import spoken_all
from app.ui.practise.choose.choose_page import ChoosePage
from app.ui.practise.parts import PractiseParts
from app.ui.practise.plan.plan_top import show_plan
from app.ui.practise.practise_words import PractiseWords
from app.ui.practise.trial.result_figures import figures_met
from app.ui.practise.trial.trial_sheet import draw_taps, draw_trial, sheet_hidden, show_answer, show_replay
from app.ui.widgets.controls import laid_out_once, show
from exercises.learner.chosen import NOTHING_CHOSEN, Chosen
from exercises.trial.trial import Trial
from synth.base.errors import Trouble

# Shows a result within 50 ms of the trial's end, at little cost.
SOUNDING_TICK_MS = 15
IDLE_TICK_MS = 200
# The drill to begin with on one's own records, where the present one cannot be practised on them.
ON_RECORDS_FIRST = "one"


class PractiseScreen(PractiseParts):
    """Shows and controls a ``Practice``.

    With today's plan the plan's page appears between items; otherwise the drills to choose the next trial from.
    Signals: ``marked`` at the end of a trial, ``minutes_chosen`` with another length of the day, ``drill_planned``
    with a drill and its place in the plan, ``help_asked`` with the page of a figure, ``logbook_asked`` from the
    closing page, ``choices_unfolded`` with whether they are. ``lesson_comes`` when a plan begins with the lesson,
    ``lesson_asked`` with the name of what follows.
    """

    marked = Signal()
    minutes_chosen = Signal(int)
    learner_chosen = Signal(str)
    drill_planned = Signal(str, str)
    help_asked = Signal(str)
    logbook_asked = Signal()
    choices_unfolded = Signal(bool)
    sound_asked = Signal()
    lesson_asked = Signal(str)
    lesson_comes = Signal()

    def __init__(self, practice: Practice, parent: QWidget | None = None) -> None:
        super().__init__(practice, parent)
        self._shown: tuple[Phase, Trial | None] | None = None
        self._words = PractiseWords(practice, self)
        self._choices = NOTHING_CHOSEN, False
        for part in (self.lead, self.plan, self.figures):
            part.help_asked.connect(self.help_asked)
        self.figures.opened.connect(self._take_keyboard)
        self.minutes.chosen.connect(self._choose_minutes)
        self.who.chosen.connect(self.learner_chosen)
        self.filter = TapFilter(
            self.sheet, self.side, self.stop, lambda tap: draw_taps(self.sheet, practice.attempt, tap)
        )
        self.panel.answered.connect(self.answer)
        for control, then in (
            (self.steps.next, self.go_on),
            (self.steps.stop, self.stop),
            (self.steps.lost, self.lose_count),
            (self.steps.measure, self.sound_asked.emit),
            (self.steps.withdraw, self.withdraw),
            (self.steps.again, self.hear_again),
            (self.steps.to_plan, self.follow_plan),
            (self.steps.skip, self.skip),
            (self.steps.freely, self.choose_freely),
            (self.steps.more, self.plan_more),
            (self.steps.close_window, lambda: self.window().close()),
        ):
            control.clicked.connect(then)
        self.steps.on_keys(self.go_on, self.stop)

        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self.tick)
        self._timer.start(IDLE_TICK_MS)
        self.redraw()

    def _made_choosing(self, choosing: ChoosePage) -> None:
        choosing.changed.connect(self.choose)
        choosing.started.connect(self.go_on)
        choosing.planned.connect(self.drill_planned)
        choosing.unfolded.connect(self.choices_unfolded)
        self.show_choices(*self._choices)

    def show_choices(self, chosen: Chosen, unfolded: bool) -> None:
        """Show which drills are in every plan or in none, and the choices of how a drill is played or not."""
        self._choices = chosen, unfolded
        if self._choosing is not None:
            self._choosing.show_chosen(chosen)
            self._choosing.show_fold(unfolded=unfolded)

    # -- actions --------------------------------------------------------------------------------------------------

    def go_on(self) -> None:
        """Take the next step: start a trial, stop listening and ask, give the answer, or show the plan."""
        phase, today = self.practice.phase, self.practice.today
        if phase is Phase.SOUNDING:
            self.practice.ask_now()
            if self.practice.phase is not phase:
                self._settle()
        elif phase is Phase.ASKING:
            self.panel.give()
            return
        elif phase is Phase.MAKING or not self.practice.next_known:
            return
        elif self.practice.at_plan and today is not None and today.lesson_due:
            self.lesson_asked.emit(self._words.after_lesson())
            return
        elif today is None or not today.finished:
            self._start()
        elif phase is Phase.READY:
            self.logbook_asked.emit()
            return
        else:
            self.practice.put_away()
        self.redraw()

    def _start(self) -> None:
        try:
            self.practice.begin()
        except Trouble as trouble:
            self.practice.notices = [trouble.says]
            self.practice.put_away()
            return
        self._take_taps()
        self._timer.start(SOUNDING_TICK_MS)

    def skip(self) -> None:
        """Skip the plan's current item."""
        if self.practice.day is not None:
            self.practice.day.skip()
        self._turn_to_ready()

    def follow_plan(self) -> None:
        """Return to today's plan; remake it from the latest answers unless it was begun."""
        self.practice.follow_plan()
        self._turn_to_ready()
        self._watch_plan()

    def plan_more(self) -> None:
        """Make another plan for today."""
        self.practice.plan_day(anew=True)
        self._turn_to_ready()
        self._watch_plan()

    def choose_freely(self) -> None:
        """Leave the plan and choose trials by hand."""
        self.practice.course = Free()
        self._turn_to_ready()

    def _choose_minutes(self, minutes: int) -> None:
        if self.practice.day is not None:
            self.practice.day.choose_minutes(minutes, self.practice.learner.key)
        self._turn_to_ready()
        self._watch_plan()
        self.minutes_chosen.emit(minutes)

    def _turn_to_ready(self) -> None:
        self.practice.stop()
        self.practice.put_away()
        self.practice.notices = []
        self.practice.prepare()
        self._settle()
        self.redraw()

    def stop(self) -> None:
        """Stop the trial."""
        self.practice.stop()
        self._settle()
        self.redraw()

    def leave(self, *, question: bool = True) -> None:
        """Stop what sounds as the learner goes elsewhere, and say what was not kept: an open ``question``, too."""
        if self.practice.goes_on and (question or self.practice.phase is not Phase.ASKING):
            self.practice.leave()
            self._settle()
            self.redraw()

    def hear_again(self) -> None:
        """Play the finished trial again, with the count shown."""
        try:
            if self.practice.attempt is not None and self.practice.attempt.replaying is not None:
                self.practice.attempt.replaying.hear()
                self.practice.attempt.watch_again()
        except Trouble as trouble:
            self.practice.notices = [trouble.says]
        if self.practice.goes_on:
            self._timer.start(SOUNDING_TICK_MS)
        self.redraw()

    def answer(self, text: str) -> None:
        try:
            self.practice.answer_with(text)
        except Trouble as trouble:
            self.practice.notices = [trouble.says]
        self._answered()

    def lose_count(self) -> None:
        """Answer that the count is lost."""
        self.practice.lose_count()
        self._answered()

    def _answered(self) -> None:
        self._settle()
        self.redraw()
        if self.practice.phase is Phase.MARKED:
            self._done()

    def withdraw(self) -> None:
        """Let the marked trial not count, or count again."""
        self.practice.withdraw()
        self.practice.prepare()
        self.redraw()
        self.marked.emit()

    def _done(self) -> None:
        self.marked.emit()
        QTimer.singleShot(0, self, self._prepare)  # after painting the result

    def _prepare(self) -> None:
        if self.practice.phase in IDLE:
            self.practice.prepare()
        attempt = self.practice.attempt
        if attempt is not None and attempt.phase is Phase.MARKED and self.practice.learner.look_for_news(attempt):
            self.redraw()

    def choose(self, wish: Wish) -> None:
        self.practice.choose(wish)
        self.practice.put_away()
        self.practice.prepare()
        self.redraw()

    def choose_record(self, print: str) -> None:
        """Choose a drill freely, on the own record with this id."""
        wish = replace(self.practice.wish, record=print)
        if not wish.on_record:
            wish = replace(wish, drill=ON_RECORDS_FIRST, rung=None)
        self.choose(wish)
        self.choose_freely()
        self.choosing.show_fold(unfolded=True)

    def offer(self, wish: Wish) -> None:
        """Change the choice for the next trials by hand; the page shown stays."""
        self.practice.choose(wish)
        self.follow()

    def follow(self) -> None:
        """Handle a new next trial of the course; the page shown stays."""
        self.practice.prepare()
        self.redraw()

    # -- events and timer -----------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Focus the next step."""
        super().showEvent(event)
        self._fit()
        self._take_keyboard()

    def hideEvent(self, event: QHideEvent) -> None:
        """Stop what sounds; a question waits."""
        self.leave(question=False)
        super().hideEvent(event)

    def _take_taps(self) -> None:
        if self.practice.attempt is not None and self.practice.phase is Phase.SOUNDING:
            self.filter.turn_on(self.practice.attempt)

    def _settle(self) -> None:
        self.filter.turn_off()
        day = self.practice.day
        soon = (day is not None and day.making) or self.practice.phase is Phase.ASKING
        self._timer.start(SOUNDING_TICK_MS if soon else IDLE_TICK_MS)

    def tick(self) -> None:
        before, again = self.practice.phase, self.practice.again
        try:
            self.practice.tick()
        except Trouble as trouble:
            self.practice.notices = [trouble.says]
        if self.practice.phase is not before:
            if self.practice.phase is Phase.SOUNDING:
                self._take_taps()
            else:
                self._settle()
            self.redraw()
            if self.practice.phase in (Phase.MARKED, Phase.VOID):
                self._done()
            elif before is Phase.SOUNDING:  # heard to the end
                QTimer.singleShot(0, self, self._prepare)
            return
        if before in IDLE:
            self._watch_plan()
        self.panel.poll()
        attempt = self.practice.attempt
        draw_taps(self.sheet, attempt)  # from MIDI and microphone
        if attempt is not None and (attempt.again or (before is Phase.SOUNDING and attempt.trial.help.sheet)):
            self.sheet.show_sounding(attempt.sounding_beat())
        show_replay(self.versions, attempt)
        if attempt is not None and attempt.side is not None and before is Phase.SOUNDING:
            self.side.show_thing(attempt.side.shown(attempt.position_s()))
        if self.practice.again is not again:
            self._timer.start(SOUNDING_TICK_MS if self.practice.again else IDLE_TICK_MS)
            self.redraw()
        elif self.notice.text() != spoken_all(self.practice.all_notices):
            self.redraw()

    # -- display --------------------------------------------------------------------------------------------------

    def _watch_plan(self) -> None:
        """Request today's plan if there is none, and show it once made."""
        day = self.practice.day
        if day is None:
            return
        if not day.making and (day.today is None or (day.stale and self.practice.phase is Phase.READY)):
            self.practice.plan_day()
            self._settle()
        if day.poll():
            self.practice.notices = [*self.practice.notices, *day.notices]
            if day.today is not None and day.today.lesson_due:
                self.lesson_comes.emit()
            self._settle()
            self.redraw()
            QTimer.singleShot(0, self, self._prepare)  # after painting the plan

    def redraw(self) -> None:
        """Show the model's state."""
        with laid_out_once(self._column, self.steps.lines, self._whole):
            self._show_parts()
        self._fit()

    def _show_parts(self) -> None:
        practice, phase, words = self.practice, self.practice.phase, self._words
        attempt = practice.attempt
        result = practice.result if phase is Phase.MARKED else None
        self.heading.setText(words.heading())
        self._largest, self.lead.linking = "verdict" if result else "title", not practice.at_plan
        for part, text in (
            (self.place, words.place()),
            (self.lead, words.lead()),
            (self._soft, words.soft()),
            (self.notice, spoken_all(practice.all_notices)),
            (self.legend, words.legend()),
        ):
            show(part, text)
        calibrated, met = attempt is not None and attempt.calibrated, result is None or figures_met(practice.learner)
        self.figures.show_result(result, calibrated, met)
        show_answer(self.sign, self.versions, self.heading, practice)
        self.strip.setVisible(result is not None and attempt is not None and attempt.tells_shift)
        if practice.chooses:
            self.choosing.show_wish(practice.wish, ladder_of(practice.learner))
        if self._choosing is not None:
            self._choosing.setVisible(practice.chooses)
        self.panel.show_question(attempt if phase is Phase.ASKING else None)
        side = None if attempt is None else attempt.side
        self.side.setVisible(phase is Phase.SOUNDING and side is not None)
        self.side.show_task(None if side is None else side.task)
        show_plan(practice, self.plan, self.minutes, self.who, words.rungs, words.before)
        self.ink.turn(attempt is not None and attempt.only_heard)
        self.steps.show_steps(practice, words.next_step(), words.next_short())
        if self.isVisible():
            self._take_keyboard()
        self.sheet.setHidden(sheet_hidden(practice))
        self._draw_sheet()

    def _take_keyboard(self) -> None:
        """Focus answers, drills to choose from, or the next step, unless another control there is in use."""
        phase = self.practice.phase
        if phase is Phase.ASKING:
            if not self.panel.isAncestorOf(QApplication.focusWidget() or self):
                self.panel.take_focus()
        elif self.practice.chooses:
            self.choosing.take_focus()
        elif phase is Phase.SOUNDING:
            self.sheet.setFocus()  # otherwise Qt focuses the tabs
        elif not self.steps.next.isHidden():
            self.steps.next.setFocus()

    def _draw_sheet(self) -> None:
        state = (self.practice.phase, self.practice.trial)
        if state != self._shown:
            self._shown = state
            self.page_view.verticalScrollBar().setValue(0)
            draw_trial(self.sheet, self.strip, self.practice)
