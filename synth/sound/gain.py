"""The gain that brings a mix to a target loudness, found before mixing.

The power of every 100 ms is predicted as the sum of the energies of its sounds. That ignores the correlation of
coincident sounds (a kick on a bass note, the notes of a chord), so a few stretches are mixed and measured, and the
mean ratio of measured to predicted power corrects the rest. Stretches are drawn with probability proportional to
their power among those that pass the gates (ratio estimation: Cochran 1977, Sampling Techniques, chapters 6 and 9A;
from memory), so the cost does not grow with the record.
"""

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Samples
from synth.base.bins import BIN_S
from synth.sound.limiter import CEILING, CELL, limit, loud_cells
from synth.sound.loudness import (
    RELATIVE_GATE_LU,
    SEGMENT_S,
    Powers,
    gated,
    integrated_power,
    k_weighted,
    lufs,
    window,
    windowed_energy,
)
from synth.sound.mix import Mix

_BINS = 10  # bins in a stretch: 200 ms
_NEAR = 3  # bins by which a stretch moves to where little sounds at its edges
_FEWEST, _MOST = 4, 60  # number of stretches measured; the least for each record
_STANDARD_ERROR = 0.025  # of the mean ratio, where measuring stops: 0.11 dB
_TRIES = 8
_MOST_DRIVE = 10 ** (12 / 20)  # limit of the gain that compensates the limiter
# Seconds. A mix up to the first length is measured as a whole; up to the second, where the prediction is doubtful.
_SHORT_S, _WHOLE_S = 10.0, 60.0
_GOLDEN = (5**0.5 - 1) / 2


def scale_to(mix: Mix, frames: int, loudness_lufs: float, highest: Powers | None = None, records: int = 1) -> float:
    """Gain factor that brings ``frames`` frames of ``mix``, once limited, to ``loudness_lufs``; 1.0 for silence.

    ``highest`` is that of the mix, where it is known. ``records`` are mixed, each with a ratio of its own.
    """
    bins = mix.expected_energy(frames)
    per_segment = round(SEGMENT_S / BIN_S)
    segment_frames = round(SEGMENT_S * mix.sample_rate_hz)
    whole = max(1, len(bins) // per_segment) * per_segment
    segments = np.add.reduceat(bins[:whole], np.arange(0, min(whole, len(bins)), per_segment)) / segment_frames
    blocks, loud = gated(segments)
    if not loud.any():
        return 1.0
    highest = mix.highest(frames) if highest is None else highest
    stretches: list[tuple[Samples, float]] = []
    ratios: list[float] = []
    bin_frames = segment_frames // per_segment
    for place in _draw(bins, loud, per_segment):
        within, first = slice(place, place + _BINS), place * bin_frames
        stretch, foretold = mix.frames(first, min(first + _BINS * bin_frames, frames)), bins[within]
        stretches.append((stretch, float(highest[within].max())))
        weighed = float(foretold @ np.square(window(len(foretold))))
        ratios.append(windowed_energy(stretch, mix.sample_rate_hz) / weighed)
        if (
            len(ratios) >= _FEWEST * records
            and np.std(ratios) / np.mean(ratios) < _STANDARD_ERROR * len(ratios) ** 0.5
        ):
            break
    length_s = frames / mix.sample_rate_hz
    alone = len(mix.take) == 1  # a recording: what is foretold of it was measured
    if length_s <= _SHORT_S or (length_s <= _WHOLE_S and not alone and _doubtful(blocks, loud)):
        measured = integrated_power(_measure(mix, frames, segment_frames))
    else:
        measured = float(blocks[loud].mean() * np.mean(ratios))
    wanted = scale = 10 ** ((loudness_lufs - lufs(measured)) / 20)
    for _ in range(_TRIES):  # compensate the limiter, as far as possible
        kept = float(
            np.mean(
                [
                    _share_kept(stretch, scale, mix.sample_rate_hz) if peak * scale > CEILING else 1.0
                    for stretch, peak in stretches
                ]
            )
        )
        short_of = wanted / (scale * kept**0.5)
        if short_of < 1.01:
            break
        # Near the ceiling the limiter absorbs part of a further gain: overshoot.
        scale = min(scale * short_of**1.6, wanted * _MOST_DRIVE)
    return scale


def _doubtful(blocks: Powers, loud: npt.NDArray[np.bool_]) -> bool:
    """Whether more than a few blocks lie so near the relative gate that the prediction may misjudge them."""
    gate = blocks[loud].mean() * 10 ** (RELATIVE_GATE_LU / 10)
    return float(np.mean(np.abs(np.log10(blocks[blocks > 0] / gate)) < 0.08)) > 0.04


def _measure(mix: Mix, frames: int, segment_frames: int) -> Powers:
    """K-weighted power of every 100 ms of the whole mix before limiting."""
    around, powers = segment_frames, []
    for begin in range(0, frames, 40 * segment_frames):
        end = min(begin + 40 * segment_frames, frames)
        low = max(0, begin - around)
        heard = k_weighted(mix.frames(low, min(end + around, frames)), mix.sample_rate_hz)[begin - low : end - low]
        whole = len(heard) // segment_frames
        square = np.square(heard[: whole * segment_frames]).reshape(whole, 2 * segment_frames)
        powers.append(square.sum(axis=1, dtype=np.float64) / segment_frames)
    return np.concatenate(powers)


def _draw(bins: Powers, loud: npt.NDArray[np.bool_], per_segment: int) -> list[int]:
    """First bins of the stretches to measure, drawn in proportion to power; any first few spread over the record.

    Only bins in blocks that pass the gates. Starts are not aligned to 100 ms: at some tempos all beats would then lie
    at the edge of a stretch. Each moves to the near place with the smallest share of its power in the first and the
    last bin, where the prediction is coarse: the ratios scatter less, and fewer are needed.
    """
    inside = np.repeat(np.convolve(loud, np.ones(4, dtype=np.int64)) > 0, per_segment)[: len(bins)]
    total = np.concatenate([[0.0], np.cumsum(bins)])
    last = np.minimum(np.arange(len(inside)) + _BINS, len(bins))
    power = np.where(inside, total[last] - total[: len(inside)], 0.0)
    places = np.flatnonzero(power)
    if len(places) <= _MOST:
        return [int(place) for place in places]
    total = np.cumsum(power[places])
    # Multiples of the golden section modulo 1: low discrepancy, and no common period with the bar.
    drawn = (np.arange(_MOST) + 0.5) * _GOLDEN % 1.0 * total[-1]
    at = places[np.minimum(np.searchsorted(total, drawn), len(places) - 1)]
    near = np.clip(at[:, None] + np.arange(-_NEAR, _NEAR + 1), 0, max(0, len(bins) - _BINS))
    edges = bins[near] + bins[np.minimum(near + _BINS, len(bins)) - 1]
    share = np.divide(edges, power[near], out=np.full(edges.shape, np.inf), where=power[near] > 0)
    return [int(place) for place in near[np.arange(len(near)), share.argmin(axis=1)]]


def _share_kept(stretch: Samples, scale: float, sample_rate_hz: int) -> float:
    """Share of a stretch's power that the limiter leaves."""
    louder = stretch * np.float32(scale)
    cells = loud_cells(louder, np.arange(-(-len(louder) // CELL)))
    if not limit(louder, cells, sample_rate_hz):
        return 1.0
    return windowed_energy(louder, sample_rate_hz) / (windowed_energy(stretch, sample_rate_hz) * scale**2)
