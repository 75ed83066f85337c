"""The logbook screen, its charts and the printed page."""
