"""Blind strategies: simulated learners that react to what stands out, keep a pulse or read a watch; none counts.

They hear the pulse, single sounds and how loud they are; never the count, the one or the phrase. A strategy that is
right often makes a rung worth that much less: its share is the guess rate of the rung (``make_guess_rates``).

A strategy is ``Plain``, an answer from one trial alone, or ``Learned``: it has seen what was right in other trials of
the rung that looked alike, as somebody has who practised long without hearing. Learned ones are scored leaving each
trial out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from assets.rungs.heard import LOW, SHARP, Heard, apart
from exercises.drills import drills
from exercises.drills.feel import RATES
from exercises.forms.tap_drill import TapDrill
from exercises.forms.told_drill import ToldDrill
from exercises.timing.matching import match
from exercises.timing.window import window_s
from exercises.trial.habit import asked_for
from exercises.trial.marking import counted_taps
from exercises.trial.trial import Answer, Kind, Trial
from synth.base.errors import Trouble

# A reaction to a sound in s, and its SD: people need 140 to 160 ms (Woodworth & Schlosberg 1954, Experimental
# Psychology; from memory). It lies within the window of many targets.
REACTION_S, REACTION_SD_S = 0.15, 0.025
# SD of a tap on a pulse that is heard, in s.
HAND_S = 0.015
# Seconds without a new press after one.
REST_S = 1.5
# Neighbours of which a learned strategy that reads a watch takes the commonest answer, the largest number of classes
# of a cue, and the SD of a press by the watch.
NEIGHBOURS, WATCH_SD_S = 9, 0.05
# Tempos that are named.
NAMED_BPM = range(60, 181, 2)

TONES = ("bass", "stab", "pad", "pluck", "voice")
RISES = ("riser", "reversed_crash")

Plan = Callable[[Heard, np.random.Generator], Answer | None]
# A class that is heard, or a time in s.
Cue = Callable[[Heard], str | float]


def _taps(times_s: npt.ArrayLike, rng: np.random.Generator, value: str | float | None = None) -> Answer:
    found = np.asarray(times_s, dtype=np.float64)
    return Answer(np.sort(found + HAND_S * rng.standard_normal(found.size)), value)


def _react(times_s: npt.ArrayLike, rng: np.random.Generator, delay_s: float = 0.0) -> Answer | None:
    found = np.atleast_1d(np.asarray(times_s, dtype=np.float64))
    found = apart(np.sort(found[np.isfinite(found)]), REST_S)
    late_s = delay_s + REACTION_S + REACTION_SD_S * rng.standard_normal(found.size)
    return Answer(np.sort(found + late_s)) if found.size else None


def _first(answer: Answer | None) -> Answer | None:
    return None if answer is None else Answer(answer.taps_s[:1])


def _every(beats: int, start_s: Callable[[Heard], float]) -> Plan:
    """A tap every so many beats of the pulse, counted from a moment on, back to the start as well."""

    def plan(heard: Heard, rng: np.random.Generator) -> Answer | None:
        at_s = start_s(heard)
        if not np.isfinite(at_s):
            return None
        row = int(np.argmin(np.abs(heard.pulse_s - at_s)))
        rows = np.arange(row, len(heard.pulse_s), beats)
        return _taps(heard.pulse_s[rows], rng, _commonest(heard.trial, rng))

    return plan


def _steady(period_s: Callable[[Heard], float], start_s: Callable[[Heard], float]) -> Plan:
    """Taps at a period of one's own from a moment on."""

    def plan(heard: Heard, rng: np.random.Generator) -> Answer | None:
        step_s = period_s(heard)
        if not 0.2 <= step_s <= 2:
            return None
        return _taps(np.arange(start_s(heard), heard.trial.count.end_s, step_s), rng, _commonest(heard.trial, rng))

    return plan


def _commonest(trial: Trial, rng: np.random.Generator) -> str | float | None:
    """A value, where one is asked beside taps: one of the answers."""
    if trial.then is Kind.NONE:
        return None
    known = drills()[trial.drill].answers(trial)
    return known[int(rng.integers(len(known)))]


def _middle_s(heard: Heard) -> float:
    """The beat at the middle tempo of the rung."""
    row = drills()[heard.trial.drill].rungs[heard.trial.rung - 1]
    return float(120.0 / sum(row.tempo_bpm))


def _first_crash(heard: Heard) -> float:
    return float(heard.crashes_s[0]) if heard.crashes_s.size else float("nan")


def _first_low(heard: Heard) -> float:
    kicks_s = heard.at(LOW)
    return float(kicks_s[0]) if kicks_s.size else float("nan")


def _first_tone(heard: Heard) -> float:
    tones_s = heard.at(("bass",))
    return float(tones_s[0]) if tones_s.size else float("nan")


def _echo(voices: Sequence[str]) -> Plan:
    """A tap after every stroke of these drums."""

    def plan(heard: Heard, rng: np.random.Generator) -> Answer | None:
        at_s = heard.at(voices)
        late_s = REACTION_S + REACTION_SD_S * rng.standard_normal(at_s.size)
        return Answer(np.sort(at_s + late_s), _commonest(heard.trial, rng)) if at_s.size else None

    return plan


def _at_random(heard: Heard, rng: np.random.Generator) -> Answer | None:
    """As many taps as there are targets, anywhere, and any answer."""
    trial = heard.trial
    presses = 1 if trial.entry is not None else len(trial.targets_s)
    taps_s = np.sort(rng.uniform(float(trial.count.beats_s[0]), trial.count.end_s, presses))
    known = drills()[trial.drill].answers(trial)
    return Answer(taps_s, known[int(rng.integers(len(known)))] if known else None)


def _well(value: Callable[[Trial], str | float]) -> Plan:
    """Taps all beats of the pulse, as heard, and gives a fixed answer."""

    def plan(heard: Heard, rng: np.random.Generator) -> Answer | None:
        return _taps(heard.pulse_s, rng, value(heard.trial))

    return plan


def _after_fills(beats: int) -> Plan:
    return lambda heard, rng: _react(heard.fills_s + beats * heard.period_s - REACTION_S, rng)


PLAIN_TAPS: dict[str, Plan] = {
    "at random": _at_random,
    "the pulse": _every(1, lambda heard: heard.first_s),
    "bars from the first drum": _every(4, lambda heard: heard.first_s),
    "bars from the second beat": _every(4, lambda heard: heard.first_s + heard.period_s),
    "bars from the third beat": _every(4, lambda heard: heard.first_s + 2 * heard.period_s),
    "bars of three from the first drum": _every(3, lambda heard: heard.first_s),
    "bars from the loudest stroke": _every(4, lambda heard: heard.loudest_s),
    "bars from the first crash": _every(4, _first_crash),
    "bars from the first kick": _every(4, _first_low),
    "bars from the first bass note": _every(4, _first_tone),
    "half bars from the first drum": _every(2, lambda heard: heard.first_s),
    "120 BPM from the first drum": _steady(lambda heard: 0.5, lambda heard: heard.first_s),
    "middle tempo from the first drum": _steady(_middle_s, lambda heard: heard.first_s),
    "first interval, on and on": _steady(
        lambda heard: float(np.diff(apart(heard.drums_s, 0.15)[:2]).sum()),
        lambda heard: heard.first_s,
    ),
    "after every stroke": _echo((*LOW, *SHARP)),
    "after every kick": _echo(LOW),
    "after every snare": _echo(SHARP),
    "after the return": lambda heard, rng: _react(heard.return_s, rng),
    "after every crash": lambda heard, rng: _react(heard.crashes_s, rng),
}
PLAIN_PRESSES: dict[str, Plan] = {
    "at random": _at_random,
    "after every crash": lambda heard, rng: _react(heard.crashes_s, rng),
    "after the first crash": lambda heard, rng: _first(_react(heard.crashes_s, rng)),
    "after the loudest stroke": lambda heard, rng: _react(heard.loudest_s, rng),
    "after every gap": lambda heard, rng: _react(heard.gaps_s, rng),
    "after the first gap": lambda heard, rng: _first(_react(heard.gaps_s, rng)),
    "at every fill": lambda heard, rng: _react(heard.fills_s, rng),
    **{f"{beats} beats after every fill": _after_fills(beats) for beats in (2, 3, 4)},
    "2 beats after the first fill": lambda heard, rng: _first(
        _react(heard.fills_s + 2 * heard.period_s - REACTION_S, rng)
    ),
    "after any change": lambda heard, rng: _react(heard.changes_s, rng),
    "after the first change": lambda heard, rng: _first(_react(heard.changes_s, rng)),
    "at the drop": lambda heard, rng: _react(heard.kick_returns_s, rng),
    "at the drop, expected": lambda heard, rng: _react(heard.kick_returns_s - REACTION_S, rng),
    "with the song": lambda heard, rng: _react(heard.song_s, rng),
    "with the first voice": lambda heard, rng: _first(_react(heard.at(("voice",)), rng)),
    "4 bars from the first drum, on and on": _every(16, lambda heard: heard.first_s + 16 * heard.period_s),
    "8 bars from the first drum, on and on": _every(32, lambda heard: heard.first_s + 32 * heard.period_s),
}
PLAIN_VALUES: dict[str, Plan] = {"at random": _at_random}
# What a learned strategy goes by. Times are compared by their ratios.
CUES: dict[str, Cue] = {
    "commonest answer": lambda heard: "",
    "last sound": Heard.last,
    "last drums": Heard.last_drums,
    "first sound": Heard.first,
    "first and last sound": lambda heard: f"{heard.first()}, {heard.last_drums()}",
    "length of the sound": lambda heard: heard.pulse_s[-1] - heard.first_s,
    "watch: first drum to song": lambda heard: heard.song_s - heard.first_s,
    "watch: first drum to bass": lambda heard: _first_tone(heard) - heard.first_s,
    "watch: first drum to loudest stroke": lambda heard: heard.loudest_s - heard.first_s,
    "watch: last crash to end": lambda heard: (
        heard.pulse_s[-1] - heard.crashes_s[-1] + 0.1 if heard.crashes_s.size else float("nan")
    ),
    "watch: first to second crash": lambda heard: (
        heard.crashes_s[1] - heard.crashes_s[0] if heard.crashes_s.size > 1 else float("nan")
    ),
    "longest time between changes": lambda heard: float(np.max(np.diff(heard.changes_s), initial=0.1)),
    "number of crashes": lambda heard: str(heard.crashes_s.size),
    "number of changes": lambda heard: str(heard.changes_s.size),
    "which time between changes is longest": lambda heard: (
        str(int(np.argmax(np.diff(heard.changes_s)))) if heard.changes_s.size > 1 else ""
    ),
    "which time between changes is shortest": lambda heard: (
        str(int(np.argmin(np.diff(heard.changes_s)))) if heard.changes_s.size > 1 else ""
    ),
    "first tempo": lambda heard: float(np.diff(heard.pulse_s)[0]),
    "second tempo": lambda heard: float(np.diff(heard.pulse_s)[-1]),
    "strokes a second": lambda heard: heard.drums_s.size / (heard.trial.count.end_s - heard.first_s),
    "loudness of the last stroke": lambda heard: float(heard.loud[-1]),
    "first sound of the second record": lambda heard: " ".join(
        sorted(
            {
                str(np.array(hits.voices)[voice])
                for part in heard.trial.beside
                for hits in [part.arrangement.hits]
                for voice in hits.voice[hits.onset_s < hits.onset_s[0] + 0.05]
            }
        )
    ),
    "strokes together": lambda heard: (
        str(round(8 * float(np.mean(np.diff(heard.at((*LOW, *SHARP))) < 0.03)))) if heard.trial.beside else ""
    ),
}
# Cues for the drill that compares two tempos.
TEMPOS = ("first tempo", "second tempo", "strokes a second")
# Drills that ask for the pulse itself. (A drop is expected where a break leads to it: in ``land``.)
PULSE = ("beat", "through")
# Cues that are what a drill asks for.
# In ``in-line`` this is what its advice teaches to hear: snares that fall together.
ASKED = [
    (drill, cue) for drill in ("drum", "in-line") for cue in ("last sound", "last drums", "first and last sound")
]
# In ``ahead`` times of both records against one another are the very thing.
ASKED += [("ahead", cue) for cue in CUES if cue.startswith(("watch", "longest", "which", "number of changes"))]
# A press learned as a time after one of these, by the watch.
EVENTS: dict[str, Callable[[Heard], float]] = {
    "the first drum": lambda heard: heard.first_s,
    "the drop": lambda heard: heard.kick_returns_s,
    "the silence": lambda heard: heard.return_s - float(np.max(np.diff(heard.drums_s))),
    "the song": lambda heard: heard.song_s,
    "the first crash": _first_crash,
    "the first voice": lambda heard: float(found[0]) if (found := heard.at(("voice",))).size else float("nan"),
}


def shares(drill_id: str, rung: int, seeds: range) -> dict[str, npt.NDArray[np.bool_]]:
    """Strategy -> which of a rung's trials (seeds,) it has right; the answers are those of ``seeds`` each time."""
    one = drills()[drill_id]
    heard = [Heard.of(one.make(rung, seed)) for seed in seeds]
    rngs = [np.random.default_rng([one.place, rung, seed, 99]) for seed in seeds]

    def right(answers: Sequence[Answer | None]) -> npt.NDArray[np.bool_]:
        return np.array([_right(each.trial, answer) for each, answer in zip(heard, answers, strict=True)])

    kind = heard[0].trial.kind
    plans = {Kind.TAPS: PLAIN_TAPS, Kind.PRESS: PLAIN_PRESSES}.get(kind, PLAIN_VALUES)
    plans = {
        name: plan
        for name, plan in plans.items()
        if not (drill_id in PULSE and "pulse" in name) and (drill_id == "land" or "expected" not in name)
    }
    # Trial by trial: what marking reads off a record is kept for the last ones alone.
    rows = [
        [_right(each.trial, plan(each, rng)) for plan in plans.values()]
        for each, rng in zip(heard, rngs, strict=True)
    ]
    found = dict(zip(plans, np.array(rows).T, strict=True))
    if kind is Kind.PRESS or (kind is Kind.TAPS and len(heard[0].trial.targets_s) == 1):
        for name, event in EVENTS.items():
            found[f"so many seconds after {name}"] = right(timed(heard, event, rngs))
    if isinstance(one, ToldDrill):
        tapped = {
            rate: right([_kept(each, each.trial.expected, rate, rng) for each, rng in zip(heard, rngs, strict=True)])
            for rate in {RATES.get(str(value), 1.0) for value in _naming(heard[0].trial)}
        }
        told: Any = one
        for value in _naming(heard[0].trial):
            said = [told.value_score(each.trial, value) == 1.0 for each in heard]
            found[f"taps on and says {value}"] = tapped[RATES.get(str(value), 1.0)] & said
    elif kind not in (Kind.TAPS, Kind.PRESS):
        for name, cue in CUES.items():
            if (drill_id, name) not in ASKED and (drill_id == "faster" or name not in TEMPOS):
                found[name] = by_cue(heard, cue, name not in TEMPOS)
    return found


def _right(trial: Trial, answer: Answer | None) -> bool:
    if answer is None:
        return False
    if answer.value is None and trial.then is not Kind.NONE:  # a press on a turn begins the first bar
        answer = Answer(answer.taps_s, drills()[trial.drill].answers(trial)[0])
    one = drills()[trial.drill]
    if isinstance(one, TapDrill | ToldDrill):  # without all of marking, where it is plain
        taps_s = answer.taps_s[counted_taps(trial.targets_s, answer.taps_s, trial.count, trial.period_s)]
        hits = len(match(trial.targets_s, taps_s, window_s(trial.period_s)))
        if not asked_for(len(trial.targets_s), hits, len(taps_s)):
            return False
    try:
        return bool(one.mark(trial, answer).right)
    except Trouble:
        return False


def _naming(trial: Trial) -> tuple[str | float, ...]:
    if trial.then is Kind.NUMBER:
        return tuple(float(bpm) for bpm in NAMED_BPM)
    return tuple(choice.key for choice in trial.choices)


def _kept(heard: Heard, value: str | float | None, rate: float, rng: np.random.Generator) -> Answer:
    """Taps on in the beat that was heard first, or at another rate, and gives always the same value."""
    start_s, end_s = float(heard.pulse_s[0]), heard.trial.count.end_s
    return _taps(np.arange(start_s, end_s, float(np.diff(heard.pulse_s)[0]) / rate), rng, value)


def by_cue(heard: Sequence[Heard], cue: Cue, watched: bool) -> npt.NDArray[np.bool_]:
    """Whether the commonest answer of other trials with that cue is right.

    Times go by the nearest ones, ``watched`` ones as nearly as a watch is read.
    """
    values = [cue(each) for each in heard]
    truths = [str(each.trial.expected) for each in heard]
    asked = [str(each.trial.question) for each in heard]
    times = np.array([np.nan if isinstance(value, str) else float(value) for value in values])
    if watched:
        times += WATCH_SD_S * np.random.default_rng(97).standard_normal(len(times))
    known = np.flatnonzero(times > 0)
    found = []
    for at, value in enumerate(values):
        others = [row for row in range(len(heard)) if row != at and asked[row] == asked[at]]
        if times[at] > 0:
            near = known[np.argsort(np.abs(np.log(times[known] / times[at])), kind="stable")]
            others = [row for row in near.tolist() if row in set(others)][:NEIGHBOURS]
        elif alike := [row for row in others if values[row] == value]:
            others = alike
        told = Counter(truths[row] for row in others).most_common(1)
        found.append(bool(told) and told[0][0] == truths[at])
    return np.array(found)


def timed(
    heard: Sequence[Heard], event: Callable[[Heard], float], rngs: Sequence[np.random.Generator]
) -> list[Answer | None]:
    """One press so many seconds after an event that most of the other trials asked alike would be met."""
    at_s = np.array([event(each) for each in heard])
    asked = np.array([str(each.trial.question) for each in heard])
    within_s = np.array([window_s(each.trial.period_s) for each in heard])
    off_s = [each.trial.targets_s - start_s for each, start_s in zip(heard, at_s, strict=True)]
    answers: list[Answer | None] = []
    for row in range(len(heard)):
        others = [n for n in np.flatnonzero(asked == asked[row]) if n != row and np.isfinite(at_s[n])]
        tried_s = np.concatenate([off_s[n] for n in others]) if others else np.empty(0)
        tried_s = np.unique(np.round(tried_s[tried_s > REACTION_S], 2))
        if not tried_s.size or not np.isfinite(at_s[row]):
            answers.append(None)
            continue
        met = sum((np.abs(tried_s[:, None] - off_s[n]) <= within_s[n]).any(axis=1).astype(int) for n in others)
        press_s = at_s[row] + tried_s[int(np.argmax(met))] + WATCH_SD_S * rngs[row].standard_normal()
        answers.append(Answer(np.array([press_s])))
    return answers
