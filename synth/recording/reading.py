"""Audio files as mono in blocks, for the analysis. Rates are changed by soxr, which keeps time (linear phase)."""

from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import soxr

from synth.base.arrays import Samples
from synth.base.border import shown
from synth.base.errors import Trouble
from synth.recording.decoders import LONGEST_S, opened
from synth.recording.refusals import NO_SOUND, TOO_LONG


def read_mono(
    path: Path | str, rate_hz: int, tell_rate: Callable[[int], None] = lambda rate_hz: None
) -> Iterator[Samples]:
    """The sound of a file in blocks (n,), float32, all channels averaged, at ``rate_hz``.

    ``tell_rate`` is given the file's own rate. Raises ``Trouble`` where it is no sound, damaged, empty, not finite,
    too long, or needs a program that is missing.
    """
    with opened(path) as source:
        tell_rate(source.rate_hz)
        mono = (block.mean(axis=1, dtype=np.float32) for block in source.blocks())
        yield from _checked(shown(path), resampled(mono, source.rate_hz, rate_hz, 1), rate_hz)


def resampled(blocks: Iterator[Samples], from_hz: int, to_hz: int, channels: int) -> Iterator[Samples]:
    """The same sound, (n,) or (n, channels), at another rate."""
    if from_hz == to_hz:
        yield from blocks
        return
    stream = soxr.ResampleStream(from_hz, to_hz, channels, dtype="float32")
    for block in blocks:
        yield stream.resample_chunk(np.ascontiguousarray(block))
    yield stream.resample_chunk(np.zeros((0,) if channels == 1 else (0, channels), np.float32), last=True)


def _checked(name: str, blocks: Iterator[Samples], rate_hz: int) -> Iterator[Samples]:
    """The same blocks; ``Trouble`` for no sound at all, and for too much."""
    done = 0
    for block in blocks:
        done += len(block)
        if done > LONGEST_S * rate_hz:
            raise Trouble(TOO_LONG(path=name, hours=LONGEST_S // 3600))
        if len(block):
            yield block
    if done < 2:
        raise Trouble(NO_SOUND(path=name))
