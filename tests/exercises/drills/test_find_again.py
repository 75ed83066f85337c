"""The drill `find-again`: the drums break off and return anywhere; a press on a one, and the number of its bar."""

import numpy as np
import pytest

from exercises.drills import drill
from exercises.trial.trial import Answer
from synth.base.errors import Trouble

pytestmark = pytest.mark.sampled(3)

FIND = drill("find-again")
RUNGS = range(1, len(FIND.rungs) + 1)


def after(trial):
    """Rows of the count after the return: those that follow the one long gap."""
    return int(np.diff(trial.count.beats_s).argmax()) + 1


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_every_one_after_the_return_counts_with_its_own_bar(rung):
    """Bars are read off the count of the record."""
    for seed in range(6):
        trial = FIND.make(rung, seed)
        count, row = trial.count, after(trial)
        ones = [at for at in range(row, len(count)) if count.beat_in_bar[at] == 1]
        assert trial.targets_s == pytest.approx(count.beats_s[ones], abs=1e-9)
        marks = []
        for at in ones:
            bar = str(count.bar_in_phrase[at])
            result = FIND.mark(trial, Answer(count.beats_s[at : at + 1] + 0.02, bar))
            assert result.right
            marks.append(result.score)
            other = str(int(bar) % trial.truth().phrase_bars + 1)
            assert not FIND.mark(trial, Answer(count.beats_s[at : at + 1], other)).right
        assert marks == sorted(marks, reverse=True)
        assert (marks[0], marks[-1]) == (1.0, 0.5)


@pytest.mark.sweep(1)
@pytest.mark.parametrize("rung", RUNGS)
def test_the_drums_return_where_the_rung_says_and_after_no_whole_beats(rung, quiet):
    trials = [FIND.make(rung, seed) for seed in range(60)]
    beats = {int(trial.count.beat_in_bar[after(trial)]) for trial in trials}
    assert beats == set(FIND.rungs[rung - 1].returns)
    bars = {int(trial.count.bar_in_phrase[after(trial)]) for trial in trials}
    assert len(bars) == FIND.rungs[rung - 1].phrase_bars
    gaps = [float(np.diff(trial.count.beats_s).max() / trial.period_s) for trial in trials]
    assert np.std(np.mod(gaps, 1)) > 0.2
    assert len({len(trial.count) for trial in trials}) == 1


def test_a_press_off_the_one_or_before_the_return_is_told():
    trial = FIND.make(3, 1)
    one_s = trial.targets_s[1:2]
    assert "one beat late: that was not a one" in FIND.mark(trial, Answer(one_s + trial.period_s, "1")).text
    assert "before the drums came back" in FIND.mark(trial, Answer(trial.count.beats_s[:1], "1")).text
    assert "No press came in" in FIND.mark(trial, Answer(value="1")).text
    # Taps along with the drums before they break off count for nothing.
    both = np.concatenate([trial.count.beats_s[:4], one_s])
    bar = str(trial.count.bar_in_phrase[np.abs(trial.count.beats_s - one_s).argmin()])
    assert FIND.mark(trial, Answer(both, bar)).right
    with pytest.raises(Trouble, match="no answer was given"):
        FIND.mark(trial, Answer(one_s))


def test_verdicts_tell_how_soon_it_was_found():
    trial = FIND.make(5, 2)
    first = int(trial.expected)
    told = [
        FIND.mark(trial, Answer(trial.targets_s[at : at + 1], str((first - 1 + at) % 8 + 1))).text for at in (0, 1, 4)
    ]
    assert told[0].endswith("found at the first one after the drums came back.")
    assert told[1].endswith("found one bar after the drums came back.")
    assert told[2].endswith("found 4 bars after the drums came back.")
