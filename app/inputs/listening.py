"""Taps from beyond the window: MIDI inputs as they come and go, and claps if they are wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

from app.practice.practice import Practice

if TYPE_CHECKING:
    from app.inputs.midi_taps import MidiTaps

# How often MIDI inputs that have come or gone are looked for.
LOOK_MS = 1000


class Listening(QObject):
    """Keeps the inputs of a practice; ``begin`` when the window stands, ``close`` with it."""

    def __init__(self, practice: Practice, parent: QObject) -> None:
        super().__init__(parent)
        self._practice = practice
        self._midi: MidiTaps | None = None

    def begin(self) -> None:
        """Take taps from MIDI inputs from now on."""
        from app.inputs.midi_taps import MidiTaps

        self._midi = MidiTaps()
        self._practice.inputs.append(self._midi)
        self._midi.look()
        look_again = QTimer(self)
        look_again.timeout.connect(self._midi.look)
        look_again.start(LOOK_MS)

    def midi_names(self) -> list[str]:
        """The MIDI inputs that there are now."""
        return [] if self._midi is None else self._midi.names

    def take_claps(self, wanted: bool, microphone: str) -> None:
        """Take claps from this microphone (empty: the computer's own choice), or no more."""
        practice = self._practice
        practice.inputs[:] = [each for each in practice.inputs if each.source != "mic"]
        if wanted and practice.equipment is not None:
            from app.inputs.mic_taps import MicTaps

            practice.inputs.append(MicTaps(practice.equipment, microphone or None))

    def close(self) -> None:
        """Give the MIDI inputs back."""
        if self._midi is not None:
            self._midi.close()
