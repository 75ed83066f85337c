"""Contents of the window: the heading with tabs and volume, one screen at a time, and the foot."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QApplication, QFrame, QVBoxLayout, QWidget

from app.session import Session
from app.settings import NOBODY, with_drill
from app.ui.base.words import spoken, spoken_all
from app.ui.foot import Foot
from app.ui.heading import BOARD, HELP, LOGBOOK, PRACTISE, RECORDS, SETTINGS, SOUND, Heading
from app.ui.logbook.pages import LogbookPages
from app.ui.practise.screen import PractiseScreen
from app.ui.records.pages import RecordPages
from app.ui.widgets.controls import named
from app.ui.widgets.screens import Screens, scrolled
from app.volume import gain_of
from synth.base.words import Say

if TYPE_CHECKING:
    from app.practice.board.board_phrase import FileRecord
    from app.ui.first_run import FirstRun, Left
    from app.ui.help.lesson import LessonScreen
    from app.ui.help.screen import HelpScreen
    from app.ui.screens.board import BoardScreen
    from app.ui.screens.settings import SettingsScreen
    from app.ui.screens.sound import SoundScreen
    from synth.catalogue.recording import Recording


@dataclass(frozen=True, slots=True)
class Seen:
    """View state: the tab, the volume, the page of the help, and the state of a first run."""

    tab: int
    volume: int
    page: str | None = None
    first_run: Left | None = None


class Contents(QWidget):
    """The window's contents for a session in the current language; a change of language makes new ones.

    Screens other than practise are made on first use. Signals: ``changed`` with chosen settings, ``told`` with a
    sentence of trouble, ``learner_chosen`` with the id of who practises,
    ``full_window`` to enter (True) or leave full screen.
    """

    changed = Signal(dict)
    told = Signal(object)
    full_window = Signal(bool)
    learner_chosen = Signal(str)

    def __init__(self, session: Session, seen: Seen, parent: QWidget) -> None:
        super().__init__(parent)
        self.session = session
        self.settings: SettingsScreen | None = None
        self.first_run: FirstRun | None = None
        self.board: BoardScreen | None = None
        self.help: HelpScreen | None = None
        self.sound: SoundScreen | None = None
        self.lesson: LessonScreen | None = None
        self._lesson_back = PRACTISE
        self.heading = Heading(seen.volume, self)
        self.heading.chosen.connect(self.show_screen)
        self.tabs, self.volume = self.heading.tabs, self.heading.volume
        self.volume.valueChanged.connect(self._set_volume)
        self._set_volume(seen.volume)
        self._rule = QFrame()
        self._rule.setObjectName("rule")
        self._rule.setFixedHeight(1)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        for part in (self.heading, self._rule):
            self._column.addWidget(part)
        # Filled once it has its parent: Qt styles all that is in a widget anew each time when it gets one.
        self.stack = Screens()
        self._column.addWidget(scrolled(self.stack), 1)
        self.practise = PractiseScreen(session.practice, self.stack)
        self.stack.addWidget(self.practise)
        self.foot = Foot(session.practice, session.sitting)
        self._column.addWidget(self.foot)
        self.logbook = LogbookPages(session, self.stack)
        self.records = RecordPages(session, self.stack)
        self.records.practised.connect(self._practise_on)
        self.records.boarded.connect(self._count_on_board)
        self.practise.marked.connect(self.logbook.refresh)
        self.practise.marked.connect(self.foot.show_week)
        self.practise.lesson_asked.connect(lambda after: self.show_lesson(PRACTISE, after))
        # After the plan is painted.
        self.practise.lesson_comes.connect(lambda: QTimer.singleShot(0, self, lambda: self.open_lesson().prepare()))
        self.practise.help_asked.connect(self.show_help)
        self.practise.logbook_asked.connect(lambda: self.show_tab(LOGBOOK))
        self.practise.sound_asked.connect(lambda: self.show_tab(SOUND))
        self.practise.show_choices(session.keeper.now.chosen, session.keeper.now.choices_unfolded)
        self.practise.choices_unfolded.connect(lambda on: session.keeper.change(choices_unfolded=on))
        self.practise.drill_planned.connect(self._plan_drill)
        self.practise.learner_chosen.connect(self.learner_chosen)
        self.practise.minutes_chosen.connect(lambda minutes: session.keeper.change(minutes_a_day=minutes))
        for key, tab in (
            *((f"Ctrl+{place + 1}", self.tabs.button(place)) for place in range(HELP + 1)),
            ("Ctrl+,", self.tabs.button(SETTINGS)),
        ):
            QShortcut(QKeySequence(key), self).activated.connect(tab.click)
        QShortcut(QKeySequence(Qt.Key.Key_F1), self).activated.connect(self._help_here)

    @property
    def seen(self) -> Seen:
        """The present view state, to be restored in another language."""
        page = None if self.help is None else self.help.page.id
        left = None if self.first_run is None else self.first_run.left
        return Seen(self.tabs.checkedId(), self.volume.value(), page, left)

    def go_on(self, seen: Seen) -> None:
        """Restore a view state and focus the language choice."""
        if seen.page is not None:
            self.open_help().open(seen.page)
        self.show_tab(seen.tab)
        if seen.first_run is not None:
            self.open_first_run().go_on(seen.first_run)
        if seen.tab == SETTINGS:
            self.open_settings().take_language()

    def silence(self) -> None:
        """Stop the sound of every screen; an open question stays."""
        self.practise.leave(question=False)
        for screen in (self.sound, self.help, self.lesson, self.logbook, self.records):
            if screen is not None:
                screen.stop()
        if self.board is not None:
            self.board.board.stop()

    # -- screens --------------------------------------------------------------------------------------------------

    def show_tab(self, place: int) -> None:
        """Select the tab at this index."""
        self.tabs.button(place).setChecked(True)
        self.show_screen(place)

    def show_screen(self, place: int) -> None:
        """Show the screen at this index, and its tab."""
        self.set_alone(False)
        if place in (BOARD, SOUND, RECORDS):  # they sound and measure by themselves
            self.practise.leave()
        if place == SETTINGS:
            settings = self.open_settings()
            settings.show_settings(self.session.keeper.now)  # other screens change settings, too
            records = self.session.practice.records
            settings.show_records(enough=records is not None and records.known and records.enough)
            self.stack.setCurrentWidget(settings)
            return
        screens = {
            PRACTISE: lambda: self.practise,
            BOARD: self.open_board,
            LOGBOOK: self.logbook.open_screen,
            RECORDS: self.records.open_list,
            SOUND: self.open_sound,
            HELP: self.open_help,
        }
        self.stack.setCurrentWidget(screens[place]())
        self.logbook.refresh()
        if place == HELP:
            self.open_help().offer_back(self.session.practice.phase)
        if place == PRACTISE:
            self.practise.redraw()

    def open_board(self) -> BoardScreen:
        """The tutor's board, made on first use like the others."""
        if self.board is None:
            from app.ui.screens.board import BoardScreen

            self.board = BoardScreen(self.session.board, self.stack)
            self.board.full_window.connect(self.set_alone)
            self.board.full_window.connect(self.full_window)
            self.stack.addWidget(self.board)
        return self.board

    def _practise_on(self, recording: Recording) -> None:
        self.practise.choose_record(recording.print)
        self.show_tab(PRACTISE)

    def _count_on_board(self, record: FileRecord) -> None:
        board = self.open_board()
        board.choose(board.board.phrase.with_record(record))
        self.show_tab(BOARD)

    def open_sound(self) -> SoundScreen:
        if self.sound is None:
            from app.ui.screens.sound import SoundScreen

            now, tab = self.session.keeper.now, self.tabs.button(SOUND)
            self.sound = SoundScreen(self.session.calibrator, self.session.listening.midi_names, self.stack)
            named(self.sound, tab.text(), tab.accessibleDescription())
            self.sound.use_microphone(now.microphone, now.claps)
            self.sound.sound.tick.setChecked(now.tap_tick)
            self.sound.changed.connect(self.changed)
            self.stack.addWidget(self.sound)
        return self.sound

    def open_help(self) -> HelpScreen:
        if self.help is None:
            from app.ui.help.screen import HelpScreen

            session = self.session
            self.help = HelpScreen(session.practice.player, session.workers, lambda: session.language, self.stack)
            self.help.sound_asked.connect(lambda: self.show_tab(SOUND))
            self.help.back_asked.connect(lambda: self.show_tab(PRACTISE))
            self.help.lesson_asked.connect(lambda: self.show_lesson(HELP, self.tr("Back to the help")))
            self.stack.addWidget(self.help)
        return self.help

    def show_help(self, page_id: str) -> None:
        """Show a help page by its id, e.g. from the name of a figure."""
        self.tabs.button(HELP).click()
        self.open_help().open(page_id)

    def open_lesson(self) -> LessonScreen:
        if self.lesson is None:
            from app.practice.lesson import Lesson
            from app.ui.help.lesson import LessonScreen

            lesson = Lesson(self.session.practice.equipment)
            self.lesson = LessonScreen(lesson, self.session.workers, lambda: self.session.language, self.stack)
            self.lesson.finished.connect(self._end_lesson)
            self.lesson.left.connect(self._leave_lesson)
            self.stack.addWidget(self.lesson)
        return self.lesson

    def show_lesson(self, back: int, after: str) -> None:
        """Show the lesson, which leads back to a tab; ``after`` names the step at its end."""
        lesson, self._lesson_back = self.open_lesson(), back
        self.stack.setCurrentWidget(lesson)
        lesson.begin(after)

    def _end_lesson(self, took_s: float) -> None:
        """Count the lesson as done; from the plan go on with its next item."""
        day = self.session.practice.day
        if day is not None:
            day.end_lesson(took_s)
        self.show_screen(self._lesson_back)
        if self._lesson_back == PRACTISE:
            self.practise.go_on()

    def _leave_lesson(self) -> None:
        if self._lesson_back == PRACTISE:
            self.practise.skip()
        self.show_screen(self._lesson_back)

    def _help_here(self) -> None:
        """Show the help page of the focused control, or the last page shown."""
        focus = QApplication.focusWidget()
        page = None if focus is None else focus.property("help")
        if page:
            self.show_help(str(page))
        else:
            self.tabs.button(HELP).click()

    def open_settings(self) -> SettingsScreen:
        if self.settings is None:
            from app.ui.screens.settings import SettingsScreen

            self.settings = SettingsScreen(self.session.keeper.now, self.session.keeper.path, self.stack)
            self.settings.changed.connect(self.changed)
            self.settings.welcome_wanted.connect(self.show_welcome)
            self.settings.learner_added.connect(self._add_learner)
            self.stack.addWidget(self.settings)
        return self.settings

    def show_welcome(self) -> None:
        """Show the first run."""
        self.open_first_run().show()

    def open_first_run(self) -> FirstRun:
        """The first run, with its pages among the screens and its bars above them."""
        if self.first_run is None:
            from app.ui.first_run import FirstRun

            run = self.first_run = FirstRun(self.session, self.volume, self.stack)
            self.stack.addWidget(run.welcome)
            self._column.insertWidget(2, run.bar)
            run.welcome.name.connect(lambda name: self.changed.emit({"learner": name or NOBODY}))
            run.welcome.language.connect(lambda language: self.changed.emit({"language": language}))
            run.page_shown.connect(self._show_first_run)
            run.tab_wanted.connect(self.show_tab)
            run.told.connect(self.told)
            run.offered.connect(self.practise.offer)
            run.asked.connect(self.practise.follow)
            run.plan_wanted.connect(self.practise.follow_plan)
            self.practise.marked.connect(run.bar.marked)
        return self.first_run

    def _show_first_run(self) -> None:
        if self.first_run is not None:
            self.practise.leave()
            self.set_alone(True)
            self.stack.setCurrentWidget(self.first_run.welcome)

    def set_alone(self, alone: bool) -> None:
        """Hide or show heading and foot."""
        for part in (self.heading, self._rule, self.foot):
            part.setVisible(not alone)

    # -- changes --------------------------------------------------------------------------------------------------

    def show_change(self, choices: dict[str, object], trouble: Say | None) -> None:
        """Show changed settings, and trouble in saving them."""
        practice = self.session.practice
        if self.settings is not None:
            self.settings.show_notice("" if trouble is None else spoken(trouble))
            self.settings.show_settings(self.session.keeper.now)
        if trouble is not None and self.first_run is not None:
            self.first_run.welcome.show_notice(spoken(trouble))
        if {"way", "voice", "learner_id"} & set(choices):
            self.practise.offer(practice.wish)
            if self.board is not None:
                self.board.choose(self.board.board.phrase)
        if {"learner", "learner_id"} & set(choices):
            self.practise.show_choices(self.session.keeper.now.chosen, self.session.keeper.now.choices_unfolded)
            self.foot.show_week()
            self.records.show_confirmer()
            self.logbook.show_learner()

    def _add_learner(self, name: str) -> None:
        """Make another learner known, and say so."""
        said = self.session.add_learner(name)
        if self.settings is not None:
            self.settings.another.say(spoken(said))
        self.practise.redraw()

    def show_notice(self) -> None:
        """Show the practice's notices."""
        self.practise.redraw()
        if self.first_run is not None:
            self.first_run.welcome.show_notice(spoken_all(self.session.practice.notices))

    def arrange(self) -> None:
        """Arrange for another theme or text size."""
        self.heading.arrange()
        self.practise.redraw()
        if self.settings is not None:
            self.settings.arrange()
        self.records.arrange()

    def _plan_drill(self, drill: str, place: str) -> None:
        keeper = self.session.keeper
        self.session.change(with_drill(keeper.now, drill, place))
        self.practise.show_choices(keeper.now.chosen, keeper.now.choices_unfolded)

    def _set_volume(self, volume: int) -> None:
        self.session.practice.player.gain = gain_of(volume)
