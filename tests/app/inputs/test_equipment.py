"""Calibrations kept, fitted, outdated; lags applied to each kind of tap; what uncertainty they leave."""

import json

import numpy as np
import pytest

from app.inputs.equipment import FILE_NAME, Equipment, fits, setup_of
from app.inputs.taps import Tap
from app.practice.trial.attempt import Phase
from app.ui.result.legend import SheetLegend
from exercises.calibration.lag import Calibration, Method, Setup
from synth.base.folders import HOME_VARIABLE
from synth.device.playback import Player
from tests.synth.device.fake_stream import FakeSound

pytestmark = pytest.mark.sampled(3)

WHEN = "2030-05-01T18:00:00Z"
DESCRIPTION = "Invented (USB) output (Host), 48000 Hz, 81 ms"


@pytest.fixture
def equipment(player, tmp_path) -> Equipment:
    player.description = DESCRIPTION
    return Equipment(player, tmp_path / "data" / FILE_NAME)


def made(source: str = "key", lag_ms: float = 40.0, method: Method = Method.MICROPHONE, **how) -> Calibration:
    setup = Setup("Invented (USB) output", "Host", 81, 48_000, source)
    return Calibration(setup, method, lag_ms, how.get("error_ms", 0.3), how.get("spread_ms", 0.5), 20, WHEN)


def test_a_description_tells_the_setup():
    assert setup_of(DESCRIPTION, "key") == Setup("Invented (USB) output", "Host", 81, 48_000, "key")
    assert setup_of("", "key") is None


def test_calibrations_last(equipment, player):
    """Written, and read again by the next start; one for the same setup takes the old one's place."""
    equipment.keep(made(lag_ms=40))
    equipment.keep(made("mouse", 30))
    equipment.keep(made(lag_ms=42))
    later = Equipment(player, equipment.path)
    later.read()
    assert [(each.setup.source, each.lag_ms) for each in later.kept] == [("mouse", 30), ("key", 42)]
    assert json.loads(equipment.path.read_text())["version"] == 1


@pytest.mark.parametrize(
    "other",
    [
        "Another output (Host), 48000 Hz, 81 ms",
        "Invented (USB) output (Host), 44100 Hz, 81 ms",
        "Invented (USB) output (Host), 48000 Hz, 130 ms",
        "Invented (USB) output (Other host), 48000 Hz, 81 ms",
    ],
)
def test_a_change_of_output_host_rate_or_latency_asks_for_a_new_calibration(equipment, player, other):
    equipment.keep(made())
    assert equipment.fitting("key") is not None
    assert not equipment.outdated("key")
    player.description = other
    assert equipment.fitting("key") is None
    assert equipment.outdated("key")
    assert not equipment.outdated("midi")
    player.description = ""  # none is open
    assert not equipment.outdated("key")


def test_a_latency_that_is_reported_a_little_differently_is_the_same():
    one, two = setup_of(DESCRIPTION, "key"), setup_of(DESCRIPTION.replace("81", "83"), "key")
    assert fits(one, two)


@pytest.mark.parametrize("text", ["{", "[]", '{"version": 1, "calibrations": [{"lag_ms": 3}]}', "\x00"])
def test_a_broken_file_is_set_aside_and_said(equipment, text):
    equipment.path.parent.mkdir()
    equipment.path.write_text(text)
    equipment.read()
    assert equipment.kept == []
    assert "calibrate again" in str(equipment.notice)
    assert equipment.path.with_suffix(".broken.json").read_text() == text


def test_a_file_of_a_newer_version_is_left_alone(equipment):
    equipment.path.parent.mkdir()
    equipment.path.write_text('{"version": 9, "calibrations": []}')
    path = equipment.path
    equipment.read()
    equipment.keep(made())
    assert "newer version" in str(equipment.notice)
    assert json.loads(path.read_text())["version"] == 9


def through(practice, player, lags_ms: dict[str, float]) -> None:
    """Taps on every target, late by the lag of their source."""
    practice.start()
    sources = list(lags_ms)
    for number, at_s in enumerate(practice.trial.targets_s):
        source = sources[number % len(sources)]
        practice.attempt.tap(Tap(player.start_s + float(at_s) + lags_ms[source] * 1e-3, source, True))
    player.now_s = player.start_s + practice.attempt.trial_end_s() + 0.5
    practice.tick()


def test_each_kind_of_tap_is_freed_of_its_own_lag(practice, player, equipment, logbook):
    practice.equipment = equipment
    for source, lag_ms in (("key", 40.0), ("midi", 12.0)):
        equipment.keep(made(source, lag_ms))
    through(practice, player, {"key": 40.0, "midi": 12.0})
    assert practice.phase is Phase.MARKED
    np.testing.assert_allclose(practice.result.taps.errors_ms, 0, atol=1e-6)
    assert practice.attempt.calibrated
    (saved,) = logbook.trials(1)
    assert saved.calibration["lag_ms"] in (40.0, 12.0)
    assert saved.calibration["method"] == "microphone"


def test_one_kind_of_tap_without_calibration_leaves_the_trial_uncalibrated(practice, player, equipment, logbook):
    practice.equipment = equipment
    equipment.keep(made("key", 40.0))
    through(practice, player, {"key": 40.0, "mouse": 0.0})
    assert not practice.attempt.calibrated
    assert logbook.trials(1)[0].calibration is None


def test_where_the_mouse_alone_is_not_calibrated_the_legend_names_it(qapp, practice, player, equipment):
    practice.equipment = equipment
    legend, taps = SheetLegend(), {"mouse": 0.0}
    through(practice, player, taps)
    assert "Not calibrated" in legend.words(practice.attempt.marked)
    equipment.keep(made("key", 40.0))
    through(practice, player, taps)
    assert "The mouse is not calibrated" in legend.words(practice.attempt.marked)


def test_a_calibration_made_afterwards_makes_no_result_a_calibrated_one(practice, player, equipment):
    """Its errors hold the lag that was not known when it was marked."""
    practice.equipment = equipment
    through(practice, player, {"key": 40.0})
    equipment.keep(made("key", 40.0))
    assert not practice.attempt.calibrated
    assert equipment.calibrated(practice.attempt.taps)


def test_the_lag_is_put_on_whenever_an_output_is_opened(monkeypatch, tmp_path):
    """Before any trial, and another output's in its turn."""
    monkeypatch.setenv(HOME_VARIABLE, str(tmp_path))
    sound = FakeSound()
    sound.description = DESCRIPTION
    player = Player(open_stream=sound.open, now=sound.now, awake=sound.awake)
    equipment = Equipment.of_this_computer(player)
    equipment.keep(made("key", 40.0))
    player.open()
    assert player.lag_s == pytest.approx(0.040)
    player.close()
    sound.description = "Another output (Host), 48000 Hz, 81 ms"
    player.open()
    assert player.lag_s == 0.0


def test_uncertainty_is_twice_the_root_of_squares_of_its_parts(equipment):
    """Stamp 0.289, polling 2.31 until the microphone has measured the taps, line, wander 0.6, calibration."""
    taps = [Tap(1.0, "key", True)]
    polled = equipment.uncertainty_ms(taps)
    assert polled == pytest.approx(2 * np.linalg.norm([0.2887, 2.3094, 0.2, 0.6]), rel=1e-3)
    equipment.keep(made(method=Method.TAPPING, error_ms=3.0))
    assert equipment.uncertainty_ms(taps) == pytest.approx(
        2 * np.linalg.norm([0.2887, 2.3094, 0.2, 0.6, 3]), rel=1e-3
    )
    equipment.keep(made(error_ms=0.3, spread_ms=0.5))
    assert equipment.uncertainty_ms(taps) == pytest.approx(2 * np.linalg.norm([0.5, 0.2, 0.6, 0.3]), rel=1e-3)
    assert equipment.uncertainty_ms([Tap(1.0, "midi", True)]) < 1.5
