"""Latency of the equipment: measured by tapping or by microphone."""
