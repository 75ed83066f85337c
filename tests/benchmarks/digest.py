"""A digest of what the drills make: the trial with its truth, and the rendered sound, over every rung and 20 seeds.

Two versions of the program that print the same digests make the same trials to the last bit (on one machine, with the
same numpy). `TALLYBAR_DIGEST_SEEDS` sets another number of seeds.
"""

import hashlib
import json
import os
from concurrent.futures import ProcessPoolExecutor

from exercises.drills import drills

SEEDS = int(os.environ.get("TALLYBAR_DIGEST_SEEDS", "20"))
RATE_HZ = 48_000
# Keys of a trial that were added later and follow from rung, request and sound.
LATER = ("rules", "rests", "tempo_wish", "groove_wish", "one_cues")


def digest(drill: str) -> tuple[str, int]:
    """SHA-256 over all trials of a drill, and how many there were."""
    one, seen, trials = drills()[drill], hashlib.sha256(), 0
    for rung in range(1, len(one.rungs) + 1):
        for seed in range(SEEDS):
            trial = one.make(rung, seed)
            words = {
                "question": str(trial.question),
                "choices": [(each.key, str(each.say)) for each in trial.choices],
            }
            data = {name: value for name, value in trial.to_json(RATE_HZ).items() if name not in LATER}
            seen.update(json.dumps(data | words, sort_keys=True).encode())
            seen.update(trial.samples(RATE_HZ).tobytes())
            if trial.entry is not None:
                seen.update(trial.blend(float(trial.targets_s[0]), RATE_HZ).tobytes())
            trials += 1
    return seen.hexdigest(), trials


def figures() -> dict[str, dict]:
    """The first 16 digits for every drill, and for all of them together."""
    with ProcessPoolExecutor() as pool:
        found = dict(zip(drills(), pool.map(digest, drills()), strict=True))
    whole = hashlib.sha256("".join(digits for digits, _ in found.values()).encode()).hexdigest()
    rows = {drill: {"value": digits[:16], "note": f"{trials} trials"} for drill, (digits, trials) in found.items()}
    return rows | {"all": {"value": whole[:16], "note": f"{sum(trials for _, trials in found.values())} trials"}}
