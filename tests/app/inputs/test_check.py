"""The self-check: true lines with and without sound, its verdicts, its JSON."""

import json
import re
from dataclasses import replace
from types import SimpleNamespace

import pytest

from app.cli.commands import main
from app.inputs import check
from app.inputs.check import as_data, calibration, lateness_ms, measure, verdict
from app.inputs.equipment import Equipment
from app.inputs.midi_taps import NO_SEQUENCER
from app.ui.base.words import spoken
from exercises.calibration.lag import Calibration, Method, Setup
from synth.base.errors import Trouble
from synth.device.faults import Fault, FaultKind
from synth.device.stream_clock import Line
from tests.app.silent import SilentPlayer

pytestmark = pytest.mark.sampled(3)

DESCRIPTION = "Invented output (Host), 48000 Hz, 81 ms"


class Clock:
    """A stream's clock that has settled."""

    residual_ms, latency_s, drift_ppm, notes, estimated = 0.2, 0.081, 12.0, SimpleNamespace(count=800), False

    def line(self) -> Line:
        return Line(0, 100.0, 1 / 48_000, 0.09, self.residual_ms, self.estimated)


class Player(SilentPlayer):
    """The silent player, with as much of a stream as the check looks at."""

    block_frames, latency_s = 512, 0.08

    def __init__(self) -> None:
        super().__init__(description=DESCRIPTION, clock=Clock())

    def poll(self) -> None:
        self.playing = self.playing and self.now_s < self.start_s + 5


@pytest.fixture
def player() -> Player:
    return Player()


def look(player, microphones=lambda: [(0, "invented microphone")], midi=((), "")):
    """All findings; waiting moves the player's clock."""

    def wait(seconds: float) -> None:
        player.now_s += seconds

    return measure(Equipment(player), "1.2.3", microphones, (list(midi[0]), midi[1]), wait, lambda: player.now_s)


def calibrated(lag_ms: float, method: Method = Method.MICROPHONE) -> Calibration:
    setup = Setup("Invented output", "Host", 81, 48_000, "key")
    return Calibration(setup, method, lag_ms, 0.2, 0.4, 20, "2030-05-01T18:00:00Z")


def test_with_sound_a_dozen_lines_tell_what_was_reported_and_measured(player):
    found = look(player, midi=(["Pad"], ""))
    lines = [str(each.say) for each in found]
    assert 11 <= len(lines) <= 15
    text = "\n".join(lines)
    for part in (
        "Invented output (Host)",
        "81 ms",
        "0.20 ms",
        "+12 ppm",
        "invented microphone",
        "Pad",
        "2.31",
    ):
        assert part in text
    assert lines[-2] == "Verdict: Not calibrated. Good to 5 ms from one tap to the next."
    assert lines[-1].startswith("What now: It can be measured how steady you are.")


def test_without_sound_it_says_so_and_tells_the_rest(player):
    player.trouble = Trouble("No sound output was found. Connect an output, or choose another.")

    def none():
        raise Trouble("The PortAudio library is missing.")

    found = look(player, none, ((), NO_SEQUENCER()))
    text = "\n".join(str(each.say) for each in found)
    assert "Sound output: none. No sound output was found" in text
    assert "this system has no MIDI sequencer" in text
    assert "Microphones: none" in text
    assert as_data(found)["verdict"] == "no sound"


def test_a_sound_that_breaks_off_is_no_good_verdict(player):
    player.faults = ()
    play = player.play

    def broken(samples, **how):
        play(samples, **how)
        player.faults = (Fault(FaultKind.UNDERFLOW),)

    player.play = broken
    found = look(player)
    told, then = found[-2:]
    # Of a clock that broke off nothing is told, nor how good a tap is.
    assert not {"clock_line_sd_ms", "drift_ppm", "tap_uncertainty_ms"} & set(as_data(found))
    assert "8.5 s: 800 blocks" in "\n".join(str(each.say) for each in found)  # 800 blocks of 512 frames at 48 kHz
    assert str(told.say) == "Verdict: The sound broke off while it was measured (the sound ran dry)."
    assert told.value == "faulty"
    assert "Close other programs" in str(then.say)


@pytest.mark.parametrize(
    ("made", "estimated", "description", "expected", "words"),
    [
        (None, False, DESCRIPTION, "not calibrated", "Good to 5 ms"),
        (None, True, DESCRIPTION, "estimated clock", "Estimated clock"),
        (None, False, "Invented bluetooth set (Host), 48000 Hz, 81 ms", "bluetooth suspected", "Bluetooth suspected"),
        (calibrated(12.0), False, DESCRIPTION, "good", "Good to 2 ms on this computer."),
        (calibrated(-30.0, Method.TAPPING), False, DESCRIPTION, "good", "Zero is your own relaxed tap."),
        (calibrated(180.0), False, DESCRIPTION, "bluetooth suspected", "Bluetooth suspected: 180 ms"),
    ],
)
def test_the_verdict_is_plain_and_true(player, made, estimated, description, expected, words):
    player.description, player.clock.estimated = description, estimated
    equipment = Equipment(player, kept=[made] if made else [])
    found = verdict(equipment)
    assert found.grade == expected
    assert words in str(found.says)


@pytest.mark.parametrize(
    ("lag_ms", "error_ms", "says"), [(-35.2, 0.4, "−35.2 ± 0.8 ms"), (-0.02, 0.0, "0.0 ± 0.1 ms")]
)
def test_a_calibration_is_never_surer_than_its_last_digit_and_has_a_true_minus(lag_ms, error_ms, says):
    made = replace(calibrated(lag_ms, Method.TAPPING), error_ms=error_ms)
    assert says in spoken(calibration(made).say).replace("\N{NO-BREAK SPACE}", " ")


def test_how_late_a_thread_wakes_is_measured():
    times = iter([n * 0.007 for n in range(1000)])
    median, worst = lateness_ms(lambda _: None, lambda: next(times))
    assert (median, worst) == (pytest.approx(2.0), pytest.approx(2.0))


def test_the_command_tells_as_much_as_it_can_and_exits_well(capsys, monkeypatch):
    """No sound here: the status is still 0, since it could tell; a word it does not know is 2."""
    monkeypatch.setattr(check, "Player", lambda *_, **__: _soundless())
    assert main(["check"]) == 0
    assert "Verdict: No sound" in capsys.readouterr().out
    assert main(["check", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["verdict"] == "no sound"
    assert data["output"] is None
    assert all(re.search(r"_(ms|ppm|hz|s)$", key) for key, value in data.items() if isinstance(value, float))
    assert main(["check", "--loud"]) == 2


def _soundless() -> Player:
    made = Player()
    made.trouble = Trouble("No sound output was found. Connect an output, or choose another.")
    return made
