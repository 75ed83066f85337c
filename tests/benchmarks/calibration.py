"""Calibration: how true the onset detector is, and how sure the lag of a keyboard is.

Both are measured in simulated rooms and keyboards, where the truth is known to a fraction of a sample; what
calibration leaves in the whole program is in the table of ``truth``. Pinet et al. 2017 (Behav. Res. Methods 49,
1163-1176): a keyboard's delay is constant but for its polling, which at 125 Hz has an SD of 2.31 ms.
"""

from typing import Any

import numpy as np

ROOMS = (("quiet", 0.0005), ("usual", 0.002), ("loud", 0.006))
# What of the drums reaches the microphone.
LEAKS = (("headphones", 0.0005), ("speaker", 0.1))
TRIES = 4
GOAL_ONSET_MS = 1.0


def row(value: float | None, unit: str, goal: str = "", met: bool | None = None, note: str = "") -> dict[str, Any]:
    """A figure as the table has it."""
    return {"value": value, "unit": unit, "goal": goal, "met": met, "note": note}


def detector() -> dict[str, dict[str, Any]]:
    """The worst error of clicks and thumps in rooms of three noises, in ms, and the share of thumps found."""
    from synth.device.onsets import click, find_thumps, find_train
    from tests.synth.device import room

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


def claps() -> dict[str, dict[str, Any]]:
    """Claps within 20 ms of clap drums that reach the microphone, for each family of kits."""
    from exercises.drills import drill
    from synth.sound.kits import FAMILY_NAMES
    from tests.synth.device.room import RATE_HZ
    from tests.synth.device.test_claps import find, heard

    found: dict[str, dict[str, Any]] = {}
    for family in FAMILY_NAMES:
        for where, leak in LEAKS:
            off_ms: list[float] = []
            missed = extra = 0
            for seed in range(TRIES):
                made = drill("one").make(3, seed, groove="four-on-the-floor", kit_family=family)
                trial = made, made.samples(RATE_HZ).mean(axis=1)
                recording, claps_s = heard(trial, leak, 0.03)
                at_s = find(recording, trial[1])
                near = np.array([np.min(np.abs(at_s - clap_s), initial=1.0) for clap_s in claps_s])
                off_ms += (1e3 * near[near < 0.005]).tolist()
                missed += int(np.sum(near >= 0.005))
                extra += len(at_s) - int(np.sum(near < 0.005))
            worst, there = max(off_ms, default=float("nan")), len(off_ms) + missed
            note = f"{len(off_ms)} of {there} claps found, {extra} drums taken for one"
            found[f"claps_{where}_{family}_worst_ms"] = row(worst, "ms", "below 3", worst < 3, note)
    return found


def keyboards() -> dict[str, dict[str, Any]]:
    """Simulated keyboards, polled at 125 Hz: the error of the lag that 20 taps give, and how often it is covered."""
    from exercises.calibration.lag import middle

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


def figures() -> dict[str, dict[str, Any]]:
    """Detector, claps beside clap drums, keyboards."""
    return detector() | claps() | keyboards()
