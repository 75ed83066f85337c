"""The law of the volume slider."""

# The slider's top is full scale of the player; its length covers 40 dB.
VOLUME_RANGE_DB = 40.0


def gain_of(volume: int) -> float:
    """Linear gain for a slider position of 0 to 100; 0 is silence."""
    return 0.0 if volume == 0 else 10 ** ((volume - 100) / 100 * VOLUME_RANGE_DB / 20)
