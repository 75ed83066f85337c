"""The calibration card: both methods, the pad while taps are measured, and the picture of what was found."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QApplication, QGridLayout, QProgressBar, QWidget

from app.inputs.calibrator import Calibrator, Stage
from app.inputs.tap_filter import Rest
from app.inputs.taps import TapReader
from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.widgets.card import Card
from app.ui.widgets.controls import KeyButton, button, label, named, row, show
from app.ui.widgets.sheet.count_sheet import shift_text
from app.ui.widgets.sheet.timing_strip import TimingStrip
from app.ui.widgets.tap_pad import TapPad
from exercises.calibration.tapping import CLICK_GAP_S
from synth.base.errors import Trouble

BUSY_TICK_MS, IDLE_TICK_MS = 15, 500


class CalibrationCard(Card):
    """Shows a ``Calibrator`` and polls it while visible.

    Signals: ``turned`` when its stage has changed, ``idled`` now and then while it does nothing, ``refused`` with a
    sentence of trouble, empty when another start is tried.
    """

    turned = Signal()
    idled = Signal()
    refused = Signal(str)

    def __init__(self, calibrator: Calibrator) -> None:
        super().__init__(self.tr("Calibration"))
        self.calibrator = calibrator
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        tip = self.tr("Thirty relaxed taps to a click; zero is then your own relaxed tap. Key K.")
        named(self, self.tr("Calibration"), tip)
        self._reader = TapReader()
        self._filtering = False
        self._tapped_with: set[int] = set()
        self.rest = Rest(self)
        self.made = label("", "body", wrap=True)
        self.way = label("", "lead", wrap=True)
        self.aside = label("", "strong", wrap=True)
        self.tapping = button(self.tr("By tapping"), tip, "choice")
        self.tapping.clicked.connect(lambda: self.start(calibrator.start_tapping))
        self.listening = button(
            self.tr("By microphone"),
            self.tr(
                "The microphone hears click and key in one recording; only the equipment's delay is removed. Key M."
            ),
            "choice",
        )
        self.listening.clicked.connect(lambda: self.start(calibrator.start_microphone))
        tip = self.tr("Breaks the measurement off. Escape does the same.")
        self._stop = KeyButton(self.tr("Stop"), tip, self.tr("Esc"))
        self._stop.clicked.connect(self.stop)
        self._stop.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._progress = QProgressBar()
        self._progress.setRange(0, 1000)
        self._progress.setTextVisible(False)
        named(self._progress, self.tr("How much is measured"))
        self.pad = TapPad()
        self.strip = TimingStrip()
        self.outliers = label("", "small", wrap=True)
        self._ways = QWidget()
        ways = QGridLayout(self._ways)
        ways.setContentsMargins(0, 0, 0, 0)
        ways.setHorizontalSpacing(look.STEP_PX * 2)
        ways.setVerticalSpacing(look.STEP_PX)
        ways.setColumnStretch(2, 1)
        for place, (key, way, when) in enumerate(
            (
                (
                    self.tr("K"),
                    self.tapping,
                    self.tr(
                        "Choose it with headphones, or without a microphone. "
                        "Your own relaxed tap then counts as on time."
                    ),
                ),
                (
                    self.tr("M"),
                    self.listening,
                    self.tr("Choose it to see how far you yourself tap ahead: only the equipment's delay goes."),
                ),
            )
        ):
            ways.addWidget(label(key, "key"), place, 0)
            ways.addWidget(way, place, 1)
            ways.addWidget(label(when, "body", wrap=True), place, 2)
        for part in (
            self.made, self.way, self._ways, self.pad, self._progress, self.aside, self.strip, self.outliers
        ):  # fmt: skip
            self.column.addWidget(part)
        self.column.addLayout(row(self._stop, None))
        for each, act in ((Qt.Key.Key_K, self.tapping), (Qt.Key.Key_M, self.listening)):
            QShortcut(QKeySequence(each), self).activated.connect(act.click)
        self.timer = QTimer(self)
        self.timer.setTimerType(Qt.TimerType.PreciseTimer)
        self.timer.timeout.connect(self.tick)
        self.made.hide()
        self.redraw()

    # -- measurements ---------------------------------------------------------------------------------------------

    def start(self, what: Callable[[], None]) -> None:
        """Start a measurement or the tone of the calibrator."""
        self.refused.emit("")
        try:
            what()
        except Trouble as trouble:
            self.refused.emit(spoken(trouble.says))
        application = QApplication.instance()
        stage = self.calibrator.stage
        if stage in (Stage.TAPPING, Stage.OPENING) and application is not None and not self._filtering:
            self.rest.end()
            application.installEventFilter(self)
            self._filtering, self._tapped_with = True, set()
            self.pad.begin()
        self.timer.start(IDLE_TICK_MS if stage is Stage.IDLE else BUSY_TICK_MS)
        self.setFocus()  # before the buttons are disabled, or Qt moves the focus on
        self._turn()

    def stop(self) -> None:
        """Stop the tone or the measurement."""
        self.calibrator.stop()
        self._settle()
        self._turn()

    def _settle(self) -> None:
        application = QApplication.instance()
        if self._filtering and application is not None:
            application.removeEventFilter(self)
            self.rest.begin(self._tapped_with)
        self._filtering = False
        self.timer.start(IDLE_TICK_MS)

    def _turn(self) -> None:
        self.redraw()
        self.turned.emit()

    def tick(self) -> None:
        """Poll the calibrator, and show what changed."""
        before, aside = self.calibrator.stage, self.calibrator.aside
        try:
            self.calibrator.tick()
        except Trouble as trouble:
            self.refused.emit(spoken(trouble.says))
            self.calibrator.stop()
        self._show_progress()
        if (self.calibrator.stage, self.calibrator.aside) != (before, aside):
            if self.calibrator.stage is Stage.IDLE:
                self._settle()
            self._turn()
        elif self.calibrator.stage is Stage.IDLE:
            self.idled.emit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """During a measurement every key but Escape is a tap, and so is a click or touch on the pad."""
        self._reader.watch(event)
        if event.type() == QEvent.Type.ShortcutOverride:
            event.accept()  # a shortcut's key is a tap during a measurement
            return True
        if event.type() == QEvent.Type.KeyRelease:
            return True
        if event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            if event.key() == Qt.Key.Key_Escape:
                self.stop()
                return True
        elif watched is not self.pad:
            return False
        tap = self._reader.read(event)
        if tap is not None:
            if isinstance(event, QKeyEvent):
                self._tapped_with.add(event.key())
            self.calibrator.tap(tap)
            self._acknowledge()
        return tap is not None or event.type() == QEvent.Type.KeyPress

    def _acknowledge(self) -> None:
        """A stroke for every tap that has none yet, also of those from MIDI."""
        for _ in range(self.calibrator.tapped - self.pad.strokes.taps):
            self.pad.show_tap()

    def showEvent(self, event: QShowEvent) -> None:
        """Begin to poll."""
        super().showEvent(event)
        self.timer.start(IDLE_TICK_MS)

    def hideEvent(self, event: QHideEvent) -> None:
        self.stop()
        self.timer.stop()
        super().hideEvent(event)

    # -- display --------------------------------------------------------------------------------------------------

    def redraw(self) -> None:
        """Show the calibrator's state."""
        calibrator = self.calibrator
        measuring = calibrator.measuring or calibrator.stage is Stage.OPENING
        idle = calibrator.stage is Stage.IDLE
        self._ways.setVisible(idle)
        self._stop.setVisible(not idle)
        self._progress.setVisible(measuring)
        show(self.way, self._way_text())
        show(self.aside, "" if calibrator.aside is None else spoken(calibrator.aside))
        shown = bool(len(calibrator.errors_ms)) and not measuring and not calibrator.outdated
        self.pad.setVisible(measuring)
        self.strip.setVisible(shown)
        self.outliers.setVisible(shown)
        self._show_progress()
        if shown:
            error = calibrator.middle.error_ms * 2 if calibrator.middle is not None else 0.0
            self.strip.show_errors(calibrator.errors_ms, 1000 * CLICK_GAP_S, error, middle=calibrator.middle)
            self.outliers.setText(self._outlier_text())

    def _show_progress(self) -> None:
        self._progress.setValue(round(1000 * self.calibrator.done_share))
        if self.calibrator.measuring:
            self._acknowledge()
            self.pad.show_wanted(self.calibrator.wanted)

    def _way_text(self) -> str:
        stage = self.calibrator.stage
        if stage is Stage.TAPPING:
            return self.tr(
                "Tap one key along with the clicks, relaxed, as you always do. The first four show the way."
            )
        if stage is Stage.OPENING:
            return self.tr("One moment: waiting for the microphone …")
        if stage is Stage.LISTENING:
            return self.tr(
                "Press one key firmly between the clicks, once or twice each. Have the microphone near the keyboard, "
                "where it hears the speaker; with headphones, lay one ear piece on it."
            )
        if stage is Stage.TONE:
            return self.tr("The tone grows. Stop it when it is loud enough.")
        outcome = self.calibrator.outcome
        return "" if outcome is None or self.calibrator.outdated else spoken(outcome)

    def _outlier_text(self) -> str:
        found = self.calibrator.middle
        if found is None:
            return ""
        left = [shift_text(float(ms)) for ms in self.calibrator.errors_ms[found.outliers]]
        text = self.tr("{n} taps. A fifth at each end is left out of the mean.").format(
            n=len(self.calibrator.errors_ms)
        )
        if left:
            text += " " + self.tr("Far from the rest: {list} ms.").format(list=", ".join(left))
        return text
