"""Taps from beyond the window: MIDI inputs as they come and go, and claps if they are wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.inputs.equipment import Equipment

if TYPE_CHECKING:
    from app.inputs.midi_taps import MidiTaps


class Listening:
    """Keeps the inputs of an equipment, from ``begin`` to ``close``; ``look`` for MIDI inputs now and then."""

    def __init__(self, equipment: Equipment) -> None:
        self._equipment = equipment
        self._midi: MidiTaps | None = None

    def begin(self) -> None:
        """Take taps from MIDI inputs from now on."""
        from app.inputs.midi_taps import MidiTaps

        self._midi = MidiTaps()
        self._equipment.inputs.append(self._midi)
        self.look()

    def look(self) -> None:
        """Look for MIDI inputs that have come or gone."""
        if self._midi is not None:
            self._midi.look()

    def midi_names(self) -> list[str]:
        """The MIDI inputs that there are now."""
        return [] if self._midi is None else self._midi.names

    def take_claps(self, wanted: bool, microphone: str) -> None:
        """Take claps from this microphone (empty: the computer's own choice), or no more."""
        inputs = self._equipment.inputs
        inputs[:] = [each for each in inputs if each.source != "mic"]
        if wanted:
            from app.inputs.mic_taps import MicTaps

            inputs.append(MicTaps(self._equipment, microphone or None))

    def close(self) -> None:
        """Give the MIDI inputs back."""
        if self._midi is not None:
            self._midi.close()
