"""A stretch of a recording that an arrangement plays: data alone, its sound is read when it is mixed."""

from __future__ import annotations

from dataclasses import dataclass, replace

# What sounds so much before a beat belongs to it: attacks rise before the grid, which lies on their steepest point.
EARLY_S = 0.02


@dataclass(frozen=True, slots=True)
class Recorded:
    """A recording within an arrangement, times in s.

    ``print`` names the recording, ``path`` is its file, ``grid_version`` that of the grid which gave the count.
    Second 0 of the arrangement is second ``from_s`` of the file (below 0: silence first); ``speed`` seconds of the
    file pass in one. It sounds from ``start_s`` to ``end_s`` of the arrangement, but not in ``silences``.
    ``uncertainty_ms`` is that of the grid's beats, ``confirmed_by`` who has heard the count: "learner", "tutor", "".
    ``then`` is another stretch of the same recording, which sounds later. ``ValueError`` for a speed that is not
    positive.
    """

    print: str
    path: str
    title: str
    grid_version: int
    from_s: float
    start_s: float
    end_s: float
    speed: float = 1.0
    silences: tuple[tuple[float, float], ...] = ()
    uncertainty_ms: float = 0.0
    confirmed_by: str = ""
    then: Recorded | None = None

    def __post_init__(self) -> None:
        if not self.speed > 0:
            raise ValueError(f"speed {self.speed:g}: above 0 expected")

    @property
    def stretches(self) -> tuple[Recorded, ...]:
        """This one and those that sound later, each by itself."""
        return (replace(self, then=None), *(self.then.stretches if self.then is not None else ()))

    def followed_by(self, later: Recorded) -> Recorded:
        """The same, and ``later`` after all of it. ``ValueError`` for one of another recording."""
        if later.print != self.print:
            raise ValueError("two stretches of one recording expected")
        return replace(self, then=later if self.then is None else self.then.followed_by(later))

    def in_file(self, path: str) -> Recorded:
        """The same, of a file that may have moved."""
        return replace(self, path=path, then=self.then and self.then.in_file(path))

    def moved(self, by_s: float) -> Recorded:
        """The same, ``by_s`` later."""
        return replace(
            self,
            from_s=self.from_s - by_s * self.speed,
            start_s=self.start_s + by_s,
            end_s=self.end_s + by_s,
            silences=tuple((start_s + by_s, end_s + by_s) for start_s, end_s in self.silences),
            then=self.then and self.then.moved(by_s),
        )

    def stretched(self, factor: float) -> Recorded:
        """The same, ``factor`` times as long, and so much lower in pitch."""
        return replace(
            self,
            start_s=self.start_s * factor,
            end_s=self.end_s * factor,
            speed=self.speed / factor,
            silences=tuple((start_s * factor, end_s * factor) for start_s, end_s in self.silences),
            then=self.then and self.then.stretched(factor),
        )

    def within(self, first_beat_s: float, end_s: float) -> Recorded:
        """What belongs to the beats from ``first_beat_s`` until before ``end_s``; nothing where that lies outside."""
        start_s = max(self.start_s, first_beat_s - EARLY_S)
        own = replace(self, start_s=start_s, end_s=max(min(self.end_s, end_s - EARLY_S), start_s), then=None)
        later = self.then and self.then.within(first_beat_s, end_s)
        if later is None or later.end_s <= later.start_s:
            return own
        return own.followed_by(later) if own.end_s > own.start_s else later

    def without(self, first_beat_s: float, end_s: float) -> Recorded:
        """Silent from the beat at ``first_beat_s`` until that at ``end_s``."""
        return replace(
            self,
            silences=(*self.silences, (first_beat_s - EARLY_S, end_s - EARLY_S)),
            then=self.then and self.then.without(first_beat_s, end_s),
        )

    @property
    def spans_s(self) -> tuple[tuple[float, float], ...]:
        """Where it sounds, later stretches apart."""
        spans, at_s = [], self.start_s
        for start_s, end_s in sorted(self.silences):
            if start_s > at_s:
                spans.append((at_s, min(start_s, self.end_s)))
            at_s = max(at_s, end_s)
        return tuple(span for span in (*spans, (at_s, self.end_s)) if span[1] > span[0])
