"""What is taken for what: beats, answers, and the place in the phrase where the count is lost."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from statistics import NormalDist

from exercises.logbook.record import Mode
from exercises.logbook.store import Logbook
from exercises.words import Say, Template

# How many of the latest trials are looked at: some weeks of one drill.
LATEST = 200
# What is looked at in a result.
KEYS = ("beat_tapped", "phrase_hits", "given", "expected", "right")
# A mistake is told from this share of the trials on, and from this many of them.
TOLD_SHARE, TOLD_TRIALS = 0.15, 3

ONE = {
    2: Template("What you take for the one is most often the two, in {percent} % of your taps."),
    3: Template("What you take for the one is most often the three, in {percent} % of your taps."),
    4: Template("What you take for the one is most often the four, in {percent} % of your taps."),
}
ANSWER = Template("You most often said {given} where it was {expected}: {n} of {asked} times.")
LOST = Template("The count is lost most often in bar {bar} of the phrase: {percent} % of its beats are missed there.")
NONE = Template("No mistake stands out.")


@dataclass(frozen=True, slots=True)
class Mistakes:
    """The latest trials of a drill.

    ``beat_tapped``: beat of the bar -> mean share of the taps nearest to it, in drills that ask for the one.
    ``said``: (expected, given) -> how often, wrong answers alone. ``missed``: bar of the phrase -> (targets, missed).
    """

    trials: int
    beat_tapped: Mapping[int, float]
    said: Mapping[tuple[str, str], int]
    missed: Mapping[int, tuple[int, int]]
    verdict: tuple[Say, ...]

    @property
    def told(self) -> bool:
        """Whether a mistake stands out."""
        return self.verdict != (NONE(),)


def mistakes(logbook: Logbook, learner: str, drill: str, latest: int = LATEST) -> Mistakes:
    """What went wrong in the latest trials of a drill."""
    # Only what is looked at: to read the verdicts' words as well would take twice as long.
    paths = ", ".join(f"'$.{key}'" for key in KEYS)
    rows = logbook.rows(
        f"SELECT json_extract(result, {paths}) FROM trials"
        " WHERE learner = (SELECT id FROM learners WHERE name = ?) AND drill = ?"
        f" AND result IS NOT NULL AND mode != '{Mode.BUSY.value}' ORDER BY at DESC LIMIT ?",
        (learner, drill, latest),
    )
    beats: Counter[int] = Counter()
    tapped = 0
    said: Counter[tuple[str, str]] = Counter()
    asked = 0
    targets: Counter[int] = Counter()
    met: Counter[int] = Counter()
    for (text,) in rows:
        shares, bars, given, expected, right = json.loads(text)
        shares = shares or {}
        tapped += bool(shares)
        for beat, share in shares.items():
            beats[int(beat)] += share
        for bar, (there, hit) in (bars or {}).items():
            targets[int(bar)] += there
            met[int(bar)] += hit
        asked += expected is not None
        if given is not None and expected is not None and not right:
            said[str(expected), str(given)] += 1
    found = Mistakes(
        trials=len(rows),
        beat_tapped={beat: share / tapped for beat, share in sorted(beats.items())},
        said=dict(said.most_common()),
        missed={bar: (targets[bar], targets[bar] - met[bar]) for bar in sorted(targets)},
        verdict=(),
    )
    return Mistakes(
        found.trials, found.beat_tapped, found.said, found.missed, tuple(_verdict(found, drill, tapped, asked))
    )


def _verdict(found: Mistakes, drill: str, tapped: int, asked: int) -> list[Say]:
    says = []
    others = {beat: share for beat, share in found.beat_tapped.items() if beat in ONE}
    if drill == "one" and others and tapped >= TOLD_TRIALS:
        beat = max(others, key=lambda each: others[each])
        if others[beat] >= TOLD_SHARE:
            says.append(ONE[beat](percent=round(100 * others[beat])))
    if found.said:
        (expected, given), n = next(iter(found.said.items()))
        if n >= max(TOLD_TRIALS, TOLD_SHARE * asked) and drill != "one":
            says.append(ANSWER(given=given, expected=expected, n=n, asked=asked))
    bar = _lost(found.missed)
    if bar is not None:
        there, missed = found.missed[bar]
        says.append(LOST(bar=bar, percent=round(100 * missed / there)))
    return says or [NONE()]


def _lost(missed: Mapping[int, tuple[int, int]]) -> int | None:
    """The bar in which more is missed than in the others together, if that is hardly chance.

    z of two shares, pooled, at 1 % for all the bars together. Beats of one trial are not quite independent.
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
