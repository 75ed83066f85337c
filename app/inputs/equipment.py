"""Latencies of the equipment: the calibrations of this computer, stored beside the logbook.

A calibration is valid only for the output, host, latency, rate and input it was made with. When any of these
changes, the window offers a new one, and early and late are not reported until then.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from msgspec import Struct

from app.inputs.taps import Input, Tap
from exercises.calibration.lag import WANDER_MS, Calibration, Method, Setup, combined_ms, stated_ms
from synth.base.arrays import Samples
from synth.base.border import Unfit, fitted, parsed, read_bytes
from synth.base.errors import Trouble
from synth.base.files import make_folder, set_aside, write_json
from synth.base.folders import data_folder
from synth.base.words import Say, Template
from synth.device.playback import Player
from synth.device.ticker import Ticker

FILE_NAME = "calibrations.json"
VERSION = 1
# Tolerance of the reported latency in ms, which varies by about a block from start to start.
SAME_LATENCY_MS = 3

# SD of single taps in ms where nothing was measured. A stamp in whole ms is uniform over 1 ms.
STAMP_SD_MS = 12**-0.5
# With the time of handling only: measured with the window busy 12 ms in 16.
HANDLED_SD_MS = 3.0
# Polling at 125 Hz, the slowest common USB rate: uniform over 8 ms, 2.31 ms.
POLLED_SD_MS = 8 * 12**-0.5
# An onset in a recording (see the detector's benchmark), and the arrival time of its samples.
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


def setup_of(description: str, source: str, input_name: str = "", place: str = "") -> Setup | None:
    """The setup in a player's description; None while it has none."""
    found = _DESCRIPTION.fullmatch(description)
    if found is None:
        return None
    return Setup(found["device"], found["host"], int(found["latency"]), int(found["rate"]), source, input_name, place)


def fits(made: Setup, now: Setup) -> bool:
    """Whether a calibration for one setup is valid for another; an unknown place fits any."""
    near = abs(made.latency_ms - now.latency_ms) <= SAME_LATENCY_MS
    here = made.place == now.place or not (made.place and now.place)
    return near and here and replace(made, latency_ms=0, place="") == replace(now, latency_ms=0, place="")


class _File(Struct):
    version: int
    calibrations: list[Calibration]


@dataclass(slots=True, eq=False)
class Equipment:
    """One player, the further inputs, and the calibrations of both.

    ``names`` holds the names of inputs that have one (a MIDI port), ``place`` is that of the output as the sound
    server tells it, empty where none does, ``ticker`` the soft tick of a tap. ``notice`` reports trouble with the
    file, which never prevents practice.
    """

    player: Player
    path: Path | None = None
    kept: list[Calibration] = field(default_factory=list)
    names: dict[str, str] = field(default_factory=dict)
    place: str = ""
    ticker: Ticker | None = None
    notice: Say | None = None
    inputs: list[Input] = field(default_factory=list)

    @classmethod
    def of_this_computer(cls, player: Player) -> "Equipment":
        """Read the file in the data folder; its lag is applied whenever an output is opened."""
        made = cls(player, data_folder() / FILE_NAME)
        made.read()
        player.on_open = made.put_on
        return made

    def read(self) -> None:
        """Read the file; an unreadable one is set aside, with a notice."""
        path = self.path
        if path is None:
            return
        if not path.exists():
            return
        try:
            data = parsed(read_bytes(path))
            if isinstance(data, dict) and isinstance(version := data.get("version"), int) and version > VERSION:
                self.notice = NEWER()
                self.path = None
            else:
                self.kept = fitted(data, _File).calibrations
        except Trouble as slip:
            self.notice = NOT_READ(why=slip.says)
        except Unfit:
            try:
                self.notice = SET_ASIDE(aside=set_aside(path))
            except OSError:
                self.notice = BROKEN()

    def keep(self, made: Calibration) -> None:
        """Store a calibration, replacing any for the same setup. Raises ``Trouble`` where it cannot be written."""
        self.kept = [each for each in self.kept if not fits(each.setup, made.setup)] + [made]
        self._write()

    def settle(self) -> None:
        """Let the calibrations that were made while no place was known be those of the present one."""
        here = [
            each
            for each in self.kept
            if not each.setup.place and (now := self.setup(each.setup.source)) and fits(each.setup, now)
        ]
        if here:
            self.kept = [
                replace(each, setup=replace(each.setup, place=self.place)) if each in here else each
                for each in self.kept
            ]
            with suppress(Trouble):  # then again at the next start
                self._write()

    def _write(self) -> None:
        if self.path is not None:
            make_folder(self.path.parent)
            write_json(self.path, {"version": VERSION, "calibrations": [each.to_json() for each in self.kept]})

    # -- current setup --------------------------------------------------------------------------------------------

    def setup(self, source: str) -> Setup | None:
        """Current setup for taps from a source; None while no output is open."""
        return setup_of(self.player.description, source, self.names.get(source, ""), self.place)

    def fitting(self, source: str) -> Calibration | None:
        """The latest calibration valid for the current setup."""
        now = self.setup(source)
        return next((each for each in reversed(self.kept) if now is not None and fits(each.setup, now)), None)

    def outdated(self, source: str) -> bool:
        """Whether this source has calibrations, but none for the current setup; no, while no output is open."""
        made = any(each.setup.source == source for each in self.kept)
        return made and self.setup(source) is not None and self.fitting(source) is None

    def lag_s(self, source: str) -> float:
        """Lag to subtract from the taps of a source; 0 where unknown."""
        found = self.fitting(source)
        return 0.0 if found is None else found.lag_ms * 1e-3

    def tick(self) -> None:
        """Let a tap be heard where that is wanted; not while claps are listened for."""
        if self.ticker is not None and all(each.source != "mic" for each in self.inputs):
            self.ticker.tick()

    def trial_s(self, tap: Tap) -> float:
        """Time of a tap in seconds from the start of the sound as heard."""
        return self.player.trial_s(tap.at_s + self.player.lag_s - self.lag_s(tap.source))

    def listen(self, samples: Samples) -> None:
        """Let the inputs take taps while these samples sound."""
        for each in self.inputs:
            each.begin(self.player, samples)

    def taken(self) -> Iterator[Tap]:
        """The taps that came from MIDI and microphone since the last call."""
        for each in self.inputs:
            for tap in each.take():
                self.names[each.source] = each.name
                yield tap

    def rest(self) -> None:
        """Close the inputs until the next sound."""
        for each in self.inputs:
            each.rest()

    def silent_inputs(self) -> list[Say]:
        """Why no tap may have come in, one line for each input that does not work; keys and mouse always do."""
        return [why for each in self.inputs if (why := each.check()) is not None]

    def put_on(self) -> None:
        """Apply the keyboard's calibration to what is displayed with the sound."""
        self.player.lag_s = self.lag_s("key")

    def calibrated(self, taps: Iterable[Tap]) -> bool:
        """Whether every source of these taps is calibrated, so that early and late are meaningful."""
        sources = {tap.source for tap in taps}
        return bool(sources) and all(self.fitting(source) is not None for source in sources)

    def mouse_alone_is_not(self, taps: Iterable[Tap]) -> bool:
        """Whether the mouse is the one source of these taps that is not calibrated, while the keys are."""
        missing = {tap.source for tap in taps if self.fitting(tap.source) is None}
        return missing == {"mouse"} and self.fitting("key") is not None

    def for_record(self, taps: Iterable[Tap]) -> dict[str, Any] | None:
        """For the logbook: calibration of the source of most taps, if all are calibrated."""
        taps = list(taps)
        if not self.calibrated(taps):
            return None
        most = Counter(tap.source for tap in taps).most_common(1)[0][0]
        found = self.fitting(most)
        return None if found is None else found.for_record()

    # -- uncertainty ----------------------------------------------------------------------------------------------

    def tap_sd_ms(self, tap: Tap) -> float:
        """Standard uncertainty of one tap: measured by the microphone, or typical of its kind."""
        if not tap.stamped:
            return HANDLED_SD_MS
        found = self.fitting(tap.source)
        measured_ms = found.spread_ms if found is not None and found.method is Method.MICROPHONE else None
        if tap.source == "mic":  # calibrated with clicks, which are detected more accurately than claps
            return max(measured_ms or 0.0, HEARD_SD_MS)
        if measured_ms is not None:
            return max(measured_ms, STAMP_SD_MS)
        return combined_ms(STAMP_SD_MS, POLLED_SD_MS if tap.source in POLLED else 0.0)

    def uncertainty_ms(self, taps: Iterable[Tap]) -> float:
        """95 % uncertainty of a tap's position (see ``stated_ms``).

        Combines the tap's time, the fit of the clock, the variation of the output latency between trials, and the
        standard error of the calibration. Without a calibration the constant lag is not included.
        """
        taps = list(taps)
        sources = {tap.source for tap in taps}
        one = max((self.tap_sd_ms(tap) for tap in taps), default=STAMP_SD_MS)
        known = [found.error_ms for found in map(self.fitting, sources) if found is not None]
        return stated_ms(one, self.player.clock.residual_ms, WANDER_MS, max(known, default=0.0))
