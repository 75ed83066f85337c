"""What the equipment adds to a tap: the calibrations of this computer, kept beside the logbook, and which one fits.

A calibration fits the output, host, latency, rate and input for which it was made, and no other: when any of these
changes, the bench offers to calibrate again and early and late are not told until then.
"""

import json
import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from app.inputs.taps import Input, Tap
from exercises.calibration.calibration import WANDER_MS, Calibration, Method, Setup, combined_ms, stated_ms
from synth.base.files import make_folder, write_json
from synth.base.folders import data_folder
from synth.base.words import Say, Template
from synth.device.playback import Player

FILE_NAME = "calibrations.json"
VERSION = 1
# Hosts report a latency that moves by a block or so from start to start; beyond this it is another one.
SAME_LATENCY_MS = 3

# Single taps, as SD in ms, as long as nothing was measured. A stamp of whole milliseconds errs evenly over 1 ms.
STAMP_SD_MS = 12**-0.5
# When only the handling moment is known: measured with the window busy 12 ms in 16.
HANDLED_SD_MS = 3.0
# A keyboard or mouse asked 125 times a second, the slowest common rate of USB, errs evenly over 8 ms: 2.31 ms.
POLLED_SD_MS = 8 * 12**-0.5
# An onset in a microphone's recording (see the bench of the detector), and the moment at which its samples arrive.
HEARD_SD_MS = 0.6
POLLED = ("key", "mouse", "touch")

NEWER = Template(
    "gear.newer", "The calibrations were written by a newer version of this program; they are left alone."
)
NOT_READ = Template("gear.not_read", "The calibrations could not be read ({why}).")
BROKEN = Template("gear.broken", "The calibrations could not be read; please calibrate again.")
SET_ASIDE = Template(
    "gear.set_aside", "The calibrations could not be read; please calibrate again. The old file is {aside}."
)

_DESCRIPTION = re.compile(r"(?P<device>.*) \((?P<host>[^()]*)\), (?P<rate>\d+) Hz, (?P<latency>\d+) ms")


def setup_of(description: str, source: str, input_name: str = "") -> Setup | None:
    """The setup that a player's description tells of; None while it has none."""
    found = _DESCRIPTION.fullmatch(description)
    if found is None:
        return None
    return Setup(
        found["device"], found["host"], int(found["latency"]), int(found["rate"]), source, input_name=input_name
    )


def fits(made: Setup, now: Setup) -> bool:
    """Whether a calibration made for one setup holds for another."""
    near = abs(made.latency_ms - now.latency_ms) <= SAME_LATENCY_MS
    return near and replace(made, latency_ms=0) == replace(now, latency_ms=0)


@dataclass(slots=True, eq=False)
class Equipment:
    """One player, the inputs beyond the window, and the calibrations of both.

    ``names`` holds the names of inputs that have one (a MIDI port).
    ``notice`` says what went wrong with the file, which never stands in the way of practice.
    """

    player: Player
    path: Path | None = None
    kept: list[Calibration] = field(default_factory=list)
    names: dict[str, str] = field(default_factory=dict)
    notice: Say | None = None
    inputs: list[Input] = field(default_factory=list)

    @classmethod
    def of_this_computer(cls, player: Player) -> "Equipment":
        """With the file in the data folder, read now; what it holds is put on whenever an output is opened."""
        made = cls(player, data_folder() / FILE_NAME)
        made.read()
        player.on_open = made.put_on
        return made

    def read(self) -> None:
        """Read the file; one that cannot be read is set aside, and that is said."""
        path = self.path
        if path is None:
            return
        try:
            data = json.loads(path.read_text(encoding="utf-8"))
            if data["version"] > VERSION:
                self.notice = NEWER()
                self.path = None
                return
            self.kept = [Calibration.from_json(each) for each in data["calibrations"]]
        except FileNotFoundError:
            return
        except OSError as slip:
            self.notice = NOT_READ(why=(slip.strerror or str(slip)).lower())
        except (ValueError, KeyError, TypeError, AttributeError):
            aside = path.with_suffix(".broken.json")
            try:
                path.replace(aside)
                self.notice = SET_ASIDE(aside=aside)
            except OSError:
                self.notice = BROKEN()

    def keep(self, made: Calibration) -> None:
        """Keep a calibration, in place of any that fits the same setup; ``Trouble`` where it cannot be written."""
        self.kept = [each for each in self.kept if not fits(each.setup, made.setup)] + [made]
        if self.path is not None:
            make_folder(self.path.parent)
            write_json(self.path, {"version": VERSION, "calibrations": [each.to_json() for each in self.kept]})

    # -- what holds now -------------------------------------------------------------------------------------------

    def setup(self, source: str) -> Setup | None:
        """The present setup for taps from a source; None while no output is open."""
        return setup_of(self.player.description, source, self.names.get(source, ""))

    def fitting(self, source: str) -> Calibration | None:
        """The calibration that fits the present setup."""
        now = self.setup(source)
        return next((each for each in self.kept if now is not None and fits(each.setup, now)), None)

    def outdated(self, source: str) -> bool:
        """Whether there are calibrations for this source, but none that fits: something has changed."""
        return self.fitting(source) is None and any(each.setup.source == source for each in self.kept)

    def lag_s(self, source: str) -> float:
        """What to subtract from the taps of a source, as far as it is known."""
        found = self.fitting(source)
        return 0.0 if found is None else found.lag_ms * 1e-3

    def rest(self) -> None:
        """Close the inputs until something sounds again."""
        for each in self.inputs:
            each.rest()

    def put_on(self) -> None:
        """What is shown with the sound follows it as the keyboard's calibration has it, from now on."""
        self.player.lag_s = self.lag_s("key")

    def calibrated(self, taps: Iterable[Tap]) -> bool:
        """Whether early and late mean something for these taps: every source of them is calibrated."""
        sources = {tap.source for tap in taps}
        return bool(sources) and all(self.fitting(source) is not None for source in sources)

    def for_record(self, taps: Iterable[Tap]) -> dict[str, Any] | None:
        """What the logbook keeps: the calibration of the source that most taps came from, if all are calibrated."""
        taps = list(taps)
        if not self.calibrated(taps):
            return None
        most = Counter(tap.source for tap in taps).most_common(1)[0][0]
        found = self.fitting(most)
        return None if found is None else found.for_record()

    # -- how sure -------------------------------------------------------------------------------------------------

    def tap_sd_ms(self, tap: Tap) -> float:
        """Standard uncertainty of one tap's moment: measured by the microphone, or else what its kind has."""
        if not tap.stamped:
            return HANDLED_SD_MS
        found = self.fitting(tap.source)
        measured_ms = found.spread_ms if found is not None and found.method is Method.MICROPHONE else None
        if tap.source == "mic":  # calibrated by clicks, which are found more surely than a clap
            return max(measured_ms or 0.0, HEARD_SD_MS)
        if measured_ms is not None:
            return max(measured_ms, STAMP_SD_MS)
        return combined_ms(STAMP_SD_MS, POLLED_SD_MS if tap.source in POLLED else 0.0)

    def uncertainty_ms(self, taps: Iterable[Tap]) -> float:
        """What the program itself cannot tell of a tap's place: about 95 % lie within it (see ``stated_ms``).

        The parts: the tap's moment, what the clock line leaves, what the way of the sound wanders by from trial to
        trial, and the calibration's standard error. Without a calibration the constant lag is not in it.
        """
        taps = list(taps)
        sources = {tap.source for tap in taps}
        one = max((self.tap_sd_ms(tap) for tap in taps), default=STAMP_SD_MS)
        known = [found.error_ms for found in map(self.fitting, sources) if found is not None]
        return stated_ms(one, self.player.clock.residual_ms, WANDER_MS, max(known, default=0.0))
