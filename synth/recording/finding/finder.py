"""From what was heard of a recording to its grid."""

from dataclasses import replace

import numpy as np

from synth.base.arrays import Floats
from synth.base.words import Say
from synth.recording.finding.downbeat import EIGHTHS
from synth.recording.finding.metres import beats_of, fours, recurrence
from synth.recording.finding.octave import confidence, hypotheses
from synth.recording.finding.onsets import Bands, Heard
from synth.recording.finding.phase import attack
from synth.recording.finding.phrases import phrases
from synth.recording.finding.steadiness import Lock, bent_s, lock, runs_away, slipped_s, sway
from synth.recording.finding.tempo import combed, likeliest
from synth.recording.grid import ASKED_BELOW, LEAST_UNCERTAINTY_MS, STEADY_S, Grid
from synth.recording.refusals import FREE, NO_BEAT, NOT_FOUR, TOO_SHORT, WANDERS

# Seconds of sound that are needed.
SHORTEST_S = 20.0
# A lead of so much over the next tempo is full confidence in it.
FULL_LEAD, FULL_MARGIN = 0.6, 4.0
# Where a grid goes without a person: BPM in which people agree on the octave, lead of the tempo, margin of the one;
# the octave must not be asked about.
SURE_BPM, SURE_LEAD, SURE_MARGIN = (95.0, 165.0), 0.3, 2.0
# The share of windows that must be steady.
STEADY = 0.9
# The share of loud windows that must be like the whole; the longest run that may be unlike, as a share of all.
WITNESSES, UNLIKE = 0.4, 0.38
# Standard deviation in s of the lateness of bars that is taken for a sway.
SWAY_S = 0.006


def find_grid(heard: Heard) -> Grid:
    """The grid of a recording, or why it has none. Long silence at its ends says nothing."""
    part, from_s = heard.sounding()
    grid = replace(_found(part), duration_s=heard.duration_s)
    if grid.refused is not None or not from_s:
        return grid
    one_s, start_s, until_s = (each + from_s for each in (grid.one_s, grid.start_s, grid.steady_until_s))
    return replace(grid, one_s=one_s, start_s=start_s, steady_until_s=until_s)


def _found(heard: Heard) -> Grid:
    def none(why: Say) -> Grid:
        return Grid.none(why, heard.duration_s)

    too_short = TOO_SHORT(seconds=f"{heard.duration_s:.1f}", least=f"{SHORTEST_S:g}")
    if heard.duration_s < SHORTEST_S:
        return none(too_short)
    if heard.silent:
        return none(NO_BEAT())
    by_comb = combed(heard.onsets)
    likely = likeliest(heard.onsets, by_comb)
    if likely is None:
        return none(NO_BEAT())
    recurs_bpm, lead = likely
    locked = lock(heard.onsets, recurs_bpm)
    if (why := unsteady(heard.onsets, locked)) is not None:
        return none(why)
    octaves = hypotheses(heard, by_comb, locked)
    octave = confidence(octaves)
    tempo, placed = octaves[0].tempo_bpm, octaves[0].placed
    by, one = placed.by, placed.one
    beats_s = beats_of(by, one)
    if fours(recurrence(heard.onsets, beats_s)) < 0:
        return none(NOT_FOUR())
    split = phrases(by, one)
    if split is None:
        return none(too_short)
    starts_s = by.at_s[one::EIGHTHS]
    eight = split.margin_8 > 0.2
    last_s = float(by.at_s[by.last]) + 60 / tempo / 2
    until_s = min(last_s, locked.steady_until_s(2 * STEADY_S) or last_s)
    return Grid(
        tempo_bpm=tempo,
        one_s=float(starts_s[split.first_bar]),
        start_s=by.start_s,
        steady_until_s=min(until_s, heard.duration_s),
        duration_s=heard.duration_s,
        phrase_bars=8 if eight else 4,
        phrase_first=(split.first_8 if eight else split.first_4) - split.first_bar,
        intro_bars=split.intro_bars,
        uncertainty_ms=uncertainty_ms(heard, beats_s),
        tempo_confidence=min(1.0, lead / FULL_LEAD),
        octave_confidence=octave,
        one_confidence=min(1.0, placed.margin / FULL_MARGIN),
        phrase_confidence=min(1.0, split.margin_4),
        sure=bool(
            SURE_BPM[0] <= tempo <= SURE_BPM[1]
            and placed.margin > SURE_MARGIN
            and lead > SURE_LEAD
            and octave >= ASKED_BELOW
        ),
    )


def unsteady(onsets: Bands, locked: Lock) -> Say | None:
    """Why a tempo does not hold, or None."""
    if locked.witnesses.sum() < WITNESSES * locked.loud.sum() or locked.unlike_share > UNLIKE:
        return FREE()
    windows_s, bars_s = locked.drift()[1], sway(onsets, locked)
    if not len(windows_s) or not len(bars_s) or runs_away(locked):
        return FREE()
    if (jump_s := slipped_s(locked)) is not None or (jump_s := bent_s(locked)) is not None:
        return WANDERS(ms=round(1000 * jump_s))
    if np.mean(np.abs(windows_s) < STEADY_S) < STEADY or np.std(bars_s) > SWAY_S:
        most_s = max(float(np.percentile(np.abs(late_s), 95)) for late_s in (windows_s, bars_s))
        return WANDERS(ms=round(1000 * most_s))
    return None


def uncertainty_ms(heard: Heard, beats_s: Floats) -> float:
    """Uncertainty of the beats in ms: the scatter of the attack between the quarters of the recording is added."""
    quarters = [attack(heard.attack, part) for part in np.array_split(beats_s, 4)]
    return float(np.hypot(LEAST_UNCERTAINTY_MS, 1000 * np.std(quarters)))
