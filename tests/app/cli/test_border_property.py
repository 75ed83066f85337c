"""What the border accepts can always be read, shown, exported and marked again: held of a seeded sample."""

import pytest

from tests.hostile.surfaces import tried
from tests.hostile.world import World

SEED = 11
CASES = {"JSON Lines": 30, "whole logbooks": 14, "flipped bits": 10}


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A learner's folders."""
    with World(tmp_path_factory.mktemp("hostile") / "world") as world:
        yield world


@pytest.mark.proof
@pytest.mark.parametrize("surface", CASES)
def test_what_is_accepted_can_be_used(surface, made, monkeypatch):
    """Imports, whole logbooks and the learner's own rotten one; see ``used`` for all that is done with them."""
    monkeypatch.setenv("TALLYBAR_HOME", str(made.home))
    assert tried(surface, made, SEED, CASES[surface])["accepted"]
