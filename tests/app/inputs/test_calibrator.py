"""The calibrator without a device: by tapping, by a microphone in a simulated room, what may go wrong."""

from types import SimpleNamespace

import numpy as np
import pytest

from app.inputs.calibrator import TONE_S, Calibrator, Stage, quiet_tone
from app.inputs.equipment import Equipment
from app.inputs.recording import Microphone
from app.inputs.taps import Tap
from exercises.calibration.lag import Calibration, Method, Setup
from exercises.calibration.microphone import Heard
from exercises.calibration.tapping import TAPS, WAY_IN
from synth.base.errors import Trouble
from synth.device.faults import Fault, FaultKind
from synth.device.onsets import click
from synth.device.playback import Player
from tests.synth.device import room
from tests.synth.device.fake_stream import FakeSound

pytestmark = pytest.mark.sampled(3)

RATE_HZ = room.RATE_HZ
CAPTURE_LAG_S = 0.020
SETUP = Setup("Invented output", "Host", 81, 48_000, "key")
FIFTY = Calibration(SETUP, Method.TAPPING, 50.0, 1.0, 8.0, 0, "2030-05-01T18:00:00Z")


class Recorder:
    """A microphone in a simulated room; ``thumps_s`` are moments of the clock at which a key lands."""

    sample_rate_hz = RATE_HZ
    name = "invented microphone"
    lost = False

    def __init__(self, player) -> None:
        self._player, self.frames, self.open_now = player, 0, False
        self.began_s, self.out_lag_s = player.now_s, 0.0
        self.thumps_s, self.starts_s = np.empty(0), np.empty(0)
        self.trouble: Trouble | None = None

    def open(self) -> None:
        if self.trouble is not None:
            raise self.trouble
        self.open_now, self.frames = True, RATE_HZ

    def close(self) -> None:
        self.open_now = False

    def samples(self, first: int = 0):
        clicks_s = self._player.start_s + self.out_lag_s + self.starts_s - self.began_s
        end_s = self._player.now_s - self.began_s
        return room.recording(click(RATE_HZ), clicks_s, self.thumps_s - self.began_s, 3, seconds=end_s)

    def captured_s(self, frame: float) -> float:
        return self.began_s + frame / RATE_HZ + CAPTURE_LAG_S


@pytest.fixture
def recorder(player) -> Recorder:
    return Recorder(player)


@pytest.fixture
def calibrator(player, recorder) -> Calibrator:
    player.description = "Invented output (Host), 48000 Hz, 81 ms"
    return Calibrator(
        Equipment(player),
        lambda *_: recorder,
        random=lambda: np.random.default_rng(5),
        now=lambda: player.now_s,
    )


def end(calibrator, player) -> None:
    """The last click has been heard."""
    player.now_s = player.start_s + float(calibrator.starts_s[-1]) + 1.3
    player.playing = False
    calibrator.tick()


def tap_along(calibrator, player, off_s, source: str = "key") -> None:
    for at_s, off in zip(calibrator.starts_s, off_s, strict=False):
        calibrator.tap(Tap(player.start_s + float(at_s + off), source, True))


@pytest.mark.parametrize("lag_ms", [-45.0, 20.0, 260.0])
def test_calibration_by_tapping_finds_lag_and_habit_together(calibrator, player, lag_ms):
    """Zero is the learner's own relaxed tap; wild taps are shown and move nothing."""
    calibrator.start_tapping()
    off_s = np.random.default_rng(1).normal(lag_ms, 12, 40) * 1e-3
    off_s[10] += 0.25
    tap_along(calibrator, player, off_s)
    end(calibrator, player)
    (made,) = calibrator.made
    assert made.method is Method.TAPPING
    assert made.lag_ms == pytest.approx(lag_ms, abs=3 * made.error_ms)
    assert made.error_ms < 4
    assert len(calibrator.errors_ms) >= TAPS
    assert calibrator.middle.outliers.sum() >= 1
    assert calibrator.equipment.fitting("key") == made
    assert calibrator.stage is Stage.IDLE


def test_the_lag_of_the_practice_is_given_back(calibrator, player):
    """While it is measured nothing is subtracted; what held before holds again when it was broken off."""
    calibrator.equipment.keep(FIFTY)
    calibrator.start_tapping()
    assert player.lag_s == 0
    calibrator.stop()
    assert player.lag_s == 0.05
    assert calibrator.outcome is None
    assert calibrator.made == []


def test_what_was_measured_holds_at_once(calibrator, player):
    calibrator.start_tapping()
    tap_along(calibrator, player, np.random.default_rng(1).normal(0.04, 0.01, 40))
    end(calibrator, player)
    assert player.lag_s == calibrator.equipment.lag_s("key") == pytest.approx(0.04, abs=0.01)


def test_a_refusal_leaves_the_lag_as_it_was(calibrator, player, recorder):
    """A microphone, or an output that has gone by the time the clicks begin."""
    calibrator.equipment.keep(FIFTY)
    calibrator.equipment.put_on()
    recorder.trouble = Trouble("No microphone was found.")
    with pytest.raises(Trouble):
        calibrator.start_microphone()
    assert player.lag_s == 0.05
    player.trouble = Trouble("No sound output was found.")
    with pytest.raises(Trouble):
        calibrator.start_tapping()
    assert player.lag_s == 0.05


def test_few_taps_and_wandering_taps_are_refused(calibrator, player):
    calibrator.start_tapping()
    tap_along(calibrator, player, np.zeros(6))
    end(calibrator, player)
    assert "Too few taps" in str(calibrator.outcome)
    calibrator.start_tapping()
    tap_along(calibrator, player, np.random.default_rng(2).uniform(-0.15, 0.15, 20))
    end(calibrator, player)
    assert "wander" in str(calibrator.outcome)
    assert calibrator.made == []


def test_taps_from_two_inputs_are_no_measurement(calibrator, player):
    calibrator.start_tapping()
    tap_along(calibrator, player, np.zeros(20), "key")
    tap_along(calibrator, player, np.zeros(10), "midi")
    end(calibrator, player)
    assert "several inputs" in str(calibrator.outcome)
    assert calibrator.made == []


def listen(calibrator, player, recorder, lag_s: float = 0.031, taps: int = 24) -> None:
    """A calibration by microphone; the output is heard 12 ms later than the program knows."""
    calibrator.start_microphone()
    assert calibrator.stage is Stage.OPENING
    listen_again(calibrator, player, recorder, lag_s, taps)


def listen_again(calibrator, player, recorder, lag_s: float = 0.031, taps: int = 24) -> None:
    """The same from the opened microphone on."""
    calibrator.tick()
    assert calibrator.stage is Stage.LISTENING
    recorder.out_lag_s, recorder.starts_s = 0.012, calibrator.starts_s
    recorder.thumps_s = player.start_s + 0.6 + np.cumsum(np.random.default_rng(6).uniform(0.45, 0.7, taps))
    for at_s in recorder.thumps_s:
        calibrator.tap(Tap(float(at_s) + lag_s - 0.012, "key", True))
    end(calibrator, player)


@pytest.mark.proof
def test_calibration_by_microphone_finds_the_equipments_lag_and_the_microphones_own(calibrator, player, recorder):
    """Keys: 31 ms in all. Microphone: out 12 ms late and captured 20 ms late. Within our goal of 2 ms, and closer."""
    listen(calibrator, player, recorder)
    assert calibrator.hearing.heard is Heard.GOOD
    lags = {made.setup.source: made.lag_ms for made in calibrator.made}
    assert lags["key"] == pytest.approx(31, abs=0.5)
    assert lags["mic"] == pytest.approx(32, abs=0.5)
    assert calibrator.equipment.fitting("mic").setup.input_name == "invented microphone"
    assert not recorder.open_now


@pytest.mark.proof
def test_what_the_microphone_missed_is_said_and_nothing_is_kept(calibrator, player, recorder):
    listen(calibrator, player, recorder, taps=3)
    assert calibrator.hearing.heard is Heard.FEW
    assert calibrator.made == []


def test_holes_in_the_recording_make_it_void(calibrator, player, recorder):
    recorder.lost = True
    listen(calibrator, player, recorder)
    assert "holes" in str(calibrator.outcome)
    assert calibrator.made == []


def some_taps(calibrator, player, first: int, taps: int, lag_s: float = 0.03) -> None:
    """One a click from this click on, and the last of them heard."""
    for at_s in calibrator.starts_s[first : first + taps]:
        calibrator.tap(Tap(player.start_s + float(at_s) + lag_s, "key", True))
    player.now_s = player.start_s + float(calibrator.starts_s[first + taps - 1]) + 0.1
    calibrator.tick()


def test_the_measurement_ends_with_the_last_tap_wanted(calibrator, player):
    calibrator.start_tapping()
    assert calibrator.wanted == TAPS
    some_taps(calibrator, player, 0, WAY_IN)
    assert calibrator.wanted == TAPS  # the first clicks show the way
    some_taps(calibrator, player, WAY_IN, TAPS - 1)
    assert (calibrator.wanted, calibrator.stage) == (1, Stage.TAPPING)
    some_taps(calibrator, player, WAY_IN + TAPS - 1, 1)
    assert calibrator.stage is Stage.IDLE
    (made,) = calibrator.made
    assert made.lag_ms == pytest.approx(30, abs=0.5)


def test_clicks_that_were_not_tapped_are_made_up_for(calibrator, player):
    """Two taps on a click are one; a tap left out can be tapped later."""
    calibrator.start_tapping()
    some_taps(calibrator, player, WAY_IN, 3)
    some_taps(calibrator, player, WAY_IN + 2, 1)
    assert calibrator.wanted == TAPS - 3
    some_taps(calibrator, player, WAY_IN + 6, TAPS - 3)
    assert calibrator.stage is Stage.IDLE
    assert len(calibrator.made) == 1


def test_after_a_stumble_the_measurement_goes_on_with_the_taps_from_before(calibrator, player, caplog):
    """Those of the last moments before it are left out, for the sound may have been late already."""
    calibrator.start_tapping()
    some_taps(calibrator, player, WAY_IN, 12)
    for at_s in calibrator.starts_s[WAY_IN + 12 : WAY_IN + 15]:  # heard 150 ms late by now
        calibrator.tap(Tap(player.start_s + float(at_s) + 0.18, "key", True))
    player.now_s = player.start_s + float(calibrator.starts_s[WAY_IN + 14]) + 0.2
    player.faults = (Fault(FaultKind.STALL, "312"),)
    plays = player.plays
    with caplog.at_level("INFO", logger="tallybar"):
        calibrator.tick()
    assert "312" in caplog.text
    assert (calibrator.stage, player.plays) == (Stage.TAPPING, plays + 1)
    assert str(calibrator.aside) == "The sound stumbled. Tap on with the clicks: the taps from before count."
    assert calibrator.wanted == TAPS - 12
    assert calibrator.tapped == 15
    some_taps(calibrator, player, WAY_IN, TAPS - 12)
    (made,) = calibrator.made
    assert made.lag_ms == pytest.approx(30, abs=0.5)
    assert len(calibrator.errors_ms) == TAPS
    assert calibrator.aside is None


class Sound(FakeSound):
    description = "Invented output (Host), 48000 Hz, 81 ms"


@pytest.mark.parametrize("first", ["the calibrator", "another screen"])
def test_taps_from_before_a_stumble_count_as_they_were_whoever_notices_it(first):
    """Screens in the background look at the stream too; with the look that finds a fault its clock begins anew."""
    sound = Sound()
    player = Player(open_stream=sound.open, now=sound.now, awake=sound.awake)
    calibrator = Calibrator(Equipment(player), now=sound.now)

    def look() -> None:
        if first != "the calibrator":
            player.poll()
        calibrator.tick()

    calibrator.start_tapping()
    random, stumbled = np.random.default_rng(1), False
    while calibrator.stage is Stage.TAPPING:
        begin, starts_s = player._start_frame, calibrator.starts_s
        for at_s in starts_s:
            tap_s = sound.heard_s(begin + at_s * RATE_HZ) + random.normal(0.03, 0.005)
            sound.run(tap_s - sound.now_s, SimpleNamespace(poll=look))
            if calibrator.starts_s is not starts_s or calibrator.stage is Stage.IDLE:
                break
            calibrator.tap(Tap(tap_s, "key", True))
            if calibrator.tapped == 20 and not stumbled:
                sound.stall(0.4)
                stumbled = True
    assert stumbled
    (made,) = calibrator.made
    assert made.lag_ms == pytest.approx(30, abs=3)
    np.testing.assert_allclose(calibrator.errors_ms, 30, atol=20)


def test_another_output_after_a_stumble_begins_again(calibrator, player):
    calibrator.start_tapping()
    some_taps(calibrator, player, WAY_IN, 12)
    play = player.play

    def moved(samples, **how):
        player.description = "Another output (Host), 48000 Hz, 60 ms"
        play(samples, **how)

    player.play = moved
    player.faults = (Fault(FaultKind.SILENCE),)
    calibrator.tick()
    assert calibrator.wanted == TAPS
    assert "begins again" in str(calibrator.aside)


@pytest.mark.proof
def test_with_the_microphone_a_stumble_begins_again(calibrator, player, recorder):
    calibrator.start_microphone()
    calibrator.tick()
    calibrator.tap(Tap(player.start_s + 1.0, "key", True))
    player.faults = (Fault(FaultKind.UNDERFLOW),)
    calibrator.tick()
    assert (calibrator.stage, calibrator.taps) == (Stage.OPENING, [])
    assert "begins again" in str(calibrator.aside)
    listen_again(calibrator, player, recorder)
    assert calibrator.hearing.heard is Heard.GOOD


def test_a_sound_that_stumbles_again_and_again_is_given_up(calibrator, player):
    calibrator.start_tapping()
    for _ in range(7):
        assert calibrator.stage is Stage.TAPPING
        player.faults = (Fault(FaultKind.SILENCE),)
        calibrator.tick()
    assert "stumbled while it was being measured" in str(calibrator.outcome)
    assert calibrator.stage is Stage.IDLE
    assert calibrator.made == []


def test_without_a_microphone_the_bench_stays_as_it_was(calibrator, recorder):
    recorder.trouble = Trouble("No microphone was found.")
    with pytest.raises(Trouble, match="No microphone"):
        calibrator.start_microphone()
    assert calibrator.stage is Stage.IDLE


def test_a_microphone_that_delivers_nothing_is_not_waited_for_in_vain(calibrator, player, recorder):
    calibrator.start_microphone()
    recorder.frames = 0
    player.now_s += 2.9
    calibrator.tick()
    assert calibrator.stage is Stage.OPENING
    player.now_s += 0.2
    calibrator.tick()
    assert calibrator.stage is Stage.IDLE
    assert str(calibrator.outcome).startswith("The microphone hears nothing.")
    assert not recorder.open_now


def test_the_tone_starts_below_hearing_and_grows_to_a_bound(calibrator, player):
    """-60 dB at the start, at most -12 dB at the end, before the volume; it ends without a click."""
    tone = quiet_tone(RATE_HZ)
    assert np.abs(tone[: RATE_HZ // 100]).max() < 0.0011
    assert 0.2 < np.abs(tone).max() <= 10 ** (-12 / 20)
    assert abs(tone[-1]) < 1e-3
    assert len(tone) == TONE_S * RATE_HZ
    calibrator.start_tone()
    calibrator.tap(Tap(1.0, "key", True))
    assert calibrator.taps == []
    player.playing = False
    calibrator.tick()
    assert calibrator.stage is Stage.IDLE


def test_the_recording_keeps_its_order_round_the_ring():
    """A ring of 90 s, fed with 100 s; the oldest is gone and nothing is out of place."""
    microphone = Microphone(sample_rate_hz=1_000, open_stream=lambda **_: FakeInput(), now=lambda: 0.0)
    microphone.open()
    for start in range(0, 100_000, 500):
        block = np.arange(start, start + 500, dtype=np.float32)[:, np.newaxis]
        microphone._callback(block, 500, When(), None)
    kept = microphone.samples()
    assert kept[-1] == 99_999
    assert np.all(np.diff(kept) == 1)
    assert microphone.samples(99_000)[0] == 99_000
    microphone.close()
    assert microphone.name == ""


class FakeInput:
    latency, name = 0.05, "invented"

    def start(self) -> None: ...
    def close(self) -> None: ...


class When:
    currentTime, inputBufferAdcTime = 1.0, 0.95
