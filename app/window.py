"""The main window: a heading with the screens' names and the volume, and one screen at a time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QCloseEvent, QGuiApplication, QKeySequence, QPaintEvent, QShortcut
from PySide6.QtWidgets import QButtonGroup, QFrame, QMainWindow, QSlider, QStackedWidget, QVBoxLayout, QWidget

from app import theme as look
from app.practice import Practice
from app.screens.practise import PractiseScreen
from app.widgets.controls import button, label, named, row

if TYPE_CHECKING:
    from app.screens.count_along import CountAlongScreen
    from app.screens.help import HelpScreen

# The slider's top is the player's cap; the way between follows the ear, 40 dB over the length of the slider.
VOLUME_RANGE_DB = 40.0
VOLUME_AT_START = 60


def gain_of(volume: int) -> float:
    """Linear gain for a slider position of 0 to 100; 0 is silence."""
    return 0.0 if volume == 0 else 10 ** ((volume - 100) / 100 * VOLUME_RANGE_DB / 20)


class Window(QMainWindow):
    """Holds the practice and its screens; those other than practise are made when they are first opened."""

    def __init__(self, practice: Practice) -> None:
        super().__init__()
        self.setWindowTitle("Tallybar")
        self.practice = practice
        self._theme = look.system_theme()
        self._stack = QStackedWidget()
        self._practise = PractiseScreen(practice, self._theme)
        self._board: CountAlongScreen | None = None
        self._logbook: QWidget | None = None
        self._help: HelpScreen | None = None
        self._stack.addWidget(self._practise)
        self._practise.marked.connect(self._refresh_logbook)

        self._tabs = QButtonGroup(self)
        self._tabs.setExclusive(True)
        tabs = []
        for place, (name, description) in enumerate(
            (
                (self.tr("Practise"), self.tr("Listen, tap, and see how it went.")),
                (self.tr("Count along"), self.tr("The tutor's board: count with the drums; nothing is marked.")),
                (self.tr("Logbook"), self.tr("What you have practised so far.")),
                (
                    self.tr("Help"),
                    self.tr("The words of the trade and your figures, with sound and picture. Key F1."),
                ),
            )
        ):
            tab = button(name, description, "tab")
            tab.setCheckable(True)
            self._tabs.addButton(tab, place)
            tabs.append(tab)
            QShortcut(QKeySequence(f"Ctrl+{place + 1}"), self).activated.connect(tab.click)
        QShortcut(QKeySequence(Qt.Key.Key_F1), self).activated.connect(tabs[-1].click)
        self._tabs.button(0).setChecked(True)
        self._tabs.idClicked.connect(self.show_screen)

        self._volume = QSlider(Qt.Orientation.Horizontal)
        self._volume.setRange(0, 100)
        self._volume.setFixedWidth(160)
        self._volume.valueChanged.connect(self._set_volume)
        self._volume.setValue(VOLUME_AT_START)
        named(
            self._volume,
            self.tr("Volume"),
            self.tr("Starts low. Turn it up only as far as you need; the program cannot know the level at your ear."),
        )
        self._volume.setToolTip(self._volume.accessibleDescription())

        step = look.STEP_PX
        head = QWidget()
        head.setObjectName("screen")
        line = row(label("Tallybar", "name"), step * 3, *tabs, None, label(self.tr("Volume"), "soft"), self._volume)
        line.setContentsMargins(step * 5, step, step * 5, step)
        head.setLayout(line)
        rule = QFrame()
        rule.setFixedHeight(1)
        rule.setStyleSheet(f"background: {self._theme.rule};")
        self._head, self._rule = head, rule
        whole = QWidget()
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(head)
        column.addWidget(rule)
        column.addWidget(self._stack, 1)
        self.setCentralWidget(whole)
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._follow_system)

    def sizeHint(self) -> QSize:
        """Fits a small laptop."""
        return QSize(1180, 760)

    def show_screen(self, place: int) -> None:
        """Show the screen with this place among the tabs."""
        screens = (lambda: self._practise, self._open_board, self._open_logbook, self._open_help)
        self._stack.setCurrentWidget(screens[place]())
        self._refresh_logbook()
        if place == 0:
            self._practise.redraw()

    def _open_board(self) -> QWidget:
        if self._board is None:
            from app.count_along import Board
            from app.screens.count_along import CountAlongScreen

            self._board = CountAlongScreen(Board(self.practice.player, self.practice.ahead.workers), self._theme)
            self._board.full_window.connect(self._set_full)
            self._stack.addWidget(self._board)
        return self._board

    def _open_logbook(self) -> QWidget:
        if self._logbook is None:
            from app.screens.logbook import LogbookScreen

            self._logbook = LogbookScreen(self.practice.logbook)
            self._stack.addWidget(self._logbook)
        return self._logbook

    def _open_help(self) -> HelpScreen:
        if self._help is None:
            from app.screens.help import HelpScreen

            self._help = HelpScreen(self.practice.player, self.practice.ahead.workers, self._theme)
            self._stack.addWidget(self._help)
        return self._help

    def show_help(self, page_id: str) -> None:
        """Show a page of the help, as from the name of a figure."""
        self._tabs.buttons()[-1].click()
        self._open_help().open(page_id)

    def _set_full(self, full: bool) -> None:
        """The whole screen for one screen of the program, without the heading; and back as it was."""
        for part in (self._head, self._rule):
            part.setVisible(not full)
        state, filled = self.windowState(), Qt.WindowState.WindowFullScreen
        self.setWindowState(state | filled if full else state & ~filled)

    def _refresh_logbook(self) -> None:
        if self._logbook is not None and self._stack.currentWidget() is self._logbook:
            self._logbook.refresh()  # type: ignore[attr-defined]

    def _set_volume(self, volume: int) -> None:
        self.practice.player.gain = gain_of(volume)

    def _follow_system(self) -> None:
        self._theme = look.system_theme()
        dress(self._theme)
        self._rule.setStyleSheet(f"background: {self._theme.rule};")
        self._practise.set_theme(self._theme)
        if self._board is not None:
            self._board.set_theme(self._theme)
        if self._help is not None:
            self._help.set_theme(self._theme)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Break a trial off, give the sound device back."""
        self._practise.stop()
        if self._board is not None:
            self._board.board.stop()
        self.practice.player.close()
        if self.practice.logbook is not None:
            self.practice.logbook.close()
        super().closeEvent(event)


def dress(theme: look.Theme) -> None:
    """Put fonts, palette and style sheet on the whole application."""
    from PySide6.QtWidgets import QApplication

    application = QApplication.instance()
    assert isinstance(application, QApplication)
    application.setStyle("Fusion")
    application.setFont(look.font(look.px(look.TYPE.body)))
    application.setPalette(look.palette(theme))
    application.setStyleSheet(look.stylesheet(theme))


class FirstPaint(QObject):
    """Calls back once when a window has been painted for the first time, when start-up work may follow."""

    def __init__(self, window: QWidget, then) -> None:  # type: ignore[no-untyped-def]
        super().__init__(window)
        self._then = then
        window.centralWidget().installEventFilter(self)  # type: ignore[attr-defined]

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Wait for the paint event."""
        if isinstance(event, QPaintEvent):
            watched.removeEventFilter(self)
            from PySide6.QtCore import QTimer

            QTimer.singleShot(0, self._then)
        return False
