"""The recording of a trial as it is kept: what tells its sound again once its file is found."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from synth.score.recorded import Recorded

# s of a file or of a sound, before its start as well.
Time = Annotated[float, Meta(ge=-86_400, le=86_400)]
MOST_SILENCES = 1_000


class KeptRecorded(Struct, frozen=True, omit_defaults=True):
    """The fields of ``Recorded`` but for its path, which may change."""

    print: Annotated[str, Meta(pattern="^[0-9a-f]{32}$")]
    from_s: Time
    start_s: Time
    end_s: Time
    title: Annotated[str, Meta(max_length=1000)] = ""
    grid_version: Annotated[int, Meta(ge=0, le=2**63 - 1)] = 1
    speed: Annotated[float, Meta(ge=0.5, le=2)] = 1.0
    silences: Annotated[list[tuple[Time, Time]], Meta(max_length=MOST_SILENCES)] = []
    uncertainty_ms: Annotated[float, Meta(ge=0, le=1000)] = 0.0
    confirmed_by: Literal["", "learner", "tutor"] = ""

    @classmethod
    def of(cls, recorded: Recorded) -> KeptRecorded:
        """What is kept of a recording."""
        values = {name: getattr(recorded, name) for name in cls.__struct_fields__}
        return cls(**{**values, "silences": list(recorded.silences)})

    def recorded(self, path: str = "") -> Recorded:
        """The recording, of a file that is known elsewhere."""
        values = {name: getattr(self, name) for name in self.__struct_fields__}
        return Recorded(path=path, **{**values, "silences": tuple(map(tuple, self.silences))})
