"""A stretch of a recording as a take of the mix."""

import numpy as np

from synth.base.arrays import Samples
from synth.score.recorded import Recorded
from synth.sound.kit import Take, take_at

# Loudest 100 ms against the kit's snare at 0 dB, about those of a whole record of the program's own.
LEVEL_DB = 4.0
# Seconds of the fades at the edges: shorter than what lies between an edge and the beat after it.
FADE_S = 0.01


def recorded_take(recorded: Recorded, sample_rate_hz: int) -> tuple[float, Take]:
    """When it begins in s of the arrangement, and its sound, a frame at least.

    ``Trouble`` where its file cannot be read.
    """
    from synth.recording.decoder import read_excerpt  # a process of its own: most sounds need none

    start_s = max(0.0, recorded.start_s)
    end_s = max(start_s + 1 / sample_rate_hz, recorded.end_s)
    samples = read_excerpt(
        recorded.path,
        recorded.from_s + start_s * recorded.speed,
        (end_s - start_s) * recorded.speed,
        # Played faster: fewer frames for each second of the file.
        round(sample_rate_hz / recorded.speed),
    )
    fade(samples, recorded, start_s, sample_rate_hz)
    return start_s, take_at(samples, LEVEL_DB, sample_rate_hz)


def fade(samples: Samples, recorded: Recorded, start_s: float, sample_rate_hz: int) -> None:
    """Fade samples (frames, 2), which begin at ``start_s`` s, in place where the recording begins and ends to sound.

    Between they are silent.
    """
    frames = max(1, round(FADE_S * sample_rate_hz))
    rise = np.linspace(0, 1, frames, dtype=np.float32)[:, None]
    done = 0
    for low_s, high_s in recorded.spans_s:
        low, high = (round((at_s - start_s) * sample_rate_hz) for at_s in (low_s, high_s))
        low, high = max(0, low), min(len(samples), high)
        if high - low < 2 * frames:
            continue
        samples[done:low] = 0
        samples[low : low + frames] *= rise
        samples[high - frames : high] *= rise[::-1]
        done = high
    samples[done:] = 0
