"""The bench: output, microphone and MIDI inputs; what the host says, what was measured, how sure; calibration."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QComboBox,
    QFrame,
    QGridLayout,
    QProgressBar,
    QVBoxLayout,
    QWidget,
)

from app import theme as look
from app.bench import CLICK_GAP_S, Bench, Stage
from app.check import calibrations, line_findings, verdict
from app.lines import lined
from app.midi_taps import midi_missing
from app.taps import TapReader
from app.widgets.controls import button, label, named, row
from app.widgets.screens import scrolled
from app.widgets.timing_strip import TimingStrip
from app.words import dated, spoken
from synth.device import microphones, outputs
from synth.errors import Trouble

BUSY_TICK_MS, IDLE_TICK_MS = 15, 500
RATES_HZ = (44_100, 48_000, 96_000)
LATENCIES_MS = (40, 80, 160, 320)


class BenchScreen(QWidget):
    """Shows a ``Bench``. ``changed`` is emitted with what was chosen here: output, rate, latency, microphone."""

    changed = Signal(dict)

    def __init__(self, bench: Bench, theme: look.Theme, midi_names: Callable[[], list[str]] = list) -> None:
        super().__init__()
        self.setObjectName("screen")
        self.bench = bench
        self._midi_names = midi_names
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._reader = TapReader()
        self._filtering = False
        self._microphone: str | None = None
        self._verdict = label("", "verdict", wrap=True)
        self._notice = label("", "lead", wrap=True)
        self._facts = label("", "soft", wrap=True)

        output, grid = self._card(self.tr("Sound"))
        self._output = self._combo(grid, 0, self.tr("Output"), self.tr("Where the drums are played."))
        self._rate = self._combo(
            grid, 1, self.tr("Sample rate"), self.tr("As the output wants it; 48 000 Hz is usual.")
        )
        self._latency = self._combo(
            grid,
            2,
            self.tr("Latency"),
            self.tr("How far ahead sound is handed over. A known delay matters, not a low one."),
        )
        self._input = self._combo(
            grid, 3, self.tr("Microphone"), self.tr("Hears clicks and keys when you calibrate.")
        )
        self._midi = label("", "body", wrap=True)
        grid.addWidget(label(self.tr("MIDI inputs")), 4, 0)
        grid.addWidget(self._midi, 4, 1)
        self._tone = button(
            self.tr("Test tone"), self.tr("Starts too quiet to hear and grows for three seconds. Key T."), "choice"
        )
        self._tone.clicked.connect(lambda: self._start(self.bench.start_tone))
        grid.addLayout(row(label(self.tr("T"), "key"), self._tone, None), 5, 1)
        grid.addWidget(self._facts, 6, 0, 1, 2)
        for rate in RATES_HZ:
            self._rate.addItem(self.tr("{n} Hz").format(n=rate), rate)
        for ms in LATENCIES_MS:
            self._latency.addItem(self.tr("{n} ms").format(n=ms), ms)
        for combo in (self._output, self._rate, self._latency):
            combo.activated.connect(self._choose_output)
        self._input.activated.connect(self._choose_microphone)
        self._claps = QCheckBox(self.tr("Claps and shouts count as taps"))
        named(
            self._claps,
            self._claps.text(),
            self.tr("The microphone listens while you practise. Use headphones, or the drums drown your claps."),
        )
        self._claps.setToolTip(self._claps.accessibleDescription())
        self._claps.clicked.connect(lambda on: self.changed.emit({"claps": on}))
        grid.addWidget(self._claps, 7, 1)

        made, grid = self._card(self.tr("Calibration"))
        self._made = label("", "body", wrap=True)
        self._way = label("", "lead", wrap=True)
        self._tapping = button(
            self.tr("By tapping"),
            self.tr("Thirty relaxed taps to a click; zero is then your own relaxed tap. Key K."),
            "choice",
        )
        self._tapping.clicked.connect(lambda: self._start(self.bench.start_tapping))
        self._listening = button(
            self.tr("By microphone"),
            self.tr(
                "The microphone hears click and key in one recording; only the equipment's delay is removed. Key M."
            ),
            "choice",
        )
        self._listening.clicked.connect(lambda: self._start(self.bench.start_microphone))
        self._stop = button(self.tr("Stop"), self.tr("Breaks the measurement off. Escape does the same."))
        self._stop.clicked.connect(self.stop)
        self._stop.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._progress = QProgressBar()
        self._progress.setRange(0, 1000)
        self._progress.setTextVisible(False)
        named(self._progress, self.tr("How much of the clicks has been heard"))
        self._pad = QFrame()
        self._pad.setObjectName("card")
        self._pad.setMinimumHeight(look.STEP_PX * 12)
        here = label(self.tr("Any key; or click or touch here."), "soft")
        here.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._pad.setLayout(row(None, here, None))
        self._strip = TimingStrip(theme)
        self._outliers = label("", "small", wrap=True)
        parts = (self._made, self._way, self._progress, self._pad, self._strip, self._outliers)
        for place, part in enumerate(parts):
            grid.addWidget(part, place, 0, 1, 2)
        buttons = row(
            label(self.tr("K"), "key"), self._tapping, label(self.tr("M"), "key"), self._listening, self._stop, None
        )
        grid.addLayout(buttons, len(parts), 0, 1, 2)

        step = look.STEP_PX
        page = QWidget()
        page.setObjectName("screen")
        column = QVBoxLayout(page)
        column.setContentsMargins(step * 5, step * 3, step * 5, step * 3)
        column.setSpacing(step * 2)
        for widget in (label(self.tr("Bench"), "title"), self._verdict, self._notice, made, output):
            column.addWidget(widget)
        column.addStretch(1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(scrolled(page))

        for key, act in (
            (Qt.Key.Key_T, self._tone.click),
            (Qt.Key.Key_K, self._tapping.click),
            (Qt.Key.Key_M, self._listening.click),
            (Qt.Key.Key_Escape, self.stop),
        ):
            QShortcut(QKeySequence(key), self).activated.connect(act)
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self._tick)

    @staticmethod
    def _card(heading: str) -> tuple[QFrame, QGridLayout]:
        card = QFrame()
        card.setObjectName("card")
        step = look.STEP_PX
        column = QVBoxLayout(card)
        column.setContentsMargins(step * 3, step * 2, step * 3, step * 2)
        column.setSpacing(step * 2)
        column.addWidget(label(heading, "strong"))
        grid = QGridLayout()
        grid.setColumnStretch(1, 1)
        grid.setVerticalSpacing(step)
        grid.setHorizontalSpacing(step * 2)
        column.addLayout(grid)
        return card, grid

    @staticmethod
    def _combo(grid: QGridLayout, place: int, name: str, description: str) -> QComboBox:
        made = QComboBox()
        named(made, name, description)
        made.setToolTip(description)
        made.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        made.setMinimumContentsLength(24)
        grid.addWidget(label(name), place, 0)
        grid.addWidget(made, place, 1)
        return made

    # -- what is chosen -------------------------------------------------------------------------------------------

    def show_devices(self) -> None:
        """List the devices that there are now; the computer's own choice stands first."""
        own = self.tr("The computer's own choice")
        for combo, listing, chosen in (
            (self._output, outputs, self.bench.player.device),
            (self._input, microphones, self._microphone),
        ):
            combo.clear()
            combo.addItem(own, None)
            try:
                for _, name in listing():
                    if combo.findData(name) < 0:
                        combo.addItem(name, name)
            except Trouble as trouble:
                self._notice.setText(lined(trouble))
            combo.setCurrentIndex(max(combo.findData(chosen), 0))
        for combo, value, words in (
            (self._rate, self.bench.player.sample_rate_hz, self.tr("{n} Hz")),
            (self._latency, round(self.bench.player.latency_s * 1000), self.tr("{n} ms")),
        ):
            if combo.findData(value) < 0:
                combo.addItem(words.format(n=value), value)
            combo.setCurrentIndex(combo.findData(value))

    def use_microphone(self, name: str | None, claps: bool | None = None) -> None:
        """Calibrate with this microphone, or with the computer's own choice; ``claps``: whether it takes taps."""
        if claps is not None:
            self._claps.setChecked(claps)
        self._microphone = name or None
        self.bench.microphone_device = self._microphone

    def _choose_output(self) -> None:
        player = self.bench.player
        before = (player.device, player.sample_rate_hz, player.latency_s)
        wanted = (self._output.currentData(), self._rate.currentData(), self._latency.currentData() / 1000)
        self.bench.stop()
        self._notice.setText("")
        try:
            self._drive(*wanted)
        except Trouble as trouble:
            self._notice.setText(self.tr("{trouble} It is as before.").format(trouble=lined(trouble)))
            try:
                self._drive(*before)
            except Trouble:
                player.close()
            self.show_devices()
        else:
            self.changed.emit(
                {
                    "sound_device": wanted[0] or "",
                    "sample_rate_hz": wanted[1],
                    "latency_ms": self._latency.currentData(),
                }
            )
        self.redraw()

    def _drive(self, device: int | str | None, sample_rate_hz: int, latency_s: float) -> None:
        player = self.bench.player
        player.close()
        player.device, player.sample_rate_hz, player.latency_s = device, sample_rate_hz, latency_s
        player.open()

    def _choose_microphone(self) -> None:
        self.use_microphone(self._input.currentData())
        self.changed.emit({"microphone": self._microphone or ""})

    # -- what is measured -----------------------------------------------------------------------------------------

    def _start(self, what: Callable[[], None]) -> None:
        self._notice.setText("")
        try:
            what()
        except Trouble as trouble:
            self._notice.setText(lined(trouble))
        application = QApplication.instance()
        if self.bench.stage in (Stage.TAPPING, Stage.OPENING) and application is not None and not self._filtering:
            application.installEventFilter(self)
            self._filtering = True
        self._timer.start(BUSY_TICK_MS)
        self.setFocus()  # before the buttons are switched off, or it would wander down the screen
        self.redraw()

    def stop(self) -> None:
        """Break off what is going on."""
        self.bench.stop()
        self._settle()
        self.redraw()

    def _settle(self) -> None:
        application = QApplication.instance()
        if self._filtering and application is not None:
            application.removeEventFilter(self)
        self._filtering = False
        self._timer.start(IDLE_TICK_MS)

    def _tick(self) -> None:
        before = self.bench.stage
        try:
            self.bench.tick()
        except Trouble as trouble:
            self._notice.setText(lined(trouble))
            self.bench.stop()
        self._progress.setValue(round(1000 * self.bench.done_share))
        if self.bench.stage is not before:
            if self.bench.stage is Stage.IDLE:
                self._settle()
            self.redraw()
        elif self.bench.stage is Stage.IDLE:
            self._show_facts()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """While something is measured every key is a tap, but for Escape; so is a click or a touch on the pad."""
        self._reader.watch(event)
        if event.type() == QEvent.Type.ShortcutOverride:
            event.accept()  # a key that starts something at other times is a tap now
            return True
        if event.type() == QEvent.Type.KeyRelease:
            return True
        if event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            if event.key() == Qt.Key.Key_Escape:
                self.stop()
                return True
        elif watched is not self._pad:
            return False
        tap = self._reader.read(event)
        if tap is not None:
            self.bench.tap(tap)
        return tap is not None or event.type() == QEvent.Type.KeyPress

    def showEvent(self, event: QShowEvent) -> None:
        """Look for devices, and let the output's clock be seen."""
        super().showEvent(event)
        self.show_devices()
        try:
            self.bench.player.open()
        except Trouble as trouble:
            self._notice.setText(lined(trouble))
        self._timer.start(IDLE_TICK_MS)
        self.redraw()
        self._tapping.setFocus()

    def hideEvent(self, event: QHideEvent) -> None:
        """Leaving the bench breaks a measurement off."""
        self.stop()
        self._timer.stop()
        super().hideEvent(event)

    # -- what is shown --------------------------------------------------------------------------------------------

    def redraw(self) -> None:
        """Show the bench as it stands."""
        bench = self.bench
        measuring = bench.measuring or bench.stage is Stage.OPENING
        idle = bench.stage is Stage.IDLE
        for part in (
            self._tapping,
            self._listening,
            self._tone,
            self._output,
            self._rate,
            self._latency,
            self._input,
        ):
            part.setEnabled(idle)
        self._stop.setVisible(not idle)
        self._progress.setVisible(measuring)
        self._way.setText(self._way_text())
        shown = bool(len(bench.errors_ms)) and not measuring
        self._pad.setVisible(measuring)
        self._strip.setVisible(shown)
        self._outliers.setVisible(shown)
        if shown:
            error = bench.middle.error_ms * 2 if bench.middle is not None else 0.0
            self._strip.show_errors(bench.errors_ms, 1000 * CLICK_GAP_S, error)
            self._outliers.setText(self._outlier_text())
        self._notice.setVisible(bool(self._notice.text()))
        self._show_facts()

    def _way_text(self) -> str:
        stage = self.bench.stage
        if stage is Stage.TAPPING:
            return self.tr(
                "Tap one key along with the clicks, relaxed, as you always do. The first four show the way."
            )
        if stage in (Stage.OPENING, Stage.LISTENING):
            return self.tr(
                "Press one key firmly between the clicks, once or twice each. Have the microphone near the keyboard, "
                "where it hears the speaker; with headphones, lay one ear piece on it."
            )
        if stage is Stage.TONE:
            return self.tr("The tone grows. Stop it when it is loud enough.")
        if self.bench.outcome is not None:
            return spoken(self.bench.outcome)
        return self.tr(
            "By tapping, zero becomes your own relaxed tap: lag and habit go together. By microphone, only the "
            "equipment's lag goes, and what remains is you."
        )

    def _outlier_text(self) -> str:
        found = self.bench.middle
        if found is None:
            return ""
        left = [f"{ms:+.0f}" for ms in self.bench.errors_ms[found.outliers]]
        text = self.tr("{n} taps. A fifth at each end is left out of the mean.").format(n=len(self.bench.errors_ms))
        if left:
            text += " " + self.tr("Far from the rest: {list} ms.").format(list=", ".join(left))
        return text

    def _show_facts(self) -> None:
        equipment, names = self.bench.equipment, self._midi_names()
        missing = midi_missing()
        self._midi.setText(", ".join(names) or lined(missing) or self.tr("none; plug one in at any time"))
        if not self.bench.player.running or not self.bench.player.clock.notes:
            self._verdict.setText(self.tr("No sound output is running, so nothing can be measured."))
            self._facts.setText("")
            self._made.setText("")
            return
        self._verdict.setText(spoken(verdict(equipment)))
        self._facts.setText("\n".join(spoken(each.say) for each in line_findings(self.bench.player)))
        self._made.setText("\n".join(spoken(dated(each.say)) for each in calibrations(equipment)))
        if equipment.notice:
            self._notice.setText(lined(equipment.notice))

    def set_theme(self, theme: look.Theme) -> None:
        """Draw in another theme from now on."""
        self._strip.set_theme(theme)
