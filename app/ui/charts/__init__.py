"""The pictures of the logbook: one painter for the window and for the printed page."""
