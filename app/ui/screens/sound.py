"""The screen "Sound and taps": sound devices, test tone, calibration, and advice on what to do next."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QApplication, QFrame, QGridLayout, QLabel, QProgressBar, QVBoxLayout, QWidget

from app.inputs.check import calibrations, line_findings, no_sound, verdict
from app.inputs.tap_filter import Rest
from app.inputs.taps import TapReader
from app.practice.calibrator import CLICK_GAP_S, Calibrator, Stage
from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.screens.sound_card import SoundCard
from app.ui.widgets.card import Card
from app.ui.widgets.controls import KeyButton, button, label, layout_of, named, row, turn_into
from app.ui.widgets.count_sheet import shift_text
from app.ui.widgets.screens import scrolled
from app.ui.widgets.timing_strip import TimingStrip
from synth.base.errors import Trouble
from synth.device.portaudio import rescan

BUSY_TICK_MS, IDLE_TICK_MS = 15, 500


class SoundScreen(QWidget):
    """Shows a ``Calibrator``. ``changed`` carries the devices chosen here: output, rate, latency, microphone."""

    changed = Signal(dict)

    def __init__(
        self, calibrator: Calibrator, midi_names: Callable[[], list[str]] = list, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setObjectName("screen")
        page = QWidget()
        page.setObjectName("screen")
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(scrolled(page))
        self.calibrator = calibrator
        self._midi_names = midi_names
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._reader = TapReader()
        self._filtering = False
        self._tapped_with: set[int] = set()
        self.rest = Rest(self)
        self._microphone: str | None = None
        self.advice = label("", "figure", wrap=True)
        self.verdict = label("", "strong", wrap=True)
        self.notice = label("", "lead", wrap=True)
        tip = self.tr("Lists the devices again and opens the output.")
        self.again = button(self.tr("Look again"), tip, "next")
        self.anew = button(self.again.text(), tip, "choice")
        for each in (self.again, self.anew):
            each.clicked.connect(self._look_again)
        again = self._while_closed = QWidget()
        again.setLayout(row(self.again, None))
        layout_of(again).setContentsMargins(0, 0, 0, 0)
        self.sound = SoundCard()
        self.sound.output_chosen.connect(self._choose_output)
        self.sound.microphone_chosen.connect(self._choose_microphone)
        self.sound.claps_chosen.connect(lambda on: self.changed.emit({"claps": on}))
        self.sound.tone_wanted.connect(lambda: self._start(self.calibrator.start_tone))
        self.sound.tools.insertWidget(1, self.anew)

        step = look.STEP_PX
        column = QVBoxLayout(page)
        column.setContentsMargins(step * 5, step * 3, step * 5, step * 3)
        column.setSpacing(step * 2)
        column.addWidget(label(self.tr("Sound and taps"), "title"))
        for widget in (self.advice, self.verdict, self.notice, again, self._calibration(), self.sound):
            column.addWidget(widget)
        column.addStretch(1)

        for key, act in (
            (Qt.Key.Key_T, self.sound.tone.click),
            (Qt.Key.Key_K, self._tapping.click),
            (Qt.Key.Key_M, self._listening.click),
            (Qt.Key.Key_Escape, self.stop),
        ):
            QShortcut(QKeySequence(key), self).activated.connect(act)
        self.timer = QTimer(self)
        self.timer.setTimerType(Qt.TimerType.PreciseTimer)
        self.timer.timeout.connect(self.tick)

    def _calibration(self) -> Card:
        """The calibration card: both methods, the pad, and the picture of the measured taps."""
        card = Card(self.tr("Calibration"))
        self._made = label("", "body", wrap=True)
        self.way = label("", "lead", wrap=True)
        self._tapping = button(
            self.tr("By tapping"),
            self.tr("Thirty relaxed taps to a click; zero is then your own relaxed tap. Key K."),
            "choice",
        )
        self._tapping.clicked.connect(lambda: self._start(self.calibrator.start_tapping))
        self._listening = button(
            self.tr("By microphone"),
            self.tr(
                "The microphone hears click and key in one recording; only the equipment's delay is removed. Key M."
            ),
            "choice",
        )
        self._listening.clicked.connect(lambda: self._start(self.calibrator.start_microphone))
        tip = self.tr("Breaks the measurement off. Escape does the same.")
        self._stop = KeyButton(self.tr("Stop"), tip, self.tr("Esc"))
        self._stop.clicked.connect(self.stop)
        self._stop.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._progress = QProgressBar()
        self._progress.setRange(0, 1000)
        self._progress.setTextVisible(False)
        named(self._progress, self.tr("How much of the clicks has been heard"))
        self.pad = QFrame()
        self.pad.setObjectName("card")
        self.pad.setMinimumHeight(look.STEP_PX * 12)
        self.pad.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)
        here = label(self.tr("Any key; or click or touch here."), "soft")
        here.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.pad.setLayout(row(None, here, None))
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
                    self._tapping,
                    self.tr("Choose it with headphones, or without a microphone. Zero is then your own relaxed tap."),
                ),
                (
                    self.tr("M"),
                    self._listening,
                    self.tr("Choose it to see how far you yourself tap ahead: only the equipment's delay goes."),
                ),
            )
        ):
            ways.addWidget(label(key, "key"), place, 0)
            ways.addWidget(way, place, 1)
            ways.addWidget(label(when, "body", wrap=True), place, 2)
        for part in (self._made, self.way, self._ways, self._progress, self.pad, self.strip, self.outliers):
            card.column.addWidget(part)
        card.column.addLayout(row(self._stop, None))
        return card

    # -- devices --------------------------------------------------------------------------------------------------

    def show_devices(self) -> None:
        """List the connected devices."""
        trouble = self.sound.show_devices(self.calibrator.player, self._microphone)
        if trouble:
            self.notice.setText(trouble)

    def use_microphone(self, name: str | None, claps: bool | None = None) -> None:
        """Select the microphone (None: the system default); ``claps``: whether it also takes taps."""
        if claps is not None:
            self.sound.claps.setChecked(claps)
        self._microphone = name or None
        self.calibrator.microphone_device = self._microphone

    def _choose_output(self, device: str | None, sample_rate_hz: int, latency_ms: int) -> None:
        player = self.calibrator.player
        before = (player.device, player.sample_rate_hz, player.latency_s)
        self.calibrator.stop()
        self.notice.setText("")
        try:
            self._drive(device, sample_rate_hz, latency_ms / 1000)
        except Trouble as trouble:
            self.notice.setText(self.tr("{trouble} It is as before.").format(trouble=spoken(trouble.says)))
            try:
                self._drive(*before)
            except Trouble:
                player.close()
            self.show_devices()
        else:
            self.changed.emit(
                {"sound_device": device or "", "sample_rate_hz": sample_rate_hz, "latency_ms": latency_ms}
            )
        self.redraw()

    def _drive(self, device: int | str | None, sample_rate_hz: int, latency_s: float) -> None:
        player = self.calibrator.player
        player.close()
        player.device, player.sample_rate_hz, player.latency_s = device, sample_rate_hz, latency_s
        player.open()

    def _choose_microphone(self, name: str | None) -> None:
        self.use_microphone(name)
        self.changed.emit({"microphone": self._microphone or ""})

    # -- measurements ---------------------------------------------------------------------------------------------

    def _start(self, what: Callable[[], None]) -> None:
        self.notice.setText("")
        try:
            what()
        except Trouble as trouble:
            self.notice.setText(spoken(trouble.says))
        application = QApplication.instance()
        if (
            self.calibrator.stage in (Stage.TAPPING, Stage.OPENING)
            and application is not None
            and not self._filtering
        ):
            self.rest.end()
            application.installEventFilter(self)
            self._filtering, self._tapped_with = True, set()
        self.timer.start(IDLE_TICK_MS if self.calibrator.stage is Stage.IDLE else BUSY_TICK_MS)
        self.setFocus()  # before the buttons are disabled, or Qt moves the focus on
        self.redraw()

    def stop(self) -> None:
        """Stop the tone or the measurement."""
        self.calibrator.stop()
        self._settle()
        self.redraw()

    def _settle(self) -> None:
        application = QApplication.instance()
        if self._filtering and application is not None:
            application.removeEventFilter(self)
            self.rest.begin(self._tapped_with)
        self._filtering = False
        self.timer.start(IDLE_TICK_MS)

    def tick(self) -> None:
        before = self.calibrator.stage
        try:
            self.calibrator.tick()
        except Trouble as trouble:
            self.notice.setText(spoken(trouble.says))
            self.calibrator.stop()
        self._progress.setValue(round(1000 * self.calibrator.done_share))
        if self.calibrator.stage is not before:
            if self.calibrator.stage is Stage.IDLE:
                self._settle()
            self.redraw()
        elif self.calibrator.stage is Stage.IDLE:
            self._show_facts()

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
        return tap is not None or event.type() == QEvent.Type.KeyPress

    def showEvent(self, event: QShowEvent) -> None:
        """Look for devices and open the output, so that its clock is observed."""
        super().showEvent(event)
        self._look()
        self.timer.start(IDLE_TICK_MS)
        (self._tapping if self.again.isHidden() else self.again).setFocus()

    def _look_again(self) -> None:
        """Rescan the devices; PortAudio can only do so while no stream is open."""
        self.calibrator.stop()
        self.calibrator.player.close()
        rescan()
        self._look()

    def _look(self) -> None:
        """Open the output and show the devices."""
        self.notice.setText("")
        try:
            self.calibrator.player.open()
        except Trouble as trouble:
            self.notice.setText(spoken(trouble.says))
        self.show_devices()
        self.redraw()

    def hideEvent(self, event: QHideEvent) -> None:
        self.stop()
        self.timer.stop()
        super().hideEvent(event)

    # -- display --------------------------------------------------------------------------------------------------

    def redraw(self) -> None:
        """Show the model's state."""
        calibrator = self.calibrator
        measuring = calibrator.measuring or calibrator.stage is Stage.OPENING
        idle = calibrator.stage is Stage.IDLE
        self.sound.set_idle(idle)
        self.anew.setEnabled(idle)
        self._ways.setVisible(idle)
        self._stop.setVisible(not idle)
        self._progress.setVisible(measuring)
        self._show(self.way, self._way_text())
        shown = bool(len(calibrator.errors_ms)) and not measuring
        self.pad.setVisible(measuring)
        self.strip.setVisible(shown)
        self.outliers.setVisible(shown)
        if shown:
            error = calibrator.middle.error_ms * 2 if calibrator.middle is not None else 0.0
            self.strip.show_errors(calibrator.errors_ms, 1000 * CLICK_GAP_S, error)
            self.outliers.setText(self._outlier_text())
        self.notice.setVisible(bool(self.notice.text()))
        self._show_facts()

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
        return "" if self.calibrator.outcome is None else spoken(self.calibrator.outcome)

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

    @staticmethod
    def _show(part: QLabel, words: str) -> None:
        """Set a label's text, and hide it where that is empty."""
        part.setText(words)
        part.setVisible(bool(words))

    def _show_facts(self) -> None:
        equipment, player = self.calibrator.equipment, self.calibrator.player
        self.sound.show_midi(self._midi_names())
        runs = player.running and bool(player.clock.notes)
        self._while_closed.setVisible(not player.running)
        self.again.setVisible(not player.running)
        self.anew.setVisible(player.running)
        found = verdict(equipment) if runs else no_sound()
        self._show(self.advice, spoken(found.advice))
        self._show(self.verdict, spoken(found.says))
        turn_into(self._tapping, "next" if found.calibrate else "choice")
        self.sound.show_facts([spoken(each.say) for each in line_findings(player)] if runs else [])
        # A missing calibration is already the first thing in the advice.
        made = [each.say for each in calibrations(equipment) if each.key == "calibration"] if runs else []
        self._show(self._made, "\n".join(map(spoken, made)) if equipment.kept else "")
        if equipment.notice:
            self._show(self.notice, spoken(equipment.notice))
