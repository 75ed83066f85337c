"""A player without a device, whose clock tests set by hand."""

from dataclasses import dataclass, field

import numpy as np

from app.practice.practice import Practice
from synth.device.faults import Fault, FaultKind
from synth.score.metre import to_frames


@dataclass
class StillClock:
    """Stands in for the stream's clock."""

    residual_ms: float = 0.2


@dataclass
class SilentPlayer:
    """Has the player's face; ``now_s`` is moved by the test, the sound starts at ``start_s``."""

    sample_rate_hz: int = 48_000
    description: str = "silent test player"
    now_s: float = 100.0
    start_s: float = 100.2
    gain: float = 0.25
    playing: bool = False
    faults: tuple[str, ...] = ()
    clock: StillClock = field(default_factory=StillClock)
    lag_s: float = 0.0
    source: str = "measured"
    trouble: Exception | None = None
    samples: object = None
    loop_frames: int = 0
    plays: int = 0
    exchanges: int = 0
    device: int | str | None = None
    latency_s: float = 0.08
    running: bool = False
    opens: int = 0
    closes: int = 0

    def open(self) -> None:
        if self.trouble is not None:
            raise self.trouble
        self.opens += 1

    def close(self) -> None:
        self.playing = False
        self.closes += 1

    def play(self, samples, delay_s: float = 0.1, *, loop_frames: int = 0, skip_s: float = 0.0) -> None:
        self.samples, self.playing, self.faults = samples, True, ()
        self.loop_frames, self.plays = loop_frames, self.plays + 1
        self.start_s = self.now_s + 0.2 - skip_s

    def exchange(self, samples) -> None:
        assert len(samples) == len(self.samples)
        self.samples, self.exchanges = samples, self.exchanges + 1

    def stop(self) -> None:
        self.playing = False

    def moved(self) -> None:
        if self.playing:
            self.faults = (Fault(FaultKind.REROUTED),)

    def poll(self) -> None:
        pass

    def position_s(self) -> float:
        return self.now_s - self.start_s - self.lag_s

    def heard_start_s(self) -> float:
        return self.start_s + self.lag_s

    def trial_s(self, time_s: float) -> float:
        return time_s - self.start_s - self.lag_s

    def whole_s(self, time_s: float) -> float:
        return self.trial_s(time_s)


class SilentMix:
    """A mix in which nothing sounds."""

    sample_rate_hz = 48_000

    @classmethod
    def of(cls, *_, **__) -> "SilentMix":
        return cls()

    @classmethod
    def together(cls, _mixes) -> "SilentMix":
        return cls()

    def frames(self, first: int, last: int, scale: float = 1.0) -> np.ndarray:
        return np.zeros((last - first, 2), np.float32)


def silence(layers) -> np.ndarray:
    """As long as the mix of the layers would be."""
    end_s = max(layer.start_s + layer.arrangement.duration_s for layer in layers)
    return np.zeros((int(to_frames(end_s, layers[0].kit.sample_rate_hz)), 2), np.float32)


def said(practice: Practice) -> str:
    """What a practice has to say, in English."""
    return " ".join(map(str, practice.all_notices))
