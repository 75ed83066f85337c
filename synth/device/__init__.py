"""The one clock, the devices, the one output stream, and what a microphone hears."""
