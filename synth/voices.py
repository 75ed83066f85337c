"""The names of everything that sounds in a record; ``synth.kit`` says how each of them sounds."""

DRUMS = (
    *("kick", "snare", "clap", "rim", "closed_hat", "open_hat", "pedal_hat", "ride", "crash"),
    *("high_tom", "mid_tom", "low_tom", "shaker", "tambourine", "conga", "cowbell"),
)
SHARP_DRUMS = ("snare", "clap", "rim")
HATS = ("closed_hat", "open_hat", "ride")

# Riser and reversed crash last for the hit's duration and end on the turn; impact and down-sweep begin on it.
SWEEPS = ("riser", "down_sweep", "impact", "reversed_crash")

# One hit is one note: a chord is several hits at once.
PITCHED = ("bass", "stab", "pad", "pluck", "voice")

VOICE_NAMES = DRUMS + SWEEPS + PITCHED
INDEX = {name: at for at, name in enumerate(VOICE_NAMES)}
