"""Ways in: keys, mouse and touch, MIDI, a microphone, and what lag each has."""
