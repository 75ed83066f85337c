"""Groups of grooves that keep one promise, from which rungs draw."""

# A kick on every beat, a sharp drum on two and four; around 120 BPM.
FOURS = ("four-on-the-floor", "disco", "deep-house", "latin-house", "afro-house", "dry-four")
# Kick on one and three, snare on two and four: they take turns; 92 to 120 BPM.
TAKING_TURNS = ("backbeat", "soul", "straight-eights", "shuffle")
# The second kick of the bar comes before or after the three; 120 to 132 BPM.
EARLY_OR_LATE = ("broken-beat", "electro", "chopped-break", "two-step")
# The backbeat stands on the three; 126 to 146 BPM.
HALF_TIMES = ("half-time", "trap", "half-step")
# Those of house and its neighbours with others between.
MIXED = (*FOURS, "backbeat", "electro", "techno")
