"""Quality of this computer's sound and timing, with or without an output.

Screen and command ``check`` show the same findings: key with unit, value (None if unavailable),
sentence.
"""

import json
import math
import platform
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from threading import Event
from typing import Any

import numpy as np

from app.inputs.equipment import POLLED_SD_MS, STAMP_SD_MS, Equipment
from app.inputs.taps import Tap
from exercises.calibration.lag import Calibration, Method
from synth.base.errors import Trouble
from synth.base.words import Say, Template, listed
from synth.device.clock import now_s
from synth.device.faults import Fault
from synth.device.playback import Player
from synth.device.stream_clock import STEADY_S

LISTEN_S = STEADY_S + 1
# Seconds until the line has a slope of its own, without the first blocks.
SURE_AFTER_S = STEADY_S + 0.5
# Lag in ms that suggests wireless sound, which adds 100 to 300 ms (a toolbox's documentation), and names of wireless
# outputs in the lists of common hosts.
WIRELESS_FROM_MS = 100.0
WIRELESS_NAMES = ("bluetooth", "bluez", "a2dp", "hands-free")
# Wake-up latency in ms that is harmless.
WAIT_S = 0.005
WAITS = 60

PROGRAM = Template("check.program", "Tallybar {version}, Python {python}, {system}.")
OUTPUT = Template("check.output", "Sound output: {name}.")
NO_OUTPUT = Template("check.no_output", "Sound output: none. {why}")
REPORTED = Template("check.reported", "The host reports {rate} samples a second and a latency of {latency} ms.")
SERVED = Template("check.served", "Silence played for {seconds} s: {blocks} blocks served, faults: {faults}.")
LINE = Template(
    "check.line",
    "The moment of a sound is known to {residual} ms (SD); the host says that it leaves {lead} ms after the program.",
)
ESTIMATED = Template(
    "check.estimated", "The host reports no moments of its own: the way of the sound to the ear is only estimated."
)
DRIFT = Template(
    "check.drift",
    "The output's clock runs {ppm} ppm (parts in a million) off the computer's; the program corrects this.",
)
DRIFT_UNKNOWN = Template(
    "check.drift_unknown", "The output's clock has not run long enough to show how far it is off the computer's."
)
LATE = Template("check.late", "A program that waits for 5 ms wakes {median} ms late as a rule, {worst} ms at worst.")
STAMPS = Template(
    "check.stamps",
    "Keys are stamped in whole milliseconds (SD {stamp} ms); a keyboard asked 125 times a second adds {polled} ms.",
)
MICROPHONES = Template("check.microphones", "Microphones: {names}.")
MIDI = Template("check.midi", "MIDI inputs: {names}.")
NO_PORTS = Template("check.no_ports", "MIDI inputs: none.")
NO_MIDI = Template("check.no_midi", "MIDI inputs: none can be had, {why}.")
CALIBRATION = Template("check.calibration", "Calibration ({source}): by {method}, {lag} ± {error} ms, made {day}.")
OUTDATED = Template("check.outdated", "Calibration: made for other equipment than this.")
UNCALIBRATED = Template(
    "check.uncalibrated",
    "Calibration: none. Calibrate in the window, under Sound and taps, by tapping or by microphone.",
)
STATED = Template("check.stated", "A single tap is good to {ms} ms (about 95 %).")
STATED_BUT_LAG = Template(
    "check.stated_but_lag",
    "A single tap is good to {ms} ms (about 95 %), but for a constant lag that was not measured.",
)
NONE = Template("check.none", "none")
METHODS = {
    Method.TAPPING: Template("check.methods.tapping", "tapping"),
    Method.MICROPHONE: Template("check.methods.microphone", "microphone"),
}
SOURCES = {
    "key": Template("check.sources.key", "keys"),
    "mouse": Template("check.sources.mouse", "mouse"),
    "touch": Template("check.sources.touch", "touch"),
    "midi": Template("check.sources.midi", "MIDI"),
    "mic": Template("check.sources.mic", "microphone"),
}

VERDICT = Template("check.verdict", "Verdict: {verdict}")
NEXT = Template("check.next", "What now: {advice}")
NOTHING = Template("check.nothing", "No sound.")
FAULTY = Template("check.faulty", "The sound broke off while it was measured ({why}).")
WIRELESS = Template("check.wireless", "Bluetooth suspected: {ms} ms.")
WIRELESS_UNKNOWN = Template(
    "check.wireless_unknown", "Bluetooth suspected: its delay, often 100 to 300 ms, is not known."
)
ROUGH = Template("check.rough", "Estimated clock, not calibrated.")
SPREAD_ONLY = Template("check.spread_only", "Not calibrated. Good to {ms} ms from one tap to the next.")
GOOD = Template("check.good", "Good to {ms} ms on this computer.")
GOOD_BY_TAPPING = Template("check.good_by_tapping", "Good to {ms} ms on this computer. Zero is your own relaxed tap.")

CONNECT = Template("check.connect", "Nothing can be practised by ear. Connect an output, then look again.")
CLOSE_OTHERS = Template(
    "check.close_others", "Nothing can be measured like this. Close other programs, then look again."
)
USE_A_CABLE = Template(
    "check.use_a_cable",
    "It can be measured how steady you are, and whether you are early or late. But sound comes late: use a cable.",
)
CABLE_OR_CALIBRATE = Template(
    "check.cable_or_calibrate",
    "It can be measured how steady you are. Not yet whether you are early or late: use a cable, "
    "or calibrate, about a minute.",
)
CALIBRATE = Template(
    "check.calibrate",
    "It can be measured how steady you are. Not yet whether you are early or late: calibrate, about a minute.",
)
PRACTISE = Template(
    "check.practise",
    "It can be measured how steady you are, and whether you are early or late. All is ready: practise.",
)


class Grade(StrEnum):
    """The verdict as a keyword, for programs."""

    NO_SOUND = "no sound"
    FAULTY = "faulty"
    BLUETOOTH = "bluetooth suspected"
    ESTIMATED = "estimated clock"
    UNCALIBRATED = "not calibrated"
    GOOD = "good"


@dataclass(frozen=True, slots=True)
class Verdict:
    """The verdict, its advice, and whether to calibrate next."""

    grade: Grade
    says: Say
    advice: Say
    calibrate: bool = False


@dataclass(frozen=True, slots=True)
class Finding:
    """One line: key with unit, value, sentence."""

    key: str
    value: Any
    say: Say


def verdict(equipment: Equipment, source: str = "key", broken: Say | None = None) -> Verdict:
    """Verdict on the equipment; the output must be open. ``broken``: interruptions of the sound."""
    if broken is not None:
        return Verdict(Grade.FAULTY, FAULTY(why=broken), CLOSE_OTHERS())
    player, found = equipment.player, equipment.fitting(source)
    # The microphone measures the lag alone; tapping includes the learner's own lead, some 50 ms.
    if found is not None and found.lag_ms >= WIRELESS_FROM_MS:
        return Verdict(Grade.BLUETOOTH, WIRELESS(ms=f"{found.lag_ms:.0f}"), USE_A_CABLE())
    wireless = any(name in player.description.lower() for name in WIRELESS_NAMES)
    if found is None and wireless:
        return Verdict(Grade.BLUETOOTH, WIRELESS_UNKNOWN(), CABLE_OR_CALIBRATE(), calibrate=True)
    stated = math.ceil(equipment.uncertainty_ms([Tap(0.0, source, True)]))
    if found is not None:
        good = GOOD if found.method is Method.MICROPHONE else GOOD_BY_TAPPING
        return Verdict(Grade.GOOD, good(ms=stated), PRACTISE())
    if player.clock.estimated:
        return Verdict(Grade.ESTIMATED, ROUGH(), CALIBRATE(), calibrate=True)
    return Verdict(Grade.UNCALIBRATED, SPREAD_ONLY(ms=stated), CALIBRATE(), calibrate=True)


def no_sound() -> Verdict:
    """Findings without an output."""
    return Verdict(Grade.NO_SOUND, NOTHING(), CONNECT())


def lateness_ms(wait: Callable[[float], Any], now: Callable[[], float] = now_s) -> tuple[float, float]:
    """Wake-up latency of a waiting thread: median and maximum in ms."""
    late = []
    for _ in range(WAITS):
        begun_s = now()
        wait(WAIT_S)
        late.append((now() - begun_s - WAIT_S) * 1e3)
    return float(np.median(late)), float(np.max(late))


def measure(
    equipment: Equipment,
    version: str,
    microphones: Callable[[], list[tuple[int, str]]],
    midi: tuple[list[str], Say | None],
    wait: Callable[[float], Any] | None = None,
    now: Callable[[], float] = now_s,
) -> list[Finding]:
    """Open the output, observe its clock for a while and report; the output stays open.

    ``midi``: names of the inputs, and the reason if there can be none. ``wait`` sleeps for a number of s.
    """
    wait = wait or Event().wait
    system = f"{platform.system()} {platform.release()} ({platform.machine()})"
    python = platform.python_version()
    found = [Finding("version", version, PROGRAM(version=version, python=python, system=system))]
    median, worst = lateness_ms(wait, now)
    late = Finding("wake_late_worst_ms", round(worst, 2), LATE(median=f"{median:.2f}", worst=f"{worst:.2f}"))
    stamps = Finding(
        "stamp_sd_ms", round(STAMP_SD_MS, 3), STAMPS(stamp=f"{STAMP_SD_MS:.2f}", polled=f"{POLLED_SD_MS:.2f}")
    )
    try:
        equipment.player.open()
        faults = _listen(equipment.player, wait, now)
    except Trouble as trouble:
        found.append(Finding("output", None, NO_OUTPUT(why=trouble.says)))
        return [*found, late, stamps, *_inputs(microphones, midi), *_end(no_sound())]
    player = equipment.player
    output, host, served, *clock = _output(player, faults)
    *made, tap = calibrations(equipment)
    # Omit clock findings until the clock has run long enough.
    told, tap_told = ([], []) if faults else (clock, [tap])
    found += [output, host, served, *told, late, stamps, *_inputs(microphones, midi), *made, *tap_told]
    return [*found, *_end(verdict(equipment, "key", faults[0].says if faults else None))]


def _end(found: Verdict) -> list[Finding]:
    """The verdict and its advice."""
    return [
        Finding("verdict", found.grade, VERDICT(verdict=found.says)),
        Finding("advice", str(found.advice), NEXT(advice=found.advice)),
    ]


def _listen(player: Player, wait: Callable[[float], Any], now: Callable[[], float]) -> list[Fault]:
    """Play silence as a trial and observe the output."""
    player.play(np.zeros((round(LISTEN_S * player.sample_rate_hz), 2), np.float32))
    begun_s = now()
    faults: list[Fault] = []
    while player.playing and now() - begun_s < LISTEN_S + 3:
        wait(0.015)
        player.poll()
    faults += player.faults
    player.stop()
    return faults


def _output(player: Player, faults: list[Fault]) -> list[Finding]:
    """Findings on the output, reported and measured."""
    host, *measured = line_findings(player)
    name = player.description.split("), ")[0] + ")"
    blocks = player.clock.notes.count
    seconds = f"{blocks * player.block_frames / player.sample_rate_hz:.1f}"
    served = SERVED(seconds=seconds, blocks=blocks, faults=listed(fault.says for fault in faults) or NONE())
    return [
        Finding("output", player.description, OUTPUT(name=name)),
        host,
        Finding("faults", [*map(str, faults)], served),
        *measured,
    ]


def line_findings(player: Player) -> list[Finding]:
    """Findings on the clock so far; the output must be open and served."""
    line, latency_ms = player.clock.line(), player.clock.latency_s * 1e3
    known = LINE(residual=f"{line.residual_ms:.2f}", lead=f"{line.lead_s * 1e3:.0f}")
    ppm = player.clock.drift_ppm
    told = (
        DRIFT(ppm=f"{ppm:+.0f}")
        if player.clock.notes.count * player.block_frames > SURE_AFTER_S * player.sample_rate_hz
        else DRIFT_UNKNOWN()
    )
    return [
        Finding(
            "latency_reported_ms",
            round(latency_ms, 1),
            REPORTED(rate=player.sample_rate_hz, latency=f"{latency_ms:.0f}"),
        ),
        Finding("clock_line_sd_ms", round(line.residual_ms, 3), ESTIMATED() if line.estimated else known),
        Finding("drift_ppm", round(ppm, 1), told),
    ]


def _inputs(microphones: Callable[[], list[tuple[int, str]]], midi: tuple[list[str], Say | None]) -> list[Finding]:
    """Names of microphones and MIDI inputs."""
    try:
        heard = [name for _, name in microphones()]
    except Trouble:
        heard = []
    names, why = midi
    return [
        Finding("microphones", heard, MICROPHONES(names=", ".join(heard) or NONE())),
        Finding(
            "midi_inputs", names, NO_MIDI(why=why) if why else MIDI(names=", ".join(names)) if names else NO_PORTS()
        ),
    ]


def calibrations(equipment: Equipment) -> list[Finding]:
    """Valid calibrations, and the accuracy of a key tap with them."""
    made = [one for one in map(equipment.fitting, SOURCES) if one is not None]
    found = [calibration(one) for one in made]
    if not made:
        say = OUTDATED() if equipment.kept else UNCALIBRATED()
        found = [Finding("calibration", None, say)]
    stated = equipment.uncertainty_ms([Tap(0.0, "key", True)])
    told = STATED_BUT_LAG if equipment.fitting("key") is None else STATED
    return [*found, Finding("tap_uncertainty_ms", round(stated, 2), told(ms=f"{stated:.1f}"))]


def calibration(made: Calibration) -> Finding:
    """A calibration in a line."""
    say = CALIBRATION(
        source=SOURCES[made.setup.source](),
        method=METHODS[made.method](),
        lag=f"{made.lag_ms:z.1f}",
        error=f"{max(2 * made.error_ms, 0.1):.1f}",
        day=made.when[:10],
    )
    return Finding("calibration", made.to_json(), say)


def as_data(found: list[Finding]) -> dict[str, Any]:
    """The findings for JSON: by key, calibrations as a list, sentences as ``lines``."""
    data: dict[str, Any] = {each.key: each.value for each in found if each.key != "calibration"}
    data["calibrations"] = [each.value for each in found if each.key == "calibration" and each.value is not None]
    return data | {"lines": [str(each.say) for each in found]}


def run(as_json: bool) -> int:
    """Run the command: measure and print lines or JSON."""
    from app import version
    from app.inputs.midi_taps import RtMidiPorts, midi_missing
    from app.settings import load, settings_path
    from synth.device.clock import utc_now
    from synth.device.portaudio import microphones

    settings = load(settings_path(), utc_now()).settings
    player = Player(settings.sound_device or None, settings.sample_rate_hz, settings.latency_ms / 1000)
    why = midi_missing()
    try:
        midi = ([] if why else RtMidiPorts().names(), why)
        found = measure(Equipment.of_this_computer(player), version(), microphones, midi)
    finally:
        player.close()
    if as_json:
        print(json.dumps(as_data(found), indent=2, ensure_ascii=False))
    else:
        for each in found:
            print(each.say)
    return 0
