"""Every sentence that a drill has for taps is told to somebody: simulated tappers on every rung of the drill."""

from collections.abc import Iterator
from dataclasses import fields

import numpy as np
import pytest

import exercises.forms.told_drill
from exercises.drills import drills
from exercises.drills.one import One
from exercises.forms.tap_drill import TapDrill
from exercises.forms.told_drill import ToldDrill
from exercises.trial.trial import Answer, Trial
from exercises.trial.verdict.tap_verdict import ByCue, TapWords
from synth.base.words import Say, Template


def words_of(drill) -> TapWords | None:
    """The drill's sentences for taps, if it is answered by taps that are marked so."""
    if isinstance(drill, TapDrill):
        return drill.words
    return exercises.forms.told_drill.WORDS if isinstance(drill, ToldDrill) else None


TAPPED = {id: drill for id, drill in drills().items() if words_of(drill) is not None}


def sentences(words: TapWords) -> set[Template]:
    """Every template of the drill's words."""
    found = [getattr(words, each.name) for each in fields(words)] + list(words.other_beat.values())
    by_cue = [
        each for advice in found if isinstance(advice, ByCue) for each in (advice.deep, advice.pattern, advice.music)
    ]
    return {each for each in (*found, *by_cue) if isinstance(each, Template)}


def tappers(trial: Trial) -> Iterator[np.ndarray]:
    """Taps in seconds: what people do when they have it, miss some, or follow something else."""
    targets_s, beats_s, period_s = trial.targets_s, trial.count.beats_s, trial.period_s
    n = len(targets_s)
    some = max(2, n // 6)
    rng = np.random.default_rng([trial.seed, trial.rung])
    yield targets_s
    yield targets_s + 0.05 * rng.standard_normal(n)  # an uneven hand
    yield np.delete(targets_s, n // 2)
    yield targets_s[:-some]
    yield targets_s[some:]
    yield targets_s[n // 3 :]
    yield np.append(targets_s[:-some], targets_s[-some:-1] + period_s / 2)  # lost towards the end
    yield targets_s[::2]
    yield beats_s
    yield np.sort(np.append(targets_s, targets_s[::3] + 0.1 * period_s))  # doubled
    yield np.arange(targets_s[0], targets_s[-1], period_s / 2)
    yield targets_s + period_s / 2
    yield beats_s[np.cumsum(rng.integers(1, 4, len(beats_s) // 3))]  # in time, on any beat
    for beat in range(1, int(trial.count.beat_in_bar.max())):
        yield targets_s + beat * period_s
        yield np.append(targets_s[: n // 2], targets_s[n // 2 :] + beat * period_s)
        yield np.sort(np.append(targets_s, targets_s + beat * period_s))


def told(drill, trials) -> set[Template]:
    """Every template of the verdicts on all tappers."""
    found = set()
    for trial in trials:
        for taps_s in tappers(trial):
            taps_s = taps_s[taps_s < beats_end_s(trial)]
            for say in drill.mark(trial, Answer(taps_s, trial.expected)).verdict:
                found |= {say.template, *(each.template for each in say.values.values() if isinstance(each, Say))}
    return found


def beats_end_s(trial: Trial) -> float:
    return float(trial.count.beats_s[-1]) + trial.period_s / 2


@pytest.mark.sweep(1)
@pytest.mark.parametrize("id", [id for id, drill in TAPPED.items() if isinstance(drill, TapDrill)])
def test_every_sentence_of_a_drill_is_told_to_somebody(id):
    drill = TAPPED[id]
    trials = [drill.make(rung, 1) for rung in range(1, len(drill.rungs) + 1)]
    trials.append(drill.make(1, 1, groove="five-four"))  # as a learner may wish
    assert {str(each) for each in sentences(drill.words) - told(drill, trials)} == set()


def test_every_sentence_that_drills_share_is_told_to_somebody(quiet):
    found = set()
    for drill in TAPPED.values():
        if isinstance(drill, ToldDrill):
            found |= told(drill, [drill.make(rung, 1) for rung in range(1, len(drill.rungs) + 1)])
    assert {str(each) for each in sentences(exercises.forms.told_drill.WORDS) - found} == set()


class Backbeat(One):
    """A drill of two and four, as somebody may write one."""

    id = "backbeat-of-a-test"

    def targets_s(self, rung, arrangement):
        count = arrangement.count
        return count.beats_s[np.isin(count.beat_in_bar, (2, 4))][-2 * rung.ones :]


def test_who_taps_one_and_three_of_two_and_four_is_told_which_beats(quiet):
    drill = Backbeat()
    for rung in range(1, 4):
        trial = drill.make(rung, 1)
        count = trial.count
        taps_s = count.beats_s[np.isin(count.beat_in_bar, (1, 3)) & (count.beats_s > trial.targets_s[0])]
        assert "You were on the one and the three." in drill.mark(trial, Answer(taps_s)).text
        assert drill.mark(trial, Answer(trial.targets_s)).right


@pytest.mark.parametrize("id", ["one", "beat"])
@pytest.mark.parametrize("share", [0.05, 0.35])
def test_extra_taps_are_never_hidden_behind_praise(id, share, quiet):
    """All met, and some tapped twice: told with their number, and where they make it wrong what to do about it."""
    drill = TAPPED[id]
    advice = {"one": "Tap only the one.", "beat": "Tap once on every beat."}[id]
    for seed in range(4):
        trial = drill.make(3, seed)
        targets_s = trial.targets_s
        n = max(1, round(share * len(targets_s)))
        again = np.linspace(1, len(targets_s) - 2, n).astype(int)
        taps_s = np.sort(np.append(targets_s, targets_s[again] + 0.3 * trial.period_s))
        result = drill.mark(trial, Answer(taps_s))
        assert result.right is (share < 0.25)
        many = "one tap" if n == 1 else f"{n} taps"
        assert result.text.startswith(f"You met all {len(targets_s)}, with {many} too many.")
        assert (advice in result.text) is not result.right
        if not result.right:
            assert "steady" not in result.text
            assert str(result).startswith("Not yet. ")


def test_a_doubled_beat_is_not_called_left_out(quiet):
    trial = TAPPED["beat"].make(3, 6)
    doubled = np.sort(np.append(trial.targets_s, trial.targets_s[::2] + 0.06))
    text = TAPPED["beat"].mark(trial, Answer(doubled)).text
    assert "left" not in text
    assert "Tap once on every beat." in text
