"""From the key to the first sound: nobody waits for the silence at the beginning of a trial."""

import numpy as np
import pytest

from app.practice.trial.first_sound import LEAD_S, SILENT, silent_s
from app.practice.trial.next_trial import Wish
from exercises.drills import drills
from synth.device.faults import Fault, FaultKind
from tests.app.practice.test_practice import Deaf


@pytest.mark.proof
@pytest.mark.parametrize("drill", drills())
def test_of_the_silence_before_a_sound_little_is_left(practice, player, drill):
    """Times stay the trial's own: the player is told what to leave out of the same samples."""
    player.sample_rate_hz = 8_000  # enough for a millisecond
    practice.choose(Wish(drill, 1, seed=3))
    before_s = player.now_s
    practice.start()
    loud = np.abs(player.samples).max(axis=1) > SILENT
    first_s = float(np.argmax(loud)) / player.sample_rate_hz
    assert player.start_s + first_s - before_s == pytest.approx(0.2 + LEAD_S, abs=1e-3)  # 0.2 s are the test player's
    assert practice.attempt.position_s() == pytest.approx(first_s - LEAD_S - 0.2, abs=1e-3)


def start(practice, silence_s: float = 1.0):
    """A trial whose sound begins after so much silence."""
    practice.start()
    practice.attempt.samples = np.concatenate([np.zeros((round(48_000 * silence_s), 2)), np.ones((48_000, 2))])
    return practice.attempt


@pytest.mark.usefixtures("unheard")
@pytest.mark.parametrize(
    ("silence_s", "skipped_s"), [(1.0, 1.0 - LEAD_S), (LEAD_S, 0.0), (0.1, 0.0), (2.5, 2.5 - LEAD_S)]
)
def test_what_is_left_out(practice, player, silence_s, skipped_s):
    attempt = start(practice, silence_s)
    attempt.play()
    assert attempt.skipped_s == pytest.approx(skipped_s)
    assert attempt.position_s() == pytest.approx(skipped_s - 0.2)


@pytest.mark.usefixtures("unheard")
def test_where_claps_are_listened_for_the_silence_stays(practice, player):
    """It tells how loud the room is by itself."""
    ear = Deaf()
    ear.source = "mic"
    practice.equipment.inputs.append(ear)
    attempt = start(practice)
    attempt.play()
    assert attempt.skipped_s == 0.0
    assert attempt.position_s() == pytest.approx(-0.2)


@pytest.mark.usefixtures("unheard")
def test_a_sound_that_ends_as_soon_as_it_began_is_not_begun_for_ever(practice, player):
    """What was left out does not count as heard."""
    practice.choose(Wish("count-along", 1))
    attempt = start(practice)
    attempt.play()
    player.faults, player.now_s = (Fault(FaultKind.SILENCE),), player.now_s + 0.7
    assert attempt.position_s() > 1.0
    assert not attempt.resume()
    player.now_s += 1.0
    assert attempt.resume()


def test_silence_alone_has_no_first_sound():
    assert silent_s(np.zeros((100, 2), np.float32), 48_000) == 0.0
    assert silent_s(np.full(100, 0.5, np.float32), 48_000) == 0.0
