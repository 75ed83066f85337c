"""The tempo of a whole recording: candidates by comb filters over its autocorrelation, refined by its spectrum.

A comb sums the autocorrelation of the onset strength at multiples of a beat (Scheirer 1998, JASA 103, 588-601, and
Klapuri, Eronen & Astola 2006, from memory). Of tempos an octave apart the prior prefers those that people tap to
(Moelants 2002, Proc. 7th ICMPC: about 120 to 130 BPM; here a plateau with slow flanks). The sharpest pulse near a
candidate is the peak of the spectrum of the whole onset strength, at the beat and its halves and quarters.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Floats
from synth.recording.finding.folds import fold, smoothed, vertex
from synth.recording.finding.onsets import FRAMES_PER_S, Bands

RANGE_BPM, TEMPOS = (55.0, 215.0), 3000
# Weights of the bands: in the three onset strengths that are combed (all, low, mid), and in all else.
COMBED = ((0.5, (1.6, 0.8, 0.8, 0.8, 1.0, 1.0, 0.8)), (0.3, (1.0, 0.5, 0, 0, 0, 0, 0)), (0.2, (0, 0, 0, 1, 1, 1, 0)))
WEIGHTS = np.array(COMBED[0][1]) / sum(COMBED[0][1])
# Weights of a beat's own folded onset strength: the kick and the sticks say most.
BEAT_WEIGHTS = np.array([1.2, 0.6, 0.6, 0.8, 1.0, 0.8, 0.3])
# Multiple of the beat -> weight in the comb; their sum; seconds of autocorrelation that are needed.
COMB = ((1, 1.0), (2, 1.0), (3, 0.5), (4, 1.0), (6, 0.5), (8, 1.0))
COMB_SUM, LAGS_S = 5.0, 20
# BPM: the plateau of the prior; octaves beyond it at which it has fallen to a half.
PLATEAU_BPM, HALF_OCTAVES = (92.0, 150.0), 0.42
# Its weight where candidates are compared; ratios so near to a power of two (log2) are octaves.
PRIOR_WEIGHT, OCTAVE = 1.25, 0.02
# At most so many candidates, none below this share of the best.
CANDIDATES, SHARE = 4, 0.55
LEAST_STRENGTH = 0.02
# How much the filling of halves against thirds of a beat weighs.
BINARY, BINARY_MOST = 0.35, 0.6
# Frames summed before the spectrum of the whole; points of it between two independent frequencies.
DECIMATED, FINE = 128, 16
# A candidate is refined within this share of itself.
NEAR = 0.006
# Cells of a folded beat.
CELLS = 96


def prior(tempo_bpm: Floats) -> Floats:
    """1 from 92 to 150 BPM, falling to a half at about 69 and 201."""
    low, high = np.log2(PLATEAU_BPM)
    octaves = np.log2(tempo_bpm)
    beyond = np.maximum(0, np.maximum(low - octaves, octaves - high))
    liked: Floats = np.exp(-np.log(2) * (beyond / HALF_OCTAVES) ** 2)
    return liked


def strength(onsets: Bands, weights: npt.ArrayLike) -> Floats:
    """One onset strength (frames,) from the bands, its mean taken away."""
    weight = np.asarray(weights, np.float64)
    summed = (weight / weight.sum()).astype(np.float32) @ onsets
    whole: Floats = summed.astype(np.float64) - summed.mean(dtype=np.float64)
    return whole


def autocorrelation(values: Floats, lags: int) -> Floats:
    """Autocorrelation (lags,) of (n,), each lag by its number of pairs, 1 at lag 0; in blocks, to spare memory."""
    block = 1 << 16
    size = 1 << int(np.ceil(np.log2(block + lags)))
    found = np.zeros(lags)
    for start in range(0, len(values), block):
        one = np.fft.rfft(values[start : start + block], size)
        other = np.fft.rfft(values[start : start + block + lags], size)
        found += np.fft.irfft(np.conj(one) * other, size)[:lags]
    found /= np.maximum(1, len(values) - np.arange(lags))
    alike: Floats = found / (found[0] + 1e-12)
    return alike


def comb(values: Floats, tempo_bpm: Floats) -> Floats:
    """How strongly onset strength (frames,) recurs at multiples of the beat of each tempo (m,)."""
    alike = autocorrelation(values, int(FRAMES_PER_S * LAGS_S))
    alike = np.convolve(alike, (0.25, 0.5, 0.25), "same")  # a beat is no whole number of frames
    lag, beat = np.arange(len(alike)), 60 * FRAMES_PER_S / tempo_bpm
    teeth = sum(weight * np.interp(multiple * beat, lag, alike) for multiple, weight in COMB)
    return np.asarray(teeth) / COMB_SUM


def refined(values: Floats, tempo_bpm: float) -> float:
    """The tempo near this one whose pulse is sharpest over the whole onset strength (frames,)."""
    beat_hz = tempo_bpm / 60
    blocks = len(values) // DECIMATED
    duration_s = len(values) / FRAMES_PER_S
    rows = values[: blocks * DECIMATED].reshape(blocks, DECIMATED)
    in_row_s = np.arange(DECIMATED) / FRAMES_PER_S
    row_s = np.arange(blocks) * DECIMATED / FRAMES_PER_S
    span = max(NEAR * beat_hz, 2 / duration_s)
    offsets = np.linspace(-span, span, int(2 * span * duration_s * FINE) + 9)
    size = 1 << int(np.ceil(np.log2(max(2, blocks) * FINE * 2)))
    found = np.zeros(len(offsets))
    for harmonic in (1, 2, 4):
        turn = 2 * np.pi * harmonic * beat_hz
        summed = rows @ np.cos(turn * in_row_s) - 1j * (rows @ np.sin(turn * in_row_s))
        spectrum = np.abs(np.fft.fft(summed * np.exp(-1j * turn * row_s), size))
        bins = harmonic * offsets * DECIMATED / FRAMES_PER_S * size
        low = np.floor(bins).astype(int)
        share = bins - low
        found += spectrum[low % size] * (1 - share) + spectrum[(low + 1) % size] * share
    best = int(np.argmax(found))
    return 60 * (beat_hz + float(np.interp(best + _peak(found, best), np.arange(len(offsets)), offsets)))


def _peak(values: Floats, at: int) -> float:
    """The vertex of the parabola through a peak and its neighbours, relative to it; 0 at an end."""
    return float(vertex(*values[at - 1 : at + 2])) if 0 < at < len(values) - 1 else 0.0


def folded_beat(onsets: Bands, beat_s: float, phase_s: float) -> Floats:
    """Onset strength (cells,) of all bands by its place in the beat; cell 0 is at ``phase_s``."""
    weighted: Floats = BEAT_WEIGHTS @ smoothed(fold(onsets, beat_s, phase_s, CELLS))
    return weighted


def binary_fit(onsets: Bands, beat_s: float) -> float:
    """How much fuller halves and quarters of the beat are than its thirds, relative to the beat's own strength."""
    folded = folded_beat(onsets, beat_s, 0.0)
    folded = folded - np.median(folded)
    top = int(np.argmax(folded))

    def at(share: float) -> float:
        return float(max(folded[(top + round(share * CELLS) + side) % CELLS] for side in (-1, 0, 1)))

    halves = 0.5 * at(1 / 2) + 0.25 * (at(1 / 4) + at(3 / 4))
    thirds = 0.5 * (at(1 / 3) + at(2 / 3))
    return (halves - thirds) / (at(0) + 1e-9)


@dataclass(frozen=True, slots=True, eq=False)
class Combed:
    """Tempos (n,) in BPM and how strongly the recording recurs at each, (n,)."""

    tempos_bpm: Floats
    strengths: Floats

    def score(self, onsets: Bands, tempo_bpm: float, prior_weight: float) -> float:
        """Logarithm of how well a tempo does by its comb, how its beat is divided, and the prior."""
        strength = float(np.interp(tempo_bpm, self.tempos_bpm, self.strengths))
        binary = float(np.clip(binary_fit(onsets, 60 / tempo_bpm), -BINARY_MOST, BINARY_MOST))
        liked = float(np.log(prior(np.array([tempo_bpm]))[0]))
        return float(np.log(max(strength, LEAST_STRENGTH) * (1 + BINARY * binary))) + prior_weight * liked

    def peaks(self) -> Floats:
        """The likeliest tempos (m,) by comb and prior, the best first; empty if nothing recurs."""
        score = self.strengths * prior(self.tempos_bpm)
        found = np.flatnonzero((score[1:-1] > score[:-2]) & (score[1:-1] >= score[2:])) + 1
        found = found[np.argsort(-score[found], kind="stable")][:CANDIDATES]
        if not len(found) or score[found[0]] <= 0:
            return np.zeros(0)
        best: Floats = self.tempos_bpm[found[score[found] >= SHARE * score[found[0]]]]
        return best


def combed(onsets: Bands) -> Combed:
    """How strongly a recording recurs at each tempo: all its onsets, the low ones and the middle ones."""
    tempos = np.geomspace(*RANGE_BPM, TEMPOS)
    strengths = np.zeros(TEMPOS)
    for share, weights in COMBED:
        strengths += share * np.maximum(comb(strength(onsets, weights), tempos), 0)
    return Combed(tempos, strengths)


def likeliest(onsets: Bands, by_comb: Combed) -> tuple[float, float] | None:
    """The tempo that recurs best, and its lead over others that are no octave of it (without any: infinite).

    None if nothing recurs. Ratios but octaves are settled here: four beats at four fifths of the tempo fit a bar of
    five as well.
    """
    whole = strength(onsets, WEIGHTS)
    tempos = [refined(whole, float(peak)) for peak in by_comb.peaks()]
    if not tempos:
        return None
    scores = np.array([by_comb.score(onsets, each, PRIOR_WEIGHT) for each in tempos])
    best = tempos[int(np.argmax(scores))]
    octaves = np.log2(np.array(tempos) / best)
    rivals = scores[np.abs(octaves - np.round(octaves)) > OCTAVE]
    return best, float(scores.max() - rivals.max()) if len(rivals) else float("inf")
