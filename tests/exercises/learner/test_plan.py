"""Today's practice: when drills come back (against Cepeda et al. 2008), how much is carried, and why."""

from dataclasses import replace
from datetime import timedelta
from uuid import uuid4

import numpy as np
import pytest

from exercises.drills import drills
from exercises.learner.chosen import Chosen
from exercises.learner.level import chance_of, difficulty, expected
from exercises.learner.placement import DrillRung
from exercises.learner.plan import BESIDE_S, REST_D, START_S, Plan, plan
from exercises.learner.reasons import Reason
from exercises.learner.spacing import gap
from exercises.logbook.history import beside_s
from exercises.logbook.store import Logbook
from exercises.trial.modes import Mode
from exercises.trial.trial import Kind
from tests.exercises.trial.plain import NOW, PLAIN

pytestmark = pytest.mark.sampled(4)


def practise(logbook, days, *, minutes=10, every=1, theta=2.0, seed=1):
    """Practise what the plan says on every ``every``-th day, right as often as the level tells: the plans by day."""
    rng = np.random.default_rng(seed)
    plans = {}
    for day in range(0, days, every):
        now = NOW + timedelta(days=day)
        plans[day] = plan(logbook, "me", now, minutes)
        rows = []
        for item in plans[day].items:
            one = drills()[item.drill]
            for _ in range(item.trials):
                share = expected(theta, difficulty(one, item.rung), chance_of(item.drill, item.rung))
                right = None if one.kind is Kind.NONE else bool(rng.random() < share)
                now += timedelta(seconds=35)
                when = now.strftime("%Y-%m-%dT%H:%M:%SZ")
                rows.append(
                    replace(
                        PLAIN, when=when, drill=item.drill, rung=item.rung, uid=uuid4().hex, result={"right": right}
                    )
                )
        logbook.add_all(rows)
    return plans


@pytest.fixture(scope="module")
def month(tmp_path_factory):
    """The plans of four weeks of daily practice, by day."""
    with Logbook.open(tmp_path_factory.mktemp("plan") / "logbook.sqlite3") as logbook:
        return practise(logbook, 28, theta=4.0)


def test_gaps_are_20_to_40_percent_of_a_week_and_5_to_10_of_a_year():
    """Cepeda et al. 2008, Psychol. Sci. 19, 1095-1102: the best gap for facts kept a week and a year."""
    week, year = gap(1), gap(9)
    assert (week.due_d, week.late_d) == pytest.approx((0.20 * 7, 0.40 * 7))
    assert (year.due_d, year.late_d) == pytest.approx((0.05 * 365, 0.10 * 365))
    rising = [gap(rung).middle_d for rung in range(1, 10)]
    assert rising == sorted(rising)


def test_what_is_learnt_comes_back_after_20_percent_of_a_week_and_within_three_days(month):
    """Of the drills on their first rungs. 40 % are 2.8 days: in whole days three, as one place is for what is new."""
    at, gaps = {}, []
    for day, today in month.items():
        for item in today.items:
            if item.reason in (Reason.DUE, Reason.WEAK) and item.rung <= 3:
                gaps.append(day - at[item.drill])
            at[item.drill] = day
    gaps = np.array(gaps)
    assert len(gaps) > 30
    assert gaps.min() >= 0.2 * 7
    assert np.mean(gaps <= np.ceil(0.4 * 7)) >= 0.9


def test_the_first_day_begins_with_counting_and_the_first_drills_of_the_ladder():
    """No logbook at all, or an empty one."""
    items = plan(None, "me", NOW).items
    ladder = sorted(drills().values(), key=lambda each: each.ladder)
    assert items[0].drill == ladder[0].id
    assert items[0].reason is Reason.WARM_UP
    marked = [each.id for each in ladder if each.kind is not Kind.NONE]
    assert [item.drill for item in items[1:]] == marked[: len(items) - 1]
    assert {item.reason for item in items[1:]} == {Reason.NEXT}


def test_an_empty_logbook_gives_the_plan_of_the_first_day(tmp_path):
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        assert plan(logbook, "me", NOW) == plan(None, "me", NOW)


@pytest.mark.parametrize("minutes", [5, 10, 30])
def test_the_plan_lasts_as_long_as_was_asked(minutes):
    today = plan(None, "me", NOW, minutes)
    assert sum(item.minutes for item in today.items) + today.lesson_minutes == pytest.approx(minutes)
    assert all(item.trials >= 1 and str(item.why) for item in today.items)


def test_the_first_plan_begins_with_the_lesson_unless_somebody_was_placed(tmp_path):
    """Once something is practised it is in no plan."""
    assert plan(None, "me", NOW).lesson
    assert not plan(None, "me", NOW, begin=DrillRung("beat", 3)).lesson
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        assert plan(logbook, "me", NOW).lesson
        practise(logbook, 1)
        assert not plan(logbook, "me", NOW + timedelta(days=1)).lesson


def test_whole_minutes_add_up_to_the_plan(subtests):
    """By largest remainder (Hamilton's method; common practice): each within a minute of its share."""
    for minutes in range(5, 31):
        with subtests.test(minutes=minutes):
            today = plan(None, "me", NOW, minutes)
            assert sum(today.whole_minutes) + today.lesson_minutes == minutes
            for whole, item in zip(today.whole_minutes, today.items, strict=True):
                assert whole >= 1
                assert abs(whole - item.minutes) < 1


def test_parts_that_would_round_to_eleven_are_told_as_ten():
    items = [replace(plan(None, "me", NOW).items[0], minutes=minutes) for minutes in (1.5, 2.84, 2.83, 2.83)]
    assert Plan(tuple(items), 10).whole_minutes == (1, 3, 3, 3)


@pytest.mark.parametrize("minutes", [5, 10, 20, 30])
def test_the_trials_of_a_plan_take_the_time_that_it_says(minutes):
    """By the trials themselves, and what is assumed beside their sound: within half of the longest trial."""
    today = plan(None, "me", NOW, minutes)
    takes = [
        drills()[item.drill].make(item.rung, 1).count.end_s + (START_S if at == 0 else BESIDE_S)
        for at, item in enumerate(today.items)
    ]
    whole_s = sum(item.trials * each for item, each in zip(today.items, takes, strict=True))
    assert abs(whole_s - 60 * (minutes - today.lesson_minutes)) <= max(takes) / 2


def test_who_takes_longer_over_a_trial_gets_fewer(tmp_path):
    """By the learner's own trials: 40 s beside the sound, and 5 s."""
    counts = {}
    for beside in (5.0, 40.0):
        with Logbook.open(tmp_path / f"{beside}.sqlite3") as logbook:
            logbook.add_all(replace(PLAIN, uid=uuid4().hex, spent_s=PLAIN.sound_s + beside) for _ in range(6))
            assert beside_s(logbook, "me") == pytest.approx(beside)
            today = plan(logbook, "me", NOW + timedelta(days=1))
        counts[beside] = sum(item.trials for item in today.items[1:])
    assert counts[40.0] < 0.7 * counts[5.0]


@pytest.mark.proof
def test_no_item_of_ten_minutes_takes_half_of_them(month, tmp_path):
    """Not on any day of four weeks, nor in the second and third plan of the first day."""
    plans = list(month.values())
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        for _ in range(3):
            practise(logbook, 1)
            plans.append(plan(logbook, "me", NOW + timedelta(hours=1)))
    assert max(item.minutes for today in plans for item in today.items) < 5.5
    assert all(len(today.items) >= 3 for today in plans)


class TestAfterPlacement:
    """What a placement run found is where the plan begins."""

    @staticmethod
    def placed(logbook, *answers) -> None:
        """Answers (drill, rung, right) within a few minutes before ``NOW``."""
        logbook.add_all(
            replace(PLAIN, uid=uuid4().hex, drill=drill, rung=rung, result={"right": right})
            for drill, rung, right in answers
        )

    def test_its_drill_comes_after_the_warm_up(self, tmp_path):
        with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
            self.placed(logbook, ("beat", 3, True), ("one", 2, False), ("stopped-bar", 1, False), ("beat", 2, True))
            today = plan(logbook, "me", NOW + timedelta(minutes=3), begin=DrillRung("beat", 3))
        assert [item.drill for item in today.items][:2] == ["count-along", "beat"]
        assert "begin here" in str(today.items[1].why)
        assert "drum" not in {item.drill for item in today.items}

    def test_also_where_it_was_asked_often_enough_to_count_as_begun(self, tmp_path):
        with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
            self.placed(logbook, *[("beat", 3, right) for right in (True, True, True, False)])
            today = plan(logbook, "me", NOW + timedelta(minutes=3), begin=DrillRung("beat", 3))
        assert today.items[1].drill == "beat"
        assert len(today.items) >= 3

    def test_on_the_days_after_it_nobody_is_led_back_to_the_foot_of_the_ladder(self, tmp_path):
        """Somebody who is good at "one": what is new comes from above it."""
        with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
            self.placed(logbook, *[("one", 7, True)] * 6, ("stopped-bar", 6, True))
            later = [plan(logbook, "me", NOW + timedelta(days=day)) for day in (1, 2, 3)]
        new = [item.drill for today in later for item in today.items if item.reason is Reason.NEXT]
        assert new
        assert all(drills()[drill].ladder > drills()["one"].ladder for drill in new)

    def test_two_answers_are_no_practice_yet(self, tmp_path):
        with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
            self.placed(logbook, ("drum", 1, True), ("beat", 1, True))
            today = plan(logbook, "me", NOW + timedelta(minutes=3))
        assert [item.reason for item in today.items[1:]] == [Reason.NEXT] * 3


@pytest.mark.parametrize("minutes", [0, 4, 31, 600])
def test_other_lengths_are_refused(minutes):
    with pytest.raises(ValueError, match="5 to 30"):
        plan(None, "me", NOW, minutes)


def test_every_plan_begins_with_a_warm_up_and_names_no_drill_twice_after_it(month):
    for today in month.values():
        assert today.items[0].reason is Reason.WARM_UP
        assert all(item.reason is not Reason.WARM_UP for item in today.items[1:])
        rest = [item.drill for item in today.items[1:]]
        assert len(rest) == len(set(rest)) > 0


def test_the_ladder_is_climbed_a_drill_at_a_time(month):
    """After the first day one new drill at most a day, several in four weeks; easy ones in the ladder's order.

    What does not go half well at first is left until later: easy is what lies half a logit below the level.
    """
    begun = [
        item.drill for day, today in month.items() for item in today.items if item.reason is Reason.NEXT and day > 0
    ]
    places = [drills()[drill].ladder for drill in dict.fromkeys(begun) if difficulty(drills()[drill], 1) < 3.5]
    assert places == sorted(places)
    assert len(places) >= 3
    assert all(sum(item.reason is Reason.NEXT for item in month[day].items) <= 1 for day in month if day > 0)


def test_what_was_skipped_for_weeks_is_due_and_nobody_is_blamed(tmp_path):
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        practise(logbook, 8)
        today = plan(logbook, "me", NOW + timedelta(days=60))
    assert any(item.reason is Reason.DUE for item in today.items)
    assert any("days ago, and it fades by now" in str(item.why) for item in today.items)


@pytest.mark.parametrize(
    ("hours", "says"),
    [(38, "Last practised yesterday"), (42, "Last practised 2 days ago"), (65, "Last practised 3 days ago")],
)
def test_the_days_since_are_those_of_the_calendar(tmp_path, hours, says):
    """Practised at eight in the morning of the first day; ``hours`` later is 10 at night, or the small hours."""
    begin = NOW.replace(hour=8)
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        when = begin.strftime("%Y-%m-%dT%H:%M:%SZ")
        logbook.add_all(
            replace(PLAIN, uid=uuid4().hex, drill=drill, when=when, result={"right": at < 1})
            for drill in ("drum", "one")
            for at in range(4)
        )
        items = plan(logbook, "me", begin + timedelta(hours=hours)).items
    due = [str(item.why) for item in items if item.reason is Reason.DUE]
    assert due
    assert all(why.startswith(says) for why in due), due


def test_what_was_practised_busy_since_is_not_told_as_weeks_ago(tmp_path):
    """Plainly on the first of May, busy on the twentieth: due two days later, and that is what is said."""
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        for day, mode in ((0, Mode.PLAIN), (19, Mode.BUSY)):
            when = (NOW + timedelta(days=day)).strftime("%Y-%m-%dT%H:%M:%SZ")
            logbook.add_all(replace(PLAIN, uid=uuid4().hex, when=when, mode=mode) for _ in range(4))
        same, later = (plan(logbook, "me", NOW + timedelta(days=day)).items for day in (19.1, 21.1))
    assert not [item for item in same if item.reason is Reason.DUE]
    assert [str(item.why)[:25] for item in later if item.reason is Reason.DUE] == ["Last practised 2 days ago"]


def test_the_weakest_comes_first_when_it_is_due(month):
    """It takes the place after the warm-up."""
    weak = [today.items[1].reason for today in month.values() if any(i.reason is Reason.WEAK for i in today.items)]
    assert weak.count(Reason.WEAK) >= len(weak) / 2 > 0


def practised(logbook, day=-1, **answers) -> None:
    """Answers of a day: drill (with underscores) = (rung, how many were right, how many wrong)."""
    when = (NOW + timedelta(days=day)).strftime("%Y-%m-%dT%H:%M:%SZ")
    logbook.add_all(
        replace(PLAIN, uid=uuid4().hex, when=when, drill=drill.replace("_", "-"), rung=rung, result={"right": right})
        for drill, (rung, rights, wrongs) in answers.items()
        for right in [True] * rights + [False] * wrongs
    )


def test_a_drill_that_goes_wrong_on_its_first_rung_rests_and_the_others_go_on(tmp_path):
    """Said so, with what to go back to; after its rest it comes back."""
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        practised(logbook, beat=(2, 8, 2), one=(1, 6, 2), stopped_beat=(1, 3, 19))
        plans = [plan(logbook, "me", NOW + timedelta(days=day)) for day in (0, 1, 3)]
        for day in range(int(REST_D)):
            practised(logbook, day, beat=(2, 2, 0), one=(1, 2, 0))
        later = plan(logbook, "me", NOW + timedelta(days=REST_D))
    for today in plans:
        assert "stopped-beat" not in {item.drill for item in today.items}
        assert "The stopped beat rests" in str(today.rests)
        assert str(drills()["one"].title()) in str(today.rests)
    assert any(item.reason is Reason.NEXT for item in plans[0].items)
    assert later.rests is None
    assert "stopped-beat" in {item.drill for item in later.items}


def test_a_drill_that_goes_right_by_guessing_alone_is_no_exception(tmp_path):
    """Of two choices half are right by guessing: 30 answers of `drum`, 14 of them right."""
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        practised(logbook, drum=(1, 14, 16), beat=(1, 4, 1))
        assert "The drum rests" in str(plan(logbook, "me", NOW).rests)


def test_the_side_path_of_a_drill_is_for_who_wants_it(tmp_path):
    """Somebody who is far beyond the fourth rung of `drum` is given the fourth, and not for weeks."""
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        practised(logbook, drum=(8, 20, 0), beat=(2, 6, 1), one=(2, 6, 1), stopped_beat=(2, 6, 1))
        for day in (2, 4, 8):
            items = plan(logbook, "me", NOW + timedelta(days=day)).items
            assert "drum" not in {item.drill for item in items if item.reason is not Reason.WARM_UP}
            assert all(item.rung <= 4 for item in items if item.drill == "drum")


@pytest.mark.sweep(1)
@pytest.mark.parametrize(("gone_d", "minutes"), [(1, 10), (4, 10), (5, 7), (20, 5)])
def test_after_missed_days_the_plan_is_shorter_and_begins_nothing_new(tmp_path, gone_d, minutes):
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        practise(logbook, 8)
        today = plan(logbook, "me", NOW + timedelta(days=7 + gone_d))
    assert today.minutes == minutes
    assert sum(item.minutes for item in today.items) == pytest.approx(minutes)
    assert gone_d <= 4 or not [item for item in today.items if item.reason is Reason.NEXT]


def test_the_warm_ups_vary(month):
    """After the first week no drill warms up more than two days in five."""
    warm = [today.items[0].drill for day, today in month.items() if day >= 7]
    assert max(warm.count(drill) for drill in warm) <= 0.4 * len(warm)


def test_the_plan_is_the_same_however_often_it_is_asked(tmp_path):
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        practise(logbook, 5)
        at = NOW + timedelta(days=5)
        assert plan(logbook, "me", at) == plan(logbook, "me", at)
        logbook.forget_levels()
        assert plan(logbook, "me", at) == plan(logbook, "me", at)


def test_a_drill_is_in_every_plan_or_in_none_where_somebody_chose_so(tmp_path):
    """On the first day as after four weeks; the time of the plan stays."""
    chosen = Chosen(always=("tempo", "gone"), never=("drum", "one"))
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        practise(logbook, 12, theta=3.0)
        for made in (
            plan(None, "me", NOW, 10, chosen=chosen),
            plan(logbook, "me", NOW + timedelta(days=12), 10, chosen=chosen),
        ):
            by = {item.drill: item.reason for item in made.items}
            assert by["tempo"] is Reason.ALWAYS
            assert not {"drum", "one", "gone"} & set(by)
            assert sum(made.whole_minutes) + made.lesson_minutes == 10
        usual = plan(logbook, "me", NOW + timedelta(days=12), 10)
        everything = Chosen(never=tuple(drills()))
        assert plan(logbook, "me", NOW + timedelta(days=12), 10, chosen=everything) == usual


def test_a_placement_run_does_not_begin_a_drill_that_is_left_out():
    made = plan(None, "me", NOW, 10, DrillRung("turn", 2), Chosen(never=("turn",)))
    assert "turn" not in [item.drill for item in made.items]
