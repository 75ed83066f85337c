"""The first run: introduction, level check, tap delay, and where to begin. Return is the next step.

Every page can be skipped, and the settings show it again.
"""

from concurrent.futures import Executor

from PySide6.QtCore import QCoreApplication, QSignalBlocker, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import (
    QBoxLayout,
    QLayout,
    QSizePolicy,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from app.inputs.calibrator import Calibrator, Stage
from app.practice.board.board import Board
from app.practice.board.board_phrase import BoardPhrase
from app.settings import LANGUAGES
from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.screens.calibration_card import CalibrationCard
from app.ui.screens.learner_fields import NameField
from app.ui.widgets.choices import Choices
from app.ui.widgets.controls import KeyButton, Slider, button, label, named, row, show
from app.ui.widgets.hearing import HearingWords
from app.ui.widgets.screens import SIDE_BY_SIDE_PX, ScrollPage, inset, scrolled
from app.ui.widgets.sheet.count_sheet import CountSheet
from synth.score.metre import steady_count

# The level check starts 30 dB below the slider's top.
QUIET_VOLUME = 25
CHECK_GROOVE = "four-on-the-floor"
TICK_MS = 50
# Least height of a sheet at 100 % text size, and of the one that gives way to a notice.
SHEET_PX, HEARD_PX = 240, 192


class WelcomeScreen(QWidget):
    """The pages of the first run.

    Signals: ``volume`` with a slider position; ``language`` with a newly chosen language;
    ``name`` with the learner's, empty for none; ``finished`` with True for
    a placement run, False without.
    """

    volume = Signal(int)
    language = Signal(str)
    name = Signal(str)
    finished = Signal(bool)

    def __init__(
        self, calibrator: Calibrator, workers: Executor | None, language: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setObjectName("screen")
        self._named = ""
        self._board = Board(
            calibrator.player, workers, phrase=BoardPhrase(groove=CHECK_GROOVE, tempo_bpm=112.0, aloud=False)
        )
        self._sheet, self._heard = CountSheet(), CountSheet()
        # Beside the words, which get half of the width.
        self._sheet.setMinimumWidth(SHEET_PX)
        self._sheet.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Expanding)
        self._wide_pages: list[QBoxLayout] = []
        self._margins: list[QLayout] = []
        self._pages = QStackedWidget()
        step = look.STEP_PX
        self._place = label("", "soft")
        self._languages = Choices(self.tr("Language"), [(code, name, "") for code, name in LANGUAGES.items()])
        self._languages.show_value(language)
        self._languages.chosen.connect(lambda chosen: self.language.emit(chosen))
        self.told = label("", "strong", wrap=True)
        self.told.hide()
        tip = self.tr("Straight to practice. The settings bring it back.")
        self.skip = KeyButton(self.tr("Skip the welcome"), tip, self.tr("Esc"))
        self.skip.clicked.connect(lambda: self.finish(False))
        self.back = button(self.tr("Back"), self.tr("The page before."))
        self.back.clicked.connect(lambda: self.show_page(self._pages.currentIndex() - 1))
        tip = QCoreApplication.translate("FirstRun", "The next page of the first run.")
        self.next = button("", tip, "next")
        self.next.clicked.connect(self.go_on)
        self._next_key = label(self.tr("Return"), "key")
        # Hiding it moves nothing else.
        stays = self.next.sizePolicy()
        stays.setRetainSizeWhenHidden(True)
        self.next.setSizePolicy(stays)
        self._column = column = QVBoxLayout(self)
        column.setSpacing(step * 3)
        head = row(label("Tallybar", "name"), step, self._place, None, self._languages, step, self.skip)
        foot = row(self.back, None, self._next_key, self.next, spacing=step)
        told_line = row(self.told)
        for line in (head, told_line):
            column.addLayout(line)
        column.addWidget(self._pages, 1)  # full width: the scroll bars lie in the margin
        self._first()
        self._level()
        self._taps(calibrator)
        self._begin()
        column.addLayout(foot)
        self._inset = [head, told_line, foot, *self._margins]
        for key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.setAutoRepeat(False)  # a held key would skip the cautions
            shortcut.activated.connect(self.go_on)
        QShortcut(QKeySequence(Qt.Key.Key_Escape), self).activated.connect(self.skip.click)
        QShortcut(QKeySequence("Alt+Left"), self).activated.connect(self.back.click)
        self._timer = QTimer(self)
        self._timer.setInterval(TICK_MS)
        self._timer.timeout.connect(self._tick)
        self.show_page(0)

    # -- pages ----------------------------------------------------------------------------------------------------

    def _add_page(self) -> ScrollPage:
        page = ScrollPage()
        self._pages.addWidget(scrolled(page))
        return page

    def _page(self, title: str, lead: str, *parts: QWidget | QBoxLayout, beside: QWidget) -> QWidget:
        """Words at the left and a picture at the right, or stacked in a narrow window; returns the words."""
        step = look.STEP_PX
        left = QWidget()
        words = QVBoxLayout(left)
        words.setContentsMargins(0, 0, 0, 0)
        words.setSpacing(step * 2)
        words.addWidget(label(title, "verdict", wrap=True))
        words.addWidget(label(lead, "lead", wrap=True))
        for part in parts:
            words.addLayout(part) if isinstance(part, QBoxLayout) else words.addWidget(part)
        if parts[-1] is not self._heard:  # that takes the remaining height
            words.addStretch(1)
        both = QBoxLayout(QBoxLayout.Direction.LeftToRight, self._add_page())
        self._wide_pages.append(both)
        self._margins.append(both)
        both.setContentsMargins(0, step * 3, 0, step)
        both.setSpacing(step * 6)
        both.addWidget(left, 1)
        if isinstance(beside, CountSheet):
            both.addWidget(beside, 1)
        else:
            both.addWidget(beside, 1, Qt.AlignmentFlag.AlignTop)
        return left

    def _first(self) -> None:
        self._sheet.show_count(steady_count(112.0, [4]))
        self._name = NameField(self.tr("Your name"), self.tr("It may stay empty. The settings can change it."))
        self._name.given.connect(self._give_name)
        self._of_name = label(self.tr("It may stay empty. The settings can change it."), "soft", wrap=True)
        line = row(label(self._name.accessibleName(), "strong"), self._name, None)
        self._page(
            self.tr("Know where you are in the music"),
            self.tr(
                "Tallybar plays drums; you tap, count or answer; it says how near you were and what to practise next."
            ),
            line,
            self._of_name,
            label(
                self.tr(
                    "So that you hear, without thinking, the beat, the one, which bar of the phrase is passing and "
                    "when the phrase will turn."
                ),
                wrap=True,
            ),
            label(self.tr("First two minutes for your ears and hands. Then you play."), "soft", wrap=True),
            label(
                self.tr("This is how the count is written here: one bar a line, its number where the one is."),
                "soft",
                wrap=True,
            ),
            beside=self._sheet,
        )

    def _level(self) -> None:
        self.slider = Slider()
        self.slider.setRange(0, 100)
        self.slider.setValue(QUIET_VOLUME)
        named(
            self.slider,
            self.tr("Volume"),
            self.tr("Arrow keys turn it up and down. Only as far as you hear every drum comfortably."),
        )
        self.slider.valueChanged.connect(self.volume)
        self._hear = button(self.tr("Stop the groove"), self.tr("Plays the groove, or stops it."))
        self._hear.clicked.connect(self._toggle)
        self._heard.show_count(self._board.phrase.count())
        self.notice = label("", "body", wrap=True)
        self.notice.hide()
        soft = self.tr("softer"), self.tr("louder")
        self._page(
            self.tr("Start quietly"),
            self.tr("A quiet groove is playing. Turn it up only until you hear every drum comfortably."),
            row(label(soft[0], "soft"), self.slider, label(soft[1], "soft")),
            row(self._hear, None),
            self.notice,
            label(
                self.tr(
                    "If you hear nothing at the middle of the slider, turn up the computer's own volume a little and "
                    "begin again from the left."
                ),
                "soft",
                wrap=True,
            ),
            self._heard,
            beside=HearingWords(),
        )

    def _taps(self, calibrator: Calibrator) -> None:
        self.measuring = CalibrationCard(calibrator)
        self.measuring.turned.connect(self._measured)
        self.measuring.refused.connect(self.show_notice)
        self._unmeasured = [
            label(self.tr("It takes half a minute. With wireless headphones it is worth doing now."), wrap=True),
            label(self.tr("Until then you see how steady your taps are, and which beat they were on."), wrap=True),
            label(self.tr("You do not see whether you are early or late: that would be a guess."), wrap=True),
        ]
        self._why = self._page(
            self.tr("The delay of your taps"),
            self.tr("Every loudspeaker and every keyboard answers a little late. By how much has to be measured."),
            *self._unmeasured,
            beside=self.measuring,
        )

    def _begin(self) -> None:
        """One question, which Return answers with yes, and a quiet line for who counts already."""
        self.trials = button(self.tr("A few trials first"), self.tr("Key F does the same."), "link")
        self.trials.clicked.connect(lambda: self.finish(True))
        step = look.STEP_PX
        page = self._add_page()
        column = QVBoxLayout(page)
        self._margins.append(column)
        column.setContentsMargins(0, step * 3, 0, step)
        column.setSpacing(step * 2)
        column.addWidget(label(self.tr("Shall we begin at the beginning?"), "verdict", wrap=True))
        words = self.tr("You count along with the drums, hear which drum is which, and tap the beat.")
        column.addWidget(label(words, "lead", wrap=True))
        column.addWidget(label(self.tr("From then on the trials follow your answers."), "lead", wrap=True))
        column.addSpacing(step * 3)
        words = self.tr(
            "You count bars already? Short trials of several kinds show where to go on, in three minutes at most. "
            "You can stop at any time; what you have answered counts."
        )
        column.addWidget(label(words, "soft", wrap=True))
        column.addLayout(row(label(self.tr("F"), "key"), self.trials, None, spacing=step))
        column.addStretch(1)
        key = QShortcut(QKeySequence(Qt.Key.Key_F), page)
        key.setAutoRepeat(False)
        key.activated.connect(self.trials.click)

    # -- navigation -----------------------------------------------------------------------------------------------

    @property
    def page(self) -> int:
        """Index of the current page, from 0."""
        return self._pages.currentIndex()

    def show_page(self, place: int) -> None:
        """Show a page, by index from 0; the level check's groove plays only on its own page."""
        place = max(0, min(place, self._pages.count() - 1))
        self._pages.setCurrentIndex(place)
        self._place.setText(self.tr("{n} of {all}").format(n=place + 1, all=self._pages.count()))
        self.back.setVisible(place > 0)
        self._languages.setVisible(place == 0)
        self._show_next()
        if place != 2:
            self.measuring.stop()
        if place == 1:
            self.volume.emit(self.slider.value())
            if not self._board.playing:
                self._toggle()
            self.slider.setFocus()
        else:
            self._silence()
            (self.next if place or self._named else self._name).setFocus()

    def _show_next(self) -> None:
        """Show what Return and Escape do; not while taps are measured: then they are a tap, and its end."""
        made, idle = bool(self.measuring.calibrator.made), self.measuring.calibrator.stage is Stage.IDLE
        later = self.tr("Next") if made else self.tr("Later")
        words = {1: self.tr("I hear every drum"), 2: later, 3: self.tr("Yes, begin")}.get(self.page, self.tr("Next"))
        self.next.setText(words)
        self.next.setAccessibleName(words)
        self.next.setEnabled(idle)
        for key in (self._next_key, self.skip.hint):
            key.setVisible(idle)
        for words_before in self._unmeasured:
            words_before.setHidden(made)

    def _measured(self) -> None:
        """Go on with Return after a measurement, whatever came of it."""
        self._show_next()
        self._why.setVisible(self.next.isEnabled())
        if self.next.isEnabled() and self.page == 2 and self.isVisible():
            self.next.setFocus()

    def quieten(self) -> None:
        """Reset the level check to its quiet start."""
        with QSignalBlocker(self.slider):
            self.slider.setValue(QUIET_VOLUME)

    def show_name(self, name: str) -> None:
        """Set the learner's name, empty for none."""
        self._name.setText(name)
        self._named = name
        if name:  # who is there already is renamed
            self._of_name.setText(
                self.tr("Another name is a new name for you: your trials stay. The settings add another learner.")
            )

    def _give_name(self) -> None:
        """Tell the name if it is another one than before."""
        if self._name.name != self._named:
            self._named = self._name.name
            self.name.emit(self._named)

    def show_notice(self, words: str) -> None:
        """Show a notice; hide it for an empty text."""
        show(self.told, words)

    def go_on(self) -> None:
        """Go to the next page, or from the last one to practice; with the keyboard on its quiet line, to trials."""
        self._give_name()
        if self.page < self._pages.count() - 1:
            self.show_page(self.page + 1)
        else:
            self.finish(self.trials.hasFocus())

    def finish(self, place: bool) -> None:
        self._give_name()
        self._silence()
        self.finished.emit(place)

    # -- level check ----------------------------------------------------------------------------------------------

    def _toggle(self) -> None:
        self._board.toggle()
        self._timer.start()
        self._show_check()

    def _silence(self) -> None:
        self._timer.stop()
        if self._board.busy:
            self._board.stop()
        self._show_check()

    def _tick(self) -> None:
        self._board.tick()
        self._show_check()

    def _show_check(self) -> None:
        self._heard.show_sounding(self._board.beat if self._board.playing else None)
        self._hear.setText(self.tr("Stop the groove") if self._board.busy else self.tr("Play the groove"))
        self._hear.setAccessibleName(self._hear.text())
        self.notice.setText(spoken(self._board.notice) if self._board.notice else "")
        self.notice.setVisible(self._board.notice is not None)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Arrange side by side or stacked, centred in a large window."""
        super().resizeEvent(event)
        beside, above = inset(self.size())
        self._column.setContentsMargins(0, above, 0, above)
        for part in self._inset:
            margins = part.contentsMargins()
            part.setContentsMargins(beside, margins.top(), beside, margins.bottom())
        self._sheet.setMinimumHeight(look.px(SHEET_PX))
        self._heard.setMinimumHeight(look.px(HEARD_PX))
        wide = self.width() >= look.px(SIDE_BY_SIDE_PX)
        self._heard.setVisible(wide)  # stacked, it would push the cautions out of sight
        way = QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        for both in self._wide_pages:
            both.setDirection(way)

    def hideEvent(self, event: QHideEvent) -> None:
        self._silence()
        super().hideEvent(event)
