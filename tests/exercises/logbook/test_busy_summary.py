"""What being busy costs is told in the summary, for drills that were practised busy."""

from datetime import UTC, datetime, timedelta

from exercises.drills import drill
from exercises.logbook.record import Mode, record
from exercises.logbook.store import Logbook
from exercises.logbook.summary import summary
from exercises.simulated import simulate


def practise(logbook, mode, who, trials):
    """Some trials of `one`, answered by a simulated learner."""
    one = drill("one")
    for seed in range(trials):
        trial = one.make(4, seed)
        answer = simulate(who, trial)
        when = datetime(2030, 5, 1, 18, tzinfo=UTC) + timedelta(minutes=seed)
        logbook.add(record(trial, answer, one.mark(trial, answer), when=when, mode=mode, simulated=True))


def test_the_loss_against_the_plain_drill_is_told(tmp_path):
    """Right when plain and lost when busy costs rungs; without busy trials nothing is said of it."""
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        practise(logbook, Mode.PLAIN, "perfect", 12)
        assert summary(logbook, "me").busy == {}
        practise(logbook, Mode.BUSY, "on-the-three", 12)
        found = summary(logbook, "me")
        assert "costs you about" in str(found.busy["one"])
        assert any(str(found.busy["one"]) in line for line in found.lines())
