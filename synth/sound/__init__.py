"""Hits to samples: drum kit, mixing, loudness, limiter, spoken count."""
