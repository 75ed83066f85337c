"""An excerpt of a recording in stereo, at the times of its grid: by the decoder that was analysed.

Here it is read in this process; the program asks ``synth.recording.decoder``, whose process a crash of a native
library ends alone.
"""

from collections.abc import Iterator
from contextlib import closing
from math import gcd
from pathlib import Path

import numpy as np

from synth.base.arrays import Samples
from synth.recording.decoders import opened
from synth.recording.reading import resampled
from synth.score.metre import to_frames

# Seconds on either side that are resampled along, so that the ends sound as they do within.
MARGIN_S = 0.05


def excerpt(path: Path | str, start_s: float, duration_s: float, rate_hz: int) -> Samples:
    """The sound from ``start_s`` on, (n, 2) float32; zeros before the file's first frame and after its last.

    Raises ``Trouble`` where the file cannot be read, or is damaged within the excerpt.
    """
    with opened(path) as source:
        from_hz = source.rate_hz
        first, needed = needed_frames(start_s, duration_s, from_hz, rate_hz)
        taken = []
        if needed > 0:
            with closing(source.blocks(first)) as blocks:
                taken = [stereo(block) for block in _until(blocks, needed)]
    sound = np.concatenate([np.zeros((0, 2), np.float32), *taken])
    return brought(sound, first, from_hz, start_s, duration_s, rate_hz)


def needed_frames(start_s: float, duration_s: float, from_hz: int, rate_hz: int) -> tuple[int, int]:
    """The first frame that an excerpt at ``rate_hz`` needs of a sound at ``from_hz``, and how many, with margins.

    From a frame that is one of both rates, so that every sample is the one that reading on gives.
    """
    step = from_hz // gcd(from_hz, rate_hz)
    first = max(0, int((start_s - MARGIN_S) * from_hz)) // step * step
    return first, int(np.ceil((start_s + duration_s + MARGIN_S) * from_hz)) - first


def brought(sound: Samples, first: int, from_hz: int, start_s: float, duration_s: float, rate_hz: int) -> Samples:
    """The excerpt, (n, 2) at ``rate_hz``, of a part (m, 2) of a sound at ``from_hz`` from its frame ``first`` on."""
    out = np.zeros((int(to_frames(duration_s, rate_hz)), 2), np.float32)
    if len(sound) and from_hz != rate_hz:
        sound = np.concatenate(list(resampled(iter([sound]), from_hz, rate_hz, 2)))
    put(out, sound, first * rate_hz // from_hz - int(np.rint(start_s * rate_hz)))
    return out


def stereo(block: Samples) -> Samples:
    """Two channels: one doubled, two as they are, more averaged, since nothing says where they belong."""
    if block.shape[1] == 2:
        return block
    return np.repeat(block.mean(axis=1, keepdims=True, dtype=np.float32), 2, axis=1)


def _until(blocks: Iterator[Samples], frames: int) -> Iterator[Samples]:
    """At most so many frames of the blocks."""
    for block in blocks:
        yield block[:frames]
        frames -= len(block)
        if frames <= 0:
            return


def put(out: Samples, sound: Samples, at: int) -> None:
    """Copy ``sound`` into ``out`` from frame ``at`` on, which may lie before it."""
    first, last = max(0, at), min(len(out), at + len(sound))
    if last > first:
        out[first:last] = sound[first - at : last - at]
