"""Simulated learners, for the demonstration and for tests. What they do is always labelled simulated.

Each goes the way of a person: it is given a trial and answers in seconds from the start of the sound, in words, or
both. Those that "know" the truth are told it; they stand for a learner of known habit, not for a listener: what they
get wrong follows from the habit, and what that is worth is left to the marking.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType

import numpy as np

from exercises.drills import drill
from exercises.trial.trial import Answer, Kind, Trial
from synth.base.arrays import Seconds
from synth.base.errors import Trouble, near

Learner = Callable[[Trial, np.random.Generator], Answer]

# The hand of somebody who keeps time well (trained people: 10 to 20 ms; from memory, low confidence).
HAND_MS = 15.0


def perfect(trial: Trial, rng: np.random.Generator) -> Answer:
    """Taps every target on its instant, and says what is right."""
    return Answer(trial.targets_s, trial.expected)


def shifted(by_ms: float, spread_ms: float = 0.0) -> Learner:
    """Taps every target ``by_ms`` off (early negative), with normal errors of SD ``spread_ms`` about that."""

    def learner(trial: Trial, rng: np.random.Generator) -> Answer:
        errors_ms = by_ms + spread_ms * rng.standard_normal(len(trial.targets_s))
        return _taps(trial.targets_s + errors_ms / 1000, trial.expected)

    return learner


def drifting(share: float, spread_ms: float = 0.0, from_ms: float = 0.0) -> Learner:
    """Goes at a tempo of their own from the first target on: ``share`` slower than the drums (faster: negative)."""

    def learner(trial: Trial, rng: np.random.Generator) -> Answer:
        errors_s = (from_ms + spread_ms * rng.standard_normal(len(trial.targets_s))) / 1000
        if not len(trial.targets_s):
            return Answer(value=trial.expected)
        gone_s = trial.targets_s - trial.targets_s[0]
        return _taps(trial.targets_s + share * gone_s + errors_s, trial.expected)

    return learner


def counting_late(beats: int, bars: int = 0, spread_ms: float = HAND_MS) -> Learner:
    """Counts steadily, but has the one ``beats`` beats and ``bars`` bars too late (early: negative)."""

    def learner(trial: Trial, rng: np.random.Generator) -> Answer:
        late = beats + bars * _per_bar(trial)
        errors_s = spread_ms / 1000 * rng.standard_normal(len(trial.targets_s))
        return _taps(trial.targets_s + late * trial.period_s + errors_s, _said(trial, lambda row: row - late))

    return learner


def on_beat(beat: int, spread_ms: float = HAND_MS) -> Learner:
    """Takes another beat of the bar for the one: steadily on the three, for example."""
    return counting_late(beat - 1, spread_ms=spread_ms)


def half_time(trial: Trial, rng: np.random.Generator) -> Answer:
    """Taps every second target, and counts at half speed."""
    taps_s = trial.targets_s[::2]
    return _taps(taps_s + HAND_MS / 1000 * rng.standard_normal(len(taps_s)), _said(trial, lambda row: row // 2, 2.0))


def every_beat(trial: Trial, rng: np.random.Generator) -> Answer:
    """Taps every beat of the bar, whatever was asked for."""
    beats_s = trial.count.beats_s
    return _taps(beats_s + HAND_MS / 1000 * rng.standard_normal(len(beats_s)), trial.expected)


def deaf_to_depth(trial: Trial, rng: np.random.Generator) -> Answer:
    """Hears beats and turns, but cannot tell the deep drum: any beat may be the one, and any drum the low one."""
    if trial.drill == "drum":
        return Answer(value=_lot(trial, rng))
    return counting_late(int(rng.integers(_per_bar(trial))))(trial, rng)


def deaf_to_turns(trial: Trial, rng: np.random.Generator) -> Answer:
    """Has every one, but does not hear phrases turn: any bar of a phrase may be its first, its length is a lot."""
    if trial.drill in ("intro", "odd-phrase"):
        return Answer(value=_lot(trial, rng))
    bars = int(rng.integers(trial.truth().phrase_bars))
    phrasal = len(trial.targets_s) == 0 or np.isin(np.round(trial.targets_s, 6), _turns_s(trial)).all()
    return counting_late(0, bars=bars if phrasal or trial.drill == "land" else 0)(trial, rng)


def at_random(trial: Trial, rng: np.random.Generator) -> Answer:
    """As many taps as there are targets (one, where a press starts a record), anywhere in the sound; words by lot."""
    presses = 1 if trial.entry is not None else len(trial.targets_s)
    start_s, end_s = float(trial.count.beats_s[0]), trial.count.end_s
    return _taps(rng.uniform(start_s, end_s, presses), _lot(trial, rng))


def silent(trial: Trial, rng: np.random.Generator) -> Answer:
    """Does nothing."""
    return Answer()


LEARNERS: Mapping[str, Learner] = MappingProxyType(
    {
        "perfect": perfect,
        "early": shifted(-30.0),
        "beginner": shifted(-35.0, 25.0),
        "noisy": shifted(0.0, 25.0),
        "drifts": drifting(0.006, 8.0),
        "rushes": drifting(-0.03, HAND_MS),
        "on-the-three": on_beat(3),
        "bar-late": counting_late(0, bars=1),
        "half-time": half_time,
        "every-beat": every_beat,
        "deaf-to-depth": deaf_to_depth,
        "deaf-to-turns": deaf_to_turns,
        "random": at_random,
        "silent": silent,
    }
)


def simulate(name: str, trial: Trial, seed: int = 0) -> Answer:
    """The answer of a simulated learner by name; ``Trouble`` with the near ones where there is none."""
    if name not in LEARNERS:
        raise Trouble(f"There is no simulated learner {name!r}.{near(name, LEARNERS)}")
    return LEARNERS[name](trial, np.random.default_rng([seed, trial.seed, trial.rung]))


def _taps(taps_s: Seconds, value: str | float | None = None) -> Answer:
    return Answer(np.sort(taps_s), value)


def _per_bar(trial: Trial) -> int:
    return int(trial.count.beat_in_bar.max())


def _turns_s(trial: Trial) -> Seconds:
    return np.round(trial.count.phrase_starts_s, 6)


def _said(trial: Trial, heard: Callable[[int], int], slower: float = 1.0) -> str | float | None:
    """What somebody says whose count of the beats of a phrase (rows from 0) is not the true one.

    ``slower``: how many times slower they count, which makes tempos lower and lengths shorter.
    """
    truth, per_bar = trial.expected, _per_bar(trial)
    asked = trial.then if trial.kind in (Kind.TAPS, Kind.PRESS) else trial.kind
    if asked is Kind.POSITION:
        bar, beat = map(int, str(truth).split("."))
        row = heard((bar - 1) * per_bar + beat - 1) % (trial.truth().phrase_bars * per_bar)
        return f"{row // per_bar + 1}.{row % per_bar + 1}"
    if trial.drill == "stopped-beat":
        return str(heard(int(str(truth)) - 1) % per_bar + 1)
    if trial.drill == "intro":
        # The first bars that are missed are missing in the end; the beats are counted from the first one on.
        return float(str(truth)) / slower + heard(0) // per_bar
    if asked is Kind.NUMBER:
        return float(str(truth)) / slower
    return truth


def _lot(trial: Trial, rng: np.random.Generator) -> str | float | None:
    """One of the answers that there are, by lot; None where nothing is asked."""
    known = drill(trial.drill).answers(trial)
    return known[int(rng.integers(len(known)))] if known else None
