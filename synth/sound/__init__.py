"""Hits to samples: the kit, mixing, loudness, the spoken count."""
