"""The common clock, sound devices, the output stream, and onsets heard by a microphone."""
