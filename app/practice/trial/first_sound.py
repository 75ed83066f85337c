"""How much of the silence before a trial's first sound is played: nobody waits for it."""

import numpy as np

from synth.base.arrays import Samples

# Silence that is played before the first sound, in s. The player takes 0.1 s before it and an output up to 0.15 s, so
# that the first sound is heard 0.57 s after its key at the latest.
LEAD_S = 0.3
# Softer than this is silence: -80 dB of full scale.
SILENT = 1e-4


def silent_s(samples: Samples, rate_hz: int) -> float:
    """Seconds before the first audible sample; 0 where there is none."""
    for first in range(0, 10 * rate_hz, rate_hz):  # most begin within two seconds
        loud = np.abs(samples[first : first + rate_hz]) > SILENT
        if loud.any():
            return (first + int(np.argmax(loud.any(axis=1) if loud.ndim > 1 else loud))) / rate_hz
    return 0.0


def skipped_s(samples: Samples, rate_hz: int) -> float:
    """Seconds at the beginning of samples that are not played."""
    return max(0.0, silent_s(samples, rate_hz) - LEAD_S)
