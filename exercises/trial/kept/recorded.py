"""The recording of a trial as it is kept: what tells its sound again once its file is found."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Literal

from msgspec import Meta, Struct

from synth.score.recorded import Recorded

# s of a file or of a sound, before its start as well.
Time = Annotated[float, Meta(ge=-86_400, le=86_400)]
MOST_SILENCES, MOST_STRETCHES = 1_000, 100


class KeptStretch(Struct, frozen=True, omit_defaults=True):
    """What sounds when: the fields of ``Recorded`` that differ from one stretch of a recording to the next."""

    from_s: Time
    start_s: Time
    end_s: Time
    speed: Annotated[float, Meta(ge=0.5, le=2)] = 1.0
    silences: Annotated[list[tuple[Time, Time]], Meta(max_length=MOST_SILENCES)] = []


class KeptRecorded(KeptStretch, frozen=True, omit_defaults=True, kw_only=True):
    """The fields of ``Recorded`` but for its path, which may change; ``then`` are its later stretches."""

    print: Annotated[str, Meta(pattern="^[0-9a-f]{32}$")]
    title: Annotated[str, Meta(max_length=1000)] = ""
    grid_version: Annotated[int, Meta(ge=0, le=2**63 - 1)] = 1
    uncertainty_ms: Annotated[float, Meta(ge=0, le=1000)] = 0.0
    confirmed_by: Literal["", "learner", "tutor"] = ""
    then: Annotated[list[KeptStretch], Meta(max_length=MOST_STRETCHES)] = []

    @classmethod
    def of(cls, recorded: Recorded) -> KeptRecorded:
        """What is kept of a recording."""
        first, *later = recorded.stretches
        values = {name: getattr(first, name) for name in WHOLE}
        return cls(**values, silences=list(first.silences), then=[_stretch(each) for each in later])

    def recorded(self, path: str = "") -> Recorded:
        """The recording, of a file that is known elsewhere."""
        values = {name: getattr(self, name) for name in WHOLE}
        first = Recorded(path=path, **values, silences=_silences(self.silences))
        found = first
        for each in self.then:
            times = {name: getattr(each, name) for name in STRETCH}
            found = found.followed_by(replace(first, **times, silences=_silences(each.silences)))
        return found


# Fields that are kept as they are: of a stretch, and of the first one.
STRETCH = tuple(name for name in KeptStretch.__struct_fields__ if name != "silences")
WHOLE = tuple(name for name in KeptRecorded.__struct_fields__ if name not in ("then", "silences"))


def _stretch(recorded: Recorded) -> KeptStretch:
    return KeptStretch(**{name: getattr(recorded, name) for name in STRETCH}, silences=list(recorded.silences))


def _silences(kept: list[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    return tuple((start_s, end_s) for start_s, end_s in kept)
