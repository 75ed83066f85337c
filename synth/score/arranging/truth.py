"""Ground truth of a sound: times of beats, bars, phrases and sections."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from synth.base.errors import Trouble
from synth.score.arranging.turns import PhraseTurn
from synth.score.departures import Departed
from synth.score.form import Section
from synth.score.metre import NUMBERS, Count, Metre


@dataclass(frozen=True, slots=True, eq=False)
class Truth:
    """Ground truth in seconds from the first frame of the sound.

    ``tempo_bpm`` and ``metre`` hold at the start (a MIDI file may change them: see ``count``). ``version`` is the
    arranger's; with ``seed`` it rebuilds the record.
    """

    sample_rate_hz: int
    tempo_bpm: float
    metre: Metre
    count: Count
    sections: tuple[Section, ...]
    intro_bars: int
    phrase_bars: int
    seed: int
    version: int
    turns: tuple[PhraseTurn, ...] = ()
    exceptions: tuple[Departed, ...] = ()

    def to_json(self) -> dict[str, Any]:
        """Plain values for JSON; keys carry their units."""
        count = self.count
        return {
            "sample_rate_hz": self.sample_rate_hz,
            "tempo_bpm": self.tempo_bpm,
            "metre": str(self.metre),
            **{name: getattr(count, name).tolist() for name in ("beats_s", *NUMBERS)},
            "end_s": count.end_s,
            "ones_s": count.ones_s.tolist(),
            "phrase_starts_s": count.phrase_starts_s.tolist(),
            "sections": [{"name": s.name, "start_s": s.start_s, "bars": s.bars} for s in self.sections],
            "intro_bars": self.intro_bars,
            "phrase_bars": self.phrase_bars,
            "seed": self.seed,
            "version": self.version,
            "turns": [{"time_s": turn.time_s, "signals": list(turn.signals)} for turn in self.turns],
            "exceptions": [{"kind": o.kind, "start_s": o.start_s, "bars": o.bars} for o in self.exceptions],
        }

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> "Truth":
        """Parse what ``to_json`` wrote. Raises ``Trouble`` naming the key that is missing or wrong."""
        key = ""

        def take(name: str) -> Any:
            nonlocal key
            key = name
            return data[name] if name not in ("turns", "exceptions") else data.get(name, ())

        try:
            beats_s = np.asarray(take("beats_s"), dtype=np.float64)
            beat_in_bar, bar_number, bar_in_phrase, phrase_number = (
                np.asarray(take(name), dtype=np.int64) for name in NUMBERS
            )
            end_s = float(take("end_s"))
            count = Count(beats_s, beat_in_bar, bar_number, bar_in_phrase, phrase_number, end_s)
            return cls(
                sample_rate_hz=int(take("sample_rate_hz")),
                tempo_bpm=float(take("tempo_bpm")),
                metre=Metre.parse(take("metre")),
                count=count,
                sections=tuple(
                    Section(str(s["name"]), float(s["start_s"]), int(s["bars"])) for s in take("sections")
                ),
                intro_bars=int(take("intro_bars")),
                phrase_bars=int(take("phrase_bars")),
                seed=int(take("seed")),
                version=int(take("version")),
                turns=tuple(
                    PhraseTurn(float(turn["time_s"]), tuple(str(signal) for signal in turn["signals"]))
                    for turn in take("turns")
                ),
                exceptions=tuple(
                    Departed(str(odd["kind"]), float(odd["start_s"]), int(odd["bars"])) for odd in take("exceptions")
                ),
            )
        except (KeyError, TypeError, ValueError, AttributeError, OverflowError):
            raise Trouble(f"This truth cannot be read: {key!r} is missing or wrong.") from None

    def beats_text(self) -> str:
        """One line a beat, see ``Count.text``."""
        return self.count.text()
