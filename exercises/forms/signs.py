"""What announced the turns of a trial, in words and as marks on its count sheet."""

from collections.abc import Collection

from exercises.trial.sheet_marks import Shape, SheetMark
from exercises.trial.trial import Trial
from synth.base.words import Say, Template
from synth.score.arranging.turns import Signal
from synth.score.departures import Departure

# In the order in which they are heard: those before the turn, then those on it.
SIGNS = {
    Signal.RISER: Template("sign.riser", "a rising noise"),
    Signal.FILTER: Template("sign.filter", "a closing filter"),
    Signal.ROLL: Template("sign.roll", "a snare roll"),
    Signal.BAR_WITHOUT_DRUMS: Template("sign.bar_without_drums", "a bar without drums"),
    Signal.FILL: Template("sign.fill", "a fill"),
    Signal.BEAT_WITHOUT_DRUMS: Template("sign.beat_without_drums", "a beat without drums"),
    Signal.REVERSED_CRASH: Template("sign.reversed_crash", "a crash played backwards"),
    Signal.CRASH: Template("sign.crash", "a crash"),
    Signal.IMPACT: Template("sign.impact", "a boom"),
    Signal.DOWN_SWEEP: Template("sign.down_sweep", "a falling noise"),
    Signal.ECHO: Template("sign.echo", "an echo"),
    Signal.BASS_IN: Template("sign.bass_in", "the bass came in"),
    Signal.LAYER_IN: Template("sign.layer_in", "more came in"),
    Signal.LAYER_OUT: Template("sign.layer_out", "something went"),
    Signal.HAT_CHANGE: Template("sign.hat_change", "the hats changed"),
}
# The plainest of several, of which ``MOST`` are named.
PLAINEST = (
    *(Signal.CRASH, Signal.FILL, Signal.ROLL, Signal.BAR_WITHOUT_DRUMS, Signal.BEAT_WITHOUT_DRUMS, Signal.BASS_IN),
    *(Signal.RISER, Signal.IMPACT, Signal.LAYER_IN, Signal.LAYER_OUT, Signal.REVERSED_CRASH, Signal.FILTER),
    *(Signal.DOWN_SWEEP, Signal.ECHO, Signal.HAT_CHANGE),
)
MOST = 2
THEN = Template("sign.then", "{first}, then {second}")
NO_SIGN = Template("sign.none", "no sign")
MISLEADING = {
    Departure.FALSE_FILL: Template("sign.false_fill", "a fill, but no turn"),
    Departure.FALSE_TURN: Template("sign.false_turn", "a crash, but no turn"),
}


def signs(signals: Collection[str]) -> Say:
    """The signs of a turn in words, the plainest two in the order in which they are heard."""
    plainest = [each for each in PLAINEST if each in signals][:MOST]
    named = [SIGNS[each]() for each in SIGNS if each in plainest]
    if not named:
        return NO_SIGN()
    return named[0] if len(named) == 1 else THEN(first=named[0], second=named[1])


def turn_marks(trial: Trial) -> list[SheetMark]:
    """A flag at every turn within the sound, with its signs where they were kept, and at what misled.

    Of a recording nobody knows what announces its turns.
    """
    count, truth = trial.count, trial.truth()
    known = truth.turns if trial.recorded is None else ()
    told = {round(turn.time_s, 3): signs(turn.signals) for turn in known}
    begun_s = float(count.beats_s[0]) + 1e-6
    marks = [SheetMark(Shape.FLAG, at_s, told.get(round(at_s, 3))) for at_s in count.turns_s.tolist()]
    marks += [
        SheetMark(Shape.FLAG, odd.start_s, MISLEADING[Departure(odd.kind)]())
        for odd in truth.exceptions
        if odd.kind in MISLEADING and odd.start_s > begun_s
    ]
    return marks
