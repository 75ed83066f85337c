"""Measuring the lag of sound and taps, by tapping or by microphone."""
