"""How taps lay, in plain sentences: what the figures bias and spread say, for who has not met them."""

from collections.abc import Iterable, Mapping
from typing import Any

from exercises.trial.marking import FEWEST_HITS
from exercises.trial.result import TapMarks
from synth.base.words import Say, Template

# Most ms by which most people tap early: see the help's page "habit".
MOST_EARLY_MS = 50
EARLY = Template("plainly.early", "Your taps lie {ms} ms early on average.")
EARLY_AS_MOST = Template("plainly.early_as_most", "Your taps lie {ms} ms early on average; most people's do.")
LATE = Template("plainly.late", "Your taps lie {ms} ms late on average.")
# Further from zero than chance puts them, but not further than the equipment may.
EARLY_PERHAPS = Template(
    "plainly.early_perhaps",
    "Your taps lie {ms} ms early on average, but the delay of the equipment is known to {error} ms only.",
)
LATE_PERHAPS = Template(
    "plainly.late_perhaps",
    "Your taps lie {ms} ms late on average, but the delay of the equipment is known to {error} ms only.",
)
NEITHER = Template("plainly.neither", "On average your taps are neither early nor late, as far as can be measured.")
WITHIN = Template("plainly.within", "Two in three of your taps lie within {ms} ms of their average.")
AS_MOST = Template("plainly.as_most", "Most people's taps come early.")


def in_words(marks: TapMarks, calibration: Mapping[str, Any] | None, verdict: Iterable[Say] = ()) -> tuple[Say, ...]:
    """Where taps lie on average, of calibrated ones, and how closely; what the verdict says already is left out.

    ``calibration`` is that of the record. That most people tap early is said of what a microphone calibrated: by
    tapping, the habit is part of the calibration.
    """
    chance, whole = marks.bias_ci95_ms, marks.bias_within_ms
    if marks.hits < FEWEST_HITS or marks.bias_ms is None or marks.spread_ms is None:
        return ()
    if chance is None or whole is None:
        return ()
    found: list[Say] = []
    if calibration is not None:
        low, high = whole
        ms, told = round(abs(marks.bias_ms)), {say.template.id for say in verdict}
        as_most = high < 0 and ms <= MOST_EARLY_MS and calibration.get("method") == "microphone"
        if told & {"advice.early", "advice.late"}:
            found += [AS_MOST()] * as_most
        elif "advice.too_close" in told:
            pass
        elif chance[0] <= 0 <= chance[1] or not ms:
            found.append(NEITHER())
        elif low <= 0 <= high:
            perhaps = LATE_PERHAPS if marks.bias_ms > 0 else EARLY_PERHAPS
            found.append(perhaps(ms=ms, error=round(marks.uncertainty_ms)))
        else:
            found.append((LATE if low > 0 else EARLY_AS_MOST if as_most else EARLY)(ms=ms))
    return (*found, WITHIN(ms=max(1, round(marks.spread_ms))))
