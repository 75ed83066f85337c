"""Trials of before: opened and marked again from their own truth."""
