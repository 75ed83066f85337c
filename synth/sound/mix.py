"""A mix: takes with start frames and gains, and their sum over any range of frames."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Any

import numpy as np
import numpy.typing as npt

from synth.base.arrays import Ints, Samples
from synth.base.bins import frames_of_bin
from synth.score.hits import FILTER, Hits
from synth.score.metre import to_frames
from synth.sound.darkening import darken, reach
from synth.sound.ducking import Duck
from synth.sound.kit import TAKES, VOICES, Kit, Take, layer_of
from synth.sound.loudness import Powers

# How far a recording goes down under a spoken word, and for how long.
SPEECH_DB, SPEECH_S = 6.0, 0.25
CHOKE_S = 0.006  # fade of a choked cymbal
_ROWS = 4096  # rows processed together by ``_by_bins``
_BLOCK = 1 << 17  # frames summed at a time: a megabyte, which stays in the processor's cache
# Times that a sound is played from which it is kept at its gain, and rows from which this is looked for.
_OFTEN, _MANY = 4, 64


@dataclass(frozen=True, slots=True, eq=False)
class Mix:
    """Sounds on their frames, one row each, sorted by ``start``.

    ``take`` (n,) index into ``takes``; ``start`` (n,) first frame, may be negative; ``end`` (n,) frame after the
    last; ``gain`` (n,) float32 factor; ``duck`` (n,) index into ``ducks``, -1 for none; ``swept`` (n,) index into
    ``sweeps``, first frames and ends of a record's filter sweeps (k, 2), -1 for what they leave alone. The ``end`` of
    a row that is ``choked`` precedes its take's own end.
    """

    takes: tuple[Take, ...]
    take: Ints
    start: Ints
    end: Ints
    gain: npt.NDArray[np.float32]
    duck: Ints
    swept: Ints
    choked: npt.NDArray[np.bool_]
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
        beds: Sequence[tuple[float, Take]] = (),
    ) -> "Mix":
        """Combine hits played on ``kit`` with ``spoken`` words (onset in seconds, take), delayed by ``by_s``.

        Voices that duck give way to the kick by ``duck_db``; ``beds``, recordings, give way to the words.
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
        whole_end = start + np.array([len(one.samples) for one in takes], dtype=np.int64)[take]
        end = whole_end.copy()
        _choke(hits, start, end, round(CHOKE_S * rate))
        choked = end < whole_end
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
            choked = np.append(choked, np.zeros(len(spoken), dtype=np.bool_))
        if beds:
            begins = to_frames([onset_s + by_s for onset_s, _ in beds], rate)
            if spoken:
                words = np.sort(to_frames([word_s + by_s for word_s, _ in spoken], rate))
                ducks = (*ducks, Duck.of(words, SPEECH_DB, rate, SPEECH_S))
            take = np.concatenate([take, len(takes) + np.arange(len(beds))])
            takes.extend(one for _, one in beds)
            start = np.concatenate([start, begins])
            end = np.concatenate([end, begins + [len(one.samples) for _, one in beds]])
            gains = np.concatenate([gains, np.full(len(beds), gain, dtype=np.float32)])
            duck = np.concatenate([duck, np.full(len(beds), len(ducks) - 1 if spoken else -1)])
            choked = np.append(choked, np.zeros(len(beds), dtype=np.bool_))
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
            choked=choked,
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
            choked=np.concatenate([mix.choked for mix in mixes]),
        )

    def frames(self, first: int, last: int, scale: float = 1.0) -> Samples:
        """Sum of the frames ``first`` to ``last``, times ``scale``: float32 (last - first, 2).

        Works in blocks, for the processor's cache, and does not touch the memory of what is silent.
        """
        out = np.zeros((last - first, 2), dtype=np.float32)
        gain, around = self.gain * np.float32(scale), reach(self.sample_rate_hz)
        # A filter sweep begins and ends at the edge of a block.
        swept = {min(max(edge, first), last) for each in self.sweeps for edge in each.ravel().tolist()}
        edges = np.array(sorted({*range(first, last, _BLOCK), last, *swept}))
        # Blocks by sweeps; the last column is for the rows that none concerns.
        dark = np.zeros((len(edges) - 1, len(self.sweeps) + 1), dtype=np.bool_)
        for number, each in enumerate(self.sweeps):
            dark[:, number] = np.any((each[:, :1] <= edges[:-1]) & (edges[:-1] < each[:, 1:]), axis=0)
        self._add(np.split(out, edges[1:-1] - first), edges[:-1], ~dark, gain)
        for number, each in enumerate(self.sweeps):
            rows = np.flatnonzero(dark[:, number])
            lows, highs = edges[rows] - around, edges[rows + 1] + around
            blocks = [np.zeros((frames, 2), dtype=np.float32) for frames in (highs - lows).tolist()]
            own = np.arange(dark.shape[1]) == number
            self._add(blocks, lows, np.broadcast_to(own, (len(rows), len(own))), gain)
            for low, block in zip(lows.tolist(), blocks, strict=True):
                for begin, end in each.tolist():
                    darken(block, low, begin, end, self.sample_rate_hz)
                out[low + around - first : low - around - first + len(block)] += block[around:-around]
        return out

    def _add(
        self, blocks: list[Samples], lows: Ints, wanted: npt.NDArray[np.bool_], gain: npt.NDArray[np.float32]
    ) -> None:
        """Add rows to ``blocks`` of silence, which begin at the frames ``lows`` (blocks,), rising.

        ``wanted`` (blocks, sweeps + 1) tells the rows of which sweep are added to which.
        """
        highs = lows + np.array([len(block) for block in blocks], dtype=np.int64)
        groups, (block, row) = len(self.ducks) + 1, self._sounding(lows, highs)
        kept = wanted[block, self.swept[row]]
        block, row = block[kept], row[kept]
        # What ducks comes first, where nothing else sounds yet.
        group = block * groups + self.duck[row] % groups
        order = np.argsort(group, kind="stable")
        block, row = block[order], row[order]
        bounds = np.searchsorted(group[order], np.arange(len(lows) * groups + 1)).tolist()
        start, low = self.start[row], lows[block]
        here, until = np.maximum(start, low), np.minimum(self.end[row], highs[block])
        left = np.where(self.choked[row], self.end[row] - until, np.iinfo(np.int64).max)
        sound, sounds, scaled = self._at_gain(row, gain, sum(map(len, blocks)) // 2)
        columns = [each.tolist() for each in (sound, here - start, until - start, here - low, left, scaled)]
        hush, gains = _hush(round(CHOKE_S * self.sample_rate_hz)), gain[row]
        part = np.empty((int(np.max(until - here, initial=0)), 2), dtype=np.float32)
        for number, (begin, end) in enumerate(pairwise(bounds)):
            if begin == end:
                continue
            at, duck = divmod(number, groups)
            whole, ducks = blocks[at], duck < groups - 1
            out = np.zeros_like(whole) if duck and ducks else whole
            slices = (column[begin:end] for column in columns)
            for which, first, last, place, rest, loud, by in zip(*slices, gains[begin:end], strict=True):
                heard = sounds[which][first:last]
                if not loud:
                    heard = np.multiply(heard, by, part[: last - first])
                if rest < len(hush):
                    heard = heard.copy()
                    falls = max(0, len(heard) + rest - len(hush))
                    heard[falls:] *= hush[falls - len(heard) - rest + len(hush) : len(hush) - rest]
                target = out[place : place + len(heard)]
                np.add(target, heard, target)
            if ducks:
                self.ducks[duck].apply(out, int(lows[at]))
                if out is not whole:
                    whole += out

    def _at_gain(
        self, row: Ints, gain: npt.NDArray[np.float32], most: int
    ) -> tuple[Ints, list[Samples], npt.NDArray[np.bool_]]:
        """Number of each row's sound, the sounds, and which rows' have their gain already.

        What is played again and again at one gain is brought to it once, up to ``most`` frames.
        """
        if len(row) < _MANY:
            return self.take[row], [take.samples for take in self.takes], np.zeros(len(row), dtype=np.bool_)
        pair = (self.take[row] << 32) + gain[row].view(np.uint32)
        _, one, sound, times = np.unique(pair, return_index=True, return_inverse=True, return_counts=True)
        sounds, scaled = [self.takes[take].samples for take in self.take[row[one]].tolist()], times >= _OFTEN
        if sum(len(sounds[at]) for at in np.flatnonzero(scaled).tolist()) > most:
            scaled[:] = False
        for at in np.flatnonzero(scaled).tolist():
            sounds[at] = sounds[at] * gain[row[one[at]]]
        return sound, sounds, scaled[sound]

    def _sounding(self, lows: Ints, highs: Ints) -> tuple[Ints, Ints]:
        """Block and row of all that sounds, by rows."""
        begin = np.searchsorted(highs, self.start, side="right")
        count = np.maximum(np.searchsorted(lows, self.end) - begin, 0)
        row = np.repeat(np.arange(len(count)), count)
        return np.arange(len(row)) + (begin - np.cumsum(count) + count)[row], row

    def expected_energy(self, frames: int) -> Powers:
        """Sum of the K-weighted squares in every 20 ms, assuming uncorrelated sounds.

        ``synth.sound.gain`` corrects for correlated ones.
        """
        bin_frames = frames_of_bin(self.sample_rate_hz)
        return self._by_bins([take.energy for take in self.takes], np.square(self.gain), frames, bin_frames // 2)

    def highest(self, frames: int) -> Powers:
        """Upper bound of the true peaks in every 20 ms at scale 1: the sum of the sounds' own bounds."""
        return self._by_bins([take.peak for take in self.takes], self.gain, frames, 0)

    def _by_bins(self, values: Sequence[Powers], gain: npt.NDArray[np.float32], frames: int, late: int) -> Powers:
        """Sum the takes' values per 20 ms, (bins,), over all rows."""
        bin_frames = frames_of_bin(self.sample_rate_hz)
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


@lru_cache(maxsize=4)
def _hush(frames: int) -> Samples:
    """The fall of a choked sound, (frames, 2)."""
    return np.repeat(np.linspace(1, 0, frames, dtype=np.float32)[:, None], 2, axis=1)


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
