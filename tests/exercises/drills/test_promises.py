"""What a rung says is new in it is there to be heard in at least nine of ten of its trials.

The promise is the rung's own sentence; whether it is kept is read off the truth that the arranger wrote down beside
the sound, and off the groove's own file. Those that need no drums are held in ``test_leaks.py``, on its trials.
"""

import re

import numpy as np
import pytest

from exercises.drills import drills
from synth.score.arranging.turns import Signal
from synth.score.departures import Departure
from synth.score.grooves import groove
from synth.score.hits import PITCHED, SHARP_DRUMS

NUMBERS = {"four": 4, "eight": 8, "sixteen": 16}


def last_s(trial):
    """Until when a learner listens for something: the last instant that counts, or else the end."""
    return float(trial.targets_s[-1]) if trial.targets_s.size else trial.count.end_s


def false_fill(trial):
    first_s = float(trial.count.beats_s[0])
    return any(
        odd.kind == Departure.FALSE_FILL and first_s + 1e-6 < odd.start_s < last_s(trial)
        for odd in trial.truth().exceptions
    )


def false_turn(trial):
    first_s = float(trial.count.beats_s[0])
    return any(
        odd.kind == Departure.FALSE_TURN and first_s + 1e-6 < odd.start_s < last_s(trial)
        for odd in trial.truth().exceptions
    )


def silent_turn(trial):
    return any(
        odd.kind == Departure.SILENT_TURN and np.abs(trial.targets_s - odd.start_s).min() < 1e-6
        for odd in trial.truth().exceptions
    )


def six_bars(trial):
    """A phrase of six bars is heard from its first beat, and the turn at its end counts."""
    count = trial.count
    whole = [
        (len(rows), count.beats_s[rows[-1] + 1])
        for number in np.unique(count.phrase_number)
        for rows in [np.flatnonzero(count.phrase_number == number)]
        if count.bar_in_phrase[rows[0]] == count.beat_in_bar[rows[0]] == 1 and rows[-1] + 1 < len(count)
    ]
    per_bar = int(count.beat_in_bar.max())
    return any(beats == 6 * per_bar and np.abs(trial.targets_s - end_s).min() < 1e-6 for beats, end_s in whole)


def hole(trial):
    """A beat or a bar without drums before a turn, at least one beat of it among those that count."""
    holes = {Signal.BEAT_WITHOUT_DRUMS, Signal.BAR_WITHOUT_DRUMS}
    return any(turn.time_s > trial.targets_s[0] and holes & set(turn.signals) for turn in trial.truth().turns)


def told_by(*signals):
    return lambda trial: all(set(signals) & set(turn.signals) for turn in trial.truth().turns)


def per_bar(*beats):
    return lambda trial: int(trial.count.beat_in_bar.max()) in beats


def helped(sheet=None, voice=None):
    return lambda trial: sheet in (None, trial.help.sheet) and voice in (None, trial.help.voice)


def turns(n):
    return lambda trial: len(trial.targets_s) == n


def kicks(trial):
    """Steps of the groove's kick, as a share of the bar."""
    steps = groove(trial.groove).lines["kick"]
    return [{at / len(bar) for at, hit in enumerate(bar) if hit} for bar in steps]


def bare_beat(trial):
    """A beat on which the groove has neither kick nor backbeat in any of its bars."""
    played = groove(trial.groove)
    loud = [bar for drum in ("kick", "snare", "clap") for bar in played.lines.get(drum, ())]
    per_bar = played.metre.beats_per_bar
    return any(not any(bar[at * len(bar) // per_bar] for bar in loud) for at in range(per_bar))


def phrase_of(number):
    return lambda trial: trial.truth().phrase_bars == NUMBERS[number]


def odd_by(*bars):
    return lambda trial: int(str(trial.expected)[1:]) in bars


# Words of a rung, as a regular expression, and what must then be true of its trials.
def pitched(trial):
    """The parts that sound besides the drums."""
    hits = trial.arrangement.hits
    return {hits.voices[voice] for voice in np.unique(hits.voice)} & set(PITCHED)


def alike_halves(trial):
    """Kick and sharp drums come alike in both halves of every second bar of a phrase, which no fill reaches."""
    hits, count = trial.arrangement.hits, trial.count
    voices = [hits.voices.index(drum) for drum in ("kick", *SHARP_DRUMS)]

    def half(row):
        start_s, end_s = count.beats_s[row] - 0.02, count.beats_s[row + 2] - 0.02
        here = np.isin(hits.voice, voices) & (hits.grid_s > start_s) & (hits.grid_s < end_s)
        return set(zip(np.rint((hits.grid_s[here] - start_s) * 40), hits.voice[here].tolist(), strict=True))

    bars = np.flatnonzero((count.beat_in_bar == 1) & (count.bar_in_phrase == 2))
    return all(half(row) == half(row + 2) for row in bars if row + 4 < len(count))


PROMISES = {
    r"one fill comes in mid-phrase|a false fill": false_fill,
    r"without any warning|without a sign|a silent turn": silent_turn,
    r"one phrase is six bars long": six_bars,
    r"leave out a beat or a bar": hole,
    r"a fill announces each turn": told_by(Signal.FILL),
    r"no crash": lambda trial: not any(Signal.CRASH in turn.signals for turn in trial.truth().turns),
    r"only the next turn counts": turns(1),
    r"only two turns to press on": turns(2),
    r"only the next three turns count": turns(3),
    r"beats before the first one": lambda trial: trial.count.bar_number[0] == 0 and trial.count.beat_in_bar[0] > 1,
    r"bars of three and of five, and six-eight, .*": per_bar(2, 3, 5),
    r"bars of three, four or five beats": per_bar(3, 4, 5),
    r"(?<!and without )a kick on every beat(?! or)": lambda trial: groove(trial.groove).kick_on == (1, 2, 3, 4),
    r"the backbeat stands on the three|half time, where": lambda trial: groove(trial.groove).backbeat_on == (3,),
    r"the second kick comes early or late": lambda trial: all(
        0.5 not in bar and any(0.25 < at < 0.75 for at in bar) for bar in kicks(trial)
    ),
    r"without a kick or a snare": bare_beat,
    r"one crash misleads": false_turn,
    r"may be heard early": lambda trial: any(odd.kind == Departure.TEASE for odd in trial.truth().exceptions),
    r"phrases of four bars": phrase_of("four"),
    r"phrases of eight bars|phrase of eight": phrase_of("eight"),
    r"phrases of sixteen bars": phrase_of("sixteen"),
    r"two bars longer or shorter|two bars more or less": odd_by(-2, 2),
    r"a single bar more or less": odd_by(-1, 1),
    r"sheet and (a )?voice count": helped(sheet=True, voice=True),
    r"sheet counts|sheet goes on|sheet alone counts": helped(sheet=True),
    r"a voice counts|the voice counts": helped(voice=True),
    r"(?<!count on )without the voice$|no voice:|the voice is silent": helped(voice=False),
    r"without help": helped(sheet=False, voice=False),
}
# Read off what plays, which the quiet records of the others lack.
HEARD = {
    r"\ba bass": lambda trial: pitched(trial) == {"bass"},
    r"with bass and chords|bass and chords show": lambda trial: (
        "bass" in pitched(trial) and bool(pitched(trial) & {"stab", "pad"})
    ),
    r"in a whole song": lambda trial: {"bass", "pluck"} <= pitched(trial),
    r"drums are alike on one and three": alike_halves,
}


def promises_of(one, number, promises):
    """Those of these promises that the sentence of a rung makes."""
    return [words for words in promises if re.search(words, str(one.rungs[number - 1].new))]


def rows(promises):
    """Every drill and rung whose sentence makes one of these promises, with it."""
    return [
        (one, number, words)
        for one in drills().values()
        for number in range(1, len(one.rungs) + 1)
        for words in promises_of(one, number, promises)
    ]


ROWS = rows(PROMISES)


@pytest.mark.proof
def test_a_rung_plays_what_it_promises(subtests):
    """All of a dozen: a promise that holds in four of five trials would pass once in fifteen times."""
    for one, number, words in rows(HEARD):
        with subtests.test(f"{one.id} {number}: {words}"):
            assert all(HEARD[words](one.make(number, seed)) for seed in range(12)), one.rungs[number - 1].new


def test_every_row_of_the_table_is_some_rungs_promise():
    assert {words for _, _, words in ROWS} == set(PROMISES)
