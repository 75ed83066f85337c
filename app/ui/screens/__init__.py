"""The other screens: bench, board, settings, welcome."""
