"""Opens a trial of any version from its own truth, with its own sound where that can be made, else with drums."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from exercises.drills import drills
from exercises.logbook.old_trials.missing_truths import UNMARKABLE, made_truth
from exercises.trial.equipment_lag import FIGURE, excused
from exercises.trial.kept.record import TrialRecord
from exercises.trial.kept.truth import truth_of
from exercises.trial.marked import Marked
from exercises.trial.side_task import busy_result
from exercises.trial.trial import Kind, Part, Trial
from exercises.trial.versions import VERSION
from synth.base.errors import Trouble
from synth.base.words import Say, Template
from synth.score.arranging.arrangement import Arrangement
from synth.score.hits import Hits
from synth.score.metre import steady_count
from synth.score.recorded import EARLY_S, Recorded

if TYPE_CHECKING:
    from synth.catalogue.catalogue import Catalogue

ANOTHER_VERSION = Template(
    "again.another_version",
    "Another version of the program made this trial. What sounds are plain drums on its beats, not its own sound.",
)
ANOTHER_TRIAL = Template(
    "again.another_trial",
    "This trial cannot be made again as it was. What sounds are plain drums on its beats, not its own sound.",
)
NO_TRUTH = Template(
    "again.no_truth", "Another version of the program made this trial, and did not keep what it takes to open it."
)

RECORD_AWAY = Template(
    "again.record_away", "The record {title} is not to be found. What sounds are plain drums on its beats."
)
FIRST_ALONE = Template("again.first_alone", "Two records played in this trial. You hear the first one alone.")
UNMARKED = Template("again.unmarked", "This version cannot mark this trial any more, and so does not open it.")
TOO_LONG = Template("again.too_long", "This trial is longer than {minutes} minutes, and is not made into a sound.")

LONGEST_S = 600.0
VOICES = ("kick", "snare", "closed_hat")
LOUD, SOFT = 0.85, 0.5


def opened(record: TrialRecord) -> Trial:
    """The trial of a record as it was, without a sound. ``Trouble`` where it was not kept and cannot be made."""
    truth = record.truth or made_truth(record)
    if truth is None:
        raise Trouble(NO_TRUTH())
    return truth.trial(record.drill, record.rung, record.seed, record.version, record.groove)


def marked_again(record: TrialRecord, trial: Trial) -> Marked | None:
    """The trial of a record marked from its own truth, as the present program marks; None for a void one.

    ``Trouble`` where this version cannot mark it.
    """
    if record.result is None:
        return None
    try:
        drill = drills()[record.drill]
        if trial.kind is not drill.kind:
            raise ValueError(f"{drill.id} is not answered by {trial.kind}")
        uncertainty_ms = record.equipment_uncertainty_ms
        calibrated = record.calibration is not None
        result = drill.mark(trial, record.answer, uncertainty_ms=uncertainty_ms, calibrated=calibrated)
        if record.truth is not None and record.truth.side is not None:
            result = busy_result(result, record.truth.side.marks())
        if isinstance(lag_ms := record.result.get(FIGURE), int | float):
            result = excused(result, lag_ms)
        drill.sheet_marks(trial, record.answer, result)  # a truth that others wrote may not have it
        return Marked(trial, record.answer, result, calibrated)
    except UNMARKABLE:
        raise Trouble(UNMARKED()) from None


def file_of(print: str, catalogue: Catalogue | None = None) -> str | None:
    """Path of the recording with an id, as the catalogue (None: the learner's, read now) has it.

    None where the file is not there.
    """
    from synth.catalogue.catalogue import Catalogue

    known = (Catalogue() if catalogue is None else catalogue).get(print)
    return known.path if known is not None and Path(known.path).is_file() else None


def with_sound(trial: Trial, file_of: Callable[[str], str | None] = file_of) -> tuple[Trial, Say | None]:
    """The trial with a sound, and a sentence where it is not its own but ``grid_drums``.

    Its own is made where the version is the present one and the trial comes out with the same truth, or where
    ``file_of`` has the recording that was heard. ``Trouble`` for one that is longer than any.
    """
    if trial.arrangement is not None:
        return trial, None
    if trial.duration_s > LONGEST_S:
        raise Trouble(TOO_LONG(minutes=round(LONGEST_S / 60)))
    if trial.recorded is not None:
        return _recorded(trial, trial.recorded, file_of)
    if trial.version != VERSION:
        return replace(trial, arrangement=grid_drums(trial)), ANOTHER_VERSION()
    made = _made(trial)
    if made is None:
        return replace(trial, arrangement=grid_drums(trial)), ANOTHER_TRIAL()
    return replace(made, help=trial.help, kit_seed=trial.kit_seed), None


def _made(trial: Trial) -> Trial | None:
    """The same trial made again; None where it cannot be or comes out with another truth."""
    drill, own = drills().get(trial.drill), truth_of(trial)
    if drill is None or own is None:
        return None
    try:
        made = drill.make(trial.rung, trial.seed, tempo_bpm=trial.tempo_wish, groove=trial.groove_wish)
    except (Trouble, ValueError):
        return None
    again = truth_of(made)
    return made if again is not None and again.like(own) else None


def _recorded(trial: Trial, heard: Recorded, file_of: Callable[[str], str | None]) -> tuple[Trial, Say | None]:
    """The trial with the recordings that were heard, from their files."""
    path, second = file_of(heard.print), trial.second_recorded
    if path is None:
        return replace(trial, arrangement=grid_drums(trial)), RECORD_AWAY(title=heard.title)
    # What others wrote may go on for hours: no more is read than the trial lasts.
    heard = heard.within(0.0, trial.duration_s + EARLY_S).in_file(path)
    found = replace(trial, arrangement=with_recorded(trial, heard))
    if second is None:
        return found, None
    path = file_of(second.print)
    if path is not None and trial.kind is Kind.PRESS:
        return replace(found, entry=_entry(found, second.in_file(path))), None
    if path is not None and trial.others:
        return replace(found, beside=(_beside(found, second.in_file(path)),)), None
    return found, FIRST_ALONE()


def _beside(trial: Trial, second: Recorded) -> Part:
    """The recording that played together with the first, by its own count."""
    assert trial.arrangement is not None
    count, level_db = trial.others[0], drills()[trial.drill].beside_db(trial)
    start_s = float(count.beats_s[0])
    recorded = second.within(0.0, trial.duration_s + EARLY_S).moved(-start_s)
    tempo_bpm = 60.0 / float(np.median(np.diff(count.beats_s))) if len(count) > 1 else trial.arrangement.tempo_bpm
    sound = replace(trial.arrangement, count=count.shifted(-start_s), recorded=recorded, tempo_bpm=tempo_bpm)
    return Part(sound, start_s=start_s, level_db=level_db)


def _entry(trial: Trial, second: Recorded) -> Part:
    """The recording that a press starts: its first beat is at 0 s, its tempo that of the trial."""
    assert trial.arrangement is not None
    metre = trial.arrangement.metre
    recorded = second.within(0.0, LONGEST_S)
    bars = max(1, round((recorded.end_s + EARLY_S) / (trial.period_s * metre.beats_per_bar)))
    return Part(
        replace(trial.arrangement, count=steady_count(60.0 / trial.period_s, [bars], metre), recorded=recorded)
    )


def with_recorded(trial: Trial, heard: Recorded) -> Arrangement:
    """The count of a trial with what was heard of a recording, and no drums."""
    plain = grid_drums(trial)
    return replace(plain, hits=plain.hits.only(), tail_s=0.0, recorded=heard)


def grid_drums(trial: Trial) -> Arrangement:
    """Plain drums on the beats of a trial: a kick on the one and half-way, a snare on the others, hats in between.

    They rest where its own drums did.
    """
    count, truth = trial.count, trial.truth()
    rows = np.setdiff1d(np.arange(len(count)), trial.rest_rows())
    beats_s = count.beats_s[rows]
    halves_s = (beats_s + np.append(count.beats_s, count.end_s)[rows + 1]) / 2
    per_bar = truth.metre.beats_per_bar
    deep = np.isin(count.beat_in_bar[rows], (1, 1 + per_bar // 2) if per_bar % 2 == 0 else (1,))
    onset_s = np.concatenate([beats_s, beats_s, halves_s])
    voice = np.concatenate([np.where(deep, 0, 1), np.full(2 * len(rows), 2)])
    velocity = np.concatenate([np.full(len(rows), LOUD), np.full(2 * len(rows), SOFT)])
    audible = onset_s >= 0
    return Arrangement(
        count=count,
        hits=Hits.of(onset_s[audible], voice[audible], velocity[audible], VOICES),
        sections=truth.sections,
        metre=truth.metre,
        tempo_bpm=truth.tempo_bpm,
        intro_bars=truth.intro_bars,
        phrase_bars=truth.phrase_bars,
        seed=truth.seed,
        groove=trial.groove,
        turns=truth.turns,
        exceptions=truth.exceptions,
    )
