"""A mix: takes with start frames and gains, and their sum over any range of frames."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Ints, Samples
from synth.score.hits import FILTER, Hits
from synth.score.metre import to_frames
from synth.sound.darkening import darken, reach
from synth.sound.ducking import Duck
from synth.sound.kit import BIN_S, TAKES, VOICES, Kit, Take, layer_of
from synth.sound.loudness import Powers

CHOKE_S = 0.006  # fade of a choked cymbal
_ROWS = 4096  # rows processed together by ``_by_bins``
_PAGE = 512  # frames in 4 KB
_BLOCK = 1 << 16  # frames summed at a time: half a megabyte, fits the processor's cache


@dataclass(frozen=True, slots=True, eq=False)
class Mix:
    """Sounds on their frames, one row each, sorted by ``start``.

    ``take`` (n,) index into ``takes``; ``start`` (n,) first frame, may be negative; ``end`` (n,) frame after the
    last; ``gain`` (n,) float32 factor; ``duck`` (n,) index into ``ducks``, -1 for none; ``swept`` (n,) index into
    ``sweeps``, first frames and ends of a record's filter sweeps (k, 2), -1 for what they leave alone. A row whose
    ``end`` precedes its take's own end is choked.
    """

    takes: tuple[Take, ...]
    take: Ints
    start: Ints
    end: Ints
    gain: npt.NDArray[np.float32]
    duck: Ints
    swept: Ints
    sample_rate_hz: int
    ducks: tuple[Duck, ...] = ()
    sweeps: tuple[Ints, ...] = ()

    @classmethod
    def of(
        cls,
        hits: Hits,
        kit: Kit,
        spoken: Sequence[tuple[float, Take]] = (),
        gain: float = 1.0,
        by_s: float = 0.0,
        duck_db: float = 0.0,
    ) -> "Mix":
        """Combine hits played on ``kit`` with ``spoken`` words (onset in seconds, take), delayed by ``by_s``.

        Voices that duck give way to the kick by ``duck_db``.
        """
        rate = kit.sample_rate_hz
        filtered = hits.only(FILTER)
        if len(filtered):
            hits = hits.where(hits.voice != hits.voices.index(FILTER))
        sweeps = to_frames(np.stack([filtered.onset_s, filtered.onset_s + filtered.duration_s], axis=1) + by_s, rate)
        start = to_frames(hits.onset_s + by_s, rate)
        # Durations in hundredths of a second: notes of nearly the same length share a take.
        length = np.rint(hits.duration_s * 100).astype(np.int64)
        # Struck voices have takes, sustained ones pitches and durations.
        struck = np.array([VOICES[name].sing is None for name in hits.voices if name in VOICES] or [True])[hits.voice]
        stroke = np.where(struck, layer_of(hits.velocity) * TAKES + hits.take, 0)
        key = ((hits.voice.astype(np.int64) * 16 + stroke) * 128 + hits.pitch) * 1_000_000 + length
        _, first, take = np.unique(key, return_index=True, return_inverse=True)
        takes = [
            kit.take(
                hits.voices[hits.voice[row]],
                float(hits.pitch[row]),
                float(length[row]) / 100,
                velocity=float(hits.velocity[row]),
                number=int(hits.take[row]),
            )
            for row in first.tolist()
        ]
        end = start + np.array([len(one.samples) for one in takes], dtype=np.int64)[take]
        _choke(hits, start, end, round(CHOKE_S * rate))
        gains = hits.velocity * np.float32(gain)
        ducking = [duck_db > 0 and name in VOICES and VOICES[name].ducks for name in hits.voices] or [False]
        duck = np.array(ducking)[hits.voice].astype(np.int64) - 1
        kicks = start[hits.voice == hits.voices.index("kick")] if "kick" in hits.voices else start[:0]
        ducks = (Duck.of(kicks, duck_db, rate),) if np.any(duck == 0) else ()
        if spoken:
            word = len(takes) + np.arange(len(spoken))
            takes.extend(one for _, one in spoken)
            begins = to_frames([onset_s + by_s for onset_s, _ in spoken], rate)
            take = np.concatenate([take, word])
            start = np.concatenate([start, begins])
            end = np.concatenate([end, begins + [len(one.samples) for _, one in spoken]])
            gains = np.concatenate([gains, np.full(len(spoken), gain, dtype=np.float32)])
            duck = np.concatenate([duck, np.full(len(spoken), -1)])
        swept = np.full(len(take), -1)
        swept[: len(hits)] = 0 if len(sweeps) else -1
        return cls._sorted(
            tuple(takes),
            rate,
            ducks,
            (sweeps,) if len(sweeps) else (),
            take=take,
            start=start,
            end=end,
            gain=gains,
            duck=duck,
            swept=swept,
        )

    @classmethod
    def _sorted(
        cls,
        takes: tuple[Take, ...],
        rate: int,
        ducks: tuple[Duck, ...],
        sweeps: tuple[Ints, ...],
        **columns: npt.NDArray[Any],
    ) -> "Mix":
        """The mix of these columns, put in the order of ``start``."""
        order = np.argsort(columns["start"], kind="stable")
        rows = {name: column[order] for name, column in columns.items()}
        return cls(takes=takes, sample_rate_hz=rate, ducks=ducks, sweeps=sweeps, **rows)

    @classmethod
    def together(cls, mixes: Sequence["Mix"]) -> "Mix":
        """Merge several mixes. Raises ``ValueError`` where their sample rates differ."""
        rate = mixes[0].sample_rate_hz
        if any(mix.sample_rate_hz != rate for mix in mixes):
            raise ValueError(f"sample rates {[mix.sample_rate_hz for mix in mixes]}: one rate expected")

        def joined(name: str, things: str) -> Ints:
            """A column of indices into ``things``, counted on from mix to mix; -1 stays."""
            offsets = np.cumsum([0, *(len(getattr(mix, things)) for mix in mixes)])
            columns = zip((getattr(mix, name) for mix in mixes), offsets[:-1], strict=True)
            return np.concatenate([np.where(column < 0, -1, column + offset) for column, offset in columns])

        return cls._sorted(
            tuple(take for mix in mixes for take in mix.takes),
            rate,
            tuple(duck for mix in mixes for duck in mix.ducks),
            tuple(sweep for mix in mixes for sweep in mix.sweeps),
            take=joined("take", "takes"),
            start=np.concatenate([mix.start for mix in mixes]),
            end=np.concatenate([mix.end for mix in mixes]),
            gain=np.concatenate([mix.gain for mix in mixes]),
            duck=joined("duck", "ducks"),
            swept=joined("swept", "sweeps"),
        )

    def frames(self, first: int, last: int, scale: float = 1.0) -> Samples:
        """Sum of the frames ``first`` to ``last``, times ``scale``: float32 (last - first, 2).

        Works in blocks that fit the processor's cache, and does not touch the memory of silent blocks.
        """
        out = np.zeros((last - first, 2), dtype=np.float32)
        gain = self.gain * np.float32(scale)
        lengths = np.array([len(take.samples) for take in self.takes], dtype=np.int64)
        around = reach(self.sample_rate_hz)
        scratch = np.empty((min(_BLOCK, len(out)) + 2 * around, 2), dtype=np.float32)
        for low in range(first, last, _BLOCK):
            high = min(low + _BLOCK, last)
            block, rows = out[low - first : high - first], self._sounding(low, high, lengths)
            darker = [at for at, each in enumerate(self.sweeps) if np.any((each[:, 0] < high) & (each[:, 1] > low))]
            self._sum(block, low, rows[~np.isin(self.swept[rows], darker)], gain, lengths, scratch)
            for number in darker:
                wide = np.zeros((len(block) + 2 * around, 2), dtype=np.float32)
                own = self._sounding(low - around, high + around, lengths)
                self._sum(wide, low - around, own[self.swept[own] == number], gain, lengths, scratch)
                for begin, end in self.sweeps[number].tolist():
                    darken(wide, low - around, begin, end, self.sample_rate_hz)
                block += wide[around:-around]
        return out

    def _sounding(self, low: int, high: int, lengths: Ints) -> Ints:
        """Rows that sound between two frames."""
        row, end_row = np.searchsorted(self.start, (low - int(lengths.max(initial=0)), high))
        rows: Ints = row + np.flatnonzero(self.end[row:end_row] > low)
        return rows

    def _sum(
        self,
        block: Samples,
        low: int,
        rows: Ints,
        gain: npt.NDArray[np.float32],
        lengths: Ints,
        scratch: Samples,
    ) -> None:
        """Put ``rows``, ducked, into ``block``, which is empty and begins at frame ``low``."""
        if not len(rows):
            return
        # Writing a new page of memory before reading it costs one page fault instead of two.
        block[::_PAGE] = 0
        ducked = self.duck[rows]
        for number, duck in enumerate(self.ducks):
            if np.any(ducked == number):
                # The first to duck are summed where nothing else sounds yet.
                place = np.zeros_like(block) if number else block
                self._add(place, low, rows[ducked == number], gain, lengths, scratch)
                duck.apply(place, low)
                if number:
                    block += place
        self._add(block, low, rows[ducked < 0], gain, lengths, scratch)

    def _add(
        self,
        out: Samples,
        first: int,
        rows: Ints,
        gain: npt.NDArray[np.float32],
        lengths: Ints,
        scratch: Samples,
    ) -> None:
        """Add ``rows`` to ``out``, which begins at frame ``first``; ``lengths`` (takes,) of the takes."""
        last = first + len(out)
        hush = np.linspace(1, 0, round(CHOKE_S * self.sample_rate_hz), dtype=np.float32)[:, None]
        take, start, end = self.take[rows], self.start[rows], self.end[rows]
        cut = end < start + lengths[take]
        for which, at, stop, by, choked in zip(
            take.tolist(), start.tolist(), end.tolist(), gain[rows], cut.tolist(), strict=True
        ):
            here, until = max(at, first), min(stop, last)
            part = scratch[: until - here]
            np.multiply(self.takes[which].samples[here - at : until - at], by, out=part)
            if choked and until > stop - len(hush):
                falls = max(here, stop - len(hush))
                part[falls - here :] *= hush[falls - stop + len(hush) : until - stop + len(hush)]
            place = out[here - first : until - first]
            np.add(place, part, out=place)

    def expected_energy(self, frames: int) -> Powers:
        """Sum of the K-weighted squares in every 20 ms, assuming uncorrelated sounds.

        ``synth.sound.gain`` corrects for correlated ones.
        """
        bin_frames = round(BIN_S * self.sample_rate_hz)
        return self._by_bins([take.energy for take in self.takes], np.square(self.gain), frames, bin_frames // 2)

    def highest(self, frames: int) -> Powers:
        """Upper bound of the true peaks in every 20 ms at scale 1: the sum of the sounds' own bounds."""
        return self._by_bins([take.peak for take in self.takes], self.gain, frames, 0)

    def _by_bins(self, values: Sequence[Powers], gain: npt.NDArray[np.float32], frames: int, late: int) -> Powers:
        """Sum the takes' values per 20 ms, (bins,), over all rows."""
        bin_frames = round(BIN_S * self.sample_rate_hz)
        offset = np.cumsum([0, *(len(one) for one in values)])[:-1]
        long = np.array([len(one) for one in values], dtype=np.int64)
        flat = np.concatenate([*values, np.zeros(1)])
        total = np.zeros(-(-frames // bin_frames))
        for rows in (slice(at, at + _ROWS) for at in range(0, len(self.take), _ROWS)):
            take, start = self.take[rows], self.start[rows]
            counts = np.minimum(-(-(self.end[rows] - start) // bin_frames) + 1, long[take])
            within = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)
            found = flat[np.repeat(offset[take], counts) + within] * np.repeat(gain[rows], counts)
            place = np.repeat((start + late) // bin_frames, counts) + within
            inside = (place >= 0) & (place < len(total))
            if inside.any():
                first = int(place[inside].min())
                part = np.bincount(place[inside] - first, found[inside])
                total[first : first + len(part)] += part
        return total


def _choke(hits: Hits, start: Ints, end: Ints, hush: int) -> None:
    """Set ``end`` of every choked hit to where the next choking hit has silenced it.

    Of a long cymbal's own strokes only the last few sound at once: the next ones take their place.
    """
    for index, name in enumerate(hits.voices):
        rings = VOICES[name].rings if name in VOICES else 0
        if rings:
            own = np.flatnonzero(hits.voice == index)
            end[own[:-rings]] = np.minimum(end[own[:-rings]], start[own[rings:]] + hush)
        stoppers = [at for at, other in enumerate(hits.voices) if other in VOICES and name in VOICES[other].chokes]
        rows = np.flatnonzero(hits.voice == index)
        stops = np.unique(start[np.isin(hits.voice, stoppers)])
        if len(rows) and len(stops):
            after = np.searchsorted(stops, start[rows], side="right")
            silent = np.append(stops, np.iinfo(np.int64).max - hush)[after] + hush
            end[rows] = np.minimum(end[rows], silent)
