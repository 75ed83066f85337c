"""The board: a loop of drums, bass and chords to teach with."""
