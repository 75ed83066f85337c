"""Inputs: keys, mouse and touch, MIDI, microphone, and their latencies."""
