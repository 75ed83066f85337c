"""Bins of a sound, each with an energy and a peak, and windows of some bins that are weighed at once."""

# Seconds of a bin, and of a window.
BIN_S, WINDOW_S = 0.02, 0.1
# Bins of a window.
TOGETHER = round(WINDOW_S / BIN_S)


def frames_of_bin(sample_rate_hz: int) -> int:
    """Frames of a bin."""
    return round(BIN_S * sample_rate_hz)
