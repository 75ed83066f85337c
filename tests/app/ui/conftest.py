"""The window without sound: trials keep their length; how they sound is tested in the rooms below.

To mix a trial takes longer than to open a window.
"""

import numpy as np
import pytest

import synth.sound.mixdown
from synth.score.metre import to_frames


def silence(layers) -> np.ndarray:
    """As long as the mix of the layers would be."""
    end_s = max(layer.start_s + layer.arrangement.duration_s for layer in layers)
    return np.zeros((int(to_frames(end_s, layers[0].kit.sample_rate_hz)), 2), np.float32)


@pytest.fixture(autouse=True)
def _unheard(monkeypatch):
    monkeypatch.setattr(synth.sound.mixdown, "mixdown_together", silence)
