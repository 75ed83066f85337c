"""Detect claps and shouts in a microphone's recording while known sound is playing.

Block by block. Energy is computed in steps of 1 ms from the recording's first difference (claps have high
frequencies; rooms and kicks have low ones). A clap is a step that exceeds the noise, the 10 ms before it, and the
expected leakage of the playing sound; ``first_change`` then finds its start to a fraction of a step.

The leakage is estimated while the sound plays: its delay from the maximum of the cross-correlation of both energies,
its gain from the upper quartile of their ratio where the sound is loud. With headphones nothing leaks and a clap on
a drum is as clear as one between; with a loud speaker a clap no louder than a simultaneous drum cannot be detected.
"""

from dataclasses import dataclass

import numpy as np

from synth.base.arrays import Samples, Seconds
from synth.device.onsets import first_change
from synth.device.quantiles import quantile

STEP_S = 0.001
ABOVE_NOISE_DB = 15.0
ABOVE_BEFORE_DB = 9.0
ABOVE_LEAK_DB = 8.0
BEFORE_STEPS = 10
APART_STEPS = 100  # ms between claps: at most 8 to 10 taps a second are possible (Repp 2006)
# Steps of history for leakage and noise, fewest to start with, and steps between two estimates. After one second the
# leakage is not known yet: drums are taken for claps.
LEARN_STEPS, LEARN_FROM, LEARN_EVERY = 4_000, 1_250, 250
LATE_STEPS = 600
# Reverberation per step: 60 dB in 0.4 s.
FADE_A_STEP = 10 ** (-6 / 400)
# Correlation of recording and sound below which nothing leaks.
LEAKS_FROM = 0.25


@dataclass(frozen=True, slots=True)
class Clap:
    """Start of a clap, in frames since the first frame that was fed."""

    frame: int


def energy(sound: Samples, sample_rate_hz: int) -> Seconds:
    """Mean square of the first difference in steps of 1 ms; (steps,)."""
    return _energy(sound[:1], sound, round(STEP_S * sample_rate_hz))


def _energy(before: Samples, sound: Samples, step: int) -> Seconds:
    """The same of ``sound``, which follows on the one sample ``before``."""
    whole = len(sound) // step * step
    if not whole:
        return np.zeros(0)
    joined = np.concatenate([before, sound[:whole]], dtype=np.float64)
    sharp = (joined[1:] - joined[:-1]).reshape(-1, step)
    return np.asarray(np.add.reduce(np.square(sharp, out=sharp), axis=1) / step)


def fading(level: Seconds) -> Seconds:
    """Energy with reverberation: each step is at least the faded energy of those before."""
    kept = np.array(level)
    for back in (1, 2, 4, 8, 16, 32, 64, 128, 256):
        kept[back:] = np.maximum(kept[back:], kept[:-back] * FADE_A_STEP**back)
    return kept


class ClapFinder:
    """Finds claps block by block; ``played`` is the ``energy`` of the playing sound, None for silence."""

    def __init__(self, sample_rate_hz: int, played: Seconds | None = None) -> None:
        self._rate, self._step = sample_rate_hz, round(STEP_S * sample_rate_hz)
        self._played = np.zeros(1) if played is None or not len(played) else played
        self._room = fading(self._played)
        self._rest = np.zeros(0, np.float32)  # remainder of a step, and the steps in which a start may lie
        self._rest_frame = 0
        self._level = np.zeros(0)  # latest energies
        self._place = np.zeros(0, np.int64)  # step of the played sound for each, without delay
        self._seen = 0  # steps so far
        self._last = -APART_STEPS
        self._learnt = 0
        self._floor = np.inf
        self.delay_steps, self.gain = 0, 0.0

    def feed(self, samples: Samples, played_at_s: float) -> list[Clap]:
        """Claps that have become certain. ``played_at_s``: second of the played sound at the block's start."""
        sound = np.concatenate([self._rest, samples])
        kept = BEFORE_STEPS * self._step
        done = len(self._rest) // self._step  # already examined, kept for a start in them
        after = done * self._step
        fresh = _energy(sound[max(after - 1, 0) : max(after, 1)], sound[after:], self._step)
        place = round(played_at_s * self._rate / self._step) + np.arange(len(fresh))
        first_seen = self._seen
        self._level = np.concatenate([self._level, fresh])[-LEARN_STEPS:]
        self._place = np.concatenate([self._place, place])[-LEARN_STEPS:]
        self._seen += len(fresh)
        if self._seen >= LEARN_FROM and self._seen - self._learnt >= LEARN_EVERY:
            self._learn()
        found = self._look(sound, done, first_seen) if np.isfinite(self._floor) else []
        keep_from = max((done + len(fresh)) * self._step - kept, 0)
        self._rest = sound[keep_from:]
        self._rest_frame += keep_from
        return found

    def _look(self, sound: Samples, done: int, first_seen: int) -> list[Clap]:
        found = []
        limit = self._floor * 10 ** (ABOVE_NOISE_DB / 10)
        latest = len(self._level) - (self._seen - first_seen)
        first = max(latest, BEFORE_STEPS)
        for at in (first + (self._level[first:] > limit).nonzero()[0]).tolist():
            new = at - latest
            seen = first_seen + new
            if seen - self._last < APART_STEPS:
                continue
            now = float(self._level[at])
            before = float(np.add.reduce(self._level[at - BEFORE_STEPS : at])) / BEFORE_STEPS
            leak = self.leak(int(self._place[at]))
            if now <= before * 10 ** (ABOVE_BEFORE_DB / 10) or now <= leak * 10 ** (ABOVE_LEAK_DB / 10):
                continue
            self._last = seen
            end = (done + new + 1) * self._step
            begin = max(end - 6 * self._step, 0)
            sharp = np.diff(np.asarray(sound[begin:end], np.float64), prepend=float(sound[begin]))
            found.append(Clap(self._rest_frame + begin + first_change(sharp)))
        return found

    def leak(self, place: int) -> float:
        """Expected leakage of the played sound at a step: maximum over the latest 5 ms and the next 2."""
        if not self.gain:
            return 0.0
        at = place - self.delay_steps
        near = self._room[max(at - 5, 0) : max(at + 3, 0)]
        return self.gain * float(near.max()) if len(near) else 0.0

    def _learn(self) -> None:
        """Estimate noise, leakage delay and leakage gain from the latest seconds."""
        self._learnt = self._seen
        self._floor = max(quantile(self._level, 0.3), 1e-16)
        heard = np.log(self._level + self._floor)
        first, last = int(self._place[0]), int(self._place[-1])
        index = np.arange(first - LATE_STEPS, last + 51)
        within = (index >= 0) & (index < len(self._room))
        room = np.where(within, self._room[np.clip(index, 0, len(self._room) - 1)], 0.0)
        if room.max() <= 0:
            self.gain = 0.0
            return
        known = np.log(room + 1e-4 * room.max())
        heard = heard - heard.mean()
        known = known - known.mean()
        size = 1 << (len(known) - 1).bit_length()  # comes round only at delays beyond those looked at
        across = np.fft.irfft(np.fft.rfft(known, size) * np.conj(np.fft.rfft(heard, size)), size)
        across = across[: len(known) - len(heard) + 1]
        best = int(np.argmax(across))
        part = known[best : best + len(heard)]
        like = float(across[best]) / (float(np.linalg.norm(part) * np.linalg.norm(heard)) + 1e-30)
        if like < LEAKS_FROM:
            self.gain = 0.0
            return
        self.delay_steps = LATE_STEPS - best
        sound = room[best : best + len(heard)]
        loud = sound > 0.05 * sound.max()
        self.gain = quantile(self._level[loud] / sound[loud], 0.75)
