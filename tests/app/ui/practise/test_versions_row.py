"""What it was and what it was taken for, side by side: a broken border is the learner's own answer, nothing else."""

import pytest

from app.ui.result.versions_row import VersionsRow
from exercises.drills import drill
from exercises.trial.trial import Answer


@pytest.mark.parametrize(
    ("said", "labels"),
    [
        # The right phrase with the wrong length: it is heard beside one of the others, not beside the answer.
        ("same phrase", ["it was", "the others"]),
        ("another phrase", ["it was", "your answer"]),
    ],
)
def test_a_broken_border_is_the_answer_alone(qtbot, said, labels):
    one = drill("odd-phrase")
    trial = one.make(2, 1)
    right = str(trial.expected)
    same = [each.key for each in trial.choices if each.key[0] == right[0]]
    wrong = next(
        each.key for each in trial.choices if each.key != right and (each.key in same) is (said == "same phrase")
    )
    result = one.mark(trial, Answer(value=wrong), uncertainty_ms=3.0, calibrated=True)
    row = VersionsRow()
    qtbot.addWidget(row)
    row.show_result(result, trial, one.versions(trial, result))
    shown = row.boxes[: len(labels)]
    assert [box.accessibleName().split(":")[0] for box in shown] == labels
    assert [box.property("own") for box in shown] == [each == "your answer" for each in labels]
