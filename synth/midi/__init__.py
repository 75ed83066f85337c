"""Standard MIDI Files, written and read."""
