"""Taps by clapping or shouting, detected by the microphone while a trial sounds.

Headphones are recommended: a clap no louder than a simultaneous drum from the speaker cannot be detected.
Calibration by microphone measures the microphone's own latency along with the keyboard's.
"""

from collections.abc import Callable
from contextlib import suppress

import numpy as np

from app.inputs.equipment import Equipment
from app.inputs.recording import Microphone, Recorder
from app.inputs.taps import Tap
from exercises.calibration.microphone import SILENT
from synth.base.arrays import Samples
from synth.base.errors import Trouble
from synth.base.words import Say
from synth.device.claps import ClapFinder, energy
from synth.device.faults import Fault, FaultKind
from synth.device.playback import Player


class MicTaps:
    """An input of ``Practice``, open while something sounds. ``trouble`` says why there is no microphone."""

    source = "mic"

    def __init__(
        self,
        equipment: Equipment,
        device: int | str | None = None,
        microphone: Callable[[int | str | None, int], Recorder] = Microphone,
    ) -> None:
        self._equipment, self._device, self._make = equipment, device, microphone
        self._player: Player | None = None
        self._recorder: Recorder | None = None
        self._finder: ClapFinder | None = None
        self._at = 0
        self._loudest = 0.0
        self.name = ""
        self.trouble: Say | None = None
        self.fault: Fault | None = None

    def begin(self, player: Player, samples: Samples) -> None:
        """Start recording; ``samples`` are being played."""
        self.rest()
        self.fault = None
        rate = player.sample_rate_hz
        recorder = self._make(self._device, rate)
        try:
            recorder.open()
        except Trouble as trouble:
            self.trouble = trouble.says
            return
        self._player, self._recorder, self._at, self._loudest, self.trouble = player, recorder, 0, 0.0, None
        self.name = self._equipment.names["mic"] = recorder.name
        mono = samples if samples.ndim == 1 else samples.mean(axis=1)
        self._finder = ClapFinder(rate, energy(mono, rate))

    def take(self) -> list[Tap]:
        """Claps since the last call."""
        recorder, player, finder = self._recorder, self._player, self._finder
        if recorder is None or player is None or finder is None:
            return []
        if recorder.lost:
            self.fault = Fault(FaultKind.MISSED)
        if recorder.frames <= self._at:
            return []
        heard = recorder.samples(self._at)
        if not len(heard):
            return []
        captured_s = recorder.captured_s(self._at) + player.lag_s - self._equipment.lag_s("mic")
        claps = finder.feed(np.asarray(heard, np.float32), player.trial_s(captured_s))
        self._at += len(heard)
        self._loudest = max(self._loudest, float(np.abs(heard).max()))
        return [Tap(recorder.captured_s(clap.frame), "mic", True) for clap in claps]

    def rest(self) -> None:
        """Close the microphone."""
        if self._recorder is not None:
            with suppress(Trouble):
                self._recorder.close()
        self._recorder, self._finder = None, None

    def check(self) -> Say | None:
        """See ``Input``: there is no microphone, or all that it delivered were zeros."""
        return self.trouble or (None if self._loudest else SILENT())
