"""Calibration by tapping: relaxed taps along with even clicks.

Each tap belongs to a click, and the robust middle of their deviations is the lag, the learner's habit included. After
the sound stumbled, taps that surely fell before it are kept, and clicks for the others are played anew.
"""

from dataclasses import dataclass

import numpy as np

from exercises.calibration.lag import FEWEST, Middle, middle
from synth.base.arrays import Seconds
from synth.base.words import Say, Template

# Clicks 600 ms apart, within the 400 to 1000 ms in which people tap most evenly (common practice); the first ones
# only show the way.
CLICK_GAP_S = 0.6
WAY_IN = 4
FIRST_S = 0.5
# Taps wanted, and clicks beyond those, for taps left out; the measurement ends with the last tap wanted.
TAPS = 30
SPARE = 10
# A tap belongs to a click from this many seconds before it until one gap later.
EARLIEST_S = 0.2
# After a stumble the taps of so many seconds before it are left out, for it may be noticed that late.
UNSURE_S = 1.6
# Largest accepted 95 % error of the lag in ms: 2.5 % of 600 ms, which a listener just hears.
UNSURE_MS = 15.0

TAPPED = Template(
    "bench.tapped",
    "By the clock of the program your relaxed tap comes {lag} ms after the click. That counts as on time now.",
)
TAPPED_BEFORE = Template(
    "bench.tapped_before",
    "By the clock of the program your relaxed tap comes {lag} ms before the click. That counts as on time now.",
)
TOO_FEW = Template(
    "bench.too_few", "Too few taps: {n}. At least {least} are needed, {most} are better. Tap along with every click."
)
UNSURE = Template(
    "bench.unsure",
    "Your taps wander too much to find the lag: it would only be good to {error} ms. Try again, relaxed.",
)


@dataclass(frozen=True, slots=True, eq=False)
class Tapping:
    """Outcome of the taps with its sentence: their robust middle where they were enough, ``lag`` if it counts."""

    say: Say
    middle: Middle | None = None
    lag: Middle | None = None


def even_clicks_s(kept: int = 0) -> Seconds:
    """Onsets of the clicks in the played sound, in seconds, where so many taps are kept from before a stumble."""
    return np.asarray(FIRST_S + CLICK_GAP_S * np.arange(WAY_IN + TAPS - kept + SPARE), np.float64)


def off_clicks_ms(taps_s: Seconds, starts_s: Seconds) -> Seconds:
    """Deviation of each tap from its click in ms; taps outside the clicks, and on the way in, are omitted.

    ``taps_s``: seconds of the played sound; ``starts_s``: its clicks. A tap may be ``EARLIEST_S`` early and, with a
    slow output, almost a whole gap late; so the taps' common delay is found first, and every tap is assigned relative
    to it.
    """
    taps = np.asarray(taps_s, np.float64) - starts_s[WAY_IN]
    taps = taps[(taps >= -EARLIEST_S) & (taps < (len(starts_s) - WAY_IN) * CLICK_GAP_S)]
    if not len(taps):
        return np.empty(0)
    turn = 2 * np.pi * taps / CLICK_GAP_S
    common = float(np.angle(np.mean(np.exp(1j * turn)))) / (2 * np.pi) * CLICK_GAP_S
    common = (common + EARLIEST_S) % CLICK_GAP_S - EARLIEST_S
    off = (taps - common + CLICK_GAP_S / 2) % CLICK_GAP_S - CLICK_GAP_S / 2
    return np.asarray(1e3 * (off + common))


def surely_before(taps_s: Seconds, noticed_s: float) -> Seconds:
    """The taps that fell before a stumble of the sound that was noticed then."""
    return taps_s[taps_s < noticed_s - UNSURE_S]


def still_wanted(taps_s: Seconds, starts_s: Seconds, kept: int = 0) -> int:
    """How many taps are still wanted, one a click, where so many are kept from before a stumble."""
    at_s = taps_s - starts_s[WAY_IN] + EARLIEST_S
    clicks = len(set((at_s[at_s >= 0] // CLICK_GAP_S).tolist()))
    return max(0, TAPS - kept - clicks)


def judge(off_ms: Seconds) -> Tapping:
    """The lag in the deviations of all taps, unless they are too few or wander too much."""
    if len(off_ms) < FEWEST:
        return Tapping(TOO_FEW(n=len(off_ms), least=FEWEST, most=TAPS))
    found = middle(off_ms)
    low, high = found.ci95_ms
    if (high - low) / 2 > UNSURE_MS:
        return Tapping(UNSURE(error=f"{(high - low) / 2:.0f}"), found)
    tapped = TAPPED_BEFORE if found.middle_ms < 0 else TAPPED
    return Tapping(tapped(lag=f"{abs(found.middle_ms):.0f}"), found, found)
