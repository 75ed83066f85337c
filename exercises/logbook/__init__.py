"""The logbook: its file, schema, opening and repair, history, import and export, re-marking."""
