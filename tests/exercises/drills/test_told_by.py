"""Every trial that asks for the one has something that tells it, and advice names only what is there."""

import json
from dataclasses import replace

import numpy as np
import pytest

from exercises.drills import drill
from exercises.drills.in_line import Ask
from exercises.forms.rungs import Music
from exercises.trial.kept.trial_file import trial_from_json
from exercises.trial.kept.truth import kept_truth, truth_of
from exercises.trial.trial import Answer
from synth.score.arranging.cues import DRUMS, MUSIC, Cue
from synth.score.hits import SHARP_DRUMS

pytestmark = pytest.mark.sampled(3)

ASKING = ("one", "stopped-beat", "stopped-bar", "through", "count-along")
ROWS = [(drill(id), number) for id in ASKING for number in range(1, len(drill(id).rungs) + 1)]
ADVISING = ("one", "stopped-beat", "through")


def a_trial_of_each_groove(one, number):
    """The first seed that draws each of the rung's grooves."""
    seeds, grooves = {}, set(one.rungs[number - 1].grooves)
    for seed in range(400):
        seeds.setdefault(one.draws(number, seed), seed)
        if len(seeds) == len(grooves):
            break
    assert set(seeds) == grooves
    return [one.make(number, seed) for seed in seeds.values()]


def shares(trial, drum):
    """By number of the beat, in bars with drums: the share of them on which it is struck, ghost notes aside."""
    hits, count = trial.arrangement.hits, trial.count
    loud = hits.where(hits.velocity > 0.48).only(drum).grid_s
    struck = on(loud, count.beats_s)
    drummed = np.isin(count.bar_number, np.delete(count.bar_number, trial.rest_rows()))
    return {beat: np.mean(struck[drummed & (count.beat_in_bar == beat)]) for beat in np.unique(count.beat_in_bar)}


def on(hits_s, times_s):
    """Which of the times have a hit, within 10 ms."""
    return np.abs(hits_s[:, None] - times_s).min(axis=0, initial=9.0) < 0.01


@pytest.mark.proof
@pytest.mark.parametrize(("one", "number"), ROWS, ids=[f"{one.id}-{number}" for one, number in ROWS])
def test_every_groove_of_every_rung_tells_its_one(one, number):
    """Shares over all bars, fills too, where the bars of a trial are few."""
    row = one.rungs[number - 1]
    for trial in a_trial_of_each_groove(one, number):
        hits, count = trial.arrangement.hits, trial.count
        pitched = {hits.voices[voice] for voice in np.unique(hits.voice)}
        crashes = hits.only("crash", "impact").grid_s
        crashed = on(crashes, count.beats_s[(count.beat_in_bar == 1) & (np.arange(len(count)) > 0)]).any()
        kick, *sharp = (shares(trial, drum) for drum in ("kick", *SHARP_DRUMS))
        for beat, told in enumerate(trial.tells_the_one(), 2):
            where = (trial.groove, beat, told)
            half = 2 * (beat - 1) == count.beat_in_bar.max()
            if Cue.KICK in told:
                assert kick[1] > kick[beat] + 0.3, where
            if Cue.BACKBEAT in told:
                assert any(drum[beat] > drum[1] + 0.3 for drum in sharp), where
            assert (Cue.CRASH in told) <= crashed
            for cue, parts in ((Cue.BASS, {"bass"}), (Cue.CHORDS, {"stab", "pad"}), (Cue.TUNE, {"pluck", "voice"})):
                assert (cue in told) <= bool(pitched & parts), where
            if row.even and half:
                assert not told & DRUMS, where
            # A bass alone may play alike on two beats, which the drums then tell apart.
            if row.even or row.music not in (Music.NONE, Music.BASS):
                assert told & MUSIC, where
            else:
                assert told & (DRUMS | MUSIC), where


def answers_beside(trial):
    """Wrong ones: on each other beat."""
    for beat in range(1, int(trial.count.beat_in_bar.max())):
        if trial.choices:
            yield Answer(value=str((int(trial.expected) + beat - 1) % len(trial.choices) + 1))
        else:
            yield Answer(trial.targets_s + beat * trial.period_s)


@pytest.mark.proof
@pytest.mark.parametrize("id", ADVISING)
def test_the_kick_is_advised_only_where_it_tells(id):
    """And the trial that is read back, from a file or from the logbook, is told the same."""
    one, said = drill(id), set()
    for number in range(1, len(one.rungs) + 1):
        for seed in range(4):
            trial = one.make(number, seed)
            read = trial_from_json(json.loads(json.dumps(trial.to_json())))
            kept = kept_truth(json.loads(json.dumps(truth_of(trial).to_json())))
            back = kept.trial(trial.drill, trial.rung, trial.seed, trial.version, trial.groove)
            assert read.tells_the_one() == back.tells_the_one() == trial.tells_the_one()
            for answer in answers_beside(trial):
                text = one.mark(trial, answer).text
                assert text == one.mark(read, answer).text == one.mark(back, answer).text
                told = trial.tells_the_one()
                said |= {word for word in ("kick", "pattern", "bass or") if word in text}
                if "kick" in text:
                    assert any(Cue.KICK in each for each in told), text
                if "count on the kick" in text:
                    assert Cue.KICK in told[len(told) // 2], text
                if "bass or" in text:
                    assert any(not each & DRUMS for each in told), text
                    assert all(each & MUSIC for each in told), text
    assert said == {"kick", "pattern", "bass or"}


def test_an_old_truth_says_nothing_of_what_tells_and_is_given_plain_advice():
    one = drill("one")
    trial = one.make(6, 3)
    old = replace(trial_from_json(trial.to_json()), one_cues=None)
    taps = Answer(trial.targets_s + 2 * trial.period_s)
    assert "Start your count on the kick." in one.mark(trial, taps).text
    assert "Listen for where the pattern starts again." in one.mark(old, taps).text


@pytest.mark.parametrize("number", [n for n, row in enumerate(drill("in-line").rungs, 1) if row.ask is Ask.SAME])
def test_sharp_drums_tell_two_records_apart_where_the_rung_says_so(number):
    """Nearly all of the second record's sharp drums fall on the first's where they share the one, and only there."""
    one, apart = drill("in-line"), []
    for seed in range(16):
        trial = one.make(number, seed)
        ours, theirs = (
            hits.where(hits.velocity > 0.48).only("snare", "clap", "rim").grid_s
            for hits in (trial.arrangement.hits, trial.beside[0].arrangement.hits)
        )
        theirs = theirs + trial.beside[0].start_s
        theirs = theirs[[np.abs(trial.count.beats_s - each).min() < 0.01 for each in theirs]]
        met = np.mean([np.abs(ours - each).min() < 0.02 for each in theirs])
        if trial.expected == "same":
            assert met > 0.7
        else:
            apart.append(met)
    assert (max(apart) < 0.5) == one.rungs[number - 1].sharp_tells
