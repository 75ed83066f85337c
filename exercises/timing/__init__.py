"""Comparison of taps with targets: matching, asynchrony, circular statistics, drift. Arrays in, numbers out."""
