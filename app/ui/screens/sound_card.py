"""The card of sound and inputs: output, microphone, MIDI inputs, test tone, and facts from the host."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QGridLayout, QVBoxLayout

from app.inputs.midi_taps import midi_missing
from app.ui.base import theme as look
from app.ui.base.numbers_and_dates import number
from app.ui.base.words import spoken
from app.ui.widgets.card import Card
from app.ui.widgets.controls import Box, KeyButton, label, named, row
from synth.base.errors import Trouble
from synth.device.playback import Player
from synth.device.portaudio import microphones, outputs

RATES_HZ = (44_100, 48_000, 96_000)
LATENCIES_MS = (40, 80, 160, 320)


class SoundCard(Card):
    """Signals: ``output_chosen`` with device, rate in Hz and latency in ms; ``microphone_chosen`` with a device.

    A device is a name, or None for the system default.
    """

    output_chosen = Signal(object, int, int)
    microphone_chosen = Signal(object)
    claps_chosen = Signal(bool)
    tick_chosen = Signal(bool)
    tone_wanted = Signal()

    def __init__(self) -> None:
        super().__init__(self.tr("Sound"))
        grid = QGridLayout()
        for column in (1, 2):  # no control is wider than half the card
            grid.setColumnStretch(column, 1)
        grid.setVerticalSpacing(look.STEP_PX)
        grid.setHorizontalSpacing(look.STEP_PX * 2)
        self.column.addLayout(grid)
        self.output = _combo(grid, 0, self.tr("Output"), self.tr("Where the drums are played."))
        self.rate = _combo(grid, 1, self.tr("Sample rate"), self.tr("As the output wants it; 48 000 Hz is usual."))
        self.latency = _combo(
            grid,
            2,
            self.tr("Latency"),
            self.tr("How far ahead sound is handed over. The delay may be long, as long as it is known."),
        )
        self.input = _combo(grid, 3, self.tr("Microphone"), self.tr("Hears clicks and keys when you calibrate."))
        self._midi = label("", "body", wrap=True)
        grid.addWidget(label(self.tr("MIDI inputs")), 4, 0)
        grid.addWidget(self._midi, 4, 1, 1, 2)
        tip = self.tr("Starts too quiet to hear and grows for three seconds. Key T.")
        self.tone = KeyButton(self.tr("Test tone"), tip, self.tr("T"))
        self.tone.clicked.connect(self.tone_wanted)
        self.claps = QCheckBox(self.tr("Claps and shouts count as taps"))
        named(
            self.claps,
            self.claps.text(),
            self.tr("The microphone listens while you practise. Use headphones, or the drums drown your claps."),
        )
        self.claps.setToolTip(self.claps.accessibleDescription())
        self.claps.toggled.connect(self.claps_chosen)
        self.tick = QCheckBox(self.tr("A soft tick with every tap"))
        named(
            self.tick,
            self.tick.text(),
            self.tr("Comes a moment after the tap. There is none while claps count or while you calibrate."),
        )
        self.tick.setToolTip(self.tick.accessibleDescription())
        self.tick.toggled.connect(self.tick_chosen)
        lower = QVBoxLayout()
        lower.setSpacing(look.STEP_PX)
        lower.addWidget(self.claps)
        lower.addWidget(self.tick)
        self.tools = row(self.tone, None)
        lower.addLayout(self.tools)
        grid.addLayout(lower, 5, 1, 1, 2)
        self.facts = label("", "soft", wrap=True)
        self.column.addWidget(self.facts)
        for rate in RATES_HZ:
            self.rate.addItem(self._hz(rate), rate)
        for ms in LATENCIES_MS:
            self.latency.addItem(self._ms(ms), ms)
        for combo in (self.output, self.rate, self.latency):
            combo.activated.connect(self._choose_output)
        self.input.activated.connect(lambda _: self.microphone_chosen.emit(self.input.currentData()))

    def _hz(self, rate: int) -> str:
        return self.tr("{n} Hz").format(n=number(rate))

    def _ms(self, ms: int) -> str:
        return self.tr("{n} ms").format(n=ms)

    def _choose_output(self) -> None:
        self.output_chosen.emit(self.output.currentData(), self.rate.currentData(), self.latency.currentData())

    def show_devices(self, player: Player, microphone: str | None) -> str:
        """List the connected devices, the system default first; returns a line of trouble, or an empty text."""
        line = ""
        for combo, own, listing, chosen in (
            (self.output, self.tr("The computer's own choice"), outputs, player.device),
            (self.input, self.tr("The computer's own choice"), microphones, microphone),
        ):
            combo.clear()
            combo.addItem(own, None)
            try:
                for _, name in listing():
                    if combo.findData(name) < 0:
                        combo.addItem(name, name)
            except Trouble as trouble:
                line = spoken(trouble.says)
            combo.setCurrentIndex(max(combo.findData(chosen), 0))
        latency_ms = round(player.latency_s * 1000)
        for combo, value, words in (
            (self.rate, player.sample_rate_hz, self._hz(player.sample_rate_hz)),
            (self.latency, latency_ms, self._ms(latency_ms)),
        ):
            if combo.findData(value) < 0:
                combo.addItem(words, value)
            combo.setCurrentIndex(combo.findData(value))
        return line

    def show_midi(self, names: list[str]) -> None:
        """Show the MIDI inputs, or why there are none."""
        missing = midi_missing()
        none = (
            self.tr("none: {why}").format(why=spoken(missing))
            if missing
            else self.tr("none; plug in an input at any time")
        )
        self._midi.setText(", ".join(names) or none)

    def show_facts(self, lines: list[str]) -> None:
        """Show what the host reports and what was measured."""
        self.facts.setText("\n".join(lines))
        self.facts.setVisible(bool(lines))

    def set_idle(self, idle: bool) -> None:
        """Disable the controls during a measurement."""
        for part in (self.tone, self.output, self.rate, self.latency, self.input):
            part.setEnabled(idle)


def _combo(grid: QGridLayout, place: int, name: str, description: str) -> QComboBox:
    made = Box(wheel=False)  # another choice makes the calibration void
    named(made, name, description)
    made.setToolTip(description)
    made.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    made.setMinimumContentsLength(24)
    grid.addWidget(label(name), place, 0)
    grid.addWidget(made, place, 1)
    return made
