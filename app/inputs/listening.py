"""Taps from outside the window: MIDI inputs as they come and go, and claps if enabled."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app.inputs.equipment import Equipment

if TYPE_CHECKING:
    from app.inputs.midi_taps import MidiTaps


class Listening:
    """Manages the inputs of an equipment between ``begin`` and ``close``; call ``look`` now and then."""

    def __init__(self, equipment: Equipment) -> None:
        self._equipment = equipment
        self._midi: MidiTaps | None = None

    def begin(self) -> None:
        """Start taking taps from MIDI inputs."""
        from app.inputs.midi_taps import MidiTaps

        self._midi = MidiTaps()
        self._equipment.inputs.append(self._midi)
        self.look()

    def look(self) -> None:
        """Update the list of MIDI inputs."""
        if self._midi is not None:
            self._midi.look()

    def midi_names(self) -> list[str]:
        """Names of the current MIDI inputs."""
        return [] if self._midi is None else self._midi.names

    def take_claps(self, wanted: bool, microphone: str) -> None:
        """Take claps from this microphone (empty: the default one), or stop."""
        inputs = self._equipment.inputs
        inputs[:] = [each for each in inputs if each.source != "mic"]
        if wanted:
            from app.inputs.mic_taps import MicTaps

            inputs.append(MicTaps(self._equipment, microphone or None))

    def close(self) -> None:
        """Release the MIDI inputs."""
        if self._midi is not None:
            self._midi.close()
