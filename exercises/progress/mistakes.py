"""Confusions between beats and between answers, and where in the phrase the count is lost."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from statistics import NormalDist

from exercises.drills import drills, rung_now
from exercises.logbook.store import Logbook
from exercises.trial.modes import Mode
from exercises.trial.trial import LOST_COUNT
from synth.base.errors import Trouble
from synth.base.words import Say, Template, say

# Latest trials considered: some weeks of one drill.
LATEST = 200
# Keys read from a result.
KEYS = ("beat_tapped", "phrase_hits", "given", "expected", "right")
# Least share and number of trials of a reported mistake.
TOLD_SHARE, TOLD_TRIALS = 0.15, 3

ONE = {
    2: Template("mistakes.one.2", "When you miss the one, you are mostly on the two: {percent} % of all taps."),
    3: Template("mistakes.one.3", "When you miss the one, you are mostly on the three: {percent} % of all taps."),
    4: Template("mistakes.one.4", "When you miss the one, you are mostly on the four: {percent} % of all taps."),
    5: Template("mistakes.one.5", "When you miss the one, you are mostly on the five: {percent} % of all taps."),
}
ANSWER = Template(
    "mistakes.answer",
    "You said {given} where it was {expected}, in {n} of {asked} answers. Before you say {given}, compare the two.",
)
LOST = Template(
    "mistakes.lost",
    "The count is lost most often in bar {bar} of the phrase: {percent} % of the targets there "
    "are missed. Keep counting through that bar.",
)
NONE = Template("mistakes.none", "No mistake stands out.")


@dataclass(frozen=True, slots=True)
class Mistakes:
    """Mistakes in the latest trials of a drill.

    ``beat_tapped``: beat of the bar -> mean share of taps nearest to it. ``said``: (expected, given) -> number of
    wrong answers, by the words of the answers, as the meaning of a key may change between rungs; ``words`` has these
    words for translation. ``missed``: bar of the phrase -> (targets, missed).
    ``verdict``: the mistakes that stand out.
    """

    trials: int
    beat_tapped: Mapping[int, float]
    said: Mapping[tuple[str, str], int]
    words: Mapping[str, Say]
    missed: Mapping[int, tuple[int, int]]
    verdict: tuple[Say, ...] = ()

    @property
    def says(self) -> tuple[Say, ...]:
        """The verdict, or that no mistake stands out."""
        return self.verdict or (NONE(),)


def mistakes(logbook: Logbook, learner: str, drill: str, latest: int = LATEST) -> Mistakes:
    """Mistakes in the latest trials of a drill, those on recordings apart."""
    # Reading the verdicts as well would take twice as long.
    paths = ", ".join(f"'$.{key}'" for key in KEYS)
    rows = logbook.rows(
        f"SELECT rung_id, groove, json_extract(result, {paths}) FROM trials"
        " WHERE learner = ? AND drill = ? AND recording IS NULL"
        f" AND json_extract(result, '$.right') IS NOT NULL AND mode != '{Mode.BUSY.value}' ORDER BY at DESC LIMIT ?",
        (logbook.number(learner), drill, latest),
    )
    beats: Counter[int] = Counter()
    tapped = 0
    said: Counter[tuple[str, str]] = Counter()
    words: dict[str, Say] = {}
    asked = 0
    targets: Counter[int] = Counter()
    met: Counter[int] = Counter()
    for rung_id, groove, text in rows:
        shares, bars, given, expected, right = json.loads(text)
        shares = shares or {}
        tapped += bool(shares)
        for beat, share in shares.items():
            beats[int(beat)] += share
        for bar, (there, hit) in (bars or {}).items():
            targets[int(bar)] += there
            met[int(bar)] += hit
        asked += expected is not None
        if given not in (None, LOST_COUNT) and expected is not None and not right:
            pair = tuple(_words(drill, rung_now(drill, rung_id), groove, answer) for answer in (expected, given))
            words |= {str(each): each for each in pair}
            said[str(pair[0]), str(pair[1])] += 1
    found = Mistakes(
        trials=len(rows),
        beat_tapped={beat: share / tapped for beat, share in sorted(beats.items())},
        said=dict(said.most_common()),
        words=words,
        missed={bar: (targets[bar], targets[bar] - met[bar]) for bar in sorted(targets)},
    )
    return replace(found, verdict=tuple(_verdict(found, drill, tapped, asked)))


def _words(drill: str, rung: int | None, groove: str, answer: str | float) -> Say:
    """An answer as the learner read it: the words of the choice, or the number without a trailing ".0"."""
    rungs = drills()[drill].rungs
    # Choices depend on the rung, and on the metre where another groove was requested.
    wish = None if rung is not None and groove in rungs[rung - 1].grooves else groove
    found = _choices(drill, rung, wish).get(answer) if isinstance(answer, str) and rung is not None else None
    return found or say(str(answer).removesuffix(".0"))


@lru_cache(maxsize=256)
def _choices(drill: str, rung: int, groove: str | None) -> Mapping[str, Say]:
    """Key -> words of the choices on a rung; empty where there are none, or rung or groove no longer exist."""
    try:
        return {choice.key: choice.say for choice in drills()[drill].make(rung, 1, groove=groove).choices}
    except (Trouble, ValueError):
        return {}


def _verdict(found: Mistakes, drill: str, tapped: int, asked: int) -> list[Say]:
    says = []
    others = {beat: share for beat, share in found.beat_tapped.items() if beat != 1}
    if drill == "one" and others and tapped >= TOLD_TRIALS:
        beat = max(others, key=lambda each: others[each])
        if beat in ONE and others[beat] >= TOLD_SHARE and 2 * others[beat] > sum(others.values()):
            says.append(ONE[beat](percent=round(100 * others[beat])))
    if found.said:
        (expected, given), n = next(iter(found.said.items()))
        if n >= max(TOLD_TRIALS, TOLD_SHARE * asked) and drill != "one":
            told = {"given": found.words[given], "expected": found.words[expected]}
            says.append(ANSWER(**told, n=n, asked=asked))
    bar = _lost(found.missed)
    if bar is not None:
        there, missed = found.missed[bar]
        says.append(LOST(bar=bar, percent=round(100 * missed / there)))
    return says


def _lost(missed: Mapping[int, tuple[int, int]]) -> int | None:
    """The bar in which significantly more is missed than in the others together.

    z test of two pooled shares, at 1 % for all bars together. Beats of one trial are not quite independent.
    """
    total, lost = (sum(each[part] for each in missed.values()) for part in (0, 1))
    best, best_z = None, NormalDist().inv_cdf(1 - 0.01 / max(1, len(missed)))
    for bar, (there, gone) in missed.items():
        rest, rest_gone = total - there, lost - gone
        if not there or not rest:
            continue
        pooled = lost / total
        spread = (pooled * (1 - pooled) * (1 / there + 1 / rest)) ** 0.5
        z = (gone / there - rest_gone / rest) / spread if spread else 0.0
        if z > best_z:
            best, best_z = bar, z
    return best
