"""Simulated learners, for the demonstration and for tests. What they do is always labelled simulated.

Each goes the way of a person: it is given a trial and answers in seconds from the start of the sound. Those that
"know" the truth are told it; they stand for a learner of known habit, not for a listener.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType

import numpy as np

from exercises.trial import Answer, Trial
from synth.errors import Trouble, near
from synth.metre import Seconds

Learner = Callable[[Trial, np.random.Generator], Answer]


def perfect(trial: Trial, rng: np.random.Generator) -> Answer:
    """Taps every target on its instant."""
    return Answer(trial.targets_s)


def shifted(by_ms: float, spread_ms: float = 0.0) -> Learner:
    """Taps every target ``by_ms`` off (early negative), with normal errors of SD ``spread_ms`` about that."""

    def learner(trial: Trial, rng: np.random.Generator) -> Answer:
        errors_ms = by_ms + spread_ms * rng.standard_normal(len(trial.targets_s))
        return _taps(trial.targets_s + errors_ms / 1000)

    return learner


def on_beat(beat: int, spread_ms: float = 15.0) -> Learner:
    """Takes another beat of the bar for the one: steadily on the three, for example."""

    def learner(trial: Trial, rng: np.random.Generator) -> Answer:
        off_s = (beat - 1) * trial.period_s
        return _taps(trial.targets_s + off_s + spread_ms / 1000 * rng.standard_normal(len(trial.targets_s)))

    return learner


def half_time(trial: Trial, rng: np.random.Generator) -> Answer:
    """Taps every second target."""
    return _taps(trial.targets_s[::2] + 0.015 * rng.standard_normal(len(trial.targets_s[::2])))


def every_beat(trial: Trial, rng: np.random.Generator) -> Answer:
    """Taps every beat of the bar."""
    beats_s = trial.count.beats_s
    return _taps(beats_s + 0.015 * rng.standard_normal(len(beats_s)))


def at_random(trial: Trial, rng: np.random.Generator) -> Answer:
    """As many taps as there are targets, anywhere in the sound; a choice by lot."""
    value = trial.choices[int(rng.integers(len(trial.choices)))].key if trial.choices else None
    start_s, end_s = float(trial.count.beats_s[0]), trial.count.end_s
    return Answer(np.sort(rng.uniform(start_s, end_s, len(trial.targets_s))), value)


def silent(trial: Trial, rng: np.random.Generator) -> Answer:
    """Does nothing."""
    return Answer()


LEARNERS: Mapping[str, Learner] = MappingProxyType(
    {
        "perfect": perfect,
        "early": shifted(-30.0),
        "beginner": shifted(-35.0, 25.0),
        "noisy": shifted(0.0, 25.0),
        "on-the-three": on_beat(3),
        "half-time": half_time,
        "every-beat": every_beat,
        "random": at_random,
        "silent": silent,
    }
)


def simulate(name: str, trial: Trial, seed: int = 0) -> Answer:
    """The answer of a simulated learner by name; ``Trouble`` with the near ones where there is none."""
    if name not in LEARNERS:
        raise Trouble(f"There is no simulated learner {name!r}.{near(name, LEARNERS)}")
    return LEARNERS[name](trial, np.random.default_rng([seed, trial.seed]))


def _taps(taps_s: Seconds) -> Answer:
    return Answer(np.sort(taps_s))
