"""A stretch of a recording as a take of the mix: its energies and peaks come with its samples from the decoder."""

from collections.abc import Iterator
from functools import cache

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Samples
from synth.base.bins import TOGETHER, frames_of_bin
from synth.recording.decoder import Decoder
from synth.score.recorded import Recorded
from synth.sound.kit import REFERENCE_POWER, Take

# Loudest 100 ms against the kit's snare at 0 dB, about those of a whole record of the program's own.
LEVEL_DB = 4.0
# Seconds of the fades at the edges: shorter than what lies between an edge and the beat after it.
FADE_S = 0.01
CODE = "from synth.recording.decoder import serve; from synth.sound.loudness import weigh; serve(weigh)"


@cache
def decoder() -> Decoder:
    """The program's own: a process, which the first excerpt starts."""
    return Decoder(code=CODE)


def recorded_take(recorded: Recorded, sample_rate_hz: int) -> tuple[float, Take]:
    """When it begins in s of the arrangement, and its sound, a frame at least.

    ``Trouble`` where its file cannot be read.
    """
    start_s = max(0.0, recorded.start_s)
    end_s = max(start_s + 1 / sample_rate_hz, recorded.end_s)
    samples, (energy, peak) = decoder().weighed(
        recorded.path,
        recorded.from_s + start_s * recorded.speed,
        (end_s - start_s) * recorded.speed,
        # Played faster: fewer frames for each second of the file.
        round(sample_rate_hz / recorded.speed),
        sample_rate_hz,
    )
    fade(samples, recorded, start_s, sample_rate_hz)
    bins = frames_of_bin(sample_rate_hz)
    heard = _shares_heard(_spans(recorded, start_s, len(samples), sample_rate_hz), len(energy), bins)
    energy, peak = energy * heard, peak * (heard > 0)
    loudest = float(np.convolve(energy, np.ones(min(TOGETHER, len(energy))), "valid").max()) / (TOGETHER * bins)
    factor = np.sqrt(REFERENCE_POWER * 10 ** (LEVEL_DB / 10) / (loudest + 1e-20))
    samples *= np.float32(factor)
    samples.setflags(write=False)
    # A take begins within a bin of the mix: its peak may fall into the next.
    reached = np.maximum(np.append(peak, 0.0), np.append(0.0, peak))
    return start_s, Take(samples, energy * factor**2, reached * factor)


def fade(samples: Samples, recorded: Recorded, start_s: float, sample_rate_hz: int) -> None:
    """Fade samples (frames, 2), which begin at ``start_s`` s, in place where the recording begins and ends to sound.

    Between they are silent.
    """
    frames = _fade_frames(sample_rate_hz)
    rise = np.linspace(0, 1, frames, dtype=np.float32)[:, None]
    done = 0
    for low, high in _spans(recorded, start_s, len(samples), sample_rate_hz):
        samples[done:low] = 0
        samples[low : low + frames] *= rise
        samples[high - frames : high] *= rise[::-1]
        done = high
    samples[done:] = 0


def _fade_frames(sample_rate_hz: int) -> int:
    return max(1, round(FADE_S * sample_rate_hz))


def _spans(recorded: Recorded, start_s: float, frames: int, sample_rate_hz: int) -> Iterator[tuple[int, int]]:
    """Frames from which until which it sounds, where there is room for its fades."""
    for low_s, high_s in recorded.spans_s:
        low, high = (round((at_s - start_s) * sample_rate_hz) for at_s in (low_s, high_s))
        low, high = max(0, low), min(frames, high)
        if high - low >= 2 * _fade_frames(sample_rate_hz):
            yield low, high


def _shares_heard(spans: Iterator[tuple[int, int]], bins: int, size: int) -> npt.NDArray[np.float64]:
    """The share of each bin of ``size`` frames that sounds, (bins,)."""
    edges, covered = np.arange(bins + 1) * size, np.zeros(bins)
    for low, high in spans:
        covered += np.maximum(0, np.minimum(edges[1:], high) - np.maximum(edges[:-1], low))
    return covered / size
