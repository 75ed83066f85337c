"""Simulated learners, for the demonstration and for tests; their trials are labelled simulated.

Each answers a trial in seconds from the start of the sound, in words, or both. They know the truth and represent a
habit, not hearing: their errors follow from the habit, and are left to the marking.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType

import numpy as np

from exercises.drills import drill
from exercises.trial.trial import Answer, Kind, Trial
from synth.base.arrays import Seconds
from synth.base.draws import seeded
from synth.base.errors import Trouble, near

Learner = Callable[[Trial, np.random.Generator], Answer]

# Spread of a good timekeeper in ms (trained people: 10 to 20 ms; from memory, low confidence).
HAND_MS = 15.0


def perfect(trial: Trial, rng: np.random.Generator) -> Answer:
    """Taps every target exactly and answers correctly."""
    return Answer(trial.targets_s, trial.expected)


def shifted(by_ms: float, spread_ms: float = 0.0) -> Learner:
    """Taps every target ``by_ms`` off (early negative) with normal errors of SD ``spread_ms``."""

    def learner(trial: Trial, rng: np.random.Generator) -> Answer:
        errors_ms = by_ms + spread_ms * rng.standard_normal(len(trial.targets_s))
        return _taps(trial.targets_s + errors_ms / 1000, trial.expected)

    return learner


def drifting(share: float, spread_ms: float = 0.0, from_ms: float = 0.0) -> Learner:
    """Keeps a tempo of their own from the first target on, ``share`` slower (negative: faster)."""

    def learner(trial: Trial, rng: np.random.Generator) -> Answer:
        errors_s = (from_ms + spread_ms * rng.standard_normal(len(trial.targets_s))) / 1000
        if not len(trial.targets_s):
            return Answer(value=trial.expected)
        gone_s = trial.targets_s - trial.targets_s[0]
        return _taps(trial.targets_s + share * gone_s + errors_s, trial.expected)

    return learner


def counting_late(beats: int, bars: int = 0, spread_ms: float = HAND_MS) -> Learner:
    """Counts steadily, ``beats`` beats and ``bars`` bars late (negative: early)."""

    def learner(trial: Trial, rng: np.random.Generator) -> Answer:
        late = beats + bars * _per_bar(trial)
        errors_s = spread_ms / 1000 * rng.standard_normal(len(trial.targets_s))
        return _taps(trial.targets_s + late * trial.period_s + errors_s, _said(trial, lambda row: row - late))

    return learner


def on_beat(beat: int, spread_ms: float = HAND_MS) -> Learner:
    """Takes another beat for the downbeat, such as the three."""
    return counting_late(beat - 1, spread_ms=spread_ms)


def half_time(trial: Trial, rng: np.random.Generator) -> Answer:
    """Taps every second target and counts at half speed."""
    taps_s = trial.targets_s[::2]
    return _taps(taps_s + HAND_MS / 1000 * rng.standard_normal(len(taps_s)), _said(trial, lambda row: row // 2, 2.0))


def every_beat(trial: Trial, rng: np.random.Generator) -> Answer:
    """Taps every beat, whatever was asked."""
    beats_s = trial.count.beats_s
    return _taps(beats_s + HAND_MS / 1000 * rng.standard_normal(len(beats_s)), trial.expected)


def deaf_to_depth(trial: Trial, rng: np.random.Generator) -> Answer:
    """Hears beats and turns but cannot identify the low drum: downbeat and drum are guessed."""
    if trial.drill == "drum":
        return Answer(value=_lot(trial, rng))
    return counting_late(int(rng.integers(_per_bar(trial))))(trial, rng)


def deaf_to_turns(trial: Trial, rng: np.random.Generator) -> Answer:
    """Hears downbeats but not phrase turns: position in the phrase and its length are guessed."""
    if trial.drill in ("intro", "odd-phrase"):
        return Answer(value=_lot(trial, rng))
    bars = int(rng.integers(trial.truth().phrase_bars))
    phrasal = len(trial.targets_s) == 0 or np.isin(np.round(trial.targets_s, 6), _turns_s(trial)).all()
    return counting_late(0, bars=bars if phrasal or trial.drill == "land" else 0)(trial, rng)


def at_random(trial: Trial, rng: np.random.Generator) -> Answer:
    """As many random taps as targets (one where one press is asked for), and guessed answers."""
    one = trial.entry is not None or (trial.kind is Kind.PRESS and trial.then is not Kind.NONE)
    presses = 1 if one else len(trial.targets_s)
    start_s, end_s = float(trial.count.beats_s[0]), trial.count.end_s
    return _taps(rng.uniform(start_s, end_s, presses), _lot(trial, rng))


def silent(trial: Trial, rng: np.random.Generator) -> Answer:
    """No answer."""
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
    """Answer of a simulated learner by name. Raises ``Trouble`` with near names for an unknown one."""
    if name not in LEARNERS:
        raise Trouble(f"There is no simulated learner {name!r}.{near(name, LEARNERS)}")
    return LEARNERS[name](trial, seeded(seed, trial.seed, trial.rung))


def _taps(taps_s: Seconds, value: str | float | None = None) -> Answer:
    return Answer(np.sort(taps_s), value)


def _per_bar(trial: Trial) -> int:
    return int(trial.count.beat_in_bar.max())


def _turns_s(trial: Trial) -> Seconds:
    return np.round(trial.count.phrase_starts_s, 6)


def _said(trial: Trial, heard: Callable[[int], int], slower: float = 1.0) -> str | float | None:
    """Answer of a learner whose count of the phrase's beats (rows from 0) is wrong.

    ``slower``: factor by which they count slower; tempos get lower and lengths shorter.
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
    """A guessed answer; None where nothing is asked."""
    known = drill(trial.drill).answers(trial)
    return known[int(rng.integers(len(known)))] if known else None
