"""A sound device that exists in virtual time only: what it plays, and when, is known exactly."""

from dataclasses import dataclass, field

import numpy as np

from synth.base.errors import Trouble


@dataclass
class When:
    """The two moments that PortAudio hands to a callback, on an epoch of its own."""

    currentTime: float
    outputBufferDacTime: float


@dataclass
class Status:
    """The flags that PortAudio hands to a callback."""

    output_underflow: bool = False

    def __bool__(self) -> bool:
        return self.output_underflow


@dataclass
class FakeSound:
    """A device and its clock. ``run`` lets time pass and calls back when a block is due.

    ``lead_s``: the true way from a punctual callback to the ear. ``late_s``: draws how late each callback comes.
    ``reports_lead``: whether the host tells the lead. ``drift``: how much slower than nominal the device runs.
    ``burst``: blocks fetched at once, as sound servers do.
    """

    lead_s: float = 0.1
    channels: int = 2
    drift: float = 0.0
    burst: int = 1
    reports_lead: bool = True
    late_s: object = None
    refuses: str | None = None
    now_s: float = 1_000.0
    slept_s: float = 0.0
    opened: int = 0
    closed: int = 0
    pieces: list[np.ndarray] = field(default_factory=list)
    # of the stream being served
    frames: int = 0
    origin_s: float = 0.0
    served: bool = False
    dry: bool = False
    callback: object = None

    latency = 0.1
    description = "a device in virtual time"

    def open(self, *, device, sample_rate_hz, block_frames, latency_s, callback):
        """What the player takes as ``open_stream``."""
        if self.refuses:
            raise Trouble(self.refuses)
        self.opened += 1
        self.rate_hz, self.block, self.callback = sample_rate_hz, block_frames, callback
        self.frames, self.pieces = 0, []
        return self

    def start(self) -> None:
        self.origin_s = self.now_s + self.lead_s + 0.02
        self.served = True

    def close(self) -> None:
        self.closed += 1
        self.served = False

    def now(self) -> float:
        return self.now_s

    def awake(self) -> float:
        return self.now_s + 500.0 + self.slept_s

    def heard_s(self, frame: float) -> float:
        """The truth: when a frame of the present stream reaches the ear."""
        return self.origin_s + frame / self.rate_hz * (1 + self.drift)

    @property
    def out(self) -> np.ndarray:
        """Everything played by the present stream, (frames, channels)."""
        return np.concatenate(self.pieces) if self.pieces else np.zeros((0, self.channels), np.float32)

    def run(self, seconds: float, player=None, every_s: float = 0.015) -> None:
        """Let time pass; ``player`` is polled as the window's timer would."""
        end_s = self.now_s + seconds
        poll_s = self.now_s + every_s if player is not None else end_s
        while True:
            first = self.frames // (self.block * self.burst) * self.block * self.burst
            due_s = max(self.heard_s(first) - self.lead_s, self.now_s)
            if self.served and due_s <= min(end_s, poll_s):
                self.now_s = due_s
                self._serve()
            elif player is not None and poll_s <= end_s:
                self.now_s, poll_s = poll_s, poll_s + every_s
                player.poll()
            else:
                self.now_s = end_s
                return

    def stall(self, seconds: float, flagged: bool = False) -> None:
        """No callback for so long; what the buffer cannot cover is a hole, after which all is heard later."""
        self.now_s += seconds
        hole_s = self.now_s - self.heard_s(self.frames)
        if hole_s > 0:
            self.origin_s += hole_s + self.lead_s
            self.dry = flagged

    def _serve(self) -> None:
        for _ in range(self.burst):
            late_s = float(self.late_s()) if self.late_s else 0.0
            out = np.full((self.block, self.channels), np.nan, np.float32)
            called_s = self.now_s
            self.now_s += late_s
            lead_s = self.heard_s(self.frames) - self.now_s if self.reports_lead else 0.0
            self.callback(out, self.block, When(7e8 + called_s, 7e8 + called_s + lead_s), Status(self.dry))
            self.now_s = called_s
            self.dry = False
            self.pieces.append(out)
            self.frames += self.block
