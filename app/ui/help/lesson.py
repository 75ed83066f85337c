"""The lesson on the first words: a page of the help at a time, its sound, and the learner's taps on its sheet."""

from collections.abc import Callable
from concurrent.futures import Executor, Future

from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from app.inputs.tap_filter import TapFilter
from app.practice.lesson import PARTS, Lesson
from app.practice.trial.void_messages import broke
from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.help.chapters import PAGES
from app.ui.help.help_page import translated
from app.ui.help.sounds import example
from app.ui.widgets.controls import KeyButton, button, label, named, row
from app.ui.widgets.flow import Flow
from app.ui.widgets.screens import Scrolled, ScrollPage
from app.ui.widgets.sheet.count_sheet import CountSheet
from exercises.drills import drill
from synth.base.arrays import Samples
from synth.base.errors import Trouble
from synth.base.working import submitted
from synth.device.clock import now_s

TICK_MS = 15
SHEET_PX, LEAST_SHEET_PX, LOW_PX = 200, 144, 320
# Longest lesson that counts as practice, in s.
LONGEST_S = 300.0


class LessonScreen(QWidget):
    """Leads through a ``Lesson``. ``begin`` starts its first part at once.

    Signals: ``finished`` after the last part, with the seconds it took; ``left`` when it is skipped.
    """

    finished = Signal(float)
    left = Signal()

    def __init__(
        self,
        lesson: Lesson,
        workers: Executor | None,
        language: Callable[[], str] = lambda: "en",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("screen")
        self.lesson, self._workers, self._language = lesson, workers, language
        self.goes_on_with = ""
        self._rendered: dict[tuple[str, int, str], Future[Samples]] = {}
        self._waiting = False
        self._began_s = 0.0
        step = look.STEP_PX
        self.place = label("", "soft")
        self.title, self.lead = label("", "title", wrap=True), label("", "lead", wrap=True)
        self.asks, self.body = label("", "strong", wrap=True), label("", "body", wrap=True)
        self.notice = label("", "soft", wrap=True)
        self.sheet = CountSheet()
        self.sheet.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        self.sheet.setMinimumHeight(SHEET_PX)
        page = ScrollPage()
        column = QVBoxLayout(page)
        column.setContentsMargins(step * 5, step * 2, step * 5, step)
        column.setSpacing(step)
        for part in (self.place, self.title, self.lead, self.asks, self.notice):
            column.addWidget(part)
        column.addWidget(self.sheet, 1)
        column.addWidget(self.body)
        self.view = Scrolled(page)
        self.skip = KeyButton(
            self.tr("Skip it"),
            self.tr("Leaves the lesson. It can be opened from the help at any time."),
            self.tr("S"),
        )
        self.again = KeyButton(self.tr("Hear it again"), self.tr("Plays this part once more."), self.tr("H"))
        self.stop_button = KeyButton(self.tr("Stop"), self.tr("Stops the sound."), self.tr("Esc"))
        self.next = button("", self.tr("The Return key does the same."), "next")
        self._key = label(self.tr("Return"), "key")
        on = row(self._key, self.next, spacing=step)
        foot = QVBoxLayout()
        foot.setContentsMargins(step * 5, step, step * 5, step * 2)
        foot.addLayout(Flow(self.skip, self.stop_button, self.again, on, last_at_end=True))
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.view, 1)
        whole.addLayout(foot)
        self.next.installEventFilter(self)
        self.filter = TapFilter(self.sheet, QWidget(self), self.stop, self._show_taps)
        for control, then in (
            (self.skip, self.leave),
            (self.again, self.hear),
            (self.stop_button, self.stop),
            (self.next, self.go_on),
        ):
            control.clicked.connect(then)
        for key, then in (
            (Qt.Key.Key_Return, self.go_on),
            (Qt.Key.Key_Enter, self.go_on),
            (Qt.Key.Key_S, self.leave),
            (Qt.Key.Key_H, self.hear),
            (Qt.Key.Key_Escape, self.stop),
        ):
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.setAutoRepeat(False)
            shortcut.activated.connect(then)
        self.timer = QTimer(self)
        self.timer.setTimerType(Qt.TimerType.PreciseTimer)
        self.timer.setInterval(TICK_MS)
        self.timer.timeout.connect(self.tick)
        self._show_part()

    # -- steps ----------------------------------------------------------------------------------------------------

    def prepare(self) -> None:
        """Have the sound of the present part and the next one made."""
        for part in PARTS[self.lesson.at : self.lesson.at + 2]:
            self._sound(part)

    def begin(self, goes_on_with: str) -> None:
        """Start the first part; ``goes_on_with`` is the name of the step after the last one."""
        self.goes_on_with, self._began_s = goes_on_with, now_s()
        self.lesson.at = 0
        self._show_part()
        self.hear()

    def go_on(self) -> None:
        """Go to the next part, or on after the last one; a part that sounds is heard first."""
        if self.lesson.sounding or self._waiting:
            return
        if self.lesson.last:
            self.finished.emit(min(now_s() - self._began_s, LONGEST_S))
            return
        self.lesson.at += 1
        self._show_part()
        self.hear()

    def hear(self) -> None:
        """Play the part once its sound is made."""
        if not self.lesson.sounding:
            self._waiting = True
            self.prepare()
            self.timer.start()
            self.tick()

    def stop(self) -> None:
        """Stop the sound."""
        self._waiting = False
        self.lesson.stop()
        self._settle()

    def leave(self) -> None:
        """Leave the lesson."""
        self.stop()
        self.left.emit()

    def tick(self) -> None:
        """Play a sound that is made, follow it on the sheet, and notice its end."""
        if self._waiting and (made := self._sound(self.lesson.part)).done():
            self._play(made.result())
        elif self.lesson.sounding:
            self.lesson.tick()
            self._show_taps()
            if not self.lesson.sounding:
                if self.lesson.faults:
                    self.notice.setText(spoken(broke(self.lesson.faults)))
                self._settle()
                return
        self._follow()

    def _play(self, samples: Samples) -> None:
        self._waiting = False
        self.notice.setText("")
        try:
            self.lesson.play(samples)
        except Trouble as trouble:
            self.notice.setText(spoken(trouble.says))
            self._settle()
            return
        self._show_sheet()
        self.filter.turn_on(self.lesson)
        self._redraw()

    def _sound(self, part: str) -> Future[Samples]:
        heard, rate, language = example(part), self.lesson.equipment.player.sample_rate_hz, self._language()
        assert heard is not None
        made = self._rendered.get((part, rate, language))
        if made is None:
            made = self._rendered[part, rate, language] = submitted(self._workers, heard.samples, rate, language)
        return made

    def _settle(self) -> None:
        self.filter.turn_off()
        self.timer.stop()
        self.sheet.show_sounding(None)
        self._redraw()

    # -- display --------------------------------------------------------------------------------------------------

    def _show_part(self) -> None:
        page = PAGES[self.lesson.part]
        self.place.setText(self.tr("{at} of {parts}").format(at=self.lesson.at + 1, parts=len(PARTS)))
        for part, text in ((self.title, page.title), (self.lead, page.lead), (self.body, page.body)):
            part.setText(translated(text))
        self.view.verticalScrollBar().setValue(0)
        self._show_sheet()
        self._redraw()

    def _asks(self) -> str:
        where = QCoreApplication.translate("PractiseWords", "Space or any letter, a click or a touch on the sheet.")
        what = {
            "beat": spoken(drill("beat").asks()),
            "bar": self.tr("Tap every beat, and count aloud with the voice."),
            "one": spoken(drill("one").asks()),
            "phrase": self.tr("Tap only the first beat of each phrase."),
        }[self.lesson.part]
        return f"{what} {where}"

    def _show_sheet(self) -> None:
        heard = example(self.lesson.part)
        assert heard is not None
        self.sheet.show_count(heard.counts[0])

    def _show_taps(self, *_: object) -> None:
        """A stroke where each tap fell, and a soft tick if wanted: neither right nor wrong."""
        for at_s in self.lesson.taps_s[self.sheet.tapped :]:
            self.sheet.show_tap(at_s)
            self.lesson.equipment.tick()

    def _follow(self) -> None:
        heard = example(self.lesson.part)
        assert heard is not None
        beat = heard.counts[0].row_at(self.lesson.position_s()) if self.lesson.sounding else None
        self.sheet.show_sounding(beat)

    def _redraw(self) -> None:
        """Show the steps there are."""
        busy = self.lesson.sounding or self._waiting
        for part, shown in ((self.stop_button, busy), (self.again, not busy), (self.next, not busy)):
            part.setVisible(shown)
        self._key.setVisible(not busy)
        self.skip.hint.setVisible(not busy)  # while it sounds, a letter is a tap
        self.asks.setText(self._asks() if busy else self.tr("Hear it again, or go on."))
        self.notice.setVisible(bool(self.notice.text()))
        large = look.px(100) > look.LARGE  # then the sheet takes the place of the text while it sounds
        small = self.height() < look.px(LOW_PX)
        self.body.setVisible(not (busy and large))
        for words_above in (self.place, self.lead):
            words_above.setVisible(not (busy and large and small))
        self.sheet.setMinimumHeight(LEAST_SHEET_PX if busy and large else SHEET_PX)
        words = self.goes_on_with
        if not self.lesson.last:
            words = self.tr("Next: {part}").format(part=translated(PAGES[PARTS[self.lesson.at + 1]].title))
        self.next.setText(words)
        named(self.next, words, self.next.accessibleDescription())
        if self.isVisible():
            (self.sheet if busy else self.next).setFocus()

    # -- events ---------------------------------------------------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep the space bar for tapping: the next step takes Return instead."""
        pressed = event.type() in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease)
        return pressed and isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Space

    def showEvent(self, event: QShowEvent) -> None:
        """Focus the next step."""
        super().showEvent(event)
        self._redraw()

    def hideEvent(self, event: QHideEvent) -> None:
        """Stop what sounds."""
        self.stop()
        super().hideEvent(event)
