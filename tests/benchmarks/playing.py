"""Playing: what the callback costs, and how true the moments are that the player gives for its frames.

The second part plays on the desk of the end-to-end tests (a real sound server without a sound card) and compares
with the recording of its monitor, idle and with both cores kept busy by other processes.
"""

import json
import multiprocessing
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np

ROOT = Path(__file__).parents[2]
PLAYS, GOAL_PCT, GOAL_SD_MS = 8, 2.0, 1.0


def burst() -> np.ndarray:
    """A second of fading noise: its place in a recording is known to a fraction of a sample."""
    noise = np.random.default_rng(1).uniform(-0.5, 0.5, 48_000)
    return (noise * np.exp(-np.arange(48_000) / 12_000)).astype(np.float32)


def callback_us() -> np.ndarray:
    """Microseconds of 5 000 callbacks in the middle of a long trial, while the volume glides."""
    from synth.device.clock import now_s
    from synth.device.playback import Player

    def nowhere(**asked: Any) -> Any:
        return SimpleNamespace(start=lambda: None, close=lambda: None, latency=0.1, channels=2, description="")

    player = Player(open_stream=nowhere)
    player.play(np.zeros((5_100 * 512, 2), np.float32), delay_s=0)
    when, status = SimpleNamespace(outputBufferDacTime=1.1, currentTime=1.0), SimpleNamespace(output_underflow=False)
    out = np.zeros((512, 2), np.float32)
    taken = np.zeros(5_000)
    for i in range(len(taken)):
        player.gain = 0.2 + 0.1 * (i % 2)
        begun_s = now_s()
        player._callback(out, 512, when, status)
        taken[i] = (now_s() - begun_s) * 1e6
    return taken


def play_on_the_desk() -> None:
    """In a process on the desk: play the burst again and again, and print when each was heard."""
    from synth.device.playback import Player, settle

    settle()
    starts, faults = [], []
    with Player() as player:
        player.gain = 1.0
        end_s = time.perf_counter() + 3
        while time.perf_counter() < end_s:
            time.sleep(0.015)
            player.poll()
        for _ in range(PLAYS):
            player.play(burst(), delay_s=0.2)
            while player.playing:
                time.sleep(0.015)
                player.poll()
            starts.append(player.heard_start_s())
            faults += [str(fault) for fault in player.faults]
        load = player._stream._stream.cpu_load  # type: ignore[union-attr]
        print(json.dumps({"starts": starts, "faults": faults, "load": load, "residual_ms": player.clock.residual_ms}))


def spin() -> None:
    """Keep one core busy until ended."""
    while True:
        sum(range(1_000))


def desk_figures(busy: int) -> dict[str, Any]:
    """Mean and SD of (heard as the player says - heard in the recording), with so many busy processes."""
    from tests.end_to_end.desk import RATE_HZ, Desk, Recorder, lead_of

    loads = [multiprocessing.Process(target=spin, daemon=True) for _ in range(busy)]
    with tempfile.TemporaryDirectory() as folder, Desk(Path(folder)) as desk, Recorder(desk) as recorder:
        for load in loads:
            load.start()
        try:
            done = subprocess.run(
                [sys.executable, __file__],
                env=desk.env | {"PYTHONPATH": str(ROOT)},
                capture_output=True,
                text=True,
                check=True,
                timeout=120,
            )
        finally:
            for load in loads:
                load.terminate()
                load.join()
        time.sleep(0.3)
        origin_s, sample_s = recorder.line()
        recorded = recorder.samples()
    told = json.loads(done.stdout)
    off_ms = []
    for start_s in told["starts"]:
        near = int((start_s - origin_s) / sample_s) - RATE_HZ // 4
        found = near + lead_of(burst(), recorded[near : near + 2 * RATE_HZ])
        off_ms.append((start_s - (origin_s + found * sample_s)) * 1e3)
    return told | {"mean_ms": float(np.mean(off_ms)), "sd_ms": float(np.std(off_ms, ddof=1))}


def figures() -> dict[str, dict[str, Any]]:
    """Callback's share of its block; on the desk the spread between what is said and what is recorded."""
    from tests.end_to_end.desk import missing

    block_us = 512 / 48_000 * 1e6
    taken = callback_us()
    share = {name: float(np.quantile(taken, q)) / block_us * 100 for name, q in (("median", 0.5), ("p99", 0.99))}
    goal = {"unit": "%", "goal": f"at most {GOAL_PCT:g}"}
    found: dict[str, dict[str, Any]] = {
        f"callback_share_{name}_pct": {"value": value, "met": value <= GOAL_PCT, **goal}
        for name, value in share.items()
    }
    for name, busy in (("idle", 0), ("loaded", 2)):
        if missing():
            found[f"heard_sd_{name}_ms"] = {"value": None, "unit": "ms", "met": None, "note": missing()}
            continue
        told = desk_figures(busy)
        note = f"{len(told['faults'])} faults, mean {told['mean_ms']:+.2f} ms, {PLAYS} plays"
        limit = GOAL_SD_MS * (1 + (busy > 0))
        found[f"heard_sd_{name}_ms"] = {
            "value": told["sd_ms"],
            "unit": "ms",
            "goal": f"at most {limit:g}",
            "met": told["sd_ms"] <= limit,
            "note": note,
        }
        found[f"line_residual_{name}_ms"] = {"value": told["residual_ms"], "unit": "ms"}
        load = told["load"] * 100
        found[f"callback_load_{name}_pct"] = {
            "value": load,
            "met": load <= GOAL_PCT if not busy else None,
            "note": "as PortAudio measures it, waiting for a core included" if busy else "as PortAudio measures it",
            "unit": "%",
            "goal": goal["goal"] if not busy else "",
        }
    return found


if __name__ == "__main__":
    play_on_the_desk()
