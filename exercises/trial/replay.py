"""What a marked trial sounds like when it is heard again: with the learner's taps, or the truth and the answer.

A tap that met its target is a high wood block, one that did not a low one; each stands at the time by which it was
marked. After a wrong choice what it was and what the learner took it for sound one after the other, with their names.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from exercises.timing.window import window_s
from exercises.trial.result import Result
from exercises.trial.trial import Answer, Part, Trial, kit
from synth.base.arrays import Ints, Samples
from synth.base.words import Say, Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.hits import BLOCKS, Hits

if TYPE_CHECKING:
    from synth.sound.mixdown import Layer

T = TypeVar("T")
# The kit of the blocks, and how hard they are struck.
BLOCK_KIT, VELOCITY = 0, 1.0
# Seconds before the first version and between two.
LEAD_IN_S, BETWEEN_S = 0.4, 0.9
IT_WAS, YOU_SAID, OTHERS, COMPARED = (
    Template("replay.it_was", "it was"),
    Template("replay.you_said", "your answer"),
    Template("replay.others", "the others"),
    Template("replay.compared", "to compare"),
)


@dataclass(frozen=True, slots=True, eq=False)
class Version:
    """A sound with its name: ``make`` gives what sounds together. ``label`` says whose it is, ``say`` what."""

    label: Say
    say: Say
    make: Callable[[], tuple[Part, ...]]


def both(
    make: Callable[[T], tuple[Part, ...]], was: tuple[Say, T], said: tuple[Say, T], label: Say | None = None
) -> tuple[Version, Version]:
    """What it was and what was answered, each by name and by what ``make`` takes; ``label`` is the latter's."""
    return (
        Version(IT_WAS(), was[0], partial(make, was[1])),
        Version(label or YOU_SAID(), said[0], partial(make, said[1])),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Replay:
    """A sound, float32 (frames, 2), and when each version in it begins and ends, in s."""

    samples: Samples
    spans_s: tuple[tuple[float, float], ...] = ()

    def sounding(self, at_s: float) -> int | None:
        """Which version sounds at a time, if any."""
        return next((n for n, (start_s, end_s) in enumerate(self.spans_s) if start_s <= at_s < end_s), None)


def compared(versions: Sequence[Version], contrast: float, sample_rate_hz: int) -> Replay:
    """The versions one after the other, with one gain. ``contrast`` is that of the trial's kit."""
    from synth.sound.mixdown import Layer, mixdown_together

    layers, spans_s, at_s = [], [], LEAD_IN_S
    for version in versions:
        parts = version.make()
        end_s = at_s + max(part.start_s + part.arrangement.duration_s for part in parts)
        spans_s.append((at_s, end_s))
        layers += [
            Layer(part.arrangement, kit(part.kit_seed, sample_rate_hz, contrast), at_s + part.start_s, part.level_db)
            for part in parts
        ]
        at_s = end_s + BETWEEN_S
    return Replay(mixdown_together(layers), tuple(spans_s))


def with_taps(
    trial: Trial,
    answer: Answer,
    result: Result,
    sample_rate_hz: int,
    *,
    way: str = "bars",
    language: str = "en",
) -> Replay:
    """The trial with the learner's taps in it; ``ValueError`` for a trial without a sound."""
    from synth.sound.mixdown import mixdown_together

    layers = trial.layers(sample_rate_hz, way=way, language=language)
    return Replay(mixdown_together([*layers, *_taps_layers(trial, answer, result, sample_rate_hz)]))


def _taps_layers(trial: Trial, answer: Answer, result: Result, sample_rate_hz: int) -> list[Layer]:
    """The taps as a record of wood blocks, if there are any."""
    from synth.sound.mixdown import Layer

    arrangement = tap_record(trial, answer, result)
    return [] if arrangement is None else [Layer(arrangement, kit(BLOCK_KIT, sample_rate_hz))]


def tap_record(trial: Trial, answer: Answer, result: Result) -> Arrangement | None:
    """The taps as a record of wood blocks; None without taps within the sound."""
    assert trial.arrangement is not None
    low = np.isin(np.arange(len(answer.taps_s)), wrong_taps(trial, answer, result))
    heard = (answer.taps_s >= 0) & (answer.taps_s < trial.duration_s)
    if not heard.any():
        return None
    taps_s = answer.taps_s[heard]
    hits = Hits.of(taps_s, low[heard].astype(int), np.full(len(taps_s), VELOCITY), BLOCKS)
    return replace(trial.arrangement, hits=hits, duck_db=0.0)


def wrong_taps(trial: Trial, answer: Answer, result: Result) -> Ints:
    """Indices of the taps that met no target though they count, (n,); taps that do not count are not wrong."""
    marks = result.taps
    if marks is not None:
        first, end = marks.counted or (0, len(answer.taps_s))
        return np.setdiff1d(np.arange(first, end), marks.pairs[:, 1])
    if result.right or not answer.taps_s.size or not trial.targets_s.size:
        return np.empty(0, dtype=np.int64)
    # A press on a target may be right where the answer after it was not.
    off_s = np.abs(answer.taps_s[:, None] - trial.targets_s[None, :]).min(axis=1)
    wrong: Ints = np.flatnonzero(off_s > window_s(trial.period_s))
    return wrong
