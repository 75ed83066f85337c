"""What is made ahead is for one wish at one sample rate, and what nobody waits for any more is not made."""

from itertools import pairwise

import pytest

from app.inputs.taps import Tap
from app.practice.trial.next_trial import Ahead, Wish
from tests.app.later import Later

WISH = Wish("beat", 1, seed=1)


def test_a_change_of_rate_makes_the_trial_anew(practice, player):
    """As many frames as the trial lasts at the rate that is played: else it would sound at another pitch and pace."""
    practice.ahead = Ahead(lambda: 1, later := Later())
    practice.choose(WISH)
    practice.prepare()
    later.run()
    player.sample_rate_hz = 44_100
    practice.prepare()
    later.run()
    practice.start()
    assert len(player.samples) / 44_100 == pytest.approx(practice.trial.duration_s, abs=0.01)


def test_what_was_heard_at_another_rate_is_not_offered_again(practice, player):
    practice.choose(WISH)
    practice.start()
    practice.attempt.tap(Tap(player.start_s + 1.0, "key", True))
    player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.001
    practice.tick()
    assert practice.attempt.replaying.can_be_heard
    player.sample_rate_hz, plays = 44_100, player.plays
    assert not practice.attempt.replaying.can_be_heard
    practice.attempt.replaying.hear()
    assert (practice.again, player.plays) == (False, plays)


def test_wishes_passed_over_are_not_rendered():
    """A tempo that is turned from 100 to 140 in steps of ten: only the last one is made."""
    ahead = Ahead(lambda: 1, later := Later())
    for tempo_bpm in range(100, 150, 10):
        ahead.prepare(Wish("beat", 1, float(tempo_bpm), seed=1), 48_000)
    later.run()
    assert [future.cancelled() for future in later.futures] == [True] * 4 + [False]
    assert ahead.ready


def test_another_language_of_the_voice_makes_the_trial_anew():
    """What was made ahead in English is not played to somebody who has changed to Spanish."""
    ahead = Ahead(lambda: 1, later := Later())
    wish = Wish("count-along", 1, seed=1)
    sounds = {}
    for language in ("en", "es"):
        ahead.language = language
        ahead.prepare(wish, 8_000)
        later.run()
        ahead.prepare(wish, 8_000)
        sounds[language] = ahead.take(wish, 8_000).samples
    assert len(later.futures) == 2
    assert sounds["en"].shape == sounds["es"].shape
    assert (sounds["en"] != sounds["es"]).any()


@pytest.mark.usefixtures("unheard")
def test_two_trials_in_a_row_are_drawn_on_different_grooves():
    """Drawn blindly, eight trials from six grooves would all differ once in four times."""
    seeds = iter(range(200))
    ahead = Ahead(lambda: next(seeds))
    grooves = [ahead.take(Wish("tempo", 1), 8_000).trial.groove for _ in range(8)]
    assert all(one != other for one, other in pairwise(grooves))


@pytest.mark.usefixtures("unheard")
@pytest.mark.parametrize("family", [None, "dry"])
def test_two_trials_in_a_row_have_different_kits_from_the_third_rung_on(family):
    """Of a family there are eight: drawn blindly, sixteen trials would all differ once in seven times."""
    seeds = iter(range(400))
    ahead = Ahead(lambda: next(seeds))
    made = [ahead.take(Wish("one", 3, groove="rock", kit_family=family), 8_000).trial.kit_seed for _ in range(16)]
    assert all(one != other for one, other in pairwise(made))
    first = [ahead.take(Wish("one", 2), 8_000).trial.kit_seed for _ in range(2)]
    assert first == [0, 0]


@pytest.mark.usefixtures("unheard")
def test_a_groove_that_was_asked_for_may_come_again():
    ahead = Ahead(lambda: 1)
    assert {ahead.take(Wish("one", 1, groove="rock"), 8_000).trial.groove for _ in range(2)} == {"rock"}


@pytest.mark.usefixtures("unheard")
def test_a_rung_of_one_groove_is_drawn_all_the_same():
    ahead = Ahead(lambda: 1)
    assert [ahead.take(Wish("beat", 6), 8_000).trial.groove for _ in range(2)] == ["shuffle", "shuffle"]
