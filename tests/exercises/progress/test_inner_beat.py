"""Clock and hand in the logbook: from a hundred intervals on, pooled over trials at about one tempo."""

from datetime import UTC, datetime, timedelta

import numpy as np

from exercises.drills import drill
from exercises.drills.through import Tapping
from exercises.logbook.store import Logbook
from exercises.progress.inner_beat import inner_beat, inner_beat_says
from exercises.progress.summary import summary
from exercises.trial.kept.record import record
from exercises.trial.modes import Mode
from exercises.trial.trial import Answer

THROUGH = drill("through")
# The rung on which every beat of eight silent bars is tapped.
BEATS = 1 + [row.taps for row in THROUGH.rungs].index(Tapping.BEATS)


def practise(logbook, tempos_bpm, *, mode=Mode.PLAIN, first=0) -> None:
    """A clock with an SD of 15 ms and a hand of 8 ms."""
    for at, tempo_bpm in enumerate(tempos_bpm, first):
        trial = THROUGH.make(BEATS, at, tempo_bpm=float(tempo_bpm))
        rng, n = np.random.default_rng(at), len(trial.targets_s)
        off_ms = np.append(0, np.cumsum(rng.normal(0, 15, n - 1))) + rng.normal(0, 8, n)
        answer = Answer(trial.targets_s + (off_ms - off_ms.mean()) / 1000)
        when = datetime(2030, 5, 1, 18, tzinfo=UTC) + timedelta(minutes=at)
        logbook.add(record(trial, answer, THROUGH.mark(trial, answer), when=when, mode=mode))


def test_it_takes_a_hundred_intervals_near_one_tempo(tmp_path):
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        assert inner_beat(logbook, "me") is None
        practise(logbook, [100, 100, 100, 120])
        practise(logbook, [100, 100], mode=Mode.BUSY, first=4)
        assert inner_beat(logbook, "me") is None
        assert inner_beat_says(None) == ()
        practise(logbook, [98, 101, 102, 104, 97, 100, 80], first=6)
        tempo_bpm, found = inner_beat(logbook, "me")
        assert 97 <= tempo_bpm <= 104
        assert (found.runs, found.intervals >= 100) == (9, True)
        assert found.clock_ms[1] < 15 < found.clock_ms[2]
        assert found.hand_ms[1] < 8 < found.hand_ms[2]
        told = summary(logbook, "me")
        assert any("of silence near" in line and "The hand added" in line for line in told.lines())
        assert told.to_json()["inner_beat"]["runs"] == 9
