"""The screen "Sound and taps": sound devices, test tone, calibration, and advice on what to do next."""

from collections.abc import Callable

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.inputs.calibrator import Calibrator, Stage
from app.inputs.check import calibrations, line_findings, no_sound, verdict
from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.screens.calibration_card import CalibrationCard
from app.ui.screens.sound_card import SoundCard
from app.ui.widgets.controls import button, label, layout_of, row, show, turn_into
from app.ui.widgets.screens import scrolled
from synth.base.errors import Trouble
from synth.device.portaudio import rescan


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
        self._view = scrolled(page)
        whole.addWidget(self._view)
        self.calibrator = calibrator
        self._midi_names = midi_names
        self.notice = label("", "lead", wrap=True)
        self.card = CalibrationCard(calibrator)
        self.card.turned.connect(self.redraw)
        self.card.turned.connect(lambda: QTimer.singleShot(0, self, self._show_card))
        self.card.idled.connect(self._show_facts)
        self.card.refused.connect(lambda words: show(self.notice, words))
        self._microphone: str | None = None
        self.advice = label("", "figure", wrap=True)
        self.verdict = label("", "strong", wrap=True)
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
        self.sound.tick_chosen.connect(lambda on: self.changed.emit({"tap_tick": on}))
        self.sound.tone_wanted.connect(lambda: self.card.start(self.calibrator.start_tone))
        self.sound.tools.insertWidget(1, self.anew)

        step = look.STEP_PX
        column = QVBoxLayout(page)
        column.setContentsMargins(step * 5, step * 3, step * 5, step * 3)
        column.setSpacing(step * 2)
        column.addWidget(label(self.tr("Sound and taps"), "title"))
        for widget in (self.advice, self.verdict, self.notice, again, self.card, self.sound):
            column.addWidget(widget)
        column.addStretch(1)

        for key, act in ((Qt.Key.Key_T, self.sound.tone.click), (Qt.Key.Key_Escape, self.stop)):
            QShortcut(QKeySequence(key), self).activated.connect(act)

    def stop(self) -> None:
        """Stop the tone or the measurement."""
        self.card.stop()

    def _show_card(self) -> None:
        """Scroll to what is asked while it is measured: with large text it stands below the fold."""
        if self.calibrator.measuring:
            self._view.verticalScrollBar().setValue(self.card.y() - look.STEP_PX)

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

    def showEvent(self, event: QShowEvent) -> None:
        """Look for devices and open the output, so that its clock is observed."""
        super().showEvent(event)
        self._look()
        (self.card.tapping if self.again.isHidden() else self.again).setFocus()

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

    # -- display --------------------------------------------------------------------------------------------------

    def redraw(self) -> None:
        """Show the model's state."""
        idle = self.calibrator.stage is Stage.IDLE
        self.sound.set_idle(idle)
        self.card.redraw()
        self.anew.setEnabled(idle)
        self.notice.setVisible(bool(self.notice.text()))
        self._show_facts()

    def _show_facts(self) -> None:
        equipment, player = self.calibrator.equipment, self.calibrator.player
        self.sound.show_midi(self._midi_names())
        runs = player.running and bool(player.clock.notes.count)
        self._while_closed.setVisible(not player.running)
        self.again.setVisible(not player.running)
        self.anew.setVisible(player.running)
        found = verdict(equipment) if runs else no_sound()
        show(self.advice, spoken(found.advice))
        show(self.verdict, spoken(found.says))
        turn_into(self.card.tapping, "next" if found.calibrate else "choice")
        self.sound.show_facts([spoken(each.say) for each in line_findings(player)] if runs else [])
        # A missing calibration is already the first thing in the advice.
        made = [each.say for each in calibrations(equipment) if each.key == "calibration"] if runs else []
        show(self.card.made, "\n".join(map(spoken, made)) if equipment.kept else "")
        if equipment.notice:
            show(self.notice, spoken(equipment.notice))
