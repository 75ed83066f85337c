"""The main window: frame, size, theme, and saving on close. ``contents.py`` fills it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QMargins, QRect, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QCloseEvent, QGuiApplication, QResizeEvent
from PySide6.QtWidgets import QApplication, QMainWindow

from app.settings import Settings
from app.ui.base.garbage import collect_here
from app.ui.base.language import speak
from app.ui.dress import apply
from app.ui.heading import PRACTISE
from app.ui.widgets.focus_ring import FocusRing
from synth.base.errors import Trouble
from synth.base.words import Say, Template

if TYPE_CHECKING:
    from app.session import Session
    from app.ui.contents import Contents, Seen

SETTLE_MS = 150
# Period of the search for new MIDI inputs, in ms.
LOOK_MS = 1000
# The frame of a common desktop in px; the window's own is known some time after it was shown.
USUAL_FRAME, FRAMED_MS = QMargins(2, 38, 2, 2), 200
# Period of the look at where the sound goes, in ms: a move is to be told within a second.
OUTPUT_MS = 250
# Period of the look after the learner's records, in ms.
RECORDS_MS = 250
USUAL = Settings()

UNSAVED = Template("window.unsaved", "Not everything is saved yet. Close the window again to leave without it.")


class Window(QMainWindow):
    """A window on a session, which outlives it. Emit ``told`` with a sentence, from any thread, to show it.

    A session may be given later (``take``). A change of language replaces ``contents`` within the same frame.
    """

    told = Signal(object)
    session: Session
    contents: Contents

    def __init__(self, session: Session | None = None) -> None:
        super().__init__()
        self.setWindowTitle("Tallybar")
        self.setMinimumHeight(480)
        self._chosen: QSize | None = None
        self._fitted: QSize | None = None
        self._warned = False
        # Runs while the layout settles after a change of text size or language.
        self.settling = QTimer(self)
        self.settling.setSingleShot(True)
        self.settling.setInterval(SETTLE_MS)
        self.settling.timeout.connect(self._take_room)
        self.ring = FocusRing(self)
        if session is not None:
            self.take(session)

    def take(self, session: Session, *, welcome: bool = False) -> None:
        """Show a session, with the first run or with practice, in place of what the window showed before."""
        from app.ui.contents import Seen  # late: a window without a session does not need it

        self.session = session
        self._show_contents(Seen(PRACTISE, session.keeper.now.start_volume))
        if welcome:
            self.contents.show_welcome()
        self.contents.show()
        if (first := self.focusWidget()) is not None:  # else it has the keyboard only when the window becomes active
            first.setFocus()
        if self.size() == self._fitted:
            self._fit_screen(session.keeper.now, USUAL_FRAME)
        self.told.connect(self.tell)
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._follow_system)
        QTimer.singleShot(FRAMED_MS, self, self._fit_frame)
        collect_here()

    def _show_contents(self, seen: Seen) -> None:
        """Make the contents in the current language; the previous ones are deleted."""
        from app.ui.contents import Contents  # late: see ``take``

        self.contents = Contents(self.session, seen, self)
        self.contents.changed.connect(self.change)
        self.contents.told.connect(self.told)
        self.contents.full_window.connect(self._fill)
        self.contents.learner_chosen.connect(self.become)
        self.setCentralWidget(self.contents)

    def listen(self) -> None:
        """Start MIDI and microphone inputs, and follow where the sound goes."""
        session, now = self.session, self.session.keeper.now
        session.listening.begin()
        for look, period_ms in (
            (session.listening.look, LOOK_MS),
            (self._look_for_output, OUTPUT_MS),
            (self._look_after_records, RECORDS_MS),
        ):
            timer = QTimer(self)
            timer.timeout.connect(look)
            timer.start(period_ms)
        session.listening.take_claps(now.claps, now.microphone)

    def _look_for_output(self) -> None:
        """Tell that the system plays the sound elsewhere."""
        if (said := self.session.look_for_output()) is not None:
            self.tell(said)

    def _look_after_records(self) -> None:
        """Let their analysis stand still or go on, and make their page ahead."""
        self.session.look_after_records()
        self.contents.records.prepare()

    def tell(self, notice: Say) -> None:
        """Add a notice and show it."""
        practice = self.session.practice
        if notice not in practice.notices:
            practice.notices = [*practice.notices, notice]
        self.contents.show_notice()

    # -- settings -------------------------------------------------------------------------------------------------

    def change(self, choices: dict[str, object]) -> None:
        """Apply and save changed settings."""
        trouble = self.session.change(choices)
        if "language" in choices:
            self._speak()
        self.contents.show_change(choices, trouble)
        if {"theme", "text_percent", "reduced_motion"} & set(choices):
            self._dress()
        if {"language", "text_percent"} & set(choices):
            self.settling.start()

    def become(self, learner_id: str) -> None:
        """Let another learner practise, with their own choices."""
        try:
            choices = self.session.choices_of(learner_id)
        except Trouble as trouble:
            self.tell(trouble.says)
        else:
            self.change(choices)
        self.contents.show_notice()

    def _speak(self) -> None:
        """Stop the sound and make new contents in the settings' language."""
        application = QApplication.instance()
        assert application is not None
        seen = self.contents.seen
        self.contents.silence()
        self.session.count_in(speak(application, self.session.keeper.now.language))
        self.unsetLocale()  # inherit the application's new locale
        self.session.forget_notices()
        self._show_contents(seen)
        self.contents.go_on(seen)

    def _follow_system(self) -> None:
        if self.session.keeper.now.theme == "system":
            self._dress()

    def _dress(self) -> None:
        """Apply the settings' theme and text size."""
        apply(self.session.keeper.now)
        self.contents.arrange()

    # -- size -----------------------------------------------------------------------------------------------------

    def open_as_left(self, settings: Settings) -> None:
        """Show the window in its last size."""
        self._fit_screen(settings, USUAL_FRAME)
        if settings.window_whole_screen:
            self.showMaximized()
        else:
            self.show()

    def _fit_screen(self, now: Settings, frame: QMargins) -> None:
        """Take the size in the settings, or what the screen has of it within a frame."""
        room = self.screen().availableSize()
        wanted = QSize(now.window_width_px, now.window_height_px)
        self._fitted = inside(wanted, room, frame).expandedTo(self.minimumSizeHint())
        self.resize(self._fitted)

    def _fit_frame(self) -> None:
        """Fit size and place to the window's own frame, unless the learner was faster."""
        handle = self.windowHandle()
        if handle is None or self.size() != self._fitted or self.isMaximized() or self.isFullScreen():
            return
        self._fit_screen(self.session.keeper.now, handle.frameMargins())
        room, place = self.screen().availableGeometry(), self.frameGeometry()
        if not room.contains(place):
            self.move(moved_into(place, room).topLeft())

    def sizeHint(self) -> QSize:
        """The size in the settings."""
        return QSize(USUAL.window_width_px, USUAL.window_height_px)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Record a size chosen by the learner, but not one forced by larger text."""
        super().resizeEvent(event)
        if not (self.isMaximized() or self.isFullScreen() or self.settling.isActive()):
            self._chosen = event.size()

    def _take_room(self) -> None:
        """Return to the chosen size, or as near to it as the contents allow."""
        if self._chosen is not None and not (self.isMaximized() or self.isFullScreen()):
            chosen, before = self._chosen, self.size()
            self.resize(chosen.expandedTo(self.minimumSizeHint()))
            self._chosen = chosen
            if self.size() not in (before, chosen):
                self.settling.start()  # the heading shrinks in a narrower window

    def _fill(self, full: bool) -> None:
        """Enter or leave full screen."""
        state, filled = self.windowState(), Qt.WindowState.WindowFullScreen
        self.setWindowState(state | filled if full else state & ~filled)

    # -- closing --------------------------------------------------------------------------------------------------

    def closeEvent(self, event: QCloseEvent) -> None:
        """Stop the trial and save the settings; refuse once while trials are not saved."""
        self._keep()
        self.contents.silence()
        if not self.session.practice.learner.save() and not self._warned:
            self._warned = True
            self.contents.show_tab(PRACTISE)
            self.tell(UNSAVED())
            event.ignore()
            return
        super().closeEvent(event)

    def _keep(self) -> None:
        """Save window size, volume and choices for the next start."""
        room = self.normalGeometry() if self.isMaximized() else self.geometry()
        placing = self.contents.first_run is not None and self.contents.first_run.placing
        kept = self.session.left(choices=not placing) | {"volume": self.contents.volume.value()}
        if not self.isFullScreen():
            size = room.size() if self.isMaximized() else self._chosen or room.size()
            if size == self._fitted:  # as large as the screen allows: a larger one gets what was wished
                size = QSize(self.session.keeper.now.window_width_px, self.session.keeper.now.window_height_px)
            kept |= {"window_width_px": size.width(), "window_height_px": size.height()}
            kept["window_whole_screen"] = self.isMaximized()
        self.session.keeper.change(**kept)


def inside(wanted: QSize, room: QSize, frame: QMargins) -> QSize:
    """A size without its frame that fits into a room with it."""
    return wanted.boundedTo(room.shrunkBy(frame))


def moved_into(place: QRect, room: QRect) -> QRect:
    """A place moved into a room; the title bar stays inside where it is too large."""
    left = max(room.left(), min(place.left(), room.right() + 1 - place.width()))
    top = max(room.top(), min(place.top(), room.bottom() + 1 - place.height()))
    return QRect(left, top, place.width(), place.height())
