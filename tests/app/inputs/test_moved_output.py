"""The system moves the sound to another output: what becomes of trial, measurement and calibrations."""

import json

import pytest

from app.inputs.calibrator import Calibrator, Stage
from app.inputs.equipment import Equipment
from app.inputs.moved_output import MovedOutput
from app.inputs.output_place import Place, place_of
from app.practice.trial.attempt import Phase
from app.practice.trial.next_trial import Wish
from exercises.calibration.lag import Calibration, Method, Setup
from tests.app.silent import said
from tests.app.windows import open_window

SPEAKERS, HEADPHONES = (
    Place("card:speakers", "Invented card, speakers"),
    Place("card:phones", "Invented card, phones"),
)
SETUP = Setup("default", "ALSA", 80, 48_000, "key")
EARLIER = Calibration(SETUP, Method.TAPPING, 50.0, 1.0, 8.0, 30, "2030-05-01T18:00:00Z")


class Watched:
    """Tells the place that a test sets."""

    place: Place | None = None

    def begin(self) -> None: ...
    def end(self) -> None: ...


@pytest.fixture
def moved(practice, player) -> MovedOutput:
    player.description = "default (ALSA), 48000 Hz, 80 ms"
    return MovedOutput(practice.equipment, Watched())


def put_on(moved, place: Place | None):
    moved.watched.place = place
    return moved.look()


def test_a_trial_that_sounds_is_void_and_the_calibration_asked_for(moved, practice, player, logbook):
    put_on(moved, SPEAKERS)
    practice.choose(Wish("beat", 1))
    practice.start()
    player.now_s = player.start_s + 3
    told = put_on(moved, HEADPHONES)
    practice.tick()
    assert practice.phase is Phase.VOID
    assert "moved to another output" in said(practice)
    assert logbook.trials(1)[0].void == "rerouted"
    assert str(told).startswith("The sound plays on Invented card, phones now, which is not calibrated.")


def test_the_calibration_of_an_output_is_taken_up_when_the_sound_comes_there(moved, practice, player):
    equipment = practice.equipment
    equipment.keep(EARLIER)
    assert put_on(moved, SPEAKERS) is None  # made before places were known: for where the sound is
    assert "not calibrated" in str(put_on(moved, HEADPHONES))
    assert (equipment.fitting("key"), player.lag_s) == (None, 0.0)
    assert not equipment.calibrated([])
    assert (
        str(put_on(moved, SPEAKERS)) == "The sound plays on Invented card, speakers now; its calibration is in use."
    )
    assert player.lag_s == 0.05
    assert put_on(moved, SPEAKERS) is None


def test_a_start_asks_for_no_calibration_that_still_fits_and_not_before_the_output_is_open(moved, practice, player):
    practice.equipment.keep(EARLIER)
    opened, player.description = player.description, ""
    assert moved.look() is None
    player.description = opened
    assert moved.look() is None
    assert moved.look() is None


def test_a_start_says_once_that_the_output_is_not_the_one_calibrated(moved, practice, player):
    practice.equipment.keep(EARLIER)
    player.description = "default (ALSA), 48000 Hz, 300 ms"
    assert str(moved.look()).startswith("The sound output has changed since it was calibrated")
    assert moved.look() is None


def test_each_output_keeps_its_own_calibration(moved, practice):
    equipment = practice.equipment
    for place, lag_ms in ((SPEAKERS, 20.0), (HEADPHONES, 180.0)):
        put_on(moved, place)
        equipment.keep(Calibration(equipment.setup("key"), Method.TAPPING, lag_ms, 1.0, 8.0, 30, ""))
    lags = []
    for place in (SPEAKERS, HEADPHONES):
        put_on(moved, place)
        lags.append(equipment.lag_s("key"))
    assert lags == [0.02, 0.18]


def test_headphones_put_on_while_the_program_was_closed_are_told_at_the_start(player, tmp_path):
    path = tmp_path / "calibrations.json"
    player.description = "default (ALSA), 48000 Hz, 80 ms"
    for place, told in ((SPEAKERS, False), (HEADPHONES, True)):
        equipment = Equipment(player, path)
        equipment.read()
        if not told:
            equipment.keep(EARLIER)
        moved = MovedOutput(equipment, Watched())
        assert (put_on(moved, place) is not None) == told
    (kept,) = json.loads(path.read_text())["calibrations"]
    assert kept["setup"]["place"] == SPEAKERS.id


def test_where_no_server_tells_another_device_is_what_can_be_seen(moved, player):
    """After the output was gone the host gives another one; one that was chosen here is no surprise."""
    assert moved.look() is None
    player.description = "Invented headphones (Host), 48000 Hz, 80 ms"
    assert "Invented headphones" in str(moved.look())
    player.description, player.device = "Invented amplifier (Host), 48000 Hz, 80 ms", "Invented amplifier"
    assert moved.look() is None


def test_a_measurement_begins_again_on_the_other_output(moved, practice, player):
    put_on(moved, SPEAKERS)
    calibrator = Calibrator(practice.equipment, now=lambda: player.now_s)
    calibrator.start_tapping()
    put_on(moved, HEADPHONES)
    calibrator.tick()
    assert calibrator.stage is Stage.TAPPING
    assert "begins again" in str(calibrator.aside)


def test_the_window_says_the_last_move_alone(qtbot, practice, player):
    player.description = "default (ALSA), 48000 Hz, 80 ms"
    window = open_window(qtbot, practice)
    moved = window.session.moved
    moved.watched = Watched()
    for place in (SPEAKERS, HEADPHONES, SPEAKERS):
        moved.watched.place = place
        window._look_for_output()
    assert window.contents.practise.notice.text().count("The sound plays on") == 1


class Server:
    """A sound server with two streams and two outputs, of which the second has a socket."""

    class Each:
        def __init__(self, **facts) -> None:
            self.__dict__.update(facts)

    def sink_input_list(self):
        facts = {"application.process.id": "7"}
        return [self.Each(proplist={}, sink=0), self.Each(proplist=facts, sink=4)]

    def sink_list(self):
        port = self.Each(name="phones", description="Headphones")
        return [
            self.Each(index=0, name="a", description="A", port_active=None),
            self.Each(index=4, name="b", description="B", port_active=port),
        ]


def test_the_place_is_that_of_the_programs_own_stream():
    assert place_of(Server(), "7") == Place("b:phones", "B, Headphones")
    assert place_of(Server(), "8") is None
