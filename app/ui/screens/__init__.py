"""Screens other than practise, logbook and help: bench, count along, settings, first run."""
