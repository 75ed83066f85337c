"""The learner who practises: which trials are kept and count, and the rung that follows."""

import pytest

from app.inputs.equipment import Equipment
from app.practice.learner import current_levels
from app.practice.learner.present_learner import PresentLearner
from app.practice.practice import Practice
from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Ahead, Wish
from exercises.forms.drill import INTRODUCTION
from exercises.logbook.old_trials.remark import remark
from exercises.progress.summary import summary
from exercises.trial.modes import Mode
from synth.base.errors import Trouble
from tests.app.practice.learner.test_saving import answer
from tests.app.practice.test_practice import tap_at, to_the_end
from tests.app.silent import said

pytestmark = [pytest.mark.usefixtures("unheard"), pytest.mark.sampled(4)]


def raise_trouble():
    raise Trouble("The disk is full.")


def test_the_rung_follows_the_answers_unless_one_is_chosen(practice, player):
    """Right again and again leads up the ladder; the level is read back from the logbook by the next sitting."""
    first = practice.rung
    for _ in range(12):
        answer(practice, player)
    assert practice.rung > first == 1
    again = Practice(Equipment(player), PresentLearner(practice.learner.logbook), Ahead(lambda: 1))
    assert again.rung == practice.rung
    practice.choose(Wish("one", 2))
    assert practice.rung == 2


@pytest.mark.parametrize("saved", [True, False])
def test_a_trial_can_be_taken_out_of_the_count_and_back_until_the_next(practice, player, logbook, saved):
    """Void in the logbook with its reason, left out of level and sums; the same as before when it counts again."""
    if not saved:
        practice.learner.logbook = None
    for _ in range(3):
        answer(practice, player)
    uid, theta = practice.attempt.kept.uid, practice.learner.levels().level("one").theta
    before = logbook.trials(1)
    for aside in (True, False, True):
        practice.withdraw()
        assert (practice.phase, practice.attempt.withdrawn) == (Phase.MARKED, aside)
        assert practice.learner.levels().level("one").answers == (2 if aside else 3)
        assert ("does not count" in said(practice)) is aside
        if saved:
            (now,) = logbook.trials(1)
            assert (now.uid, now.void, now.result) == (
                uid,
                *(("withdrawn", None) if aside else (None, before[0].result)),
            )
            assert logbook.rows("SELECT sum(trials), sum(voids), sum(rights) FROM days") == [
                (2, 1, 2) if aside else (3, 0, 3)
            ]
        if not aside:
            assert practice.learner.levels().level("one").theta == pytest.approx(theta)
    practice.start()
    practice.withdraw()
    assert practice.phase is Phase.SOUNDING
    if saved:
        found = summary(logbook, "me")
        assert (found.voids, found.to_json()["void_by_learner"]) == ((1, 1), 1)
        assert "Trials that do not count: 1, by the learner's own word: 1." in list(found.lines())


def test_a_trial_that_waits_to_be_saved_is_taken_out_while_it_waits(practice, player, logbook, monkeypatch):
    monkeypatch.setattr(logbook, "add_all", lambda records: raise_trouble())
    answer(practice, player)
    practice.withdraw()
    assert practice.learner.levels().level("one").answers == 0
    monkeypatch.undo()
    assert practice.learner.save()
    assert logbook.trials(1)[0].void == "withdrawn"


def test_what_cannot_be_written_still_counts(practice, player, logbook, monkeypatch):
    answer(practice, player)
    monkeypatch.setattr(logbook, "set_void", lambda *_: raise_trouble())
    practice.withdraw()
    assert (said(practice), practice.attempt.withdrawn) == ("The disk is full.", False)


def test_a_lag_of_the_equipment_moves_no_level_and_earlier_trials_with_it_are_excused(practice, player, logbook):
    """The same 200 ms at other tempos: told as the equipment's, with the offer to measure; marked again alike."""
    for tempo_bpm in (90, 100, 120):
        practice.choose(Wish("beat", 3, tempo_bpm=float(tempo_bpm)))
        practice.start()
        tap_at(practice, player, practice.trial.targets_s + 0.2)
        practice.learner.levels()  # as every redraw reads them
        to_the_end(practice, player)
    assert practice.result.right is None
    assert "Your taps came 200 ms late" in str(practice.result)
    assert [each.result["right"] for each in logbook.trials(9)] == [None, None, None]
    assert practice.learner.levels().level("beat").answers == 0
    assert not remark(logbook).changed
    practice.withdraw()
    practice.withdraw()
    assert logbook.trials(1)[0].result["equipment_lag_ms"] == 200


def test_a_drill_that_was_never_answered_begins_with_its_introduction(practice, player, logbook):
    """Once: not marked, it moves no level; afterwards the first rung, or at once where a rung is wished for."""
    practice.choose(Wish("turn"))
    assert practice.rung == INTRODUCTION
    answer(practice, player)
    assert (practice.phase, practice.result.right, practice.trial.rung) == (Phase.MARKED, None, INTRODUCTION)
    assert practice.learner.levels().level("turn").answers == 0
    assert logbook.trials(1)[0].rung_id == "introduction"
    assert practice.rung >= 1
    practice.choose(Wish("stopped-beat", 2))
    assert practice.rung == 2
    practice.choose(Wish("one"))
    assert practice.rung >= 1
    practice.choose(Wish("turn"))
    practice.learner.relearn()
    assert practice.rung >= 1
    practice.learner.relearn(other=True)
    assert practice.rung == INTRODUCTION


def test_an_earlier_trial_with_the_lag_that_cannot_be_changed_is_told(practice, player, logbook, monkeypatch):
    monkeypatch.setattr(logbook, "set_void", lambda *_: raise_trouble())
    for tempo_bpm in (90, 100, 120):
        practice.choose(Wish("beat", 3, tempo_bpm=float(tempo_bpm)))
        practice.start()
        tap_at(practice, player, practice.trial.targets_s + 0.2)
        to_the_end(practice, player)
    assert (said(practice), practice.result.right) == ("The disk is full.", None)


@pytest.mark.parametrize("saved", [True, False])
def test_with_a_side_task_no_level_moves(practice, player, saved):
    if not saved:
        practice.learner.logbook = None
    practice.choose(Wish("one", 1, mode=Mode.BUSY))
    answer(practice, player)
    assert practice.result.right is not None
    assert practice.learner.levels().level("one").answers == 0


def test_a_trial_is_kept_as_that_of_the_learner(practice, player, logbook):
    learner = practice.learner
    learner.name, learner.id, learner.simulated = "Ada Invented", "f" * 32, True
    answer(practice, player)
    (kept,) = logbook.trials(10)
    assert (kept.learner, kept.learner_id, kept.simulated) == ("Ada Invented", "f" * 32, True)


def test_where_the_logbook_cannot_be_read_it_is_told_and_the_levels_of_before_stay(practice, player, monkeypatch):
    answer(practice, player)
    before = practice.learner.levels()
    answer(practice, player)
    with monkeypatch.context() as patch:
        patch.setattr(current_levels, "learner_levels", lambda *_: raise_trouble())
        assert practice.learner.levels() is before
        assert said(practice) == "The disk is full."
    practice.learner.relearn()
    assert practice.learner.levels().level("one").answers == 2
