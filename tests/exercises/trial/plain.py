"""A trial as it stands in the logbook, to be varied by what a test is about."""

from datetime import UTC, datetime

from exercises.trial.kept.record import TrialRecord
from exercises.trial.trial import Answer

NOW = datetime(2030, 5, 1, 18, 0, tzinfo=UTC)
PLAIN = TrialRecord(
    when="2030-05-01T18:00:00Z",
    drill="one",
    rung=1,
    seed=1,
    version=1,
    groove="backbeat",
    tempo_bpm=100.0,
    answer=Answer(),
    result={"right": True},
    simulated=True,
    sound_s=20.0,
    spent_s=35.0,
)
