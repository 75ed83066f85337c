"""What ``one`` says of taps: on which beat of the bar they fell, and where the one is."""

from exercises.trial.verdict.tap_verdict import ByCue, TapWords
from synth.base.words import Template

AGAIN = Template("one.beat.0", "You were on {beat}. Listen for where the pattern starts again.")
ASTRAY = Template(
    "one.astray.plain", "Your taps were in time, but on changing beats. Count aloud, and tap only when you say 1."
)
ALIKE = Template(
    "one.beat.alike",
    "You were on {beat}. The drums are alike there: listen for the bass or the chords, which change on the one.",
)
WORDS = TapWords(
    had_all=Template("one.had_all", "You had the one every time: {targets} of {targets}."),
    had_most=Template("one.had_most", "You had the one: {hits} of {targets}."),
    stopped=Template("one.stopped", "You had the one: {hits} of {targets}. You stopped {n} bars before the end."),
    late_in=Template("one.late_in", "The first {n} went by before you found it."),
    lost=Template("one.lost", "You lost it for the last {n}. Keep counting, even where the music changes."),
    every_second=Template(
        "one.every_second", "You had the one of every second bar. Every bar has a one: tap each of them."
    ),
    every_beat=Template("one.every_beat", "You tapped every beat. Count them, and tap only when you say 1."),
    twice=Template("one.twice", "You tapped twice a bar, on {beats}. Tap only where the count starts."),
    other_beat={
        0: ByCue(AGAIN, AGAIN, ALIKE),
        2: ByCue(
            Template("one.beat.2", "You were on {beat}. The one comes one beat earlier, on the kick."),
            Template("one.beat.2.plain", "You were on {beat}. The one comes one beat earlier."),
            ALIKE,
        ),
        3: ByCue(Template("one.beat.3", "You were on {beat}. Start your count on the kick."), AGAIN, ALIKE),
        -1: ByCue(
            Template("one.beat.last", "You were on {beat}. Wait one beat more, for the kick."),
            Template("one.beat.last.plain", "You were on {beat}. Wait one beat more."),
            ALIKE,
        ),
    },
    only=Template("one.only", "Tap only the one."),
    moved=Template(
        "one.moved",
        "You started on {first} and ended on {second}. Keep counting; the one does not move.",
    ),
    astray=ByCue(
        Template(
            "one.astray",
            "Your taps were in time, but on changing beats. Count aloud, and let 1 fall on the kick.",
        ),
        ASTRAY,
        ASTRAY,
    ),
)
