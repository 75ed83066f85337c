"""Grids as files that a person has or gives: beats as text, JAMS, and those of a class without its music."""
