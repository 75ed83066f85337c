"""Records that are laid over each other: each begins in a time of its own (see ``synth.mixdown.Layer``)."""

from dataclasses import replace

from synth.arrangement import Arrangement


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
