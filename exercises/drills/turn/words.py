"""What ``turn`` says of an answer."""

from synth.base.words import Template

NONE_CAME = Template("turn.none_came", "No press came in. Press once, on the first beat of every new phrase.")
BEFORE = Template(
    "turn.before", "Your presses came before the turns that count. Press on every turn after the first."
)
AFTER = Template("turn.after", "Your presses came when the music had stopped. Press while it sounds.")
HAD_ALL = Template("turn.had_all", "You caught every turn: {hits} of {targets}.")
HAD_ONE = Template("turn.had_one", "You caught the turn.")
HAD_MOST = Template("turn.had_most", "You caught {hits} of {targets}.")
EXTRA_PRESSES = Template("turn.extra.one", "one press too many"), Template("turn.extra.many", "{n} presses too many")
ONE_AND = Template("turn.one_and", "You caught the turn, with {extra}.")
HAD_NONE = Template("turn.had_none", "None of your presses met a turn.")
LENGTH = Template("turn.length", "The phrases are {n} bars long.")
OFF_ONE = Template("turn.off_one", "You were {off}.")
OFF_ABOUT = Template("turn.off_about", "Your presses came about {off}.")
AT_FALSE_FILL = Template(
    "turn.at_false_fill", "You pressed at the fill: it was in mid-phrase. Count on to the end of the {n} bars."
)
AT_FALSE_TURN = Template(
    "turn.at_false_turn", "You pressed at the crash: it was in mid-phrase. Count on to the end of the {n} bars."
)
EVERY_FEW = Template(
    "turn.every_few", "You pressed every {k} bars. These phrases are {n} bars long: count on to the end."
)
EVERY_BAR = Template("turn.every_bar", "You pressed in every bar. A phrase is longer: these turn after {n} bars.")
OFTEN = Template(
    "turn.often", "You pressed far more often than the phrases turn. Press only when {n} bars have passed."
)
STEADILY_EARLY = Template(
    "turn.steadily_early",
    "You were mostly {off}: press on the first beat after the last bar of the phrase.",
)
STEADILY_LATE = Template(
    "turn.steadily_late", "You were mostly {off}: count the bars, then the turn cannot surprise you."
)
MISSED_SILENT = Template(
    "turn.missed_silent", "One turn came without a sign. Only the count finds it: these phrases are {n} bars long."
)
COUNT_BARS = Template("turn.count_bars", "Count the bars, a number on every one: these phrases turn after {n}.")
