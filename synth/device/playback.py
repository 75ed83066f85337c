"""The output stream: plays silence between trials and maps frames to the common clock.

``play`` takes finished samples and an exact start frame; the callback in the sound thread only copies them and notes
its time. It takes no lock, writes no log, sends no signal and allocates no arrays. A known latency matters, not a
low one, so a comfortable one is requested.
"""

import contextlib
import gc
import sys
from collections.abc import Callable
from typing import Any

import numpy as np

from synth.base.arrays import Samples
from synth.base.errors import Trouble
from synth.base.words import Template
from synth.device import clock
from synth.device.callbacks import UNDERFLOW
from synth.device.faults import Fault, FaultKind
from synth.device.portaudio import OpenStream, Stream, open_device, rescan
from synth.device.stream_clock import Line, StreamClock
from synth.device.stream_faults import StreamFaults

# Requested latency in seconds: long enough to survive a busy moment, short enough to feel prompt.
LATENCY_S = 0.08
# Frames per callback; the host's own choice at low latency was 104, which wakes Python 460 times a second.
BLOCK_FRAMES = 512
# Initial gain (-12 dB): the level at the ear is unknown.
GAIN_AT_START = 0.25

NOT_STARTED = Template("playback.not_started", "The sound output did not start: {why}")
_NEVER = 1 << 62  # end frame of a loop


def settle() -> None:
    """Keep Python's pauses away from the sound thread; call once when everything is loaded.

    Measured: collecting 1.4 million objects blocked a thread for 132 ms, after ``gc.freeze`` 0.9 ms; a thread waited
    10.6 ms for a busy main thread, 4.6 ms with the shorter switch interval.
    """
    gc.collect()
    gc.freeze()
    sys.setswitchinterval(0.0005)


class _Cue:
    """Samples with an exact start frame; the last ``loop_frames`` of them repeat for ever."""

    __slots__ = ("before", "end_frame", "loop_frames", "samples", "silent", "start_frame", "stopped", "wanted")

    def __init__(self, samples: Samples, start_frame: int, loop_frames: int, before: "_Cue | None") -> None:
        self.samples = samples
        self.wanted = samples  # set by the user's thread; the sound thread cross-fades to them
        self.start_frame = start_frame
        self.loop_frames = loop_frames
        self.end_frame = _NEVER if loop_frames else start_frame + len(samples)
        self.before = before  # the cue that this one replaced, to be faded out
        self.stopped = False  # set by the user's thread
        self.silent = False  # set by the sound thread after the fade


class Player:
    """One output stream for the whole sitting; everything but the callback is called from one thread.

    ``device``: PortAudio's number or name, None for the default. ``open_stream``, ``now`` and ``awake`` are replaced
    by tests. ``lag_s`` is the calibrated latency on top of what the host reports. ``on_open`` is called whenever a
    device has been opened, which may change it. ``ValueError`` for a rate or latency out of range.
    """

    def __init__(
        self,
        device: int | str | None = None,
        sample_rate_hz: int = 48_000,
        latency_s: float = LATENCY_S,
        block_frames: int = BLOCK_FRAMES,
        *,
        open_stream: OpenStream = open_device,
        now: Callable[[], float] = clock.now_s,
        awake: Callable[[], float] = clock.awake_s,
    ) -> None:
        if not 8_000 <= sample_rate_hz <= 192_000:
            raise ValueError(f"sample rate {sample_rate_hz} Hz: expected 8000 to 192000 (is it in kHz?)")
        if not 0 < latency_s < 1:
            raise ValueError(f"latency {latency_s} s: expected between 0 and 1 (is it in milliseconds?)")
        self.device = device
        self.sample_rate_hz = sample_rate_hz
        self.latency_s = latency_s
        self.block_frames = block_frames
        self.lag_s = 0.0
        self.on_open: Callable[[], None] = lambda: None
        self._open_stream, self._now, self._awake = open_stream, now, awake
        self._stream: Stream | None = None
        self._watch: StreamFaults | None = None  # over the stream's clock
        self._frames = 0  # passed to the device so far
        self._cue: _Cue | None = None
        self._start_frame: int | None = None  # of the current or last trial, kept after its stream is gone
        self._playing = False
        self._line: Line | None = None
        self._whole_line: Line | None = None  # of the current or last trial, as it was before its first fault
        self._faults: list[Fault] = []
        self._slept_s = 0.0
        self._broken = False
        self._gain = self._gain_now = GAIN_AT_START
        self._channels = 2
        # Two columns each: numpy would allocate an array to broadcast one.
        self._rise = np.repeat((np.arange(1, block_frames + 1, dtype=np.float32) / block_frames)[:, np.newaxis], 2, 1)
        self._ramp = np.zeros((block_frames, 2), np.float32)
        self._cross = np.zeros((block_frames, 2), np.float32)

    # -- the stream ---------------------------------------------------------------------------------------------

    def open(self) -> None:
        """Open the device and play silence; reopen after a fault that broke the stream.

        Raises ``Trouble`` where there is no device or it refuses.
        """
        self.poll()  # detect a stream that died since the last poll
        if self._stream is not None:
            if not self._broken:
                return
            self.close()
        if self._broken and self._open_stream is open_device:
            rescan()
        # Broken until it plays: after an error below, the next attempt rescans devices.
        self._frames, self._cue, self._playing, self._broken = 0, None, False, True
        stream = self._open_stream(
            device=self.device,
            sample_rate_hz=self.sample_rate_hz,
            block_frames=self.block_frames,
            latency_s=self.latency_s,
            callback=self._callback,
        )
        self._channels = min(2, stream.channels)
        self._watch = StreamFaults(StreamClock(self.sample_rate_hz, stream.latency, self._now()))
        self._slept_s = self._awake() - self._now()
        self._stream = stream
        try:
            stream.start()
        except Exception as error:
            self.close()
            raise Trouble(NOT_STARTED(why=str(error).splitlines()[0])) from error
        self._broken = False
        self.on_open()

    def close(self) -> None:
        """Stop the sound and release the device; a running trial ends."""
        self.stop()
        stream, self._stream = self._stream, None
        self._cue = None
        if stream is not None:
            with contextlib.suppress(Exception):  # a removed device cannot be closed properly
                stream.close()

    def __enter__(self) -> "Player":
        self.open()
        return self

    def __exit__(self, *exc: object) -> None:
        self.close()

    @property
    def clock(self) -> StreamClock:
        """Clock of the current stream. Raises ``ValueError`` before ``open``."""
        if self._watch is None:
            raise ValueError("the player was never opened")
        return self._watch.clock

    @property
    def running(self) -> bool:
        """Whether a stream is open and being served."""
        return self._stream is not None and not self._broken

    @property
    def description(self) -> str:
        """Name, host, rate and reported latency of the device; empty while none is open."""
        return self._stream.description if self._stream is not None else ""

    @property
    def gain(self) -> float:
        """Volume, 0 to 1; changes are ramped over one block."""
        return self._gain

    @gain.setter
    def gain(self, gain: float) -> None:
        if not 0 <= gain <= 1:
            raise ValueError(f"gain {gain}: expected 0 to 1 (is it in percent or dB?)")
        self._gain = float(gain)

    # -- a trial ------------------------------------------------------------------------------------------------

    def play(self, samples: Samples, delay_s: float = 0.1, *, loop_frames: int = 0, skip_s: float = 0.0) -> None:
        """Play samples from an exact frame on, ``delay_s`` after what is already queued.

        The first ``skip_s`` seconds are left out; times of the trial still count from the first frame of ``samples``.
        ``samples``: float32, (frames,) or (frames, 1 or 2), within [-1, 1], at the player's rate. With
        ``loop_frames`` the last so many frames, at least a block, repeat until ``stop``. The previous sound fades
        out within a block. A broken stream is reopened first. Raises ``Trouble`` where the device is gone,
        ``ValueError`` for arguments out of range.
        """
        if delay_s < 0:
            raise ValueError(f"delay {delay_s} s: it cannot be negative")
        skipped = round(skip_s * self.sample_rate_hz)
        if not 0 <= skipped < max(1, len(samples) - loop_frames):
            raise ValueError(f"skip {skip_s} s: 0 to less than what is played once expected")
        if loop_frames and not self.block_frames <= loop_frames <= len(samples):
            raise ValueError(
                f"a loop of {loop_frames} frames: {self.block_frames} to {len(samples)} expected (is it in seconds?)"
            )
        self.open()
        cut = self._for_device(samples[skipped:])
        # Earlier faults do not concern this trial; keep the line in case none is found while it plays.
        self._faults, self._line, self._playing = [], self.clock.line(), True
        self._whole_line = self._line
        self._slept_s = self._awake() - self._now()
        start = self._frames + self.block_frames + round(delay_s * self.sample_rate_hz)
        old = self._cue
        if old is not None and old.start_frame >= self._frames:
            old = old.before  # the cue in between was never heard
        self._cue = _Cue(cut, start, loop_frames, old)
        self._start_frame = start - skipped

    def exchange(self, samples: Samples) -> None:
        """Continue at the same position with other samples of the same length, as when a part is muted.

        Cross-fades within a block, so that a loop keeps its count. Ignored when nothing plays. ``ValueError`` for
        another length.
        """
        cue = self._cue
        if cue is None or not self._playing:
            return
        if len(samples) != len(cue.samples):
            raise ValueError(
                f"{len(samples)} frames for {len(cue.samples)}: only samples of one length change places"
            )
        cue.wanted = self._for_device(samples)

    def _for_device(self, samples: Samples) -> Samples:
        """Samples with as many channels as the device takes."""
        cut = np.asarray(samples, np.float32)
        cut = cut[:, np.newaxis] if cut.ndim == 1 else cut
        if cut.ndim != 2 or cut.shape[1] not in (1, 2) or not len(cut):
            raise ValueError(f"samples of shape {np.shape(samples)}: expected (frames, 1 or 2), not empty")
        if cut.shape[1] != self._channels:
            cut = cut.mean(axis=1, keepdims=True) if self._channels == 1 else np.repeat(cut, 2, axis=1)
        return np.ascontiguousarray(cut, np.float32)

    def stop(self) -> None:
        """Fade the trial's sound out within one block; the stream continues in silence."""
        if self._cue is not None:
            self._cue.stopped = True
        if self._playing:
            self._trial_line()
        self._playing = False

    def moved(self) -> None:
        """The system has moved the sound to another output: a running trial has a fault, the clock a new line."""
        if self._watch is not None:
            self._watch.clock.begin_anew()
        if self._playing:
            self._faults.append(Fault(FaultKind.REROUTED, frame=self._frames))

    @property
    def playing(self) -> bool:
        """Whether a trial is running: from ``play`` until its last frame is heard, ``stop``, or silence."""
        return self._playing

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What interrupted the current trial; any makes it void."""
        return tuple(dict.fromkeys(self._faults))

    def heard_start_s(self) -> float:
        """Time on the common clock at which the trial's first frame is heard, calibration included."""
        return self._trial_line().heard_s(self._trial_start()) + self.lag_s

    def trial_s(self, time_s: float) -> float:
        """Convert a time of the common clock to seconds from the trial's start, in the sound's own time.

        Unlike subtracting ``heard_start_s`` this corrects the drift between the two clocks (100 ppm over two minutes
        are 12 ms). Most accurate after the trial's end.
        """
        return self._by(self._trial_line(), time_s)

    def whole_s(self, time_s: float) -> float:
        """As ``trial_s``, but by the clock until the trial's first fault: for what came before that.

        The clock begins anew with a fault, and the sound goes on later.
        """
        return self._by(self._whole_line or self._trial_line(), time_s)

    def _by(self, line: Line, time_s: float) -> float:
        return (line.frame_at(time_s - self.lag_s) - self._trial_start()) / self.sample_rate_hz

    def position_s(self) -> float:
        """Seconds of the trial heard by now: negative before its start, continuing after its end."""
        return self.trial_s(self._now())

    def poll(self) -> None:
        """Check the stream; called every 15 ms or so from the user's thread."""
        watch = self._watch
        if self._stream is None or watch is None:
            return
        now = self._now()
        slept_s = self._awake() - now
        found = list(watch.look(now, self._buffer_s()))
        if abs(slept_s - self._slept_s) > 0.25:
            found.append(Fault(FaultKind.JUMP, f"{slept_s - self._slept_s:+.1f}", self._frames))
            self._slept_s = slept_s
        if any(fault.kind is FaultKind.SILENCE for fault in found):
            self._broken = True
        elif self._broken and watch.clock.notes.served_within(now, 0.25):
            self._broken = False  # recovered by itself
        if not self._playing or self._cue is None:
            return
        cue = self._cue
        self._faults += [
            fault for fault in found if cue.start_frame < fault.frame < cue.end_frame or self._ends(fault)
        ]
        # A break after the last frame does not affect the trial.
        over = any(fault.frame >= cue.end_frame and not self._ends(fault) for fault in found)
        if not over:
            self._line = watch.clock.line()
            if not self._faults:
                self._whole_line = self._line
            over = watch.clock.notes.count > 0 and self._line.heard_s(cue.end_frame) + self.lag_s < now
        if self._broken or over:
            self._playing = False

    def _ends(self, fault: Fault) -> bool:
        """Whether a fault affects the current trial wherever its frame lies."""
        return fault.kind in (FaultKind.SILENCE, FaultKind.JUMP, FaultKind.LOST)

    def _buffer_s(self) -> float:
        return max(self.clock.latency_s, 2 * self.block_frames / self.sample_rate_hz)

    def _trial_start(self) -> int:
        if self._start_frame is None:
            raise ValueError("nothing has been played yet")
        return self._start_frame

    def _trial_line(self) -> Line:
        """The line of the current or last trial; later breaks do not change it."""
        if self._playing or self._line is None:
            self._line = self.clock.line()
        return self._line

    # -- the sound thread ---------------------------------------------------------------------------------------

    def _callback(self, out: Samples, frames: int, when: Any, status: Any) -> None:
        arrived_s = self._now()
        at = self._frames
        if self._watch is not None:
            # `when` is host memory: copy its numbers.
            self._watch.clock.notes.note(
                at,
                arrived_s,
                when.outputBufferDacTime - when.currentTime,
                UNDERFLOW if status and status.output_underflow else 0,
            )
        self._frames = at + frames
        cue = self._cue
        target = self._gain
        if cue is not None and at < cue.start_frame and cue.before is not None:
            # The old sound fades in the block before a new one.
            before, cue.before = cue.before, None
            before.stopped = True
            if not before.silent and at + frames <= cue.start_frame:
                cue = before
        if cue is None or cue.silent or at >= cue.end_frame or at + frames <= cue.start_frame:
            out.fill(0)
            self._gain_now = target
            return
        if cue.stopped:
            if at <= cue.start_frame:  # stopped before it started
                cue.silent = True
                out.fill(0)
                return
            target = 0.0
            cue.silent = True
        first, last = max(cue.start_frame - at, 0), min(cue.end_frame - at, frames)
        if first > 0 or last < frames or out.shape[1] > self._channels:
            out.fill(0)
        place = out[first:last, : self._channels]
        wanted = cue.wanted
        self._copy(cue, cue.samples, at + first, place)
        if wanted is not cue.samples:
            if last - first == len(self._rise):
                cross = self._cross[:, : self._channels]
                self._copy(cue, wanted, at + first, cross)
                cross -= place
                cross *= self._rise[:, : self._channels]
                place += cross
            cue.samples = wanted
        if target == self._gain_now or frames > len(self._ramp):
            place *= target
        else:
            ramp = self._ramp[:frames]
            np.multiply(self._rise[:frames], target - self._gain_now, out=ramp)
            ramp += self._gain_now
            place *= ramp[first:last, : self._channels]
        # After a fade-out the next sound starts at full volume.
        self._gain_now = self._gain if cue.stopped else target

    @staticmethod
    def _copy(cue: _Cue, samples: Samples, frame: int, out: Samples) -> None:
        """Fill ``out`` with the cue's samples from a stream frame on, looping where it loops."""
        at, done = frame - cue.start_frame, 0
        if at >= len(samples):
            at = len(samples) - cue.loop_frames + (at - len(samples)) % cue.loop_frames
        while done < len(out):
            piece = min(len(samples) - at, len(out) - done)
            out[done : done + piece] = samples[at : at + piece]
            at, done = len(samples) - cue.loop_frames, done + piece
