"""The drum: one of the groove's drums sounds alone, each as likely; only its sound tells which."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import chi2_contingency

from exercises.drills import drill
from exercises.forms.drill import SAME_KITS_TO
from exercises.trial.trial import Answer
from synth.score.grooves import groove

pytestmark = pytest.mark.sampled(3)

DRILL = drill("drum")
RUNGS = range(1, len(DRILL.rungs) + 1)
RATE = 16_000


def alone(trial, rate=RATE):
    """The samples of the one drum, (frames,); what sounded before it is over by then."""
    hits = trial.arrangement.hits
    last = replace(trial.arrangement, hits=hits.where(hits.onset_s == hits.onset_s[-1]))
    return replace(trial, arrangement=last).samples(rate)[round(hits.onset_s[-1] * rate) :].mean(axis=1)


def centroid_hz(sound, rate=RATE):
    power = np.abs(np.fft.rfft(sound)) ** 2
    return float(np.fft.rfftfreq(len(sound), 1 / rate) @ power / power.sum())


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_the_last_hit_is_the_answer_and_a_perfect_learner_is_right(rung):
    row = DRILL.rungs[rung - 1]
    for seed in range(6):
        trial = DRILL.make(rung, seed)
        hits = trial.arrangement.hits
        voice = hits.voices[hits.voice[-1]]
        low = {"kick": "low"}.get(voice, "sharp")
        assert trial.expected == (low if row.asks_depth else voice)
        right = [DRILL.mark(trial, Answer(value=choice.key)).right for choice in trial.choices]
        assert right == [choice.key == trial.expected for choice in trial.choices]
        assert hits.onset_s[-1] - hits.onset_s[-2] > 1.5 * trial.period_s


@pytest.mark.parametrize("rung", RUNGS)
def test_every_groove_of_a_rung_plays_the_drums_that_are_asked_for(rung):
    row = DRILL.rungs[rung - 1]
    assert all(set(row.drums) <= set(groove(name).lines) for name in row.grooves)


@pytest.mark.proof
@pytest.mark.parametrize("rung", [number for number in RUNGS if DRILL.rungs[number - 1].asks_depth])
def test_the_low_drum_sounds_lower_on_every_kit(rung, quiet):
    """The centre of the spectrum of the one drum, measured from the samples, by kit: low below sharp."""
    by_kit = {}
    for seed in range(40):
        trial = DRILL.make(rung, seed)
        by_kit.setdefault(trial.kit_seed, {}).setdefault(trial.expected, trial)
    pairs = [(each["low"], each["sharp"]) for each in by_kit.values() if len(each) == 2]
    assert len(pairs) >= (1 if rung <= SAME_KITS_TO else 4)
    assert all(centroid_hz(alone(low)) < centroid_hz(alone(sharp)) for low, sharp in pairs)


def test_the_contrast_narrows_as_rungs_rise():
    """Ratio of the centres of kick and snare, same kit and seeds, from samples: nearer at a lower contrast."""

    def ratio(rung):
        found = {}
        for seed in range(20):
            trial = DRILL.make(rung, seed, groove="disco")
            found.setdefault(trial.expected, replace(trial, kit_seed=0))
            if len(found) == 2:
                break
        return centroid_hz(alone(found["sharp"])) / centroid_hz(alone(found["low"]))

    assert ratio(1) > 1.5 * ratio(3) > 1.5 * ratio(6) > 1.5


def test_on_the_first_rung_each_drum_is_heard_alone_first_the_low_one_before_the_sharp_one():
    """In every trial alike, at the same moments and with the same force, whichever drum comes in the end."""
    shown = set()
    for seed in range(20):
        trial = DRILL.make(1, seed)
        hits = trial.arrangement.hits
        before = hits.onset_s < trial.count.beats_s[0] - 0.1
        voices = tuple(hits.voices[at] for at in hits.voice[before])
        shown.add((voices, *hits.onset_s[before], *hits.velocity[before], trial.count.beats_s[0]))
        if seed < 2:  # the kit is the same, too
            sound = trial.samples(RATE)
            assert centroid_hz(cut(sound, hits.onset_s[0])) < centroid_hz(cut(sound, hits.onset_s[1]))
        assert trial.kit_seed == 0
    assert shown == {(("kick", "snare"), 1.0, 2.0, 0.75, 0.75, 3.5)}
    assert "First the kick, then the snare." in str(trial.question)
    assert DRILL.make(2, 0).count.beats_s[0] == 1.0


def cut(sound, onset_s):
    """Nine tenths of a second from a moment on, (frames,)."""
    return sound[round(onset_s * RATE) : round((onset_s + 0.9) * RATE)].mean(axis=1)


@pytest.mark.proof
@pytest.mark.parametrize("rung", [1, 5])
def test_how_hard_the_drum_is_struck_does_not_tell_which_it_is(rung, quiet):
    """Velocity against the truth over 400 seeds: independent by chi-square, 0.1 %.

    One that followed the drum in a quarter of the trials would be found 95 times in 100 or more.
    """
    trials = [DRILL.make(rung, seed) for seed in range(400)]
    keys = [choice.key for choice in trials[0].choices]
    table = np.zeros((len(keys), 3))
    velocity = np.digitize([float(trial.arrangement.hits.velocity[-1]) for trial in trials], [0.8, 0.9])
    np.add.at(table, ([keys.index(trial.expected) for trial in trials], velocity), 1)
    assert chi2_contingency(table[:, table.any(axis=0)]).pvalue > 0.001


def test_what_was_taken_for_what_is_said():
    trial = next(t for t in (DRILL.make(5, seed) for seed in range(40)) if t.expected == "snare")
    assert DRILL.mark(trial, Answer(value="snare")).text == "That was the snare: a crack with a rattle in it."
    assert DRILL.mark(trial, Answer(value="kick")).text == (
        "That was the snare: a crack with a rattle in it. You chose the kick, which is a thump, felt more "
        "than heard. Hear it again, and compare."
    )
