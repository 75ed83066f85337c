"""Sounds of the next trial come from a process of its own, and are those that the program would make itself."""

import sys
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from app.practice.trial import takes_ahead
from app.practice.trial.next_trial import Ahead, Wish, make_ready
from app.practice.trial.takes_ahead import TakesAhead
from app.session import Session
from synth.sound.kit import Kit
from synth.sound.pool import POOL
from tests.app.later import Later

RATE = 8_000
WISH = Wish("one", 5)
LONG_S = 120.0  # for a process that may have to compete with all other tests


class Noting:
    """Notes what is expected and fetched."""

    def __init__(self) -> None:
        self.expected, self.fetched, self.closed = [], [], False

    def expect(self, requests):
        self.expected.append(list(requests))

    def fetch(self, request):
        self.fetched.append(request)

    def close(self):
        self.closed = True


@pytest.fixture
def rendering(monkeypatch):
    monkeypatch.setattr(takes_ahead, "PATIENCE_S", LONG_S)
    made = TakesAhead()
    yield made
    made.close()


def refuse(*_):
    raise AssertionError("rendered by the program")


@pytest.mark.proof
def test_the_process_gives_what_the_program_would_render(rendering):
    """No take is rendered by the program any more, and the sound is the same to the last bit."""
    request = (WISH, 7, RATE)
    POOL.fresh()
    apart = make_ready(*request).samples
    rendering.expect([request])
    assert rendering.listens.wait(LONG_S)
    heard = None
    while heard is None:  # what is not there yet is asked for again
        kits = POOL.fresh()
        rendering.fetch(request)
        with pytest.MonkeyPatch.context() as patched, suppress(AssertionError):
            patched.setattr(Kit, "_render", refuse)
            heard = make_ready(*request).samples
    np.testing.assert_array_equal(heard, apart)
    assert not any(take.samples.flags.writeable for kit in kits.values() for take in kit.takes.values())


def test_the_process_has_no_qt_and_ends_with_the_program(rendering):
    """Its only leash is the pipe of its requests, which closes however the program ends."""
    rendering.expect([])
    assert rendering.listens.wait(LONG_S)
    process = rendering.process
    if sys.platform == "linux":
        assert "Qt6Core" not in Path(f"/proc/{process.pid}/maps").read_text(encoding="utf-8")
    process.stdin.close()
    assert process.wait(LONG_S) == 0


def test_without_the_process_the_program_goes_on(rendering):
    """It ended by itself, was never started, or cannot be: nothing is fetched, and nothing raised."""
    rendering.fetch((WISH, 7, RATE))
    rendering.expect([])
    assert rendering.listens.wait(LONG_S)
    rendering.process.kill()
    rendering.process.wait()
    rendering._reader.join()
    rendering.expect([(WISH, 7, RATE)])
    rendering.fetch((WISH, 7, RATE))
    rendering.close()
    rendering.expect([(WISH, 7, RATE)])
    assert rendering.process is None


@pytest.mark.usefixtures("unheard")
def test_the_next_trial_is_the_expected_one_where_the_wish_stays():
    """While one trial is heard, the rungs that may come are rendered with the seed of the next."""
    noting, seeds, later = Noting(), iter(range(100)), Later()
    ahead = Ahead(lambda: next(seeds), later, noting)
    ahead.prepare(WISH, RATE)
    later.run()
    ahead.take(WISH, RATE)
    ahead.expect(WISH, RATE, lambda: (6, 4))
    later.run()
    seed = noting.expected[0][0][1]
    assert noting.expected == [[(replace(WISH, rung=rung), seed, RATE) for rung in (6, 4)]]
    ahead.prepare(replace(WISH, rung=6), RATE)
    later.run()
    assert noting.fetched[-1] == (replace(WISH, rung=6), seed, RATE)
    assert ahead.take(replace(WISH, rung=6), RATE).trial.seed == seed


@pytest.mark.usefixtures("unheard")
def test_a_seed_that_was_asked_for_is_not_rendered_beforehand():
    noting, later = Noting(), Later()
    ahead = Ahead(lambda: 1, later, noting)
    wish = replace(WISH, seed=3)
    ahead.prepare(wish, RATE)
    later.run()
    ahead.take(wish, RATE)
    ahead.expect(wish, RATE, lambda: (5,))
    later.run()
    assert noting.expected == []


@pytest.mark.proof
@pytest.mark.usefixtures("unheard")
@pytest.mark.parametrize("chosen", [None, 3])
def test_what_comes_after_either_answer_was_expected(practice, player, chosen):
    """By the levels one or two rungs; the rung that was chosen by hand alone."""
    noting, seeds, later = Noting(), iter(range(1, 100)), Later()
    practice.ahead = Ahead(lambda: next(seeds), later, noting)
    practice.choose(Wish("drum", chosen))
    for right in (True, True, True, False, False, True):
        practice.prepare()
        later.run()
        if noting.expected:
            assert noting.fetched[-1] in noting.expected[-1]
        practice.start()
        later.run()
        assert len(noting.expected[-1]) in ((1, 2) if chosen is None else (1,))
        player.now_s = player.start_s + practice.trial.duration_s + 5
        practice.tick()
        others = [choice.key for choice in practice.trial.choices if choice.key != practice.trial.expected]
        practice.answer_with(practice.trial.expected if right else others[0])
    assert len({len(each) for each in noting.expected}) == (2 if chosen is None else 1)


def test_a_session_ends_the_process(practice):
    practice.ahead = Ahead(lambda: 1, None, noting := Noting())
    Session(practice).close()
    assert noting.closed
