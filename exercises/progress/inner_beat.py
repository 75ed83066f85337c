"""A learner's inner beat and hand, from taps in the silence of several trials at about one tempo."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress

import numpy as np

from exercises.drills.through import free_intervals_ms
from exercises.logbook.old_trials.missing_truths import UNMARKABLE
from exercises.logbook.store import Logbook
from exercises.timing.clock_and_hand import Pooled, pooled
from exercises.trial.modes import Mode
from synth.base.arrays import Seconds
from synth.base.words import Say, Template

DRILL = "through"
# Latest trials that are read, and how far from the tempo in the middle a trial may lie.
LATEST, ALIKE = 300, 0.05

BEAT = Template(
    "inner_beat.beat",
    "Over {n} beats of silence near {tempo} BPM your inner beat varied by {ms} ms (95 %: {low} to {high}).",
)
HAND = Template("inner_beat.hand", "The hand added {ms} ms (95 %: {low} to {high}).")


def inner_beat(logbook: Logbook, learner: str) -> tuple[float, Pooled] | None:
    """Tempo in BPM, and clock and hand, of the trials within 5 % of the tempo with most intervals; None for too few.

    Trials with a side task or a recording are left out.
    """
    runs: list[tuple[float, Seconds]] = []
    for each in logbook.trials(LATEST, learner=learner, drill=DRILL):
        if each.void is not None or each.truth is None or each.recording or each.mode is Mode.BUSY:
            continue
        with suppress(*UNMARKABLE):
            trial = each.truth.trial(each.drill, each.rung, each.seed, each.version, each.groove)
            runs.append((each.tempo_bpm, free_intervals_ms(trial, each.answer.taps_s)))
    if not runs:
        return None
    tempos = np.array([tempo_bpm for tempo_bpm, _ in runs])
    sizes = np.array([run.size for _, run in runs])
    near = np.abs(tempos[:, None] / tempos - 1) <= ALIKE
    middle = int(np.argmax(sizes @ near))
    found = pooled([run for (_, run), alike in zip(runs, near[:, middle], strict=True) if alike])
    return None if found is None else (float(tempos[middle]), found)


def inner_beat_says(found: tuple[float, Pooled] | None) -> Sequence[Say]:
    """Both in words; nothing where they are not known."""
    if found is None:
        return ()
    tempo_bpm, both = found
    clock, hand = (
        {name: f"{ms:.0f}" for name, ms in zip(("ms", "low", "high"), each, strict=True)}
        for each in (both.clock_ms, both.hand_ms)
    )
    return BEAT(n=both.intervals, tempo=f"{tempo_bpm:.0f}", **clock), HAND(**hand)
