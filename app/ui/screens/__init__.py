"""Screens other than practise, logbook and help: board, sound and taps, settings, first run."""
