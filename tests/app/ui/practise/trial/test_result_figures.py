"""The figures of a result: those in ms come when the learner has met them, and by a button before."""

import pytest

from app.demo.simulated import simulate
from app.ui.practise.trial.result_figures import LATER, MET_FROM, Figures, figures_met
from exercises.drills import drill
from exercises.trial.trial import Answer


@pytest.fixture
def result():
    one = drill("beat")
    trial = one.make(2, 1)
    return one.mark(trial, simulate("beginner", trial, 1), uncertainty_ms=4.0, calibrated=True)


def shown(figures) -> set[str]:
    return {name for name, figure in figures.named.items() if not figure.isHidden()}


def test_figures_in_ms_wait_behind_a_button_until_they_are_met(qtbot, result):
    figures = Figures()
    qtbot.addWidget(figures)
    figures.show_result(result, met=False)
    assert "met" in shown(figures)
    assert shown(figures).isdisjoint(LATER)
    assert not figures._later.isHidden()
    figures._later.click()
    assert shown(figures) >= set(LATER)
    assert figures._later.isHidden()
    figures.show_result(result, met=False)  # once opened they stay
    assert shown(figures) >= set(LATER)


def test_met_figures_stand_there_at_once(qtbot, result):
    figures = Figures()
    qtbot.addWidget(figures)
    figures.show_result(result, met=True)
    assert shown(figures) >= set(LATER)
    assert figures._later.isHidden()
    figures.show_result(None, met=False)
    assert figures.isHidden()


def test_they_are_met_after_some_results(practice, logbook, monkeypatch):
    assert not figures_met(practice.learner)
    for n, met in ((MET_FROM - 1, False), (MET_FROM, True)):
        monkeypatch.setattr("app.ui.practise.trial.result_figures.spreads", lambda *_, n=n: n)
        assert figures_met(practice.learner) is met
    practice.learner.logbook = None
    assert figures_met(practice.learner)


def test_of_one_target_there_are_no_figures(qtbot):
    """Met or not: the verdict says so."""
    figures = Figures()
    qtbot.addWidget(figures)
    one = drill("through")
    trial = one.make(1, 1)
    figures.show_result(one.mark(trial, Answer(trial.targets_s)))
    assert figures.isHidden()
