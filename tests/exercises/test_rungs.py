"""Rungs: their lasting names, the numbers of earlier versions, the tables of their order and guess rates."""

import json

import pytest

import assets
from assets.rungs.listener import LISTENERS, difficulty
from assets.rungs.make_order import TABLE, table
from exercises.drills import drills, marked_drills, rung_id, rung_now
from exercises.forms.drill import INTRODUCTION
from exercises.forms.old_rungs import LAST, OLD, row_of
from exercises.learner.level import chance_of
from exercises.learner.stored_levels import learner_levels
from exercises.logbook.store import Logbook
from exercises.trial.kept.record import record
from exercises.trial.kept.trial_file import trial_from_json
from exercises.trial.trial import LOST_COUNT, Answer
from exercises.trial.versions import VERSION
from synth.base.errors import Trouble
from tests.exercises.trial.plain import NOW

pytestmark = pytest.mark.sampled(3)

MARKED = [one.id for one in marked_drills()]
RATES = json.loads(assets.path("rungs", "guess_rates.json").read_text("utf-8"))


def test_names_are_unique_within_a_drill_and_lead_to_the_number():
    for one in drills().values():
        ids = [row.id for row in one.rungs]
        assert len(set(ids)) == len(ids)
        assert [rung_now(one.id, id) for id in ids] == list(range(1, len(ids) + 1))
        assert [rung_id(one.id, number, VERSION) for number in range(1, len(ids) + 1)] == ids
    assert rung_now("one", "nothing-like-it") is rung_now("no-drill", "bare") is rung_id("one", 99, VERSION) is None


def test_every_old_number_leads_to_a_rung_that_is_there():
    """Also those of rungs that are no more; a number that moved leads to the rung it named."""
    for id, rows in OLD.items():
        assert all(rung_now(id, rung_id(id, number, LAST)) for number in range(1, len(rows) + 1))
    assert [rung_id("one", number, LAST) for number in (3, 4, 5)] == ["bare", "kick-on-every-beat", "bass"]
    assert rung_now("one", "kick-on-every-beat") == 5
    assert rung_id("turn", 3, LAST) == "signs"


def test_an_old_row_is_as_it_was():
    """Two of version 3, as its source has them."""
    one, turn = drills()["one"], drills()["turn"]
    old = row_of("one", one.rungs, 4, LAST)
    assert (old.help.sheet, old.signals, old.tempo_bpm) == (True, None, (118, 126))
    old = row_of("turn", turn.rungs, 5, LAST)
    assert (old.lengths, old.total_bars, old.window_beats, old.cold) == ((4, 8), 30, 2.0, True)
    assert row_of("one", one.rungs, 4, VERSION) is one.rungs[3]


def test_rungs_rise_for_every_listener_and_stand_in_the_order_of_the_table(subtests):
    for id in MARKED:
        with subtests.test(id=id):
            rows = drills()[id].rungs
            for who in LISTENERS:
                hard = [difficulty(who, id, row) for row in rows]
                assert hard == sorted(hard)
                assert len(set(hard)) == len(hard)
            kept = json.loads(TABLE.read_text("utf-8"))
            assert list(kept[id]) == [row.id for row in rows]


def test_the_table_of_the_order_is_as_the_command_makes_it():
    assert json.loads(TABLE.read_text("utf-8")) == table()


@pytest.mark.parametrize("id", MARKED)
def test_every_rung_has_a_guess_rate_no_lower_than_by_guessing_an_answer(id, quiet):
    one = drills()[id]
    assert list(RATES[id]) == [row.id for row in one.rungs]
    for rung, row in enumerate(one.rungs, 1):
        assert chance_of(id, rung) == RATES[id][row.id] <= 0.9
        assert RATES[id][row.id] >= one.chance(one.make(rung, 1)) - 0.005


@pytest.mark.parametrize("id", ["stopped-beat", "turn"])
def test_an_introduction_is_told_and_neither_right_nor_wrong(id):
    """It counts to the end, comes back from a file and a logbook's truth, and has a name that is no rung's."""
    one = drills()[id]
    for seed in range(4):
        trial = one.make(INTRODUCTION, seed)
        assert trial.help.voice
        assert trial.help.voice_beats is None
        for answer in (Answer(trial.targets_s, trial.expected), Answer(value=LOST_COUNT)):
            result = one.mark(trial, answer)
            assert result.right is None
            assert result.text
        again = trial_from_json(trial.to_json())
        assert one.mark(again, Answer(trial.targets_s, trial.expected)).right is None
    assert rung_id(id, INTRODUCTION, VERSION) == "introduction"
    assert rung_now(id, "introduction") is None
    with pytest.raises(Trouble):
        drills()["one"].make(INTRODUCTION, 1)


def test_what_was_not_marked_moves_no_level(tmp_path):
    one = drills()["turn"]
    trial = one.make(INTRODUCTION, 1)
    result = one.mark(trial, Answer(trial.targets_s))
    with Logbook.open(tmp_path / "logbook.sqlite3") as logbook:
        logbook.add(record(trial, Answer(trial.targets_s), result, when=NOW))
        (kept,) = logbook.trials()
        assert (kept.rung, kept.rung_id) == (INTRODUCTION, "introduction")
        assert not learner_levels(logbook, "me").tried
