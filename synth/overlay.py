"""Two records laid over each other, each in its own tempo, with the truth of both."""

from dataclasses import dataclass, replace

from synth.arrangement import Arrangement
from synth.truth import Truth


@dataclass(frozen=True, slots=True, eq=False)
class Overlay:
    """A record and a second one over it.

    ``under_s`` and ``over_s`` are the seconds after the sound's first frame at which each begins, at least one of
    them 0; ``over_db`` is how much louder the second one is. To be mixed down as two layers: ``layers`` has what
    ``synth.mixdown.Layer`` wants besides a kit.
    """

    under: Arrangement
    over: Arrangement
    under_s: float
    over_s: float
    over_db: float = 0.0

    def __post_init__(self) -> None:
        if min(self.under_s, self.over_s) != 0:
            raise ValueError(f"starts {self.under_s:g} and {self.over_s:g} s: the earlier record starts at 0")

    @property
    def layers(self) -> tuple[tuple[Arrangement, float, float], tuple[Arrangement, float, float]]:
        """(arrangement, start_s, level_db) of both records."""
        return (self.under, self.under_s, 0.0), (self.over, self.over_s, self.over_db)

    @property
    def duration_s(self) -> float:
        """Length of the whole sound."""
        return max(start_s + record.duration_s for record, start_s, _ in self.layers)

    def truths(self, sample_rate_hz: int) -> tuple[Truth, Truth]:
        """The truth of both records, in seconds from the first frame of the common sound."""
        return (
            delayed(self.under, self.under_s).truth(sample_rate_hz),
            delayed(self.over, self.over_s).truth(sample_rate_hz),
        )


def delayed(arrangement: Arrangement, by_s: float) -> Arrangement:
    """The same record after ``by_s`` (0 or more) seconds of silence."""
    if by_s < 0:
        raise ValueError(f"by_s {by_s:g}: 0 or more seconds expected")
    hits = arrangement.hits
    return replace(
        arrangement,
        count=arrangement.count.shifted(by_s),
        hits=replace(hits, onset_s=hits.onset_s + by_s),
        sections=tuple(replace(section, start_s=section.start_s + by_s) for section in arrangement.sections),
        turns=tuple(replace(turn, time_s=turn.time_s + by_s) for turn in arrangement.turns),
        exceptions=tuple(replace(odd, start_s=odd.start_s + by_s) for odd in arrangement.exceptions),
    )


def overlay(under: Arrangement, over: Arrangement, *, offset_s: float, over_db: float = 0.0) -> Overlay:
    """Lay ``over`` on ``under`` so that it begins ``offset_s`` seconds after it (before it where negative)."""
    return Overlay(under, over, max(0.0, -offset_s), max(0.0, offset_s), over_db)


def overlay_on_beat(
    under: Arrangement, over: Arrangement, *, beat: int, over_beat: int = 0, late_s: float = 0.0, over_db: float = 0.0
) -> Overlay:
    """Lay beat ``over_beat`` of ``over`` on ``beat`` of ``under`` (rows of their counts), ``late_s`` after it."""
    for record, row in ((under, beat), (over, over_beat)):
        if not 0 <= row < len(record.count):
            raise ValueError(f"beat {row}: the record has beats 0 to {len(record.count) - 1}")
    offset_s = float(under.count.beats_s[beat] - over.count.beats_s[over_beat]) + late_s
    return overlay(under, over, offset_s=offset_s, over_db=over_db)
