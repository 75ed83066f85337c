"""The verdict of a wrong trial says why, and one thing to do next: in at least two sentences."""

import re

import numpy as np
import pytest

from app.demo.simulated import LEARNERS, simulate
from exercises.drills import marked_drills
from exercises.trial.trial import LOST_COUNT, Answer, Kind

pytestmark = pytest.mark.sampled(3)

SENTENCE = re.compile(r"[.?!](?=\s|$)")


def wrong_answers(one, trial):
    """Answers of every simulated learner, every choice that is wrong, nothing at all, and a lost count."""
    yield Answer(value=LOST_COUNT)
    offered = [value for value in one.answers(trial)[:40] if str(value) != str(trial.expected)]
    asks = trial.then is not Kind.NONE or trial.kind not in (Kind.TAPS, Kind.PRESS)
    for who in LEARNERS:
        answer = simulate(who, trial)
        if asks and answer.value is None:
            answer = Answer(answer.taps_s, offered[0] if offered else trial.expected)
        yield answer
    if trial.kind in (Kind.TAPS, Kind.PRESS):
        yield Answer(np.empty(0), trial.expected if asks else None)
    for value in offered[:12]:
        yield Answer(simulate("perfect", trial).taps_s, value)


@pytest.mark.sweep
@pytest.mark.parametrize("one", marked_drills(), ids=lambda one: one.id)
def test_a_wrong_verdict_says_why_and_what_to_do(one):
    short = set()
    for rung in {1, len(one.rungs) // 2 + 1, len(one.rungs)}:
        trial = one.make(rung, 7)
        for answer in wrong_answers(one, trial):
            for calibrated in (True, False):
                result = one.mark(trial, answer, uncertainty_ms=3.0, calibrated=calibrated)
                if result.right is False and len(SENTENCE.findall(result.text)) < 2:
                    short.add(result.text)
    assert short == set()
