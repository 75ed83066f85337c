"""What ``through`` asks, and what it says of an answer."""

from exercises.drills.through.rungs import Tapping
from exercises.trial.verdict.tap_verdict import ByCue
from synth.base.words import Template

ASKS = {
    Tapping.RETURN: (
        Template(
            "through.asks.return.one",
            "The music will fall silent for one bar. Count on, and tap only the one on which it comes back.",
        ),
        Template(
            "through.asks.return.many",
            "The music will fall silent for {n} bars. Count on, and tap only the one on which it comes back.",
        ),
    ),
    Tapping.ONES: (
        Template(
            "through.asks.ones.one",
            "The music will fall silent for one bar. Tap its one, and the one on which it comes back.",
        ),
        Template(
            "through.asks.ones.many",
            "The music will fall silent for {n} bars. Tap the one of each silent bar, and the one of the return.",
        ),
    ),
    Tapping.BEATS: (
        Template(
            "through.asks.beats.one",
            "The music will fall silent for one bar. Tap each of its beats, and the one of the return.",
        ),
        Template(
            "through.asks.beats.many",
            "The music will fall silent for {n} bars. Tap every beat of the silence, and the one of the return.",
        ),
    ),
}

ASKS_AHEAD = (
    Template(
        "through.asks.ahead.one",
        "The music will fall silent for one bar. Count on, and tap only the one after it, a beat before the music "
        "is back.",
    ),
    Template(
        "through.asks.ahead.many",
        "The music will fall silent for {n} bars. Count on, and tap only the one after them, a beat before the "
        "music is back.",
    ),
)

HAD_IT = Template("through.had_it", "You had the one after one bar of silence; the music came a beat later.")
HAD_IT_MANY = Template(
    "through.had_it_many", "You had the one after {n} bars of silence; the music came a beat later."
)
WITH_DRUMS = Template(
    "through.with_drums", "You came in one beat late, with the music. Count on, and tap the one before it is back."
)
LATE_BAR_AHEAD = Template(
    "through.late_bar.ahead", "You came in one bar late. The one to tap is right after the last silent bar."
)
LATE_BARS_AHEAD = Template(
    "through.late_bars.ahead", "You came in {n} bars late. The one to tap is right after the last silent bar."
)
BACK = Template("through.back", "You came back in together with the music, after one bar of silence.")
BACK_MANY = Template("through.back_many", "You came back in together with the music, after {n} bars of silence.")
FAST = Template(
    "through.fast", "Your count ran fast in the silence, by about {ms} ms a bar. Nod, and let the last beat ring out."
)
SLOW = Template(
    "through.slow",
    "Your count ran slow in the silence, by about {ms} ms a bar. Keep your nod as large as with the music.",
)
# Said until version 0.2.0, and kept in logbooks.
CLOCK = Template("through.clock", "Your inner beat varied by about {clock_ms} ms, your hand by about {hand_ms} ms.")
EARLY_BAR = Template(
    "through.early_bar", "You came in one bar early. Say the number of each silent bar: 1 2 3 4, 2 2 3 4."
)
EARLY_BARS = Template(
    "through.early_bars", "You came in {n} bars early. Say the number of each silent bar: 1 2 3 4, 2 2 3 4."
)
LATE_BAR = Template(
    "through.late_bar", "You came in one bar late. The music comes back on the one right after the last silent bar."
)
LATE_BARS = Template(
    "through.late_bars", "You came in {n} bars late. The music comes back on the one right after the last silent bar."
)
TURNED_ROUND = ByCue(
    Template("through.turned_round", "You came in on {beat}, half a bar off. Start your count on the kick."),
    Template(
        "through.turned_round.pattern",
        "You came in on {beat}, half a bar off. Start your count where the pattern starts again.",
    ),
    Template(
        "through.turned_round.music",
        "You came in on {beat}, half a bar off. Start your count where the bass or the chords change.",
    ),
)
EARLY_BEAT = Template(
    "through.early_beat", "You came in one beat early. Count every beat of the silence, the last bar too."
)
EARLY_BEATS = Template(
    "through.early_beats", "You came in {n} beats early. Count every beat of the silence, the last bar too."
)
LATE_BEAT = Template(
    "through.late_beat", "You came in one beat late. Tap with the music as it comes back, not after it."
)
LATE_BEATS = Template(
    "through.late_beats", "You came in {n} beats late. Tap with the music as it comes back, not after it."
)
BETWEEN = Template(
    "through.between", "Your tap fell beside the one. Keep nodding all through the silence, then tap with the nod."
)
BEFORE = Template("through.before", "Your taps came before the silence. Count on through it, and tap what is asked.")
AFTER = Template(
    "through.after",
    "Your taps came long after the music was back. Count the bars of the silence, and tap with its return.",
)
MORE_TAPS = Template(
    "through.more_taps", "You met the return, but tapped around it as well. Count, and tap only the one."
)
MORE_BEATS = Template(
    "through.more_beats", "You met the return, but tapped more than the beat. Nod, and tap once with every nod."
)
LEFT_OUT = Template(
    "through.left_out", "You met the return, but only {hits} of {targets} in all. Keep tapping through the silence."
)

SILENT_BAR, SILENT_BARS = (
    Template("through.silent_bar", "one silent bar"),
    Template("through.silent_bars", "{n} silent bars"),
)
BACK_HERE = Template("through.back_here", "the music is back")
