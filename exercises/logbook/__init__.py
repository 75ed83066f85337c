"""The logbook: the record of practice."""
