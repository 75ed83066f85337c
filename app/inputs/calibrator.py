"""The calibrator: test tone, calibration by tapping and by microphone. No widgets.

The screen calls ``start_...``, ``tap``, ``tick`` and ``stop``, and redraws from the fields after each.
"""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np

from app.inputs.equipment import Equipment, fits
from app.inputs.recording import Microphone, Recorder
from app.inputs.taps import Input, Tap
from app.logfile import log
from exercises.calibration.lag import Calibration, Method, Middle, combined_ms, middle
from exercises.calibration.microphone import SILENT, Hearing, click_starts_s, hear
from exercises.calibration.tapping import TAPS, even_clicks_s, judge, off_clicks_ms, still_wanted, surely_before
from synth.base.arrays import Samples, Seconds
from synth.base.errors import Trouble
from synth.base.words import Say, Template, listed, say
from synth.device.clock import now_s, utc_now
from synth.device.faults import FaultKind
from synth.device.onsets import click_train
from synth.device.playback import Player

# A measurement with more stumbles of the sound is given up.
MOST_STUMBLES = 6
# Loudness of click and tone against full scale, before the volume: -9 dB.
CLICK_PEAK = 0.35
TONE_HZ = 440.0
TONE_S = 3.0
TONE_FROM_DB, TONE_TO_DB = -60.0, -12.0
# Lower bound of the stated error of a lag in ms.
LEAST_ERROR_MS = 0.1

BROKEN = Template("bench.broken", "The sound stumbled while it was being measured: the computer was busy. Try again.")
GOES_ON = Template("bench.goes_on", "The sound stumbled. Tap on with the clicks: the taps from before count.")
BEGINS_AGAIN = Template("bench.begins_again", "The sound stumbled, so the measurement begins again.")
NOT_KEPT = Template("bench.not_kept", "Measured, but not kept: {why}")
OVERFLOWN = Template("bench.overflown", "The microphone's recording has holes: the computer was too busy. Try again.")
MIXED = Template("bench.mixed", "Taps came from several inputs. Use a single input while it is being measured.")
# Seconds after which a microphone that has delivered nothing is given up.
OPENING_S = 3.0


class Stage(StrEnum):
    """What the calibrator is doing."""

    IDLE = "idle"
    TONE = "tone"
    TAPPING = "tapping"
    OPENING = "opening"
    LISTENING = "listening"


def quiet_tone(sample_rate_hz: int) -> Samples:
    """A tone that starts inaudibly and grows by 16 dB a second, so that it can be stopped in time."""
    t = np.arange(round(TONE_S * sample_rate_hz)) / sample_rate_hz
    level = 10 ** ((TONE_FROM_DB + (TONE_TO_DB - TONE_FROM_DB) * t / TONE_S) / 20)
    end = np.clip((TONE_S - t) / 0.02, 0, 1)
    return np.asarray(np.sin(2 * np.pi * TONE_HZ * t) * level * end, np.float32)


def _places_s(taps: list[Tap], in_sound_s: Callable[[float], float]) -> Seconds:
    """Where taps lie in the sound, by ``Player.trial_s`` or ``Player.whole_s``."""
    return np.asarray([in_sound_s(tap.at_s) for tap in taps], np.float64)


@dataclass(slots=True, eq=False)
class Calibrator:
    """Measures the equipment. ``outcome`` is the message of the last measurement, ``made`` the calibration kept.

    ``errors_ms`` are the single taps of the last measurement and ``middle`` their robust middle, for the picture.
    After a stumble of the sound a measurement goes on, which ``aside`` says meanwhile.
    """

    equipment: Equipment
    microphone: Callable[[int | str | None, int], Recorder] = Microphone
    microphone_device: int | str | None = None
    random: Callable[[], np.random.Generator] = np.random.default_rng
    stage: Stage = Stage.IDLE
    outcome: Say | None = None
    aside: Say | None = None
    made: list[Calibration] = field(default_factory=list)
    hearing: Hearing | None = None
    errors_ms: Seconds = field(default_factory=lambda: np.empty(0))
    middle: Middle | None = None
    taps: list[Tap] = field(default_factory=list)
    _recorder: Recorder | None = None
    now: Callable[[], float] = now_s
    starts_s: Seconds = field(default_factory=lambda: np.empty(0))
    _opened_s: float = 0.0
    _stumbles: int = 0
    _dropped: int = 0
    # Errors of the taps before the last stumble, and the first tap after it.
    _before_ms: Seconds = field(default_factory=lambda: np.empty(0))
    _first: int = 0

    @property
    def player(self) -> Player:
        """The player of the equipment."""
        return self.equipment.player

    @property
    def outdated(self) -> bool:
        """Whether what was measured last is for another setup than the present one."""
        setups = [(each.setup, self.equipment.setup(each.setup.source)) for each in self.made]
        return bool(setups) and not any(now is None or fits(then, now) for then, now in setups)

    # -- start and stop -------------------------------------------------------------------------------------------

    def start_tone(self) -> None:
        """Play the test tone; ``Trouble`` without an output."""
        self.stop()
        self.player.open()
        self.player.play(quiet_tone(self.player.sample_rate_hz))
        self.stage, self.outcome = Stage.TONE, None

    def start_tapping(self) -> None:
        """Play the clicks for tapping; ``Trouble`` without an output."""
        self._begin()
        self._play_clicks()
        self.stage = Stage.TAPPING

    def _play_clicks(self) -> None:
        self.starts_s = even_clicks_s(len(self._before_ms))
        self._play()

    def start_microphone(self) -> None:
        """Open the microphone; the clicks begin when it delivers. ``Trouble`` without output or microphone."""
        self._begin()
        self._open_microphone()

    def _open_microphone(self) -> None:
        self._recorder = self.microphone(self.microphone_device, self.player.sample_rate_hz)
        try:
            self._recorder.open()
        except Trouble:
            self._recorder = None
            raise
        self.starts_s = click_starts_s(self.random())
        self.stage, self._opened_s = Stage.OPENING, self.now()

    def _begin(self) -> None:
        self.stop()
        self.player.open()
        self.taps, self.made, self.outcome, self.hearing = [], [], None, None
        self.errors_ms, self.middle = np.empty(0), None
        self.aside, self._before_ms = None, np.empty(0)
        self._stumbles = self._first = self._dropped = 0

    def _play(self) -> None:
        rate = self.player.sample_rate_hz
        samples = np.float32(CLICK_PEAK) * click_train(self.starts_s, rate, tail_s=1.2)
        self.player.play(samples)
        self.player.lag_s = 0.0  # measure the whole lag
        for each in self._others:
            each.begin(self.player, samples)

    @property
    def _others(self) -> list[Input]:
        """MIDI inputs; the microphone is not measured by taps."""
        return [each for each in self.equipment.inputs if each.source != "mic"]

    def stop(self) -> None:
        """Stop the tone or the measurement; nothing is kept."""
        if self.stage is Stage.IDLE:
            return
        self.player.stop()
        self.equipment.put_on()
        self._close_microphone()
        self.stage, self.aside = Stage.IDLE, None

    def _close_microphone(self) -> None:
        if self._recorder is not None:
            self._recorder.close()
            self._recorder = None

    @property
    def tapped(self) -> int:
        """How many taps there were since the start, also those that no longer count."""
        return len(self.taps) + self._dropped

    @property
    def measuring(self) -> bool:
        """Whether taps are being measured."""
        return self.stage in (Stage.TAPPING, Stage.LISTENING)

    def tap(self, tap: Tap) -> None:
        """Add a tap during a measurement."""
        if self.measuring:
            self.taps.append(tap)

    def tick(self) -> None:
        """Poll the stream; finish with the last tap wanted, or after the last click. ``Trouble`` without output."""
        self.player.poll()
        if self.stage is Stage.OPENING:
            assert self._recorder is not None
            if self._recorder.frames > self._recorder.sample_rate_hz // 4:
                self._play()
                self.stage = Stage.LISTENING
            elif self.now() - self._opened_s > OPENING_S:
                self.outcome = SILENT()
                self.stop()
        elif self.stage is Stage.TONE:
            if not self.player.playing:
                self.stop()
        elif self.measuring:
            for each in self._others:
                for tap in each.take():
                    self.tap(tap)
                    self.equipment.names[each.source] = each.name
            if self.player.faults:
                self._go_on()
            elif self._recorder is not None and self._recorder.lost:
                self.outcome = OVERFLOWN()
                self.stop()
            elif not self.player.playing or (self.stage is Stage.TAPPING and not self.wanted):
                self._measure()
                self.stop()

    def _go_on(self) -> None:
        """After a stumble: keep the taps that surely fell before it, and play the clicks that are still wanted."""
        log.info("measurement disturbed: %s", listed(fault.says for fault in self.player.faults))
        self._stumbles += 1
        moved = any(fault.kind is FaultKind.REROUTED for fault in self.player.faults)
        if self._stumbles > MOST_STUMBLES:
            self.outcome = BROKEN()
            self.stop()
            return
        output = self.equipment.setup("key")
        if self.stage is Stage.LISTENING:  # a recording is matched to its clicks as a whole
            self.player.stop()
            self._close_microphone()
            self._dropped += len(self.taps)
            self.taps.clear()
            self._open_microphone()
            self.aside = BEGINS_AGAIN()
            return
        at_s = _places_s(self.taps[self._first :], self.player.whole_s)
        clean_s = surely_before(at_s, self.player.whole_s(self.now()))
        self._before_ms = np.append(self._before_ms, off_clicks_ms(clean_s, self.starts_s))
        self._first = len(self.taps)
        self._play_clicks()
        if self.equipment.setup("key") == output and not moved:
            self.aside = GOES_ON()
        else:  # another output
            self._before_ms, self.aside = np.empty(0), BEGINS_AGAIN()
            self._play_clicks()

    @property
    def wanted(self) -> int:
        """How many taps are still wanted: by tapping one a click, by microphone between the clicks."""
        if self.stage is not Stage.TAPPING:
            return max(0, len(self.starts_s) - len(self.taps))
        at_s = _places_s(self.taps[self._first :], self.player.trial_s)
        return still_wanted(at_s, self.starts_s, len(self._before_ms))

    @property
    def done_share(self) -> float:
        """Share of the taps wanted that are done, or of the clicks already heard, 0 to 1."""
        if not self.measuring:
            return 0.0
        if self.stage is Stage.TAPPING:
            return 1 - self.wanted / TAPS
        return float(np.clip(self.player.position_s() / self.starts_s[-1], 0, 1))

    # -- results --------------------------------------------------------------------------------------------------

    def _measure(self) -> None:
        sources = Counter(tap.source for tap in self.taps)
        if len(sources) > 1 and sources.most_common(2)[1][1] > 2:
            self.outcome = MIXED()
            return
        source = sources.most_common(1)[0][0] if sources else "key"
        taps = [tap for tap in self.taps if tap.source == source]
        if self.stage is Stage.TAPPING:
            self._measure_tapping([tap for tap in self.taps[self._first :] if tap.source == source], source)
        else:
            self._measure_microphone(taps, source)

    def _measure_tapping(self, taps: list[Tap], source: str) -> None:
        off_ms = off_clicks_ms(_places_s(taps, self.player.trial_s), self.starts_s)
        self.errors_ms = np.append(self._before_ms, off_ms)
        found = judge(self.errors_ms)
        self.outcome, self.middle = found.say, found.middle
        if found.lag is not None:
            self._keep(source, Method.TAPPING, found.lag)

    def _measure_microphone(self, taps: list[Tap], source: str) -> None:
        recorder = self._recorder
        assert recorder is not None
        heard_s = self._heard_s(self.starts_s)
        at_s = np.asarray([tap.at_s for tap in taps])
        found = self.hearing = hear(recorder.samples(), recorder.sample_rate_hz, self.starts_s, heard_s, at_s)
        self.outcome = found.say
        if found.lag is None or found.lags_ms is None:
            return
        self.errors_ms, self.middle = found.lags_ms, found.lag
        self._keep(source, Method.MICROPHONE, found.lag)
        # Input lag of the microphone: clicks as captured against clicks as heard.
        captured_s = np.asarray([recorder.captured_s(each * recorder.sample_rate_hz) for each in found.onsets_s])
        self.equipment.names["mic"] = recorder.name
        self._keep("mic", Method.MICROPHONE, middle(1e3 * (captured_s - heard_s[found.index])))

    def _heard_s(self, starts_s: Seconds) -> Seconds:
        """Times on the one clock at which these times of the sound were heard, drift included."""
        begin_s = self.player.heard_start_s()
        rate = (self.player.trial_s(begin_s + 10.0) - self.player.trial_s(begin_s)) / 10.0
        return np.asarray(begin_s + starts_s / rate)

    def _keep(self, source: str, method: Method, found: Middle) -> None:
        setup = self.equipment.setup(source)
        if setup is None:
            return
        try:
            made = Calibration(
                setup,
                method,
                round(found.middle_ms, 3),
                # Uncertainty of the clock line shifts all taps together.
                round(max(combined_ms(found.error_ms, self.player.clock.residual_ms), LEAST_ERROR_MS), 3),
                round(found.spread_ms, 3),
                len(found.outliers),
                utc_now().strftime("%Y-%m-%dT%H:%M:%SZ"),
            )
            self.made.append(made)
            self.equipment.keep(made)
        except (Trouble, ValueError) as why:
            self.outcome = NOT_KEPT(why=why.says if isinstance(why, Trouble) else say(str(why)))
