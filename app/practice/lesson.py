"""The lesson on the first words: which part it is at, and the taps along with it. Nothing is marked or kept."""

from dataclasses import dataclass, field

from app.inputs.equipment import Equipment
from app.inputs.taps import Tap
from app.practice.trial.void_messages import ended
from exercises.trial.side_task import Key
from synth.base.arrays import Samples
from synth.device.faults import Fault

# Ids of the help's pages, in their order.
PARTS = ("beat", "bar", "one", "phrase")


@dataclass(slots=True, eq=False)
class Lesson:
    """Goes through ``PARTS``; takes taps while a part sounds.

    ``taps_s`` are the taps of the present sound in seconds from its start as heard, in order of arrival; ``faults``
    is what broke it.
    """

    equipment: Equipment
    at: int = 0
    sounding: bool = False
    taps_s: list[float] = field(default_factory=list)
    faults: tuple[Fault, ...] = ()

    @property
    def part(self) -> str:
        """Id of the present part's page."""
        return PARTS[self.at]

    @property
    def last(self) -> bool:
        """Whether no part follows."""
        return self.at == len(PARTS) - 1

    def play(self, samples: Samples) -> None:
        """Start the sound of the part; ``Trouble`` without a sound output."""
        player = self.equipment.player
        player.open()
        self.equipment.put_on()
        player.play(samples)
        self.equipment.listen(samples)
        self.taps_s, self.sounding, self.faults = [], True, ()

    def tick(self) -> None:
        """Take the taps from MIDI and microphone, and notice the end of the sound."""
        player = self.equipment.player
        player.poll()
        for tap in self.equipment.taken() if self.sounding else ():
            self.tap(tap)
        # Nothing is marked here, so a stumble is no reason to stop.
        if self.sounding and (ended(player.faults) or not player.playing):
            self.faults = player.faults if ended(player.faults) else ()
            self.stop()

    def stop(self) -> None:
        """End the sound; the strokes stay."""
        if self.sounding:
            self.equipment.player.stop()
            self.equipment.rest()
            self.sounding = False

    def position_s(self) -> float:
        """Seconds of the sound heard so far; negative before its first frame."""
        return self.equipment.player.position_s()

    # -- as a taker of taps ---------------------------------------------------------------------------------------

    @property
    def by_taps(self) -> bool:
        """Taps are wanted."""
        return True

    @property
    def side(self) -> None:
        """There is no side task."""
        return

    def tap(self, tap: Tap) -> None:
        """Add a tap while a part sounds."""
        if self.sounding:
            self.taps_s.append(self.equipment.trial_s(tap))

    def side_answer(self, at_s: float, key: Key) -> None:
        """There is no side task to answer."""
        return
