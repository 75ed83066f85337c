"""The gain that brings a mix to a loudness, found before the mix is made.

The power of every 100 ms is foretold from the energies of the sounds in it. That is right up to how alike sounds
are that coincide (a kick on a bass note, the notes of a chord), so a few stretches are really mixed and measured,
and the mean ratio of measured to foretold corrects the rest. The stretches are drawn with probability in
proportion to their power among those that pass the gates (ratio estimation: Cochran 1977, Sampling Techniques,
chapters 6 and 9A; from memory), so the cost does not grow with the record.
"""

import numpy as np
import numpy.typing as npt

from synth.kit import BIN_S
from synth.limiter import limit, loud_cells
from synth.loudness import SEGMENT_S, Powers, gated, lufs, window, windowed_energy
from synth.metre import Samples
from synth.mix import Mix

STRETCHES = 12
_BLOCK_S = 4 * SEGMENT_S
_GOLDEN = (5**0.5 - 1) / 2


def scale_to(mix: Mix, frames: int, loudness_lufs: float) -> float:
    """The factor that brings ``frames`` frames of ``mix``, once limited, to ``loudness_lufs``; 1.0 for silence."""
    bins = mix.expected_energy(frames)
    per_segment = round(SEGMENT_S / BIN_S)
    segment_frames = round(SEGMENT_S * mix.sample_rate_hz)
    whole = max(1, len(bins) // per_segment) * per_segment
    segments = np.add.reduceat(bins[:whole], np.arange(0, min(whole, len(bins)), per_segment)) / segment_frames
    blocks, loud = gated(segments)
    if not loud.any():
        return 1.0
    places = _draw(blocks, loud)
    stretches = [_cut(mix, place * segment_frames, frames) for place in places]
    ratios = []
    for place, stretch in zip(places, stretches, strict=True):
        foretold = bins[place * per_segment :][: 4 * per_segment]
        foretold = foretold @ np.square(window(len(foretold)))
        ratios.append(windowed_energy(stretch, mix.sample_rate_hz) / foretold)
    measured = float(blocks[loud].mean() * np.mean(ratios))
    scale = wanted = 10 ** ((loudness_lufs - lufs(measured)) / 20)
    for _ in range(4):  # What the limiter takes away is made up for, as far as it can be.
        kept = float(np.mean([_share_kept(stretch, scale, mix.sample_rate_hz) for stretch in stretches]))
        if kept > 0.999:
            break
        scale = wanted / max(kept, 0.25) ** 0.5
    return scale


def _draw(blocks: Powers, loud: npt.NDArray[np.bool_]) -> list[int]:
    """Numbers of the blocks to measure, the louder the likelier, spread over the record."""
    places = np.flatnonzero(loud)
    if len(places) <= STRETCHES:
        return places.tolist()
    total = np.cumsum(blocks[places])
    # Steps that share no measure with the bar: evenly spread, each moved by a golden-section sequence.
    number = np.arange(STRETCHES)
    drawn = (number + number * _GOLDEN % 1.0) / STRETCHES * total[-1]
    return places[np.minimum(np.searchsorted(total, drawn), len(places) - 1)].tolist()


def _cut(mix: Mix, first: int, frames: int) -> Samples:
    """400 ms of the mix, less where it ends before."""
    stretch = np.zeros((min(round(_BLOCK_S * mix.sample_rate_hz), frames - first), 2), dtype=np.float32)
    for _ in mix.add_to(stretch, first):
        pass
    return stretch


def _share_kept(stretch: Samples, scale: float, sample_rate_hz: int) -> float:
    """Share of the power of a stretch that the limiter leaves."""
    louder = stretch * np.float32(scale)
    cells = loud_cells(louder, 0, len(louder))
    if not len(cells):
        return 1.0
    before = windowed_energy(louder, sample_rate_hz)
    return windowed_energy(louder, sample_rate_hz) / before if limit(louder, cells, sample_rate_hz) else 1.0
