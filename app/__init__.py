"""The window and the commands. Qt lives in this package alone."""
