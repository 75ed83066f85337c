"""Base classes of the drills: taps, choice, press, stop, taps with a value."""
