"""Messages for a trial whose sound was broken. The technical reason goes to the logbook and the log."""

from collections.abc import Iterable
from dataclasses import dataclass

from app.logfile import log
from synth.base.words import Say, Template, listed
from synth.device.faults import Fault, FaultKind

STUMBLED = Template(
    "void.stumbled", "The sound stumbled: the computer was busy. That was not you, and this trial does not count."
)
STOPPED = Template(
    "void.stopped",
    "The sound stopped: the output no longer answered. That was not you, and this trial does not count.",
)
SLEPT = Template(
    "void.slept", "The computer slept, or its clock was set. That was not you, and this trial does not count."
)
MOVED = Template(
    "void.moved",
    "The sound moved to another output, or its delay changed. That was not you, and this trial does not count.",
)
MISSED = Template(
    "void.missed", "The microphone missed a part of it. That was not you, and this trial does not count."
)
AGAIN = Template(
    "void.again",
    "The sound stumbled again, so this trial does not count. Close other programs, or choose a "
    "longer latency under Sound and taps and calibrate again.",
)
UNTAPPED = Template(
    "void.untapped",
    "No tap came in, so this trial does not count. Tap with the space bar, a click on the sheet or a finger.",
)
WITHDRAWN = Template(
    "void.withdrawn", "This trial does not count, as you said. It stays in the logbook with that reason."
)
GOES_ON = Template("void.goes_on", "The sound stumbled for a moment; it goes on.")
BEGAN_AGAIN = Template("void.began_again", "The sound broke off for a moment and began again.")
BROKE = Template("board.stopped", "The sound stopped: {why}. Start it again when you like.")
BROKE_OFF = Template("void.broke_off", "The sound stopped. Start it again when you like.")
LEFT = Template("void.left", "You left the trial, so it was not kept.")
CLOSED = Template("void.closed", "The window was closed during a trial, so that trial was not kept.")

# An unmarked trial restarts after its sound has stopped, if at least this many seconds were heard.
BEGUN_S = 1.0
# Advice is given from the second void trial in a row, or the third in a sitting.
IN_A_ROW, IN_ALL = 2, 3


@dataclass(slots=True)
class Voids:
    """Counts of void trials in a sitting: in all, and in a row; ``untapped``: nobody tapped in the last trial."""

    in_all: int = 0
    in_a_row: int = 0
    untapped: bool = False

    def whole(self) -> None:
        """Count a trial that was heard to its end."""
        self.in_a_row = 0

    def broken(self, faults: tuple[Fault, ...]) -> Say:
        """Count a void trial and return the message for it."""
        log.info("void trial: %s", listed(fault.says for fault in faults))
        kinds = {fault.kind for fault in faults}
        if FaultKind.JUMP in kinds:
            return SLEPT()
        if kinds & {FaultKind.REROUTED, FaultKind.MOVED}:
            return MOVED()
        if FaultKind.MISSED in kinds:
            return MISSED()
        self.in_all, self.in_a_row = self.in_all + 1, self.in_a_row + 1
        if self.in_a_row >= IN_A_ROW or self.in_all >= IN_ALL:
            return AGAIN()
        return STOPPED() if ended(faults) else STUMBLED()


def lasting(notices: Iterable[Say]) -> list[Say]:
    """The notices that still hold when nothing sounds."""
    return [each for each in notices if each not in (GOES_ON(), BEGAN_AGAIN())]


def broke(faults: tuple[Fault, ...]) -> Say:
    """What is said of a sound without a trial that its faults ended; that it fell silent is no reason of its own."""
    reasons = [fault.says for fault in faults if fault.kind is not FaultKind.SILENCE]
    return BROKE(why=listed(reasons)) if reasons else BROKE_OFF()


def ended(faults: tuple[Fault, ...]) -> bool:
    """Whether the sound stopped permanently."""
    return any(fault.kind is FaultKind.SILENCE for fault in faults)
