"""Decoded recordings kept in memory, the last ones used: an excerpt of them needs no decoder.

Samples are kept as 16-bit numbers relative to the peak of their block (noise 98 dB below it), never on disk.
"""

import os
import sys
import threading
from collections import OrderedDict
from collections.abc import Generator, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from synth.base.arrays import Samples
from synth.base.bins import TOGETHER, frames_of_bin
from synth.base.errors import Trouble
from synth.recording.decoders import opened
from synth.recording.excerpt import brought, needed_frames, stereo
from synth.recording.parts import Bins, Part, Weigh, joined
from synth.recording.reading import resampled
from synth.score.metre import to_frames

# Bytes that are kept: 16 minutes of stereo at 48 kHz. A recording that takes more is read from its file each time.
MOST_BYTES = 192_000_000
FULL = 32_767

# A file as it was when it was read: path, size, time of change in ns, and the rate in Hz.
Which = tuple[str, int, int, int]
NO_BINS: Bins = np.zeros((2, 0), np.float32)


class Weighed:
    """The bins of a recording that is played at a rate, from its first frame, as far as it is decoded."""

    def __init__(self, weigh: Weigh, rate_hz: int) -> None:
        self._weigh, self._rate_hz = weigh, rate_hz
        self._size = frames_of_bin(rate_hz)
        self._rest = np.zeros((0, 2), np.float32)
        self._found: list[Bins] = []

    def push(self, block: Samples, *, last: bool = False) -> int:
        """The next frames (n, 2); how many were weighed of them, and of those that were left before."""
        rest = np.concatenate([self._rest, block])
        whole = len(rest) if last else len(rest) - len(rest) % (TOGETHER * self._size)
        if whole:
            self._found.append(self._weigh(rest[:whole], self._rate_hz))
        self._rest = rest[whole:].copy()
        return whole

    def between(self, first: int, frames: int) -> Bins:
        """Those of a stretch, which begins anywhere: energies are shared between two, of peaks the higher counts."""
        found = np.concatenate([np.zeros((2, 1), np.float32), *self._found, np.zeros((2, 1), np.float32)], axis=1)
        number = -(-frames // self._size)
        low, beyond = divmod(first, self._size)
        share = np.float32(beyond / self._size)
        at = np.clip(low + np.arange(number + 1) + 1, 0, found.shape[1] - 1)  # silence before and after
        (energy, peak), (next_energy, next_peak) = found[:, at[:-1]], found[:, at[1:]]
        return np.stack([(1 - share) * energy + share * next_energy, np.maximum(peak, next_peak * (share > 0))])


@dataclass(slots=True, eq=False)
class Sound:
    """The sound of a recording from its first frame, as far as it is decoded: frame, scale and samples of blocks."""

    weighed: Weighed | None = None
    blocks: list[Part] = field(default_factory=list)
    frames: int = 0
    ready: int = 0
    size: int = 0
    whole: bool = False

    def add(self, block: Samples) -> None:
        """The next frames (n, 2)."""
        scale = np.float32(max(float(np.abs(block).max(initial=0)), 1e-9) / FULL)
        kept = np.rint(block / scale).astype(np.int16)
        self.blocks.append((self.frames, float(scale), kept))
        self.size += kept.nbytes
        self.frames += len(block)
        self.ready += len(block) if self.weighed is None else self.weighed.push(block)

    def end(self) -> None:
        """There are no more frames."""
        if self.weighed is not None:
            self.weighed.push(np.zeros((0, 2), np.float32), last=True)
        self.whole = True

    def within(self, first: int, frames: int) -> list[Part]:
        """What lies within frames from ``first`` on, by their numbers from there; silence between and around."""
        found = []
        for at, scale, block in self.blocks:
            low, high = max(at, first), min(at + len(block), first + frames)
            if low < high:
                found.append((low - first, scale, block[low - at : high - at]))
        return found


class Kept:
    """The last recordings, decoded by a thread of lower priority; used by one other thread."""

    def __init__(self, most_bytes: int = MOST_BYTES, weigh: Weigh | None = None) -> None:
        self._most, self._weigh = most_bytes, weigh
        self._lock = threading.Lock()
        self._sounds: OrderedDict[Which, Sound] = OrderedDict()
        self._large: set[Which] = set()
        self._thread: threading.Thread | None = None
        self._reading: Which | None = None
        self._free = threading.Event()
        self._free.set()

    @contextmanager
    def held(self) -> Iterator[None]:
        """Let the decoding stand still, between two blocks: of low priority, it would hold up what is asked for."""
        self._free.clear()
        try:
            yield
        finally:
            self._free.set()

    def parts(
        self, path: Path | str, start_s: float, duration_s: float, rate_hz: int, played_hz: int
    ) -> tuple[list[Part], Bins] | None:
        """What ``synth.recording.excerpt.excerpt`` gives, in parts, and its bins, none where nothing weighs them.

        Played at ``played_hz`` it sounds faster or slower. None where it is not decoded yet.
        """
        stretched = rate_hz != played_hz
        if stretched:
            first, frames = needed_frames(start_s, duration_s, played_hz, rate_hz)
        else:
            first, frames = int(np.rint(start_s * rate_hz)), int(to_frames(duration_s, rate_hz))
        which = _which(path, played_hz)
        with self._lock:
            sound = None if which is None else self._sounds.get(which)
            if which is None or sound is None or not (sound.whole or sound.ready >= first + frames):
                return None
            self._sounds.move_to_end(which)
        parts = sound.within(first, frames)
        if stretched:
            part = joined(parts, min(frames, max(0, sound.frames - first)))
            samples = brought(part, first, played_hz, start_s, duration_s, rate_hz)
            return [(0, 1.0, samples)], weighed(samples, played_hz, self._weigh)
        return parts, NO_BINS if sound.weighed is None else sound.weighed.between(first, frames)

    def keep(self, path: Path | str, rate_hz: int) -> None:
        """Begin to decode a recording, unless that is done or going on; another one that is being decoded stops.

        One that was too large is not tried again.
        """
        which = _which(path, rate_hz)
        if which is None or which == self._reading or which in self._large:
            return
        self.wait(stop=True)
        if which not in self._sounds or not self._sounds[which].whole:
            self._reading = which
            sound = Sound(None if self._weigh is None else Weighed(self._weigh, rate_hz))
            self._thread = threading.Thread(target=self._read, args=(which, sound), daemon=True)
            self._thread.start()

    def wait(self, *, stop: bool = False) -> None:
        """Wait until what is being decoded is done, or stop it."""
        if stop:
            self._reading = None
        if self._thread is not None:
            self._thread.join()
        self._thread = None

    def _read(self, which: Which, sound: Sound) -> None:
        if sys.platform == "linux":  # where threads have a priority each
            with suppress(OSError):
                os.setpriority(os.PRIO_PROCESS, threading.get_native_id(), 10)
        with suppress(Trouble, MemoryError), closing(_stereo(which[0], which[3])) as blocks:
            for block in blocks:
                self._free.wait()
                if self._reading != which:
                    return
                sound.add(block)
                if not self._room_for(which, sound):
                    return
            sound.end()

    def _room_for(self, which: Which, sound: Sound) -> bool:
        """Whether it can be kept so far; the others go first, the longest unused before them."""
        with self._lock:
            self._sounds[which] = sound
            others = [each for each in self._sounds if each != which]
            while others and sum(each.size for each in self._sounds.values()) > self._most:
                del self._sounds[others.pop(0)]
            if sound.size > self._most:
                del self._sounds[which]
                self._large.add(which)
                return False
        return True


def _stereo(path: str, rate_hz: int) -> Generator[Samples, None, None]:
    with opened(path) as source:
        yield from resampled((stereo(block) for block in source.blocks()), source.rate_hz, rate_hz, 2)


def weighed(samples: Samples, played_hz: int, weigh: Weigh | None) -> Bins:
    """The bins of samples (n, 2), none where nothing weighs them."""
    return NO_BINS if weigh is None else weigh(samples, played_hz)


def _which(path: Path | str, rate_hz: int) -> Which | None:
    try:
        found = os.stat(path)  # noqa: PTH116 - a text, too
    except (OSError, ValueError):
        return None
    return os.fspath(path), found.st_size, found.st_mtime_ns, rate_hz
