"""Calibration: how true the onset detector is, what calibration leaves, and what the stated uncertainty covers.

The detector and the model are measured in simulated rooms, where the truth is known to a fraction of a sample; then
the whole program on the desk (a real sound server, a virtual microphone that hears it through such a room), idle and
with both cores kept busy; last, MIDI. Bridges et al. 2020 (PeerJ 8:e9414): precision and accuracy are told apart.
Pinet et al. 2017 (Behav. Res. Methods 49, 1163-1176): a keyboard's delay is constant but for its polling, which at
125 Hz has an SD of 2.31 ms.
"""

import multiprocessing
import tempfile
from pathlib import Path
from typing import Any

import numpy as np

ROOMS = (("quiet", 0.0005), ("usual", 0.002), ("loud", 0.006))
TRIES = 4
GOAL_ONSET_MS, GOAL_MEAN_MS, GOAL_COVERED_PCT = 1.0, 2.0, 90.0
CASES = (("idle", 120, 0), ("idle", 174, 0), ("loaded", 120, 2))


def row(value: float | None, unit: str, goal: str = "", met: bool | None = None, note: str = "") -> dict[str, Any]:
    """A figure as the table has it."""
    return {"value": value, "unit": unit, "goal": goal, "met": met, "note": note}


def detector() -> dict[str, dict[str, Any]]:
    """The worst error of clicks and thumps in rooms of three noises, in ms, and the share of thumps found."""
    from synth.onsets import click, find_thumps, find_train
    from tests.synth import room

    found: dict[str, dict[str, Any]] = {}
    one = click(room.RATE_HZ).astype(float)
    for name, noise_rms in ROOMS:
        click_ms, thump_ms, asked = [], [], 0
        for seed in range(TRIES):
            random = np.random.default_rng(100 + seed)
            starts_s = np.cumsum(random.uniform(0.75, 1.15, 14))
            at_s = random.uniform(0.5, 1.5) + starts_s
            thumps_s = np.cumsum(random.uniform(0.45, 0.75, 22)) + 0.9
            thumps_s = thumps_s[np.min(np.abs(at_s - thumps_s[:, None] + 0.05), axis=1) > 0.12]
            seconds = max(at_s[-1], thumps_s[-1]) + 1
            heard = room.recording(one, at_s, thumps_s, seed, seconds=seconds, noise_rms=noise_rms)
            train = find_train(heard, starts_s, room.RATE_HZ)
            click_ms += (1e3 * (train.onsets_s - at_s[train.index])).tolist()
            thumps = find_thumps(heard, room.RATE_HZ, train.onsets_s)
            asked += len(thumps_s)
            off_ms = [1e3 * float((thumps.onsets_s - t)[np.argmin(np.abs(thumps.onsets_s - t))]) for t in thumps_s]
            thump_ms += [off for off in off_ms if abs(off) < 20]
        goal = f"below {GOAL_ONSET_MS:g}"
        for what, off in (("click", np.array(click_ms)), ("thump", np.array(thump_ms))):
            worst = float(np.abs(off).max())
            there = asked if what == "thump" else 14 * TRIES
            note = f"mean {off.mean():+.3f}, SD {off.std():.3f}, {len(off)} of {there}"
            found[f"{what}_worst_{name}_ms"] = row(worst, "ms", goal, worst < GOAL_ONSET_MS, note)
    return found


def keyboards() -> dict[str, dict[str, Any]]:
    """Simulated keyboards, polled at 125 Hz: the error of the lag that 20 taps give, and how often it is covered."""
    from exercises.calibration import middle

    random = np.random.default_rng(7)
    off, covered = [], []
    for _ in range(2_000):
        lag_ms = random.uniform(4, 25)
        taps = lag_ms + random.uniform(-4, 4, 20) + random.normal(0, 0.3, 20)
        found = middle(taps)
        low, high = found.ci95_ms
        off.append(found.middle_ms - lag_ms)
        covered.append(low <= lag_ms <= high)
    share = 100 * float(np.mean(covered))
    return {
        "polled_125hz_lag_sd_ms": row(float(np.std(off)), "ms", note="of 20 taps whose own SD is 2.31 ms"),
        "polled_125hz_covered_pct": row(share, "%", "at least 90", share >= 90, "95 % interval of the lag"),
    }


def spin() -> None:
    """Keep one core busy until ended."""
    while True:
        sum(range(1_000))


def on_the_desk() -> dict[str, dict[str, Any]]:
    """Mean of reported minus true after calibration by microphone, SD, and what the stated uncertainty covers."""
    from tests.end_to_end.desk import Desk, Hand, Recorder, missing
    from tests.end_to_end.program import Program, render, spread_offsets_s, tap_through
    from tests.end_to_end.virtual_room import VirtualRoom, calibrate_by_microphone

    found: dict[str, dict[str, Any]] = {}
    if missing():
        return {"after_calibration_mean_ms": row(None, "ms", note=missing())}
    with tempfile.TemporaryDirectory() as folder, Desk(Path(folder)) as desk:
        hand = Hand(desk)
        for number, (state, tempo_bpm, busy) in enumerate(CASES):
            name = f"keys_{tempo_bpm}_{state}"
            home, choice = Path(folder) / name, ("--rung", "2", "--seed", "11", "--tempo", str(tempo_bpm))
            meant = render(desk, Path(folder) / f"trial-{number}", "one", *choice)
            loads = [multiprocessing.Process(target=spin, daemon=True) for _ in range(busy)]
            try:
                with (
                    VirtualRoom(desk, seed=number) as place,
                    Recorder(desk) as recorder,
                    Program(desk, home, "--drill", "one", *choice) as program,
                ):
                    place.hear(recorder)
                    hand.focus("Tallybar")
                    for load in loads:
                        load.start()
                    kept = calibrate_by_microphone(recorder, hand, place, home, seed=number)
                    truth = tap_through(desk, recorder, hand, program, meant, spread_offsets_s(len(meant.targets_s)))
            except (AssertionError, RuntimeError) as trouble:
                found[f"{name}_mean_ms"] = row(None, "ms", note=f"no marks: {str(trouble).splitlines()[0]}")
                continue
            finally:
                for load in loads:
                    if load.pid is not None:
                        load.terminate()
                        load.join()
            off_ms = truth.off_ms + place.distance_s * 1e3
            mean, share = float(off_ms.mean()), 100 * float(np.mean(np.abs(off_ms) <= truth.uncertainty_ms))
            note = f"lag {kept['lag_ms']:+.2f}, SE {kept['error_ms']:.2f}, then SD {off_ms.std(ddof=1):.2f}"
            goal = f"within {GOAL_MEAN_MS:g}"
            found[f"{name}_mean_ms"] = row(mean, "ms", goal, abs(mean) <= GOAL_MEAN_MS, note)
            stated = f"stated {truth.uncertainty_ms:.2f} ms"
            found[f"{name}_covered_pct"] = row(share, "%", "at least 90", share >= GOAL_COVERED_PCT, stated)
        hand.close()
    return found


def midi() -> dict[str, dict[str, Any]]:
    """Read minus sent of MIDI taps: through the system's sequencer where there is one, else a loop in the program.

    The loop calls what RtMidi would call, from a thread of its own, while the main thread is busy 12 ms in 16: it
    measures the reader and its stamps, not a cable, a driver or the sequencer.
    """
    import threading
    import time

    import mido

    from app.midi_taps import MidiTaps, midi_missing

    if not midi_missing():
        return {
            "midi_sd_ms": row(None, "ms", note="a sequencer is here; a measurement through it is not written yet")
        }
    calls: dict[str, Any] = {}

    class Loop:
        def names(self) -> list[str]:
            return ["loop"]

        def open(self, name: str, callback: Any) -> Any:
            calls[name] = callback
            return object()

    sent: list[float] = []

    def play() -> None:
        random, last_s = np.random.default_rng(9), None
        for _ in range(120):
            time.sleep(float(random.uniform(0.01, 0.06)))
            now_s = time.perf_counter()
            sent.append(now_s)
            octets = mido.Message("note_on", note=36, velocity=90).bytes()
            calls["loop"]((octets, 0.0 if last_s is None else now_s - last_s), None)
            last_s = now_s

    reader = MidiTaps(Loop())
    reader.look()
    player = threading.Thread(target=play)
    player.start()
    while player.is_alive():
        end_s = time.perf_counter() + 0.012
        while time.perf_counter() < end_s:
            sum(range(500))
        time.sleep(0.004)
    player.join()
    off_ms = 1e3 * (np.array([tap.at_s for tap in reader.take()]) - np.array(sent))
    sd = float(off_ms.std(ddof=1))
    note = f"a loop inside the program ({midi_missing()}); mean {off_ms.mean():+.2f}, {len(off_ms)} notes"
    return {"midi_loop_sd_ms": row(sd, "ms", "at most 1", sd <= 1, note)}


def figures() -> dict[str, dict[str, Any]]:
    """Detector, keyboards, the desk, MIDI."""
    return detector() | keyboards() | midi() | on_the_desk()
