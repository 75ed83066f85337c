"""The main window: a heading with the screens' names and the volume, and one screen at a time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QGuiApplication, QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QApplication, QFrame, QMainWindow, QVBoxLayout, QWidget

from app.inputs.listening import Listening
from app.practice.pause import Sitting
from app.practice.practice import Practice
from app.settings import Keeper, Settings
from app.ui import theme as look
from app.ui.foot import Foot
from app.ui.garbage import collect_here
from app.ui.heading import BENCH, HELP, LOGBOOK, PRACTISE, SETTINGS, Heading
from app.ui.language import speak
from app.ui.practise.screen import PractiseScreen
from app.ui.widgets.controls import named
from app.ui.widgets.focus_ring import FocusRing
from app.ui.widgets.screens import Screens, scrolled
from app.ui.words import spoken, spoken_all
from synth.base.words import Say, Template

if TYPE_CHECKING:
    from app.practice.bench import Bench
    from app.practice.board import Board
    from app.ui.first_run import FirstRun
    from app.ui.help.screen import HelpScreen
    from app.ui.logbook.screen import LogbookScreen
    from app.ui.screens.bench import BenchScreen
    from app.ui.screens.board import CountAlongScreen
    from app.ui.screens.settings import SettingsScreen

SETTLE_MS = 150
# The slider's top is the player's cap; the way between follows the ear, 40 dB over the length of the slider.
VOLUME_RANGE_DB = 40.0

CHANGED = Template(
    "window.changed",
    "The sound output has changed since it was calibrated, so early and late are not told. The bench calibrates"
    " again.",
)
UNSAVED = Template("window.unsaved", "Not everything is saved yet. Close the window again to leave without it.")


def gain_of(volume: int) -> float:
    """Linear gain for a slider position of 0 to 100; 0 is silence."""
    return 0.0 if volume == 0 else 10 ** ((volume - 100) / 100 * VOLUME_RANGE_DB / 20)


class Window(QMainWindow):
    """Holds the practice and its screens; those other than practise are made when they are first opened.

    ``keeper`` holds the learner's settings; without one they are as at first, the first run done, and not kept.
    ``opening`` is what must be known from the start, such as that nothing will be kept. ``told`` shows a sentence,
    from any thread.

    What is shown is made anew for another language; what it shows stays: the practice, the board, the bench.
    """

    told = Signal(object)

    def __init__(self, practice: Practice, keeper: Keeper | None = None, opening: Sequence[Say] = ()) -> None:
        super().__init__()
        self.setWindowTitle("Tallybar")
        self.setMinimumHeight(480)
        self.practice = practice
        self.keeper = keeper or Keeper(Settings(first_run_done=True))
        practice.learner = self.keeper.now.learner
        self._opening = opening
        practice.notices = [*opening] or practice.notices
        self._lesson_board: Board | None = None
        self._bench_model: Bench | None = None
        self._chosen: QSize | None = None
        self._warned = False
        # Runs while all takes its new size after a change of text or language.
        self._settling = QTimer(self)
        self._settling.setSingleShot(True)
        self._settling.setInterval(SETTLE_MS)
        self._settling.timeout.connect(self._take_room)
        self._sitting = Sitting()
        self._listening = Listening(practice.equipment, self)
        self._ring = FocusRing(self)
        self._build(self.keeper.now.start_volume)
        self.told.connect(self._tell)
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._follow_system)
        collect_here()

    def _build(self, volume: int) -> None:
        """Make all that is shown, in the language of the moment; what was shown before is deleted."""
        self._settings: SettingsScreen | None = None
        self._first_run: FirstRun | None = None
        self._board: CountAlongScreen | None = None
        self._logbook: LogbookScreen | None = None
        self._help: HelpScreen | None = None
        self._bench: BenchScreen | None = None
        whole = QWidget()
        self.stack = self._stack = Screens()
        self.practise = self._practise = PractiseScreen(self.practice)
        self._stack.addWidget(self._practise)
        self._practise.marked.connect(self._refresh_logbook)
        self._practise.help_asked.connect(self.show_help)
        self._practise.logbook_asked.connect(lambda: self.show_tab(LOGBOOK))
        self._practise.minutes_chosen.connect(lambda minutes: self.keeper.change(minutes_a_day=minutes))
        self._head = Heading(volume)
        self._head.chosen.connect(self.show_screen)
        self._tabs, self.volume = self._head.tabs, self._head.volume
        self.volume.valueChanged.connect(self._set_volume)
        self._set_volume(volume)
        for key, tab in (
            *((f"Ctrl+{place + 1}", self._tabs.button(place)) for place in range(HELP + 1)),
            ("Ctrl+,", self._tabs.button(SETTINGS)),
        ):
            QShortcut(QKeySequence(key), whole).activated.connect(tab.click)
        QShortcut(QKeySequence(Qt.Key.Key_F1), whole).activated.connect(self._help_here)
        self._rule = QFrame()
        self._rule.setObjectName("rule")
        self._rule.setFixedHeight(1)
        self._foot = Foot(self.practice, self._sitting)
        self._practise.marked.connect(self._foot.show_week)
        self._column = QVBoxLayout(whole)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self._head)
        self._column.addWidget(self._rule)
        self._column.addWidget(scrolled(self._stack), 1)
        self._column.addWidget(self._foot)
        self.setCentralWidget(whole)

    def _speak(self) -> None:
        """The settings' language on everything, at once; what sounds is broken off first, as by leaving a screen."""
        application = QApplication.instance()
        assert application is not None
        place, volume, page = self._tabs.checkedId(), self.volume.value(), None
        if self._help is not None:
            page = self._help.page.id
        self._silence()
        speak(application, self.keeper.now.language)
        self.unsetLocale()  # the application's, as it is now
        # A line about a trial, or on the board, is over with it; what was said at the start still holds.
        if self._lesson_board is not None:
            self._lesson_board.notice = None
        self.practice.notices = [each for each in self.practice.notices if each in self._opening]
        before, left = self._first_run, None if self._first_run is None else self._first_run.left
        self._build(volume)
        if page is not None:
            self._open_help().open(page)
        self.show_tab(place)
        if before is not None and left is not None:
            self._welcome().go_on(left)
            before.deleteLater()
        if place == SETTINGS:
            self._open_settings().take_language()

    def _silence(self) -> None:
        """Break off what sounds, on whichever screen."""
        self._practise.stop()
        if self._board is not None:
            self._board.board.stop()
        if self._bench is not None:
            self._bench.stop()
        if self._help is not None:
            self._help.stop()

    def sizeHint(self) -> QSize:
        """As the settings have it at first: what a result needs at the usual text size."""
        usual = Settings()
        return QSize(usual.window_width_px, usual.window_height_px)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Remember the size that was chosen: not the one that larger text or longer words make of it."""
        super().resizeEvent(event)
        if not (self.isMaximized() or self.isFullScreen() or self._settling.isActive()):
            self._chosen = event.size()

    def _take_room(self) -> None:
        """Back to the size that was chosen, or as near to it as all has room."""
        if self._chosen is not None and not (self.isMaximized() or self.isFullScreen()):
            chosen, before = self._chosen, self.size()
            self.resize(chosen.expandedTo(self.minimumSizeHint()))
            self._chosen = chosen
            if self.size() not in (before, chosen):
                self._settling.start()  # in a narrower window the heading needs less

    def show_tab(self, place: int) -> None:
        """Choose the tab with this place."""
        self._tabs.button(place).setChecked(True)
        self.show_screen(place)

    def show_screen(self, place: int) -> None:
        """Show the screen with this place among the tabs, and the heading with it."""
        self.set_alone(False)
        if place == SETTINGS:
            settings = self._open_settings()
            settings.show_settings(self.keeper.now)  # other screens change some of them too
            self._stack.setCurrentWidget(settings)
            return
        screens = (lambda: self._practise, self._open_board, self.open_logbook, self._open_bench, self._open_help)
        self._stack.setCurrentWidget(screens[place]())
        self._refresh_logbook()
        if place == PRACTISE:
            self._practise.redraw()

    def _open_board(self) -> QWidget:
        if self._board is None:
            from app.practice.board import Board
            from app.ui.screens.board import CountAlongScreen

            if self._lesson_board is None:
                self._lesson_board = Board(self.practice.player, self.practice.ahead.workers)
                self._lesson_board.choose(replace(self._lesson_board.lesson, way=self.keeper.now.way))
            self._board = CountAlongScreen(self._lesson_board)
            self._board.full_window.connect(self._set_full)
            self._stack.addWidget(self._board)
        return self._board

    def open_logbook(self) -> LogbookScreen:
        """The logbook's screen, made when it is first asked for."""
        if self._logbook is None:
            from app.ui.logbook.screen import LogbookScreen

            self._logbook = LogbookScreen(self.practice.logbook, self.practice.learner)
            self._stack.addWidget(self._logbook)
        return self._logbook

    def _open_bench(self) -> BenchScreen:
        if self._bench is None:
            from app.practice.bench import Bench
            from app.ui.screens.bench import BenchScreen

            practice, now = self.practice, self.keeper.now
            if self._bench_model is None:
                self._bench_model = Bench(practice.equipment)
            self._bench = BenchScreen(self._bench_model, self._listening.midi_names)
            named(self._bench, self._tabs.button(BENCH).text(), self._tabs.button(BENCH).accessibleDescription())
            self._bench.use_microphone(now.microphone, now.claps)
            self._bench.changed.connect(self.change)
            self._stack.addWidget(self._bench)
        return self._bench

    def listen(self) -> None:
        """Take taps from beyond the window from now on; a calibration that holds no more is told."""
        self._listening.begin()
        self._listening.take_claps(self.keeper.now.claps, self.keeper.now.microphone)
        equipment = self.practice.equipment
        if equipment.outdated("key"):
            self._tell(CHANGED())

    def _open_help(self) -> HelpScreen:
        if self._help is None:
            from app.ui.help.screen import HelpScreen

            self._help = HelpScreen(self.practice.player, self.practice.ahead.workers)
            self._help.bench_asked.connect(lambda: self.show_tab(BENCH))
            self._stack.addWidget(self._help)
        return self._help

    def show_help(self, page_id: str) -> None:
        """Show a page of the help, as from the name of a figure."""
        self._tabs.button(HELP).click()
        self._open_help().open(page_id)

    def _help_here(self) -> None:
        """The page that explains what has the keyboard, or the help as it was left."""
        focus = QApplication.focusWidget()
        page = None if focus is None else focus.property("help")
        if page:
            self.show_help(str(page))
        else:
            self._tabs.button(HELP).click()

    def _open_settings(self) -> SettingsScreen:
        if self._settings is None:
            from app.ui.screens.settings import SettingsScreen

            self._settings = SettingsScreen(self.keeper.now, self.keeper.path)
            self._settings.changed.connect(self.change)
            self._settings.welcome_wanted.connect(self.show_welcome)
            self._stack.addWidget(self._settings)
        return self._settings

    def change(self, choices: dict[str, object]) -> None:
        """Take other settings over: they hold at once, and are kept."""
        trouble = self.keeper.change(**choices)
        now = self.keeper.now
        if "language" in choices:
            self._speak()
        if self._settings is not None:
            self._settings.show_notice("" if trouble is None else spoken(trouble))
        if {"theme", "text_percent", "reduced_motion"} & set(choices):
            self._dress()
        if {"language", "text_percent"} & set(choices):
            self._settling.start()
        if "way" in choices:
            self._practise.offer(replace(self.practice.wish, way=now.way))
            if self._lesson_board is not None:  # it outlasts its screen when the language changes
                (self._board or self._lesson_board).choose(replace(self._lesson_board.lesson, way=now.way))
        if {"claps", "microphone"} & set(choices):
            self._listening.take_claps(now.claps, now.microphone)
        if "minutes_a_day" in choices and self.practice.day is not None:
            self.practice.day.choose_minutes(now.minutes_a_day, self.practice.learner)
        if "learner" in choices and now.learner != self.practice.learner:
            self.practice.learner = now.learner
            self.practice.relearn()
            self.practice.plan_day()
            self._foot.show_week()
            if self._logbook is not None:
                self._logbook.show_learner(now.learner)

    def show_welcome(self) -> None:
        """The first run, again or for the first time."""
        self._welcome().show()

    def _welcome(self) -> FirstRun:
        if self._first_run is None:
            from app.ui.first_run import FirstRun

            self._first_run = FirstRun(self)
        return self._first_run

    def add_line(self, line: QWidget) -> None:
        """Put a line between the heading and the screen."""
        self._column.insertWidget(2, line)

    def _tell(self, notice: Say) -> None:
        # What was said at the start, such as that nothing will be kept, still holds.
        if notice not in self.practice.notices:
            self.practice.notices = [*self.practice.notices, notice]
        self._practise.redraw()
        if self._first_run is not None:
            self._first_run.welcome.show_notice(spoken_all(self.practice.notices))

    def set_alone(self, alone: bool) -> None:
        """One screen without heading and foot."""
        for part in (self._head, self._rule, self._foot):
            part.setVisible(not alone)

    def _set_full(self, full: bool) -> None:
        """The whole screen for one screen of the program, without the heading; and back as it was."""
        self.set_alone(full)
        state, filled = self.windowState(), Qt.WindowState.WindowFullScreen
        self.setWindowState(state | filled if full else state & ~filled)

    def _refresh_logbook(self) -> None:
        if self._logbook is not None and self._stack.currentWidget() is self._logbook:
            self._logbook.refresh()

    def _set_volume(self, volume: int) -> None:
        self.practice.player.gain = gain_of(volume)

    def _follow_system(self) -> None:
        if self.keeper.now.theme == "system":
            self._dress()

    def _dress(self) -> None:
        """Put the settings' theme and text size on everything."""
        apply(self.keeper.now)
        self._head.arrange()
        self._practise.redraw()
        if self._settings is not None:
            self._settings.arrange()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Break a trial off, keep the choices, give the sound device back; trials not saved yet are told of first."""
        self._keep()
        self._silence()
        if not self.practice.save() and not self._warned:
            self._warned = True
            self.show_tab(PRACTISE)
            self._tell(UNSAVED())
            event.ignore()
            return
        self._listening.close()
        self.practice.player.close()
        if self.practice.logbook is not None:
            self.practice.logbook.close()
            self.practice.logbook = None  # a line that is told after the end asks for nothing in it
        super().closeEvent(event)

    def _keep(self) -> None:
        """Window, volume and choices, for the next start."""
        wish, room = self.practice.wish, self.normalGeometry() if self.isMaximized() else self.geometry()
        kept: dict[str, object] = {"volume": self.volume.value(), "mode": wish.mode.value}
        if not self.isFullScreen():
            size = room.size() if self.isMaximized() else self._chosen or room.size()
            kept |= {"window_width_px": size.width(), "window_height_px": size.height()}
            kept["window_whole_screen"] = self.isMaximized()
        if self._first_run is None or not self._first_run.placing:
            kept |= {"drill": wish.drill, "rung": wish.rung or 0, "groove": wish.groove or ""}
            kept["tempo_bpm"] = wish.tempo_bpm or 0.0
        self.keeper.change(**kept)


def apply(settings: Settings) -> None:
    """Put the theme, the text size and the movement of the settings on the whole application."""
    look.set_text_scale(settings.text_percent / 100)
    look.set_reduced_motion(settings.reduced_motion)
    dress(look.chosen_theme(settings.theme))


def dress(theme: look.Theme) -> None:
    """Put fonts, palette and style sheet on the whole application; what paints itself follows ``look.worn``."""
    look.wear(theme)
    application = QApplication.instance()
    assert isinstance(application, QApplication)
    sheet = look.stylesheet(theme)
    if application.styleSheet() == sheet:
        return  # dressed so already: to polish every widget anew takes a tenth of a second
    application.setStyle("Fusion")
    application.setFont(look.font(look.px(look.TYPE.body)))
    application.setPalette(look.palette(theme))
    for kind in look.FRAMED:
        application.setPalette(look.framed_palette(theme), kind)
    application.setStyleSheet(sheet)
