"""Claps as taps of a practice: only while something sounds, with the microphone's own lag; without one, no harm."""

from types import SimpleNamespace

import numpy as np
import pytest

from app.inputs.equipment import Equipment
from app.inputs.mic_taps import MicTaps
from app.inputs.recording import Microphone
from app.inputs.taps import Tap
from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Wish
from exercises.calibration.lag import Calibration, Method, Setup
from synth.base.errors import Trouble
from tests.app.silent import said
from tests.synth.device import room

pytestmark = pytest.mark.sampled(4)

LAG_S = 0.060


class Recorder:
    """A microphone whose samples come as the player's clock runs; it is heard ``LAG_S`` late."""

    sample_rate_hz, lost, name = room.RATE_HZ, False, "invented microphone"

    def __init__(self, player) -> None:
        self._player, self.sound, self.began_s = player, np.zeros(0, np.float32), player.now_s
        self.closed, self.trouble = 0, None

    def open(self) -> None:
        if self.trouble:
            raise self.trouble

    def close(self) -> None:
        self.closed += 1

    @property
    def frames(self) -> int:
        return min(round((self._player.now_s - self.began_s) * room.RATE_HZ), len(self.sound))

    def samples(self, first: int = 0):
        return self.sound[first : self.frames]

    def captured_s(self, frame: float) -> float:
        return self.began_s + frame / room.RATE_HZ + LAG_S


@pytest.fixture
def recorder(player) -> Recorder:
    return Recorder(player)


@pytest.fixture
def listening(practice, player, recorder, unheard):
    """A practice that claps answer, on a trial that is soon over."""
    practice.choose(Wish("one", 1, 174.0))
    player.description = "Invented output (Host), 48000 Hz, 81 ms"
    practice.equipment = Equipment(player)
    practice.equipment.inputs.append(MicTaps(practice.equipment, None, lambda *_: recorder))
    return practice


def play_on(listening, player, recorder, clap_s=(), hiss=0.001) -> None:
    """Let the trial sound to its end in a quiet room, with claps at these moments of it."""
    random = np.random.default_rng(3)
    sound = np.zeros(round((listening.attempt.trial_end_s() + 1) * room.RATE_HZ))
    for at_s in clap_s:
        room.place(sound, room.thump(random, 0.3), float(at_s) + player.start_s - recorder.began_s)
    recorder.sound = (sound + room.noise(len(sound), random, hiss)).astype(np.float32)
    end_s = player.start_s + listening.attempt.trial_end_s() + 0.02
    while listening.phase is Phase.SOUNDING and player.now_s < end_s:
        player.now_s += 0.1
        listening.tick()


def test_claps_are_marked_with_the_microphones_own_lag(listening, player, recorder):
    setup = Setup("Invented output", "Host", 81, 48_000, "mic", "invented microphone")
    made = Calibration(setup, Method.MICROPHONE, LAG_S * 1e3, 0.2, 0.3, 20, "2030-05-01T18:00:00Z")
    listening.equipment.keep(made)
    listening.start()
    targets_s = listening.trial.targets_s
    play_on(listening, player, recorder, targets_s + 0.012)
    assert listening.phase is Phase.MARKED
    assert listening.result.taps.hits == len(targets_s)
    np.testing.assert_allclose(listening.result.taps.errors_ms, 12.0, atol=1.0)
    assert listening.attempt.calibrated
    assert recorder.closed >= 1


@pytest.mark.sweep("False")
@pytest.mark.parametrize("claps", [True, False])
def test_a_microphone_that_missed_a_part_makes_the_trial_void(listening, player, recorder, claps):
    """Whoever clapped may have clapped in vain: the trial is kept as void with its reason, and told in a line."""
    listening.start()
    recorder.lost = True
    play_on(listening, player, recorder, listening.trial.targets_s if claps else ())
    assert listening.phase is Phase.VOID
    assert said(listening).startswith("The microphone missed a part of it.")
    assert listening.learner.logbook.trials(1)[0].void == "missed"
    recorder.lost = False
    recorder.began_s = player.now_s
    listening.start()
    play_on(listening, player, recorder, listening.trial.targets_s)
    assert listening.phase is Phase.MARKED


def test_without_a_clap_a_muted_microphone_is_named_and_a_quiet_room_is_not(listening, player, recorder):
    (claps,) = listening.equipment.inputs
    listening.start()
    play_on(listening, player, recorder)
    assert (listening.phase, claps.check()) == (Phase.VOID, None)
    recorder.began_s = player.now_s
    listening.start()
    play_on(listening, player, recorder, hiss=0.0)
    assert listening.phase is Phase.VOID
    assert "The microphone hears nothing." in said(listening)


def test_a_trial_tapped_with_keys_needs_no_microphone(listening, player, recorder):
    listening.start()
    recorder.lost = True
    for at_s in listening.trial.targets_s:
        listening.attempt.tap(Tap(player.start_s + float(at_s), "key", stamped=True))
    play_on(listening, player, recorder)
    assert listening.phase is Phase.MARKED
    assert listening.result.taps.hits == len(listening.trial.targets_s)


def test_without_a_microphone_practice_goes_on_with_the_keys(listening, recorder):
    recorder.trouble = Trouble("No microphone was found.")
    listening.start()
    listening.tick()
    assert listening.phase is Phase.SOUNDING
    assert "No microphone" in said(listening)


def test_the_microphone_is_let_go_when_a_trial_is_broken_off(listening, recorder):
    listening.start()
    listening.stop()
    assert recorder.closed == 1
    assert listening.equipment.inputs[0].take() == []


@pytest.fixture
def open_microphone():
    """The moment of its clock, its stream's callback, and a microphone that is open on them."""

    class Stream:
        latency, name = 0.05, "invented"

        def start(self) -> None: ...
        def close(self) -> None: ...

    clock_s, calls = [100.0], []

    def open_stream(**wanted):
        calls.append(wanted["callback"])
        return Stream()

    microphone = Microphone(None, room.RATE_HZ, open_stream=open_stream, now=lambda: clock_s[0])
    microphone.open()
    return clock_s, calls[0], microphone


def test_what_the_host_says_of_its_own_delay_moves_no_clap(open_microphone):
    """Samples that arrive straight on, with a delay that the host reports to stray from 10 to 200 ms."""
    clock_s, deliver, microphone = open_microphone
    random, block = np.random.default_rng(8), np.zeros((480, 1), np.float32)
    told_s = []
    for number in range(1_500):
        clock_s[0] = 100.0 + 0.01 * number + random.exponential(0.0002)
        delay_s = 0.105 + 0.095 * np.sin(number / 200)
        deliver(block, 480, SimpleNamespace(currentTime=7.0, inputBufferAdcTime=7.0 - delay_s), None)
        if number > 150 and number % 50 == 0:
            told_s.append(microphone.captured_s(0))
    microphone.close()
    np.testing.assert_allclose(told_s, 100.0 - 0.05, atol=0.0005)


@pytest.mark.sweep(1)
@pytest.mark.parametrize(
    ("fate", "lost"),
    [
        ("whole", False),
        ("a busy computer", False),
        ("samples lost", True),
        ("overflow", True),
        ("nothing more", True),
    ],
)
def test_what_a_microphone_lost_is_noticed(open_microphone, fate, lost):
    """50 ms that never came are known by all that follows being late for good, also where the host says nothing."""
    clock_s, deliver, microphone = open_microphone
    random, block, late_s = np.random.default_rng(9), np.zeros((480, 2), np.float32), 0.0
    found = []
    for number in range(1_000):
        late_s += 0.05 * (fate == "samples lost" and number == 500)
        once_s = 0.2 * (fate == "a busy computer" and number % 100 == 50)
        clock_s[0] = 100.0 + 0.01 * number + late_s + once_s + random.exponential(0.0002)
        overflow = fate == "overflow" and number == 500
        if not (fate == "nothing more" and number > 500):
            when = SimpleNamespace(currentTime=7.0, inputBufferAdcTime=6.9)
            deliver(block, 480, when, SimpleNamespace(input_overflow=overflow))
        if number % 10 == 0:
            found.append(microphone.lost)
    assert found[-1] is lost
    assert not any(found[:50])
    microphone.close()
    assert microphone.lost is lost
