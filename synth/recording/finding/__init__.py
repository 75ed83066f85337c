"""The grid of a recording, from its sound: tempo, phase, the one, phrases, steadiness."""
