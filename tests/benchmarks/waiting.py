"""Waiting: from Return to a trial's first sound, for every drill, on a clock that the benchmark moves.

The player's callback is called as a sound output with this latency would; what is heard is what it writes.
"""

from types import SimpleNamespace
from typing import Any

import numpy as np

GOAL_S, LATENCY_S, BLOCK = 0.6, 0.15, 512


def first_sound_s(samples: np.ndarray, skip_s: float) -> float:
    """Seconds from the call of ``play`` until the first audible frame leaves an output of ``LATENCY_S``."""
    from app.practice.trial.first_sound import SILENT
    from synth.device.playback import Player

    def nowhere(**asked: Any) -> Any:
        return SimpleNamespace(start=lambda: None, close=lambda: None, latency=LATENCY_S, channels=2, description="")

    player = Player(open_stream=nowhere)
    player.open()
    when = SimpleNamespace(outputBufferDacTime=1.0 + LATENCY_S, currentTime=1.0)
    status, out = SimpleNamespace(output_underflow=False), np.zeros((BLOCK, 2), np.float32)
    player.gain = 1.0
    player.play(samples, skip_s=skip_s)
    for block in range(10 * player.sample_rate_hz // BLOCK):
        player._callback(out, BLOCK, when, status)
        loud = np.flatnonzero(np.abs(out).max(axis=1) > SILENT)
        if len(loud):
            return (block * BLOCK + int(loud[0])) / player.sample_rate_hz + LATENCY_S
    raise ValueError("ten seconds of silence")


def figures() -> dict[str, dict[str, Any]]:
    """The longest wait of all drills, with all of their silence and as trials are played."""
    from app.practice.trial.first_sound import skipped_s
    from exercises.drills import drills

    whole, played = {}, {}
    for drill, one in drills().items():
        for rung in (1, len(one.rungs)):
            samples = one.make(rung, 7).samples(48_000)
            whole[drill, rung] = first_sound_s(samples, 0.0)
            played[drill, rung] = first_sound_s(samples, skipped_s(samples, 48_000))
    worst = max(played, key=lambda each: played[each])
    note = f"{worst[0]}, rung {worst[1]}; shortest {min(played.values()):.2f} s; an output of {LATENCY_S:g} s"
    return {
        "waiting_first_sound_s": {
            "value": played[worst],
            "unit": "s",
            "goal": f"at most {GOAL_S:g}",
            "met": played[worst] <= GOAL_S,
            "note": note,
        },
        "waiting_with_all_silence_s": {
            "value": max(whole.values()),
            "unit": "s",
            "note": f"shortest {min(whole.values()):.2f} s: the silence at the beginning of the trials included",
        },
    }
