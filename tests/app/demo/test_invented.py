"""The invented weeks of ``demo``: what was put in, and what is read from them."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from app.demo.invented import PEOPLE, demo_weeks
from exercises.learner.stored_levels import learner_levels
from exercises.logbook.history import days, monday, practised, weeks
from exercises.logbook.store import Logbook
from exercises.progress.summary import summary
from exercises.progress.trends import trend
from synth.base.words import Say
from tests.exercises.quiet import leave_out_drums

NOW = datetime(2030, 5, 1, 12, tzinfo=UTC)  # when the weeks are over


@pytest.fixture(scope="module")
def invented(invented_weeks):
    """Six invented weeks, the fewest in which a spread surely changes; read only."""
    with Logbook.open(invented_weeks(6, 1, NOW)) as logbook:
        yield logbook


def test_the_invented_weeks_are_labelled_and_show_what_was_put_in(invented):
    """A improves, B does not; every trial is marked as simulated, every name says that it is made up."""
    assert invented.learners() == [person.name for person in PEOPLE]
    assert all(each.simulated for each in invented.trials())
    assert all("Invented" in name for name in invented.learners())
    first, last = (datetime.fromisoformat(each.when) for each in (invented.trials()[-1], invented.trials(1)[0]))
    assert timedelta(weeks=5) < last - first < timedelta(weeks=6)
    assert max(len(weeks(invented, person.name)) for person in PEOPLE) == 6
    # The six weeks before that of NOW, from Monday to Sunday.
    ends = monday(NOW.date())
    assert (monday(first.date()), monday(last.date())) == (ends - timedelta(weeks=6), ends - timedelta(weeks=1))
    a, b = (learner_levels(invented, person.name) for person in PEOPLE[:2])
    assert max(a.level(drill).theta for drill in a.tried) > 3.0
    assert a.level("drum").theta > b.level("drum").theta
    assert any(trend(invented, PEOPLE[0].name, drill, a).marks for drill in a.tried)
    called: dict[str, list[int]] = {person.name: [] for person in PEOPLE}
    for name, row in called.items():
        stands = learner_levels(invented, name)
        found = [trend(invented, name, drill, stands).change for drill in stands.tried]
        row += [change.called for change in found if change is not None]
    # B's spread stays; C's falls, on one device.
    assert -1 not in called[PEOPLE[1].name]
    assert -1 in called[PEOPLE[2].name]
    assert 1 not in [each for row in called.values() for each in row]


def test_the_same_seed_invents_the_same_weeks(tmp_path, invented_weeks, monkeypatch):
    """Trial by trial as in the week that several files share, which another process may have made."""
    leave_out_drums(monkeypatch)
    now, again = datetime(2026, 3, 1, tzinfo=UTC), tmp_path / "again.sqlite3"
    assert len([*demo_weeks(again, 1, 1, now=now)]) == 1
    trials = []
    for path in (again, invented_weeks(1, 1, now)):
        with Logbook.open(path) as logbook:
            trials.append(logbook.rows("SELECT at, learner, drill, rung_id, seed, result FROM trials ORDER BY id"))
    assert trials[0] == trials[1] != []


def test_the_sums_of_days_are_those_of_the_trials(invented):
    """Whatever the triggers added up, added up anew with numpy from the trials themselves."""
    name = PEOPLE[0].name
    for drill in practised(invented, name):
        records = invented.trials(learner=name, drill=drill)
        rows = days(invented, name, drill)
        assert sum(day.trials for day in rows) == len(records)
        for day in rows:
            of_day = [each.result for each in records if each.when[:10] == day.day.isoformat()]
            met = [r for r in of_day if "hits" in r and 2 * r["hits"] >= r["targets"] and r["spread_ms"] is not None]
            assert day.trials == len(of_day)
            assert day.rights == sum(bool(r["right"]) for r in of_day)
            assert day.spreads == len(met)
            if met:
                assert day.spread_ms == pytest.approx(np.mean([r["spread_ms"] for r in met]))


def test_a_summary_says_it_in_words_and_in_plain_values(invented):
    found = summary(invented, PEOPLE[0].name)
    lines = list(found.lines())
    assert lines[0].startswith("Invented learner A: ")
    assert len(lines) == 2 + len(found.drills)
    data = found.to_json()
    assert {"drill", "level_logits", "spread_ms", "spread_change", "curve", "verdict"} <= set(data["drills"][0])
    assert sum(week["trials"] for week in data["weeks"]) == invented.count(PEOPLE[0].name)


def test_every_verdict_is_a_sentence_that_can_be_translated(invented):
    for _, of, wrong in summary(invented, PEOPLE[0].name).drills:
        assert all(isinstance(say, Say) and str(say).endswith(".") for say in (*of.verdict, *wrong.says))
