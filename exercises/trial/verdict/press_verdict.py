"""Verdicts on a press: where it fell, and advice."""

from dataclasses import dataclass

from exercises.timing.drift import HEARD_SHARE
from exercises.timing.offset import Offset
from exercises.timing.window import window_s
from synth.base.words import Say, Template

LATE, EARLY = Template("press.late", "late"), Template("press.early", "early")

ON = Template("press.on", "{on}.")
ON_MS = Template("press.on_ms", "{on}, {ms} ms {way}.")
OFF = Template("press.off", "You came in {off}.")
OFF_MS = Template("press.off_ms", "You came in {off}, then {ms} ms {way}.")
OFF_MORE = Template("press.off_more", "You came in {off}, and {ms} ms more.")
BETWEEN = Template("press.between", "Your press fell between two beats. Nod along first, and press with the nod.")
BETWEEN_OFF = Template(
    "press.between_off", "Your press fell between two beats, about {off}. Nod along first, and press with the nod."
)
CLOSE = Template("press.close", "Dancers will hardly notice.")
APART_LATE = Template(
    "press.apart_late", "The two records can be heard apart: press with the beat, not in answer to it."
)
APART_EARLY = Template("press.apart_early", "The two records can be heard apart: let the beat come to you.")
SILENT = Template(
    "press.silent", "No press came in. One press starts the second record: space bar, mouse button or a finger."
)


@dataclass(frozen=True, slots=True)
class PressWords:
    """The sentences of a drill: ``on`` without its full stop, then advice for each kind of offset.

    ``close`` and those after it are said of a right press; by default they tell of the second record that it started.
    """

    on: Template
    beat_late: Template
    beats_off: Template
    bars_off: Template
    close: Template = CLOSE
    apart_late: Template = APART_LATE
    apart_early: Template = APART_EARLY


def press_verdict(
    shown: Offset, words: PressWords, period_s: float, uncertainty_ms: float, calibrated: bool
) -> tuple[Say, ...]:
    """Where the press fell, and advice. Milliseconds only when calibrated.

    Whether they can be heard is said where the uncertainty leaves no doubt.
    """
    ms, way = round(abs(shown.ms)), LATE() if shown.ms > 0 else EARLY()
    told = calibrated and ms >= 1 and ms > uncertainty_ms
    whole = bool(shown.bars or shown.beats)
    if abs(shown.ms) > 1000 * window_s(period_s):
        return (BETWEEN_OFF(off=shown.words) if whole else BETWEEN(),)
    if not whole:
        if not told:
            return (ON(on=words.on()),)
        first, heard_ms = ON_MS(on=words.on(), ms=ms, way=way), 1000 * HEARD_SHARE * period_s
        if abs(shown.ms) + uncertainty_ms <= heard_ms:
            return first, words.close()
        if abs(shown.ms) - uncertainty_ms > heard_ms:
            return first, words.apart_late() if shown.ms > 0 else words.apart_early()
        return (first,)
    if not told:
        first = OFF(off=shown.words)
    elif (shown.ms > 0) is (shown.bars + shown.beats > 0):
        first = OFF_MORE(off=shown.words, ms=ms)
    else:
        first = OFF_MS(off=shown.words, ms=ms, way=way)
    if (shown.bars, shown.beats) == (0, 1):
        return first, words.beat_late()
    return first, (words.beats_off() if shown.beats else words.bars_off())
