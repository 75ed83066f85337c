"""What is read from weeks of practice: days and weeks, levels, trends and mistakes."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from uuid import uuid4
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from scipy import stats

from exercises.drills import drill as drill_named
from exercises.drills import drills, rung_id, rung_now
from exercises.learner import stored_levels
from exercises.learner.drill_level import DrillLevel
from exercises.learner.level import AIM, KNOWN_LEAST, Level, chance_of, responses
from exercises.learner.stored_levels import learner_levels
from exercises.logbook.history import bands, changes, days, practised, practised_share, weeks
from exercises.logbook.store import Logbook
from exercises.progress import trends
from exercises.progress.mistakes import mistakes
from exercises.progress.overview import ladder, rungs_between
from exercises.progress.trends import share, trend, tries
from exercises.trial.kept.record import TrialRecord, record
from exercises.trial.modes import Mode
from exercises.trial.trial import Answer
from synth.base.words import Say

pytestmark = pytest.mark.sampled(3)

START = datetime(2030, 5, 6, 18, 0, tzinfo=UTC)  # a Monday
PLAIN = TrialRecord(
    when="2030-05-06T18:00:00Z",
    drill="one",
    rung=2,
    seed=1,
    version=1,
    groove="backbeat",
    tempo_bpm=110.0,
    answer=Answer(),
    result={"right": True},
    device="desk",
    simulated=True,
    sound_s=30.0,
    spent_s=45.0,
)


def one(day=0.0, right=True, spread=None, bias=None, hits=12, **more):
    """A trial of 12 targets on a day (a number, 0 is the first Monday)."""
    result = {"right": right, "hits": hits, "targets": 12, "spread_ms": spread, "bias_ms": bias}
    when = (START + timedelta(days=day)).strftime("%Y-%m-%dT%H:%M:%SZ")
    return replace(PLAIN, when=when, uid=uuid4().hex, **({"result": result} | more))


@pytest.fixture
def logbook(tmp_path):
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        yield logbook


def test_days_follow_what_is_marked_anew_and_what_is_deleted(logbook):
    id = logbook.add(one(spread=20.0, bias=-10.0))
    logbook.add(one(spread=30.0, bias=-20.0))
    assert days(logbook, "me", "one")[0].spread_ms == 25.0
    logbook.set_results({id: '{"right":false,"spread_ms":40,"bias_ms":-40,"hits":12,"targets":12}'})
    (day,) = days(logbook, "me", "one")
    assert (day.rights, day.spread_ms, day.bias_ms) == (1, 35.0, -30.0)
    logbook.set_results({id: '{"right":false}'})
    assert days(logbook, "me", "one")[0].spread_ms == 30.0
    logbook.forget([("me", each.id) for each in logbook.known()])
    assert logbook.rows("SELECT * FROM days") == []


def test_taps_that_followed_something_else_have_no_spread(logbook):
    """Half of the targets met is the least."""
    logbook.add_all([one(spread=20.0, hits=6), one(spread=90.0, hits=5)])
    (day,) = days(logbook, "me", "one")
    assert (day.trials, day.spreads, day.spread_ms) == (2, 1, 20.0)


def test_practice_with_a_side_task_counts_as_time_and_not_as_a_trend(logbook):
    logbook.add_all([one(spread=20.0), one(spread=80.0, mode=Mode.BUSY)])
    assert [day.trials for day in days(logbook, "me", "one")] == [1]
    assert [week.trials for week in weeks(logbook, "me")] == [2]


def test_bands_of_tempo_are_kept_apart(logbook):
    logbook.add_all(
        [one(tempo_bpm=tempo, spread=tempo / 5) for tempo in (99.0, 100.0, 119.0, 120.0, 139.0, 140.0, 174.0)]
    )
    assert bands(logbook, "me", "one") == {0: 1, 1: 2, 2: 2, 3: 2}
    assert days(logbook, "me", "one", 3)[0].spread_ms == pytest.approx((140 + 174) / 2 / 5)
    # Practice goes on counting whatever the band.
    logbook.add(one(1, tempo_bpm=174.0, spread=30.0))
    assert [day.before for day in days(logbook, "me", "one", 3)] == [0, 7]


def test_weeks_begin_on_monday_and_empty_ones_are_there(logbook):
    logbook.add_all([one(-0.9), one(0), one(6), one(21, void="silence", result=None)])
    found = weeks(logbook, "me")
    assert [week.monday for week in found] == [date(2030, 4, 29) + timedelta(weeks=n) for n in range(5)]
    assert [(week.trials, week.voids) for week in found] == [(1, 0), (2, 0), (0, 0), (0, 0), (0, 1)]
    assert (found[1].spent_s, found[1].sound_s) == (90.0, 60.0)
    assert weeks(logbook, "me", date(2030, 5, 8))[0].monday == date(2030, 5, 6)
    assert weeks(logbook, "nobody") == []


def test_time_spent_is_from_one_trial_to_the_next_but_no_coffee_break(logbook):
    minute = 1 / 1440
    at = [0, 0.75 * minute, 10 * minute, 10 * minute + 5 / 86_400]
    logbook.add_all([one(day, spent_s=None) for day in at])
    assert [each.spent_s for each in logbook.trials()][::-1] == [90.0, 45.0, 90.0, 30.0]


def test_a_rest_of_half_an_hour_begins_a_new_sitting(logbook):
    logbook.add_all([one(0), one(0.01), one(0.04), one(0.05, learner="ada")])
    first, second, third, other = (each.sitting for each in logbook.trials()[::-1])
    assert first == second != third
    assert other not in (first, third)


def test_the_share_of_days_with_practice(logbook):
    logbook.add_all([one(day) for day in range(0, 28, 2)])
    assert practised_share(logbook, "me", date(2030, 5, 9)) == 1.0
    assert practised_share(logbook, "me", date(2030, 6, 3)) == pytest.approx(0.5)
    assert practised_share(logbook, "me", date(2030, 8, 1)) == 0.25


def test_levels_kept_trial_by_trial_are_those_of_the_whole_row(logbook):
    """Against the answers of one drill taken one by one, however often the levels were asked for in between."""
    rng = np.random.default_rng(1)
    rows = [one(day / 3, right=bool(rng.random() < 0.7), rung=1 + day % 5) for day in range(60)]
    for part in (rows[:1], rows[1:30], rows[30:]):
        logbook.add_all(part)
        stands = learner_levels(logbook, "me")
    whole = one_by_one(logbook.trials())
    assert stands.level("one").theta == pytest.approx(whole.theta, abs=1e-6)
    assert stands.level("one").sd == pytest.approx(whole.sd, abs=1e-6)
    assert stands.level("one").answers == 60
    assert learner_levels(logbook, "nobody").tried == {}
    for id, drill in drills().items():
        level = stands.level(id)
        assert level.rung(drill) == min(range(1, len(drill.rungs) + 1), key=lambda rung: off(level, drill, rung))


def one_by_one(records):
    """The level in "one" over all answers, without a logbook."""
    found, day = DrillLevel.fresh(drill_named("one"), Level.about()), None
    for trial, answer in zip(sorted(records, key=lambda each: each.when), responses(records)["one"], strict=True):
        found = found if day is None else found.rested(answer.day - day)
        found, day = found.after(answer.right, rung_of(trial), answer.chance), answer.day
    return found


def rung_of(trial):
    """The number that a trial's rung has by now."""
    return rung_now(trial.drill, trial.rung_id or rung_id(trial.drill, trial.rung, trial.version))


def off(level, drill, rung):
    """How far a rung is from the aim, in usual form; far off where less than half goes well without guessing."""
    chance, middle = chance_of(drill.id, rung), level.mean[1] + level.mean[1 + rung] - level.hard[rung - 1]
    known = Level.about(middle, level.sd)
    return abs(known.expects(0.0, chance) - AIM) + (known.expects(0.0) < KNOWN_LEAST and rung > 1)


def test_levels_told_anew_are_those_of_the_latest_days_and_not_of_the_latest_rows(logbook, monkeypatch):
    """An old logbook of many trials is imported into one with a few days of practice in it."""
    monkeypatch.setattr(stored_levels, "FROM_SCRATCH", 10)
    late = [one(400 + n, right=True, rung=4) for n in range(10)]
    logbook.add_all(late)
    learner_levels(logbook, "me")
    logbook.merge((one(n, right=False), None) for n in range(30))
    logbook.forget_levels()
    told = learner_levels(logbook, "me").level("one")
    assert told.answers == 10
    assert told.theta == pytest.approx(one_by_one(late).theta, abs=1e-6)


@pytest.mark.parametrize("answers", [6, 12, 40, 120])
def test_how_far_a_rung_may_be_off_is_told_as_it_is_drawn(logbook, answers):
    """The words, where they are said, against the ladder of the same screen: 95 % in both."""
    logbook.add_all(one(n / 40, right=n % 5 > 0, rung=5) for n in range(answers))
    stands = learner_levels(logbook, "me")
    (drawn,) = (place for place in ladder(stands, practised(logbook, "me")) if place.drill == "one")
    (says,) = (
        say
        for say in trend(logbook, "me", "one", stands).verdict
        if say.template in (trends.LEVEL, trends.LEVEL_OPEN, trends.TOO_FEW)
    )
    (low, half), rungs = rungs_between(stands.level("one")), len(drill_named("one").rungs)
    assert (drawn.low, drawn.high) == (max(1, drawn.rung + low), min(rungs, drawn.rung + half))
    if says.template == trends.LEVEL:
        assert half - 0.2 <= says.values["give"] <= half + 1.2
    assert (says.template == trends.LEVEL) == (half <= trends.MOST_GIVE)


def test_a_change_of_device_is_marked_and_not_called_progress(logbook):
    rng = np.random.default_rng(2)
    for day in range(40):
        device, calibration, spread = ("old", None, 40.0) if day < 20 else ("new", {"lag_ms": 40.0}, 25.0)
        rows = [one(day, spread=spread + rng.normal(0, 3), bias=-20 + rng.normal(0, 3)) for _ in range(5)]
        logbook.add_all(replace(each, device=device, calibration=calibration) for each in rows)
    assert [(c.day, c.device, c.calibrated) for c in changes(logbook, days(logbook, "me", "one"))] == [
        (date(2030, 5, 6), "old", False),
        (date(2030, 5, 26), "new", True),
    ]
    found = trend(logbook, "me", "one", learner_levels(logbook, "me"))
    assert [mark.device for mark in found.marks] == ["new"]
    assert found.change.called == 0
    assert found.curve is None
    assert trends.CHANGED_ONCE() in found.verdict
    # The bias is only told on the calibrated device, with an interval that holds what was put in.
    assert found.bias_ms.low < -20 < found.bias_ms.high
    assert found.bias_ms.n == 20


def test_a_change_of_the_spread_is_told_with_its_curve(logbook):
    """Half of what it was; the same trials on one day, in another tempo or with a side task do not reach it."""
    rng = np.random.default_rng(5)
    rows = [
        one(day, spread=40 * 0.5 ** (day / 40) * np.exp(rng.normal(0, 0.2))) for day in range(40) for _ in range(3)
    ]
    logbook.add_all([*rows, one(41, spread=90.0, mode=Mode.BUSY), one(41, spread=90.0, hits=5), one(41, spread=0.0)])
    found = trend(logbook, "me", "one", learner_levels(logbook, "me"))
    assert found.change.called == -1
    assert found.curve.gain > 0
    assert [say for say in found.verdict if say.template == trends.CLOSER] == [
        trends.CLOSER(percent=found.change.percent)
    ]
    for band in (None, 1):
        assert sum(each.spread_ms is not None for each in tries(logbook, "me", "one", band)) == len(rows)
    assert tries(logbook, "me", "one", 2) == []
    assert [each.day.day for each in tries(logbook, "me", "one")][:4] == [6, 6, 6, 7]


def test_rungs_count_as_they_are_numbered_today(logbook):
    """Shuffle was rung 5 of "beat" in version 3, and is rung 6; a rung that never was keeps its number."""
    logbook.add_all(replace(one(day), drill="beat", rung=rung, version=3) for day, rung in enumerate((1, 5, 40)))
    assert [each.rung for each in tries(logbook, "me", "beat")] == [1, 6, 40]


def test_without_calibration_no_bias_is_told(logbook):
    logbook.add_all([one(day, spread=20.0, bias=-30.0) for day in range(10)])
    found = trend(logbook, "me", "one", learner_levels(logbook, "me"))
    assert found.bias_ms is None
    assert not [say for say in found.verdict if say.template == trends.BIAS]


def test_at_first_it_is_too_early_to_tell(logbook):
    logbook.add_all([one(day, spread=60.0 - 10 * day) for day in range(4)])
    found = trend(logbook, "me", "one", learner_levels(logbook, "me"))
    assert found.change is found.curve is None
    assert any("Too soon to see" in str(say) for say in found.verdict)


def test_intervals_are_those_of_scipy():
    """Wilson's interval of a share, scipy.stats."""
    wilson = stats.binomtest(37, 50).proportion_ci(0.95, method="wilson")
    ours = share(37, 50)
    assert (ours.low, ours.high) == pytest.approx((wilson.low, wilson.high))


def test_mistakes_name_the_beat_the_answer_and_the_bar(logbook):
    taps = {
        "right": False,
        "beat_tapped": {"1": 0.6, "3": 0.4},
        "phrase_hits": {"1": [4, 4], "2": [4, 4], "4": [4, 1]},
    }
    logbook.add_all(one(result=taps) for _ in range(10))
    logbook.add_all(
        one(drill="stopped-beat", result={"right": False, "given": "4", "expected": "1"}) for _ in range(5)
    )
    found = mistakes(logbook, "me", "one")
    assert found.beat_tapped == pytest.approx({1: 0.6, 3: 0.4})
    assert found.missed == {1: (40, 0), 2: (40, 0), 4: (40, 30)}
    words = " ".join(map(str, found.verdict))
    assert "the three: 40 % of all taps" in words
    assert "bar 4 of the phrase: 75 %" in words
    assert "said the four where it was the one, in 5 of 5" in str(mistakes(logbook, "me", "stopped-beat").verdict[0])


def test_the_beat_most_often_taken_for_the_one_may_be_the_five(logbook):
    logbook.add_all(one(result={"right": False, "beat_tapped": {"1": 0.2, "3": 0.2, "5": 0.6}}) for _ in range(5))
    assert "the five: 60 % of all taps" in str(mistakes(logbook, "me", "one").verdict[0])
    logbook.add_all(one(result={"right": False, "beat_tapped": {"1": 0.0, "3": 0.2, "7": 0.8}}) for _ in range(50))
    assert not mistakes(logbook, "me", "one").verdict  # the three is not what it is most often


def test_answers_are_told_in_words_and_pooled_by_them(logbook):
    """The key 3 is "one beat earlier" on one rung of ``in-line`` and "3 bars later" on another."""
    wrong = {"right": False, "given": "3", "expected": "1"}
    logbook.add_all(one(drill="in-line", rung=rung, result=wrong) for rung in (4, 4, 5, 7, 9))
    found = mistakes(logbook, "me", "in-line")
    beats, bars = ("one beat later", "one beat earlier"), ("one bar later", "one bar earlier")
    assert found.said == {beats: 3, bars: 1, ("one bar later", "3 bars later"): 1}
    assert {text: str(say) for text, say in found.words.items()} == {text: text for text in found.words}
    (told,) = found.verdict
    assert str(told) == (
        "You said one beat earlier where it was one beat later, in 3 of 5 answers. "
        "Before you say one beat earlier, compare the two."
    )
    assert all(isinstance(told.values[name], Say) for name in ("given", "expected"))


def test_numbers_are_told_as_they_were_given(logbook):
    logbook.add_all(one(drill="tempo", result={"right": False, "given": 60.0, "expected": 120.0}) for _ in range(4))
    logbook.add_all(one(drill="tempo", result={"right": False, "given": 99.5, "expected": 120}) for _ in range(2))
    found = mistakes(logbook, "me", "tempo")
    assert found.said == {("120", "60"): 4, ("120", "99.5"): 2}
    assert "said 60 where it was 120, in 4 of 6" in str(found.verdict[0])


def test_no_mistake_is_made_up(logbook):
    taps = {"right": True, "beat_tapped": {"1": 1.0}, "phrase_hits": {str(bar): [4, 4] for bar in (1, 2, 3, 4)}}
    logbook.add_all(one(result=taps) for _ in range(10))
    assert not mistakes(logbook, "me", "one").verdict
    assert not mistakes(logbook, "me", "beat").verdict


@pytest.mark.parametrize(
    ("place", "at"),
    [
        ("America/Los_Angeles", datetime(2030, 5, 5, 21, 30)),  # UTC's Monday already
        ("Europe/Madrid", datetime(2030, 5, 6, 0, 30)),  # UTC's Sunday still
        ("Asia/Kathmandu", datetime(2030, 5, 6, 5, 0)),
        ("Europe/Madrid", datetime(2030, 3, 31, 0, 30)),  # the night on which the clocks go on
        ("Europe/Madrid", datetime(2030, 4, 1, 0, 30)),
    ],
)
def test_a_trial_stands_on_the_day_of_the_place(tmp_path, place, at):
    """Days and Mondays by the clocks of the place: the IANA time zones through Python's zoneinfo."""
    there = at.replace(tzinfo=ZoneInfo(place))
    trial = drill_named("one").make(1, 1)
    kept = record(trial, Answer(), None, when=there, void="none")
    assert datetime.fromisoformat(kept.when) == there
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        logbook.add(kept)
        assert logbook.rows("SELECT day FROM days") == [(there.date().isoformat(),)]
        assert [week.monday for week in weeks(logbook, "me")] == [there.date() - timedelta(days=there.weekday())]
