"""What ``beat`` says of taps."""

from exercises.trial.verdict.tap_verdict import TapWords
from synth.base.words import Template

WORDS = TapWords(
    had_all=Template("beat.had_all", "You had every beat: {targets} of {targets}."),
    had_most=Template("beat.had_most", "You had the beat: {hits} of {targets}."),
    stopped=Template("beat.stopped", "You had the beat: {hits} of {targets}. You stopped {n} beats before the end."),
    late_in=Template("beat.late_in", "The first {n} beats went by before you were in."),
    lost=Template("beat.lost", "You lost it for the last {n} beats. Keep nodding, even where the music changes."),
    only=Template("beat.only", "Tap once on every beat."),
    # With all beats as targets no tap is on a wrong beat; half and double time have their own sentences.
    astray=Template(
        "beat.astray",
        "Your taps were in time, but some beats had no tap, or several. Tap once on every beat.",
    ),
)
