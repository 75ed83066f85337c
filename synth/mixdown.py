"""Mixdown: an arrangement and a kit become samples.

Every sound is rendered once, added on its exact frame, brought to one loudness, and limited once, last.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from synth.arrangement import Arrangement
from synth.kit import Kit
from synth.level import scale_to
from synth.limiter import CELL, all_loud_cells, limit, reach
from synth.metre import Samples, to_frames
from synth.mix import Mix

LOUDNESS_LUFS = -18.0
_FADE_IN_S = 0.0005  # shorter than an attack: the first drum of a record keeps its edge
_FADE_OUT_S = 0.02


@dataclass(frozen=True, slots=True)
class Layer:
    """A record among others that sound together: from ``start_s``, ``level_db`` above or below."""

    arrangement: Arrangement
    kit: Kit
    start_s: float = 0.0
    level_db: float = 0.0

    def __post_init__(self) -> None:
        if self.start_s < 0:
            raise ValueError(f"start_s {self.start_s:g}: 0 or more seconds expected")


def mixdown(
    arrangement: Arrangement,
    kit: Kit,
    *,
    sample_rate_hz: int | None = None,
    loudness_lufs: float = LOUDNESS_LUFS,
) -> Samples:
    """The sound of an arrangement, float32 (frames, 2) within [-1, 1].

    Integrated loudness ``loudness_lufs`` (ITU-R BS.1770) within 0.5 LU, true peak at most -1 dBTP. The rate is the
    kit's; ``ValueError`` where another ``sample_rate_hz`` is asked for.
    """
    return mixdown_together([Layer(_at_rate(arrangement, kit, sample_rate_hz), kit)], loudness_lufs=loudness_lufs)


def mixdown_together(layers: Sequence[Layer], *, loudness_lufs: float = LOUDNESS_LUFS) -> Samples:
    """Several records laid over each other, levelled and limited as one sound; see ``mixdown``."""
    mix, frames = _score(layers)
    return _piece(mix, 0, frames, frames, scale_to(mix, frames, loudness_lufs))


def mixdown_blocks(
    arrangement: Arrangement,
    kit: Kit,
    *,
    sample_rate_hz: int | None = None,
    loudness_lufs: float = LOUDNESS_LUFS,
    block_s: float = 5.0,
) -> Iterator[Samples]:
    """The samples of ``mixdown`` in blocks of ``block_s`` seconds, for records too long to be held at once."""
    mix, frames = _score([Layer(_at_rate(arrangement, kit, sample_rate_hz), kit)])
    scale = scale_to(mix, frames, loudness_lufs)
    step = max(1, round(block_s * kit.sample_rate_hz) // CELL) * CELL
    for first in range(0, frames, step):
        yield _piece(mix, first, min(first + step, frames), frames, scale)


def duration_frames(arrangement: Arrangement, sample_rate_hz: int) -> int:
    """Frames of the mixdown of an arrangement."""
    return int(to_frames(arrangement.duration_s, sample_rate_hz))


def _at_rate(arrangement: Arrangement, kit: Kit, sample_rate_hz: int | None) -> Arrangement:
    if sample_rate_hz not in (None, kit.sample_rate_hz):
        raise ValueError(f"sample_rate_hz {sample_rate_hz}: the kit was made for {kit.sample_rate_hz} Hz")
    return arrangement


def _score(layers: Sequence[Layer]) -> tuple[Mix, int]:
    """All sounds of the layers, and the frames that they take."""
    mixes = [
        Mix.of(layer.arrangement.hits, layer.kit, gain=10 ** (layer.level_db / 20), by_s=layer.start_s)
        for layer in layers
    ]
    mix = mixes[0] if len(mixes) == 1 else Mix.together(mixes)
    end_s = max(layer.start_s + layer.arrangement.duration_s for layer in layers)
    return mix, int(to_frames(end_s, mix.sample_rate_hz))


def _piece(mix: Mix, first: int, last: int, frames: int, scale: float) -> Samples:
    """Frames ``first`` to ``last`` of the finished sound, the same whatever the pieces are."""
    around = reach(mix.sample_rate_hz)
    low, high = max(0, first - around), min(frames, last + around)
    # Memory that nothing sounds in is never touched: the system hands out zero pages when they are first written.
    out = np.zeros((high - low, 2), dtype=np.float32)
    limit(out, all_loud_cells(out, mix.add_to(out, low, scale)), mix.sample_rate_hz)
    _fade(out, low, frames, mix.sample_rate_hz)
    return out[first - low : last - low]


def _fade(out: Samples, first: int, frames: int, sample_rate_hz: int) -> None:
    """Fade the record's first and last frames, those of them that lie in ``out``."""
    rise, fall = round(_FADE_IN_S * sample_rate_hz), round(_FADE_OUT_S * sample_rate_hz)
    if first < rise:
        at = np.arange(first, min(rise, first + len(out)), dtype=np.float32)
        out[: len(at)] *= (at / rise)[:, None]
    if first + len(out) > frames - fall:
        begin = max(first, frames - fall)
        at = np.arange(begin, first + len(out), dtype=np.float32)
        out[begin - first :] *= ((frames - 1 - at) / fall)[:, None]
