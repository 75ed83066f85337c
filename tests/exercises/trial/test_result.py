"""What became of an answer."""

import pytest

from exercises.trial.result import Result


def test_a_score_beyond_one_is_refused():
    with pytest.raises(ValueError, match="score"):
        Result("one", 1, 1, None, 1.5, ())
