"""Mixdown: renders an arrangement with a kit to samples, with one gain and one limiter."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from synth.base.arrays import Ints, Samples
from synth.base.bins import frames_of_bin
from synth.score.arranging.arrangement import Arrangement
from synth.score.metre import to_frames
from synth.sound.gain import scale_to
from synth.sound.kit import Kit
from synth.sound.limiter import CEILING, CELL, limit, loud_cells, reach
from synth.sound.loudness import LOUDNESS_LUFS
from synth.sound.mix import Mix
from synth.sound.recorded import recorded_take
from synth.sound.spoken import spoken_count

_FADE_IN_S = 0.0005  # shorter than an attack: keeps the transient of the first drum
_FADE_OUT_S = 0.02


@dataclass(frozen=True, slots=True)
class Layer:
    """A record in a mix of several: from ``start_s`` seconds, at ``level_db``.

    ``spoken`` adds its spoken count, "bars" or "letters", over the first ``spoken_beats`` beats (None: all),
    in ``language``.
    ``ValueError`` for a negative ``start_s``.
    """

    arrangement: Arrangement
    kit: Kit
    start_s: float = 0.0
    level_db: float = 0.0
    spoken: str | None = None
    spoken_beats: int | None = None
    language: str = "en"

    def __post_init__(self) -> None:
        if self.start_s < 0:
            raise ValueError(f"start_s {self.start_s:g}: 0 or more seconds expected")


def mixdown(arrangement: Arrangement, kit: Kit, *, spoken: str | None = None) -> Samples:
    """Mix an arrangement: float32 (frames, 2) within [-1, 1], at the kit's sample rate.

    ``spoken`` adds the spoken count, "bars" or "letters" (``synth.sound.spoken``). Integrated loudness is
    ``LOUDNESS_LUFS`` within 0.5 LU and the true peak at most -1 dBTP; a sound that would need more than 12 dB of
    limiting for that, such as a closed hat alone, stays softer.
    """
    return mixdown_together([Layer(arrangement, kit, spoken=spoken)])


def mixdown_together(layers: Sequence[Layer]) -> Samples:
    """Mix several records into one sound, with one gain and one limiter; see ``mixdown``."""
    score = _score(layers)
    return _piece(score, 0, score.frames)


def mixdown_blocks(
    arrangement: Arrangement,
    kit: Kit,
    *,
    spoken: str | None = None,
    spoken_beats: int | None = None,
    language: str = "en",
    block_s: float = 5.0,
) -> Iterator[Samples]:
    """Yield the samples of ``mixdown`` in blocks of ``block_s`` seconds, for long records."""
    layer = Layer(arrangement, kit, spoken=spoken, spoken_beats=spoken_beats, language=language)
    yield from mixdown_together_blocks([layer], block_s)


def mixdown_together_blocks(layers: Sequence[Layer], block_s: float = 5.0) -> Iterator[Samples]:
    """Yield the samples of ``mixdown_together`` in blocks of ``block_s`` seconds."""
    score = _score(layers)
    step = max(1, round(block_s * score.mix.sample_rate_hz) // CELL) * CELL
    for first in range(0, score.frames, step):
        yield _piece(score, first, min(first + step, score.frames))


def duration_frames(arrangement: Arrangement, sample_rate_hz: int) -> int:
    """Frames in the mixdown of an arrangement."""
    return int(to_frames(arrangement.duration_s, sample_rate_hz))


@dataclass(frozen=True, slots=True, eq=False)
class _Score:
    """A mix with its gain and the parts to be limited."""

    mix: Mix
    frames: int
    scale: float
    loud_bins: Ints  # indices of the 20 ms bins in which the sum may reach the ceiling


def _score(layers: Sequence[Layer]) -> _Score:
    mixes = [_mix_of(layer) for layer in layers]
    mix = mixes[0] if len(mixes) == 1 else Mix.together(mixes)
    end_s = max(layer.start_s + layer.arrangement.duration_s for layer in layers)
    frames = int(to_frames(end_s, mix.sample_rate_hz))
    highest = mix.highest(frames)
    scale = scale_to(mix, frames, LOUDNESS_LUFS, highest, len(mixes))
    return _Score(mix, frames, scale, np.flatnonzero(highest * scale >= CEILING))


def _mix_of(layer: Layer) -> Mix:
    rate, words = layer.kit.sample_rate_hz, []
    if layer.spoken is not None:
        count = layer.arrangement.count
        if layer.spoken_beats is not None:
            count = count.excerpt(0, min(layer.spoken_beats, len(count)))
        words = spoken_count(count, layer.spoken, language=layer.language, sample_rate_hz=rate)
    gain, record = 10 ** (layer.level_db / 20), layer.arrangement
    stretches = () if record.recorded is None else record.recorded.stretches
    beds = [recorded_take(each, rate) for each in stretches]
    return Mix.of(record.hits, layer.kit, words, gain, layer.start_s, record.duck_db, beds)


def _piece(score: _Score, first: int, last: int) -> Samples:
    """Frames ``first`` to ``last`` of the finished sound, whatever the pieces are."""
    rate = score.mix.sample_rate_hz
    around, bin_frames = reach(rate), frames_of_bin(rate)
    low, high = max(0, first - around), min(score.frames, last + around)
    out = score.mix.frames(low, high, score.scale)
    bins = score.loud_bins[slice(*np.searchsorted(score.loud_bins, (low // bin_frames, high // bin_frames + 1)))]
    cells = (bins * bin_frames - low)[:, None] // CELL + np.arange(bin_frames // CELL + 2)
    wanted = np.zeros(-(-len(out) // CELL), dtype=np.bool_)
    wanted[cells[(cells >= 0) & (cells < len(wanted))]] = True
    limit(out, loud_cells(out, np.flatnonzero(wanted)), rate)
    _fade(out, low, score.frames, rate)
    return out[first - low : last - low]


def _fade(out: Samples, first: int, frames: int, sample_rate_hz: int) -> None:
    """Fade the record's first and last frames, as far as they lie in ``out``."""
    rise, fall = round(_FADE_IN_S * sample_rate_hz), round(_FADE_OUT_S * sample_rate_hz)
    if first < rise:
        at = np.arange(first, min(rise, first + len(out)))
        out[: len(at)] *= (at.astype(np.float32) / rise)[:, None]
    if first + len(out) > frames - fall:
        begin = max(first, frames - fall)
        left = frames - 1 - np.arange(begin, first + len(out))  # integers: float32 is inexact beyond 2**24
        out[begin - first :] *= (left.astype(np.float32) / fall)[:, None]
