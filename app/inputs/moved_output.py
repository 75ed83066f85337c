"""Notices that a calibration no longer fits, or that the system moved the sound, and takes up the one for there."""

from dataclasses import dataclass, field

from app.inputs.equipment import Equipment
from app.inputs.output_place import OutputPlace
from app.logfile import log
from exercises.calibration.lag import Setup
from synth.base.words import Say, Template

TAKEN_UP = Template("moved.taken_up", "The sound plays on {output} now; its calibration is in use.")
ASKED_FOR = Template(
    "moved.asked_for",
    "The sound plays on {output} now, which is not calibrated. Calibrate under Sound and taps, so that you see early "
    "and late.",
)
CHANGED = Template(
    "window.changed",
    "The sound output has changed since it was calibrated, so early and late are not shown. "
    "Calibrate again under Sound and taps.",
)
# What was said of an output says no more once the sound has moved on.
OF_OUTPUT = (CHANGED, TAKEN_UP, ASKED_FOR)


@dataclass(slots=True, eq=False)
class MovedOutput:
    """Compares where the sound goes with where it went; call ``look`` a few times a second."""

    equipment: Equipment
    watched: OutputPlace = field(default_factory=OutputPlace)
    _chosen: tuple[object, ...] = ()
    _setup: Setup | None = None

    def look(self) -> Say | None:
        """What to say of another output, if the sound has moved since the last call, or since it was calibrated.

        A trial or a measurement that sounds then has a fault. An output that was chosen here is no surprise.
        """
        equipment, player = self.equipment, self.equipment.player
        before, place = equipment.place, self.watched.place
        chosen = (player.device, player.sample_rate_hz, player.latency_s)
        if place is not None:
            equipment.place = place.id
        setup = equipment.setup("key")
        if setup is None:
            return None
        was, self._setup = self._setup, setup
        same, self._chosen = chosen == self._chosen, chosen
        if place is not None and not before:  # told for the first time
            equipment.settle()
            return self._say(place.name) if equipment.outdated("key") else None
        if was is None:
            return CHANGED() if equipment.outdated("key") else None
        if not same or (was.device, was.host, was.place) == (setup.device, setup.host, setup.place):
            return None
        log.info("the sound moved from %s %s to %s %s", was.device, was.place, setup.device, setup.place)
        player.moved()
        equipment.put_on()
        return self._say(setup.device if place is None else place.name)

    def _say(self, output: str) -> Say:
        found = self.equipment.fitting("key")
        return ASKED_FOR(output=output) if found is None else TAKEN_UP(output=output)
