"""Whether one tempo holds through a recording, and that tempo to thousandths of a BPM.

The recording is folded at the tempo; windows of 12 s are folded alike and correlated with the whole, and a line
through their shifts corrects tempo and phase; some rounds converge. Shifts that do not lie on a line are drift: they
slip, bend, break into two lines, or run away in windows that are unlike the whole. Some that are off by a half,
third or quarter of a beat hold another part of the pattern, and have not slipped. A fixed template misses a sway
that the template itself has blurred, so the drift is also followed by a template that is aligned as it grows.
"""

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Floats
from synth.recording.finding.folds import above_median, folded_parts, shifts
from synth.recording.finding.onsets import FRAMES_PER_S, Bands
from synth.recording.finding.tempo import WEIGHTS

# Windows in s, half overlapping; in a short recording a seventh of it, at least the second figure.
WINDOW_S, SHORTEST_S = 12.0, 4.0
# Beats that are folded together, cells of their fold, rounds.
BEATS, CELLS, ROUNDS = 2, 256, 5
# A window takes part in the fit within this share of a beat, as alike as this, as strong as this share of the median.
NEAR, ALIKE, STRONG = 0.12, 0.35, 0.15
# Residuals beyond so many median deviations are left out of the line; least deviation in s.
OUTLIER, LEAST_S = 5.0, 5e-4
# A change of tempo below this share ends the rounds.
CONVERGED = 2e-7
# A window bears witness of the drift if it is as alike and as strong as this.
WITNESS_ALIKE, WITNESS_STRONG = 0.45, 0.3
# Shifts of a bar beyond this share of a beat are another part of the beat rather than a drift.
FAR = 0.12
# Beats of more seconds are slow.
SLOW_S = 0.6
# A bar is followed so far from the one before it, in beats; what is kept of the whole with each bar.
FOLLOW, KEPT = 0.04, 0.97
# A shift by halves of a beat is another part of the pattern, within so many s; windows that may be off otherwise.
PATTERN_S, ASTRAY = 0.012, 0.3
# A slip: so many windows, and this share, are off by the same s, which are no quarters or thirds of a beat.
SLIP_S, SLIP_WINDOWS, SLIP_SHARE = 0.004, 3, 0.07
# Lateness that bends by so many s and leaves this share of the squares of a line; that of two lines, and their share.
BEND_S, BEND_REST, BREAK_S, BREAK_REST = 0.005, 0.4, 0.008, 0.25
# Least windows of which a bend can be told, and of a run that is unlike the whole; lateness of none of them in s.
FEWEST, OTHER_S = 6, 0.03
# Unlike windows run away if each is later than the one before by this share, give or take a part of that.
AWAY, EVENLY = 0.002, 0.4
# Seconds whose bars are looked at together, and windows: to spare memory.
PART_S, AT_ONCE = 600, 64


@dataclass(frozen=True, slots=True, eq=False)
class Lock:
    """A tempo and what the windows say of it.

    ``phase_s``: where cell 0 of the fold lies, within two beats. By window (n,): ``at_s`` its middle, ``off_s`` how
    much later it is than the whole, ``alike`` their correlation, ``strong`` its onset strength.
    """

    tempo_bpm: float
    phase_s: float
    at_s: Floats
    off_s: Floats
    alike: Floats
    strong: Floats

    @property
    def beat_s(self) -> float:
        """Seconds of a beat."""
        return 60 / self.tempo_bpm

    @property
    def loud(self) -> npt.NDArray[np.bool_]:
        """The windows (n,) in which something beats; a break says nothing of the tempo."""
        return self.strong > WITNESS_STRONG * np.median(self.strong)

    @property
    def witnesses(self) -> npt.NDArray[np.bool_]:
        """The windows (n,) that say something of the drift."""
        return self.loud & (self.alike > WITNESS_ALIKE)

    @property
    def unlike(self) -> npt.NDArray[np.bool_]:
        """The loud windows (n,) that are not like the whole."""
        return self.loud & ~self.witnesses

    @property
    def unlike_share(self) -> float:
        """The longest run of unlike windows, whatever quiet ones lie between, as a share of all windows."""
        return max((end - start for start, end in _runs(self.unlike[self.loud])), default=0) / max(1, len(self.alike))

    def steady_until_s(self, within_s: float) -> float | None:
        """Where the grid ends before the recording does: at the end loud windows are unlike, or late; else None."""
        good = np.flatnonzero(self.witnesses & (np.abs(self.off_s) < within_s))
        if not len(good) or not self.loud[good[-1] + 1 :].any():
            return None
        return float(self.at_s[good[-1]] + self.at_s[0])

    def drift(self) -> tuple[Floats, Floats]:
        """Times and lateness in s of the witnesses, modulo a quarter of a beat, unwrapped, their median zero."""
        witnesses = self.witnesses
        off = np.unwrap(self.off_s[witnesses], period=self.beat_s / 4)
        return self.at_s[witnesses], off - (np.median(off) if len(off) else 0)


def _runs(flags: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Where runs of flags (n,) start and end."""
    edges = np.flatnonzero(np.diff(flags.astype(np.int8), prepend=0, append=0)).tolist()
    return list(zip(edges[::2], edges[1::2], strict=True))


def slipped_s(found: Lock) -> float | None:
    """How far a part of the recording has slipped, in s; None if none has."""
    off_s = found.off_s[found.witnesses]
    far = np.abs(off_s) > NEAR * found.beat_s
    astray = far & (_beside(off_s, found.beat_s / 2) > PATTERN_S)
    if len(off_s) and astray.mean() > ASTRAY:
        return float(np.median(np.abs(off_s[astray])))
    odd = off_s[far & (np.minimum(*(_beside(off_s, found.beat_s / by) for by in (3, 4))) > SLIP_S)]
    for each in odd:
        if (np.abs(odd - each) < SLIP_S).sum() >= max(SLIP_WINDOWS, SLIP_SHARE * len(off_s)):
            return float(abs(each))
    return None


def _beside(off_s: Floats, step_s: float) -> Floats:
    """How far times (n,) are from the nearest multiple of a step."""
    beside: Floats = np.abs(off_s - np.rint(off_s / step_s) * step_s)
    return beside


def bent_s(found: Lock) -> float | None:
    """By how much the lateness of the windows bends away from a line, or breaks, in s; None if it does neither."""
    at_s, late_s = found.drift()
    near = np.abs(late_s) < OTHER_S
    at_s, late_s = at_s[near], late_s[near]
    if len(late_s) < FEWEST:
        return None
    at = (at_s - at_s[0]) / (at_s[-1] - at_s[0])
    line = np.stack([np.ones_like(at), at], axis=1)
    rest = _rest(line, late_s)
    squares = float(np.square(rest).sum())
    bend = rest - _rest(np.column_stack([line, at * at]), late_s)
    if np.ptp(bend) > BEND_S and np.square(rest - bend).sum() < BEND_REST * squares:
        return float(np.ptp(bend))
    for first in range(3, len(at) - 2):
        later = np.arange(len(at)) >= first
        step = rest - _rest(np.column_stack([line, later, later * at]), late_s)
        if np.ptp(step) > BREAK_S and np.square(rest - step).sum() < BREAK_REST * squares:
            return float(np.ptp(step))
    return None


def _rest(terms: Floats, values: Floats) -> Floats:
    """What least squares leave of the values (n,)."""
    rest: Floats = values - terms @ np.linalg.lstsq(terms, values, rcond=None)[0]
    return rest


def runs_away(found: Lock) -> bool:
    """Whether windows that are unlike the whole are later and later, so that they have another tempo."""
    for start, end in _runs(found.unlike):
        if end - start >= FEWEST:
            later_s = np.diff(np.unwrap(found.off_s[start:end], period=found.beat_s / 2))
            each_s = abs(float(later_s.mean()))
            if each_s > AWAY * (found.at_s[1] - found.at_s[0]) and later_s.std() < EVENLY * each_s:
                return True
    return False


def lock(onsets: Bands, tempo_bpm: float) -> Lock:
    """Refine a tempo that is right within some tenths of a per cent."""
    duration_s = onsets.shape[1] / FRAMES_PER_S
    window_s = min(WINDOW_S, max(SHORTEST_S, duration_s / 7))
    half = int(window_s / 2 * FRAMES_PER_S)
    period_s, phase_s = BEATS * 60 / tempo_bpm, 0.0
    for _ in range(ROUNDS):
        found = _windows(onsets, period_s, phase_s, half)
        line = _line(found)
        if line is None:
            break
        phase_s += line[0]
        period_s *= 1 + line[1]
        if abs(line[1]) < CONVERGED:
            break
    return replace(found, tempo_bpm=BEATS * 60 / period_s, phase_s=phase_s)


def _windows(onsets: Bands, period_s: float, phase_s: float, half: int) -> Lock:
    sums, counts = _weighted_parts(onsets, period_s, phase_s, half)
    whole = above_median(sums.sum(axis=1) / (counts.sum(axis=0) + 1e-9))
    if onsets.shape[1] % half:  # the last part is short
        sums, counts = sums[:, :-1], counts[:-1]
    found = []
    for start in range(0, max(1, len(counts) - 1), AT_ONCE):
        these = slice(start, start + AT_ONCE + 1)
        some, count = sums[:, these], counts[these]
        folds = np.moveaxis((some[:, 1:] + some[:, :-1]) / (count[1:] + count[:-1] + 1e-9), 1, 0)
        found.append((*shifts(whole, above_median(folds)), folds.mean(axis=(1, 2))))
    late, alike, strong = (np.concatenate(each) for each in zip(*found, strict=True))
    at_s = (np.arange(len(late)) + 1) * half / FRAMES_PER_S
    return Lock(BEATS * 60 / period_s, phase_s, at_s, late / CELLS * period_s, alike, strong)


def _line(found: Lock) -> tuple[float, float] | None:
    """Offset in s at time 0 and slope of the windows' lateness, outliers left out; None if too few say anything."""
    near = np.abs(found.off_s) < NEAR * found.beat_s
    fit = near & (found.alike > ALIKE) & (found.strong > STRONG * np.median(found.strong))
    if fit.sum() < 3:
        return None
    weight = np.where(fit, found.alike**2, 0)
    offset = slope = 0.0
    for _ in range(3):
        slope, offset = np.polyfit(found.at_s, found.off_s, 1, w=np.sqrt(weight))
        rest = np.abs(found.off_s - offset - slope * found.at_s)
        limit = OUTLIER * (np.median(rest[weight > 0]) + LEAST_S)
        weight = np.where(fit & (rest < limit), found.alike**2, 0)
        if (weight > 0).sum() < 3:
            break
    return float(offset), float(slope)


def sway(onsets: Bands, found: Lock) -> Floats:
    """Lateness in s of the bars of four beats, half overlapping, each with its neighbours; empty if none can be told.

    Where beats are slow (or their double is what is felt), of half bars by themselves.
    The whole is aligned as it grows: each round the bars are moved by what they were late, and summed again. Bars
    that are not alike, or further off than a shift can be told, are left out. Ten minutes at a time, to spare memory:
    what is slower the windows tell.
    """
    part = int(PART_S * FRAMES_PER_S)
    starts = range(0, max(1, onsets.shape[1] - part // 2), part)
    ends = [*starts[1:], onsets.shape[1]]
    parts = zip(starts, ends, strict=True)
    return np.concatenate([_sway(onsets[:, start:end], found, start / FRAMES_PER_S) for start, end in parts])


def _sway(onsets: Bands, found: Lock, start_s: float) -> Floats:
    period_s, phase_s = BEATS * found.beat_s, found.phase_s - start_s
    sums, counts = _weighted_parts(onsets, period_s, phase_s, round(period_s * FRAMES_PER_S))
    if len(counts) < 2:
        return np.zeros(0)
    slow = found.beat_s > SLOW_S
    if not slow:
        sums, counts = sums[:, 1:] + sums[:, :-1], counts[1:] + counts[:-1]
    rows = above_median(np.moveaxis(sums / (counts + 1e-9), 1, 0))
    spectra = np.fft.rfft(rows - rows.mean(axis=-1, keepdims=True), axis=-1)
    turn = 2j * np.pi * np.arange(spectra.shape[-1]) / CELLS
    late = _grown(spectra, turn)
    for _ in range(ROUNDS):
        whole = np.fft.irfft((spectra * np.exp(turn * late[:, None, None])).mean(axis=0), CELLS, axis=-1)
        late, alike = shifts(above_median(whole), rows)
    late *= period_s / CELLS
    late -= np.median(late)
    told = (alike > WITNESS_ALIKE) & (np.abs(late) < FAR * found.beat_s)
    if slow:
        return late[told]
    near = np.convolve(told, np.ones(3), "same")
    mean = np.convolve(np.where(told, late, 0), np.ones(3), "same")[near > 1] / near[near > 1]
    return np.asarray(mean, np.float64)


def _grown(spectra: npt.NDArray[np.complexfloating], turn: npt.NDArray[np.complexfloating]) -> Floats:
    """Shifts (n,) in cells of folds, given by their spectra, against a whole that each joins as it is aligned.

    A whole that is summed before it is aligned would be blurred by a sway, and hold each of its ends for a beat.
    """
    late = np.zeros(len(spectra))
    reach = round(FOLLOW * CELLS / BEATS)
    whole = np.zeros_like(spectra[0])
    for at, fold in enumerate(spectra):
        cross = np.fft.irfft((np.conj(whole) * fold).sum(axis=0), CELLS)
        near = round(late[at - 1]) + np.arange(-reach, reach + 1) if at else np.zeros(1, int)
        late[at] = near[int(np.argmax(cross[near % CELLS]))]
        whole = KEPT * whole + fold * np.exp(turn * late[at])
    return late


def _weighted_parts(onsets: Bands, period_s: float, phase_s: float, part: int) -> tuple[Floats, Floats]:
    """``folded_parts`` with the bands weighted."""
    sums, counts = folded_parts(onsets, period_s, phase_s, CELLS, part)
    sums *= np.sqrt(WEIGHTS)[:, None, None]
    return sums, counts
