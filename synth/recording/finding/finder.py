"""From what was heard of a recording to its grid."""

from dataclasses import dataclass, replace

import numpy as np

from synth.base.arrays import Floats
from synth.base.words import Say
from synth.recording.finding.downbeat import EIGHTHS, Eighths, eighths, every, scores
from synth.recording.finding.metres import beats_of, fours, recurrence
from synth.recording.finding.onsets import Bands, Heard
from synth.recording.finding.phase import attack
from synth.recording.finding.phrases import phrases
from synth.recording.finding.steadiness import Lock, bent_s, lock, runs_away, slipped_s, sway
from synth.recording.finding.tempo import CELLS, WEIGHTS, Combed, combed, filled, folded_beat, refined, strength
from synth.recording.grid import ASKED_BELOW, LEAST_UNCERTAINTY_MS, STEADY_S, Grid
from synth.recording.refusals import FREE, NO_BEAT, NOT_FOUR, TOO_SHORT, WANDERS

# Seconds of sound that are needed.
SHORTEST_S = 20.0
# At most so many places of the beat are tried, none weaker than this share; how much strength weighs beside the one.
PLACES, PLACE_SHARE, PLACE_WEIGHT = 3, 0.6, 2.5
# In a shuffle the short note comes before the beat: a place so far after another one is less likely to be the beat.
SWUNG, SWING = (0.6, 0.73), 1.0
# Half and double are considered within these.
TEMPOS_BPM = (58.0, 212.0)
# The weight of the prior where the tempos of the comb are compared.
PRIOR_WEIGHT = 1.25
# Log odds of an octave: weights of the prior, of the score of the beats and the one, of quarters of the beat that are
# filled (it is too slow), and of a middle that is emptier than so much of the beat (it is too fast).
OCTAVE_PRIOR_WEIGHT, TOTAL_WEIGHT, QUARTERS_WEIGHT, EMPTY_WEIGHT, EMPTY = 2.1, 0.3, 2.8, 6.0, 0.35
# A lead of so much over the next tempo is full confidence in it.
FULL_LEAD, FULL_MARGIN = 0.6, 4.0
# Tempos whose ratio is so near to a power of two are octaves of each other.
OCTAVE = 0.02
# Where a grid goes without a person: BPM in which people agree on the octave, lead of the tempo, margin of the one;
# the octave must not be asked about.
SURE_BPM, SURE_LEAD, SURE_MARGIN = (95.0, 165.0), 0.3, 2.0
# The share of windows that must be steady.
STEADY = 0.9
# The share of loud windows that must be like the whole; the longest run that may be unlike, as a share of all.
WITNESSES, UNLIKE = 0.4, 0.38
# Standard deviation in s of the lateness of bars that is taken for a sway.
SWAY_S = 0.006


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """Beats at a place within the beat, and how well each eighth of the bar does as the one."""

    by: Eighths
    scores: Floats
    total: float

    @property
    def one(self) -> int:
        """The eighth that is the one."""
        return int(np.argmax(self.scores))

    @property
    def margin(self) -> float:
        """How much better it is than the next one, log odds."""
        second, best = np.sort(self.scores)[-2:]
        return float(best - second)


@dataclass(frozen=True, slots=True, eq=False)
class Hypothesis:
    """A tempo, what the windows say of it (of its half or double as well), its beats, and its log odds."""

    tempo_bpm: float
    locked: Lock
    placed: Placed
    score: float


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
    found, lead = hypotheses(heard)
    if not found:
        return none(NO_BEAT())
    tempo, locked, placed = found[0].tempo_bpm, found[0].locked, found[0].placed
    by, one = placed.by, placed.one
    beats_s = beats_of(by, one)
    octave = 1 / sum(np.exp(other.score - found[0].score) for other in found)
    if (why := unsteady(heard.onsets, locked)) is not None:
        return none(why)
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
        octave_confidence=float(octave),
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


def hypotheses(heard: Heard) -> tuple[list[Hypothesis], float]:
    """What the tempo may be: the one that recurs best, its half and its double, the likeliest first.

    Other ratios are settled by the comb alone: four beats at four fifths of the tempo fit a bar of five as well.
    Returns the lead over the best of these, too.
    """
    by_comb = combed(heard.onsets)
    whole = strength(heard.onsets, WEIGHTS)
    tempos = [refined(whole, float(peak)) for peak in by_comb.peaks()]
    if not tempos:
        return [], 0.0
    combs = np.array([by_comb.score(heard.onsets, each, PRIOR_WEIGHT) for each in tempos])
    octaves = np.log2(np.array(tempos) / tempos[int(np.argmax(combs))])
    rivals = combs[np.abs(octaves - np.round(octaves)) > OCTAVE]
    lead = float(combs.max() - rivals.max()) if len(rivals) else FULL_LEAD
    locked = lock(heard.onsets, tempos[int(np.argmax(combs))])
    low, high = TEMPOS_BPM
    found: list[Hypothesis] = []
    for octave in (1.0, 2.0, 0.5):
        tempo = locked.tempo_bpm * octave
        if octave == 1 or low <= tempo <= high:
            placed = place(heard, 60 / tempo, locked.phase_s)
            found.append(Hypothesis(tempo, locked, placed, _octave(heard.onsets, by_comb, tempo, placed)))
    return sorted(found, key=lambda each: -each.score), lead


def _octave(onsets: Bands, by_comb: Combed, tempo_bpm: float, placed: Placed) -> float:
    """Log odds of a tempo against its half and double.

    People tap a level that is itself divided, in two more often than in four.
    """
    half, quarters = filled(onsets, 60 / tempo_bpm, float(placed.by.at_s[placed.one]))
    return (
        by_comb.score(onsets, tempo_bpm, OCTAVE_PRIOR_WEIGHT)
        + TOTAL_WEIGHT * placed.total
        - QUARTERS_WEIGHT * quarters
        - EMPTY_WEIGHT * max(0.0, EMPTY - half)
    )


def places(onsets: Bands, beat_s: float, phase_s: float) -> list[tuple[float, float]]:
    """Times in s within a beat where beats may fall, and their strength from 0 to 1, the strongest first."""
    whole = folded_beat(onsets, beat_s, phase_s)
    half = CELLS // 2
    rise = np.maximum(whole, 0)
    both = rise[:half] + rise[half:]  # of the two halves either gives the same place
    top = float(both.max())
    found = [
        at for at in range(half) if both[at - 1] <= both[at] > both[(at + 1) % half] and both[at] > PLACE_SHARE * top
    ]
    found = sorted(found, key=lambda at: -float(both[at]))[:PLACES]
    return [
        (phase_s + (at + half * bool(whole[at + half] > whole[at])) / CELLS * beat_s, float(both[at]) / top)
        for at in found
    ]


def place(heard: Heard, beat_s: float, phase_s: float) -> Placed:
    """The place of the beats within the beat whose best one does best."""
    tried = []
    found_at = places(heard.onsets, beat_s, phase_s) or [(phase_s, 1.0)]
    low, high = SWUNG
    for at_s, strong in found_at:
        swung = any(low < (at_s - other_s) / beat_s % 1 < high for other_s, _ in found_at)
        beats_s = every(beat_s, at_s, heard.duration_s)
        by = eighths(heard, beat_s, at_s + attack(heard.attack, beats_s))
        found = scores(by)
        tried.append(Placed(by, found, float(found.max()) + PLACE_WEIGHT * strong - SWING * swung))
    return max(tried, key=lambda each: each.total)


def uncertainty_ms(heard: Heard, beats_s: Floats) -> float:
    """Uncertainty of the beats in ms: the scatter of the attack between the quarters of the recording is added."""
    quarters = [attack(heard.attack, part) for part in np.array_split(beats_s, 4)]
    return float(np.hypot(LEAST_UNCERTAINTY_MS, 1000 * np.std(quarters)))
