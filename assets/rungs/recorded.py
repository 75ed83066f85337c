"""Makes guess_rates_on_records.json: ``python -m assets.rungs.recorded``.

What is right without counting on a learner's own records, of the drills that ask something else there than of the
program's own sound. How such records sound nobody knows: a watch is read from the first beat, until the song comes in
or a press. The records are invented grids, their tempos as wide as those of the rung. In a collection of nearly one
tempo a watch tells more.
"""

import json
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from assets.rungs.blind import PLAIN_PRESSES, Heard, by_cue, timed
from assets.rungs.make_guess_rates import ANSWERED, rate_of
from exercises.drills import drill
from exercises.forms.drill import Drill
from exercises.trial.trial import Kind, Trial
from synth.recording.grid import Grid
from synth.recording.source import RecordingSource, of_file

TABLE = Path(__file__).with_name("guess_rates_on_records.json")
DRILLS = ("intro", "land")
INTROS, LONG_S = (8, 16, 32), 600.0


def invented(tempo_bpm: tuple[float, float], rng: np.random.Generator) -> RecordingSource:
    """A record that is none, with another one to go with it."""
    bpm = float(rng.uniform(*tempo_bpm))
    one, other = (
        of_file(
            "",
            Grid(
                tempo_bpm=bpm,
                one_s=float(rng.uniform(0, 2)),
                start_s=0.0,
                steady_until_s=LONG_S,
                duration_s=LONG_S,
                phrase_bars=8,
                phrase_first=0,
                intro_bars=int(rng.choice(INTROS)),
                uncertainty_ms=3.0,
                tempo_confidence=1.0,
                one_confidence=1.0,
                phrase_confidence=1.0,
                sure=True,
            ),
            print=digit * 32,
        )
        for digit in "12"
    )
    return RecordingSource(one.sound, one.grid, other=other)


def made(one: Drill[Any], rung: int, seed: int) -> Trial:
    """A trial on an invented record, which follows from the seed."""
    source = invented(one.rungs[rung - 1].tempo_bpm, np.random.default_rng([one.place, rung, seed, 96]))
    return one.make(rung, seed, recording=source)


def shares(drill_id: str, rung: int, seeds: range) -> dict[str, npt.NDArray[np.bool_]]:
    """Strategy -> which of a rung's trials on records (seeds,) it has right."""
    one = drill(drill_id)
    heard = [Heard.of(made(one, rung, seed)) for seed in seeds]
    rngs = [np.random.default_rng([one.place, rung, seed, 95]) for seed in seeds]
    if one.kind is Kind.PRESS:
        answers = {
            "at random": [PLAIN_PRESSES["at random"](each, rng) for each, rng in zip(heard, rngs, strict=True)],
            "so many seconds after the first beat": timed(heard, lambda each: float(each.pulse_s[0]), rngs),
        }
        return {
            name: np.array(
                [
                    answer is not None and bool(one.mark(each.trial, answer).right)
                    for each, answer in zip(heard, given, strict=True)
                ]
            )
            for name, given in answers.items()
        }
    return {
        "commonest answer": by_cue(heard, lambda each: "", True),
        "watch: first beat to song": by_cue(heard, lambda each: _song_s(each.trial), True),
    }


def _song_s(trial: Trial) -> float:
    """From the first beat until the song comes in."""
    return float(str(trial.expected)) * int(trial.count.beat_in_bar.max()) * trial.period_s


def rate(drill_id: str, rung: int) -> float:
    """Guess rate of a rung on records."""
    one = drill(drill_id)
    return rate_of(one, made(one, rung, 1), shares(drill_id, rung, range(ANSWERED)))


def main() -> None:
    """Write the table."""
    table = {id: {row.id: rate(id, rung) for rung, row in enumerate(drill(id).rungs, 1)} for id in DRILLS}
    TABLE.write_text(json.dumps(table, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
