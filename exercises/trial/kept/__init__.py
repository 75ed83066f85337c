"""A trial in files and in the logbook: its record, and its own truth in short form."""
