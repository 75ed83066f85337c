"""The drill `land`: one instant, the turn into the outro minus the length of the second record's intro."""

import numpy as np
import pytest

from exercises.drills import drill
from exercises.trial.trial import Answer
from synth.score.arranging.song import SCALES

pytestmark = pytest.mark.sampled(3)

LAND = drill("land")
RUNGS = range(1, len(LAND.rungs) + 1)


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_pressed_on_the_instant_the_intro_ends_as_the_outro_begins(rung):
    """Both ends as the two arrangements tell them: start of the outro, start of the section after the intro."""
    for seed in range(6):
        trial = LAND.make(rung, seed)
        outro_s = next(each.start_s for each in trial.arrangement.sections if each.name == "outro")
        entry = trial.entry.arrangement
        assert entry.sections[0].name == "intro"
        assert trial.targets_s + entry.sections[1].start_s == pytest.approx(outro_s, abs=1e-9)
        assert trial.count.end_s > outro_s + 2 * 240 / trial.arrangement.tempo_bpm
        assert trial.targets_s[0] > trial.count.beats_s[0] + trial.period_s
        assert LAND.mark(trial, Answer(trial.targets_s)).right


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_the_question_tells_the_lengths_that_are_in_the_sound(rung):
    for seed in range(6):
        trial = LAND.make(rung, seed)
        sections = {each.name: each for each in trial.arrangement.sections}
        last = sections[LAND.rungs[rung - 1].last]
        bars = (sections["outro"].start_s - last.start_s) / trial.period_s / 4
        values = trial.question.values
        assert values["bars"] == pytest.approx(bars)
        assert values["intro"] == trial.entry.arrangement.intro_bars
        assert (values["bars"], values["intro"]) in LAND.rungs[rung - 1].lengths


def test_both_records_are_in_one_key():
    """Their basses play notes of one scale (the arranger draws key and chords from the seed that both share)."""
    trial = LAND.make(5, 3)
    bass = []
    for record in (trial.arrangement, trial.entry.arrangement):
        hits = record.hits.only("bass")
        bass.append({pitch % 12 for pitch in hits.pitch.tolist()})
    assert bass[1]
    steps = [{(root + step) % 12 for step in scale} for scale in SCALES.values() for root in range(12)]
    assert any(bass[0] | bass[1] <= scale for scale in steps)


@pytest.mark.parametrize("rung", RUNGS)
@pytest.mark.proof
def test_nothing_but_the_sound_tells_the_instant(rung, quiet):
    """The bar of the press is spread alike whatever lengths the question names; the sound is always as long.

    Another length in one trial of twenty is found with 0.95 in one rung.
    """
    made = [LAND.make(rung, seed) for seed in range(60)]
    assert len({(len(each.count), each.count.beats_s[0]) for each in made}) == 1  # the kit: test_leaks
    bars = {}
    for each in made:
        pair = (each.question.values["bars"], each.question.values["intro"])
        bars.setdefault(pair, []).append(-(-round((each.targets_s[0] - 1) / each.period_s) // 4))
    assert set(bars) == set(LAND.rungs[rung - 1].lengths)
    span = LAND.rungs[rung - 1].later_bars
    assert all(max(row) - min(row) <= span and len(set(row)) >= 4 for row in bars.values())
    assert len({min(row) for row in bars.values()}) <= 2


@pytest.mark.parametrize(
    ("bars", "says"),
    [
        (0, "You landed it: the intro ends as the outro begins."),
        (-4, "You came in 4 bars early. Subtract the intro's bars from the bars that are left"),
        (1, "You came in one bar late."),
    ],
)
def test_presses_are_told_in_words(bars, says):
    trial = LAND.make(4, 2)
    press_s = trial.targets_s + bars * 4 * trial.period_s
    assert LAND.mark(trial, Answer(press_s)).text.startswith(says)


@pytest.mark.proof
def test_the_blend_holds_both_records_to_the_end_of_the_entry():
    trial = LAND.make(2, 4)
    blend = trial.blend(float(trial.targets_s[0]), 16_000)
    assert len(blend) / 16_000 >= trial.entry.arrangement.duration_s
    assert np.abs(blend).max() <= 1
