"""What is heard of a trial without counting: single sounds, how loud they are, the pulse, and what stands out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from exercises.trial.trial import Trial
from synth.base.arrays import Seconds
from synth.score.hits import DRUMS

# SD of a beat of one's own, where none is heard, as a share of it.
CLOCK_SHARE = 0.04

CRASHES = ("crash", "impact")
TOMS = ("high_tom", "mid_tom", "low_tom")
LOW, SHARP = ("kick",), ("snare", "clap", "rim")


@dataclass(frozen=True, eq=False)
class Heard:
    """What is heard of a trial without counting: sorted times in s of sounds by voice, the pulse, start and end."""

    trial: Trial
    onset_s: Seconds
    voice: npt.NDArray[np.str_]
    loud: npt.NDArray[np.float64]

    @classmethod
    def of(cls, trial: Trial) -> Heard:
        """From a trial with its sound; second records are heard too."""
        assert trial.arrangement is not None
        layers = [(trial.arrangement.hits, 0.0)] + [(each.arrangement.hits, each.start_s) for each in trial.beside]
        onset_s = np.concatenate([hits.onset_s + start_s for hits, start_s in layers])
        voice = np.concatenate([np.array(hits.voices)[hits.voice] for hits, _ in layers])
        loud = np.concatenate([hits.velocity.astype(np.float64) for hits, _ in layers])
        order = np.argsort(onset_s, kind="stable")
        return cls(trial, onset_s[order], voice[order], loud[order])

    def at(self, voices: Sequence[str]) -> Seconds:
        """Onsets of these voices."""
        found: Seconds = self.onset_s[np.isin(self.voice, voices)]
        return found

    @property
    def period_s(self) -> float:
        """The pulse before anything changes."""
        return float(np.median(np.diff(self.pulse_s)))

    @cached_property
    def pulse_s(self) -> Seconds:
        """The beats that are heard, as a pulse without numbers; through a silence it is the learner's own."""
        count, rests = self.trial.count, self.trial.rest_rows()
        gaps_s = np.diff(count.beats_s, append=count.end_s)
        rng = np.random.default_rng([self.trial.seed, self.trial.rung, 98])
        off_s = gaps_s * CLOCK_SHARE * rng.standard_normal(len(gaps_s))
        silent = np.isin(np.arange(len(gaps_s)), rests)
        begins = np.maximum.accumulate(np.where(silent, -1, np.arange(len(gaps_s))))
        strayed_s = np.cumsum(np.where(silent, off_s, 0.0))
        own: Seconds = count.beats_s + np.where(silent, strayed_s - strayed_s[begins.clip(0)], 0.0)
        return np.sort(own)

    @property
    def first_s(self) -> float:
        """The first sound."""
        return float(self.drums_s[0]) if self.drums_s.size else float(self.onset_s[0])

    @cached_property
    def drums_s(self) -> Seconds:
        """Onsets of all drums."""
        return self.at(DRUMS)

    @cached_property
    def crashes_s(self) -> Seconds:
        """Onsets of crashes and impacts, those at the very start left out."""
        found = self.at(CRASHES)
        return found[found > self.first_s + 0.2]

    @cached_property
    def loudest_s(self) -> float:
        """The loudest stroke, the first of equals."""
        drums = np.isin(self.voice, DRUMS)
        return float(self.onset_s[drums][np.argmax(self.loud[drums])])

    @cached_property
    def fills_s(self) -> Seconds:
        """Starts of what is no pattern: a tom after none for two beats, or four snares or claps within a beat."""
        toms_s, sharp_s = self.at(TOMS), self.at(SHARP)
        starts = toms_s[np.diff(toms_s, prepend=-np.inf) > 2 * self.period_s]
        dense = sharp_s[:-3][sharp_s[3:] - sharp_s[:-3] < self.period_s] if sharp_s.size > 3 else np.empty(0)
        return apart(np.sort(np.concatenate([starts, dense])), 2 * self.period_s)

    @cached_property
    def gaps_s(self) -> Seconds:
        """First drums after a beat or more without any."""
        return self.drums_s[1:][np.diff(self.drums_s) > 1.2 * self.period_s]

    @cached_property
    def return_s(self) -> float:
        """The first drum after the longest time without one."""
        return float(self.drums_s[1:][np.argmax(np.diff(self.drums_s))])

    @cached_property
    def kick_returns_s(self) -> float:
        """The first kick after the longest time without one: a drop."""
        kicks_s = self.at(LOW)
        return float(kicks_s[1:][np.argmax(np.diff(kicks_s))]) if kicks_s.size > 1 else self.first_s

    @cached_property
    def song_s(self) -> float:
        """The first moment at which bass and chords sound together."""
        bass, chords = self.at(("bass",)), self.at(("stab", "pad"))
        if not (bass.size and chords.size):
            return float("nan")
        later = bass[[bool(np.any(np.abs(chords - each) < 2 * self.period_s)) for each in bass]]
        return float(later[0]) if later.size else float("nan")

    @cached_property
    def changes_s(self) -> Seconds:
        """Crashes, and the moments two beats into a fill, and first drums after a gap: whatever may be a turn."""
        found = np.concatenate([self.crashes_s, self.fills_s + 2 * self.period_s, self.gaps_s])
        return apart(np.sort(found), 2 * self.period_s)

    def last(self) -> str:
        """What sounds in the last beat: which voices, and in which quarter of it."""
        at_s = float(self.pulse_s[-1])
        inside = (self.onset_s >= at_s - 0.03) & np.isin(self.voice, DRUMS)
        quarter = np.rint(4 * (self.onset_s[inside] - at_s) / self.period_s).astype(int)
        return " ".join(sorted({f"{voice}{at}" for voice, at in zip(self.voice[inside], quarter, strict=True)}))

    def last_drums(self) -> str:
        """Which voices sound on the last beat itself, hats and shakers left out."""
        near = (np.abs(self.onset_s - self.pulse_s[-1]) < 0.05) & np.isin(self.voice, (*LOW, *SHARP, *TOMS, *CRASHES))
        return " ".join(sorted(set(self.voice[near].tolist())))

    def first(self) -> str:
        """Which voices begin."""
        return " ".join(sorted(set(self.voice[self.onset_s < self.first_s + 0.05].tolist())))


def apart(times_s: Seconds, least_s: float) -> Seconds:
    """Sorted times (n,) in s, without those that follow another that stays within ``least_s``."""
    kept: list[float] = []
    for each in times_s.tolist():
        if not kept or each - kept[-1] >= least_s:
            kept.append(each)
    return np.array(kept)
