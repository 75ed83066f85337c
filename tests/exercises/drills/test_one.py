"""The drill `one`, through the real path: rung and seed to trial to simulated learner to verdict."""

import json
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from app.demo.simulated import LEARNERS, on_beat, shifted, simulate
from exercises.drills import drill, drills
from exercises.forms.rungs import Rung
from exercises.trial.trial import Answer, Kind
from synth.base.errors import Trouble
from synth.base.words import Template
from synth.score.grooves import groove

pytestmark = pytest.mark.sampled(3)

ONE = drill("one")
RUNGS = range(1, len(ONE.rungs) + 1)


def marked(taps_s, trial, **more):
    return ONE.mark(trial, Answer(np.sort(taps_s)), **more)


@pytest.fixture
def trial():
    return ONE.make(3, 5)


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_same_rung_and_seed_give_the_same_trial(rung):
    first, second = ONE.make(rung, 8), type(ONE)().make(rung, 8)  # another drill: see ``conftest.py``
    assert first.to_json() == second.to_json()
    assert np.array_equal(first.arrangement.hits.onset_s, second.arrangement.hits.onset_s)


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
def test_the_truth_is_in_the_drums(rung):
    """Targets are ones of the count, as many as the rung says; a kick sounds on each, but where a fill may be.

    That the kick marks the one of all four grooves is common practice; the sound comes from the groove files.
    """
    for seed in range(5):
        trial = ONE.make(rung, seed)
        count, hits = trial.count, trial.arrangement.hits
        assert len(trial.targets_s) == ONE.rungs[rung - 1].ones
        assert np.isin(trial.targets_s, count.ones_s).all()
        plain = count.beats_s[(count.beat_in_bar == 1) & (count.bar_in_phrase < trial.arrangement.phrase_bars)]
        ones_s = np.intersect1d(trial.targets_s, plain)
        kicks_s = hits.onset_s[hits.voice == hits.voices.index("kick")]
        assert np.abs(kicks_s[:, None] - ones_s).min(axis=0).max() < 0.03


@pytest.mark.proof
@pytest.mark.parametrize("rung", RUNGS)
def test_the_drums_start_on_every_beat_of_the_rung(rung, quiet):
    """A beat that one trial of ten should not start on is found with 0.98."""
    starts = {int(ONE.make(rung, seed).count.beat_in_bar[0]) for seed in range(40)}
    assert starts == set(ONE.rungs[rung - 1].starts)


def test_a_wish_for_tempo_or_groove_leaves_the_start_as_it_was():
    plain, wished = ONE.make(3, 9), ONE.make(3, 9, tempo_bpm=90, groove="four-on-the-floor")
    assert wished.count.beat_in_bar.tolist() == plain.count.beat_in_bar.tolist()
    assert (wished.period_s, wished.groove) == (pytest.approx(60 / 90), "four-on-the-floor")


@pytest.mark.sweep
@pytest.mark.parametrize("id", list(drills()))
def test_a_wish_for_a_tempo_leaves_every_drills_trial_as_it_was(id, quiet):
    """The same answer, groove, kit and beats of the count, where the wish is for the tempo that was drawn anyway or a
    near one; how many beats sound depends on the tempo in some drills."""
    one = drill(id)
    for rung in range(1, len(one.rungs) + 1):
        plain = one.make(rung, 7)
        wished = one.make(rung, 7, tempo_bpm=plain.arrangement.tempo_bpm + 1)
        n = min(len(plain.count), len(wished.count), 8)
        assert (wished.groove, wished.kit_seed) == (plain.groove, plain.kit_seed)
        assert wished.arrangement.seed == plain.arrangement.seed
        assert wished.count.beat_in_bar[:n].tolist() == plain.count.beat_in_bar[:n].tolist()
        assert wished.expected == plain.expected or id == "tempo"


def test_a_groove_without_a_whole_tempo_takes_the_rungs_own():
    """An own groove may say "tempo: 100.5"."""
    odd = replace(groove("backbeat"), tempo_range_bpm=(100.5, 100.5))
    rung = Rung(id="x", new=Template("test.new", "x"), tempo_bpm=(90, 120), grooves=("backbeat",))
    assert 90 <= rung.draw_tempo(np.random.default_rng(1), odd) <= 120


@pytest.mark.parametrize("rung", [0, 99])
@pytest.mark.parametrize(
    ("id", "use"),
    [
        ("through", lambda one, trial: one.mark(trial, Answer(trial.targets_s))),
        ("in-line", lambda one, trial: [one.mark(trial, Answer(value=each.key)) for each in trial.choices]),
        ("intro", lambda one, trial: one.answers(trial)),
        ("turn", lambda one, trial: one.chance(trial)),
    ],
)
def test_a_file_of_a_rung_that_does_not_exist_is_trouble(id, use, rung):
    one = drill(id)
    with pytest.raises(Trouble, match="has rungs 1 to"):
        use(one, replace(one.make(1, 1), rung=rung, rules={}))


@pytest.mark.parametrize(
    ("learner", "says"),
    [
        ("perfect", "You had the one every time: 16 of 16. Your taps were on time and steady."),
        (
            "early",
            "You had the one every time: 16 of 16. Your taps came about 30 ms early. Let the beat come to you.",
        ),
        ("on-the-three", "You were on the three. Listen for where the pattern starts again."),
        ("half-time", "You had the one of every second bar."),
        ("every-beat", "You tapped every beat. Count them, and tap only when you say 1."),
        ("silent", "No tap came in."),
    ],
)
def test_learners_of_known_habit_are_told_their_habit(trial, learner, says):
    result = ONE.mark(trial, simulate(learner, trial))
    assert result.text.startswith(says)
    assert result.right is (learner in {"perfect", "early"})


@pytest.mark.sweep
@pytest.mark.parametrize("rung", RUNGS)
@pytest.mark.parametrize(("beat", "name"), [(2, "the two"), (3, "the three"), (4, "the four")])
def test_steadily_on_another_beat_is_named_on_every_rung(rung, beat, name):
    trial = ONE.make(rung, 21)
    result = ONE.mark(trial, on_beat(beat, 20.0)(trial, np.random.default_rng(1)))
    assert result.text.startswith(f"You were on {name}.")
    assert result.taps.beat_tapped[beat] == 1


@pytest.mark.parametrize(
    ("metre", "beat", "says"),
    [
        ("waltz", 3, "You were on the three. Wait one beat more"),
        ("backbeat", 4, "You were on the four. Wait one beat more"),
        ("five-four", 4, "You were on the four. Listen for where the pattern starts again."),
        ("five-four", 5, "You were on the five. Wait one beat more"),
    ],
)
def test_one_beat_more_is_said_of_the_last_beat_of_the_bar_alone(metre, beat, says):
    trial = ONE.make(3, 5, groove=metre)
    assert ONE.mark(trial, on_beat(beat, 20.0)(trial, np.random.default_rng(1))).text.startswith(says)


def test_no_sentence_says_how_many_beats_a_bar_has():
    """Any groove can be wished for."""
    trial = ONE.make(3, 5, groove="waltz")
    for taps_s in (trial.targets_s[::2], trial.count.beats_s):
        assert "four" not in marked(taps_s, trial).text
        assert "1 2 3 4" not in marked(taps_s, trial).text


def test_other_ways_of_tapping_are_named(trial):
    ones, beat = trial.targets_s, trial.period_s
    told = {
        "You tapped twice a bar, on the one and the three.": np.append(ones, ones + 2 * beat),
        "You tapped twice a bar, on the two and the four.": np.append(ones + beat, ones + 3 * beat),
        "You tapped twice in every beat, in double time.": np.arange(ones[0], ones[-1], beat / 2),
        "Your taps fell between the beats.": ones + beat / 2,
        "The first 3 went by before you found it.": ones[3:],
        "You had the one: 13 of 16. You stopped 3 bars before the end.": ones[:-3],
        "You lost it for the last 3.": np.append(ones[:-3], ones[-3:] + beat),
        "You tapped faster than the beat.": ones[0] + np.arange(40) * beat / 2.4,
        "You had the one: 9 of 16. You stopped 7 bars before the end.": ones[:9],
        "You started on the one and ended on the two.": np.append(ones[:8], ones[8:] + beat),
        "You were on the three.": ones[::2] + 2 * beat,
        "There were too few taps": ones[:3] + beat,
        "Your taps did not settle on the beat.": ones[0] + np.arange(20) * 1.31 * beat,
        "Your taps were in time, but on changing beats.": ones + beat * np.tile([0, 1, 2, 3], 4),
    }
    for sentence, taps_s in told.items():
        assert sentence in marked(taps_s, trial).text


def test_taps_that_fall_behind_or_run_ahead_are_told_so():
    """Eight ones from +57 to +250 ms, as a learner tapped them: within the window (a third of the beat) are four."""
    trial = ONE.make(1, 5, tempo_bpm=120)
    for sign, says in ((1, "You slowed down: your taps fell further and further behind."), (-1, "You sped up:")):
        result = marked(trial.targets_s + sign * np.linspace(0.057, 0.25, 8), trial)
        assert (result.taps.hits, result.taps.extra, result.right) == (4, 4, False)
        assert result.text.startswith(says)
        assert "about 28 ms" in result.text
        assert result.figures["drift_ms_per_bar"] == pytest.approx(sign * 193 / 7, abs=0.001)


def test_nobody_on_the_one_is_told_to_be_on_another_beat():
    """Early, late, scattered, too few, too slow or too fast: the one is never told as the beat that was tapped
    instead."""
    rng = np.random.default_rng(4)
    for seed in range(60):
        trial = ONE.make(1 + seed % len(ONE.rungs), seed)
        ones = trial.targets_s[np.sort(rng.permutation(len(trial.targets_s))[: rng.integers(4, 9)])]
        for taps_s in (ones + rng.uniform(-0.25, 0.25), ones + rng.uniform(-0.2, 0.3, len(ones))):
            assert "You were on the one" not in marked(taps_s, trial).text


def test_no_verdict_is_longer_than_two_entries(trial):
    assert all(1 <= len(ONE.mark(trial, simulate(name, trial)).verdict) <= 2 for name in LEARNERS)


def test_early_and_late_are_told_apart(trial):
    assert "40 ms late" in marked(trial.targets_s + 0.04, trial).text
    assert "40 ms early" in marked(trial.targets_s - 0.04, trial).text


def test_without_calibration_nobody_is_called_early_or_late(trial):
    for by_s in (-0.06, 0.06):
        text = marked(trial.targets_s + by_s, trial, calibrated=False).text
        assert text == "You had the one every time: 16 of 16. Your taps were steady."


def test_what_hardly_anyone_would_notice_is_not_called_early(trial):
    """Below 2.5 % of the beat (Friberg & Sundberg 1995): at this tempo about 13 ms."""
    heard_s = 0.025 * trial.period_s
    assert "early" not in marked(trial.targets_s - 0.9 * heard_s, trial).text
    assert "ms early" in marked(trial.targets_s - 1.1 * heard_s, trial).text


def test_a_bias_within_the_uncertainty_is_not_called_early(trial):
    assert "ms early" not in marked(trial.targets_s - 0.03, trial, uncertainty_ms=31).text
    assert "ms early" in marked(trial.targets_s - 0.03, trial, uncertainty_ms=29).text


@pytest.mark.parametrize("sign", [-1, 1])
def test_on_time_is_said_only_where_interval_and_uncertainty_lie_within_what_is_heard(trial, sign):
    """Else, unless early or late is sure, it is too close to tell (the band: Friberg & Sundberg 1995)."""
    rng = np.random.default_rng(4)
    band_ms, found = 25 * trial.period_s, set()
    for bias_ms, uncertainty_ms in [(by, of) for by in np.linspace(0, 25, 11) for of in (0, 4, 8, 16)]:
        result = marked(
            trial.targets_s + (sign * bias_ms + rng.normal(0, 6, 16)) / 1000, trial, uncertainty_ms=uncertainty_ms
        )
        low, high = result.taps.bias_ci95_ms
        inside = max(high + uncertainty_ms, uncertainty_ms - low) <= band_ms
        off = max(low, -high) > uncertainty_ms and abs(result.taps.bias_ms) > band_ms
        said = {
            "on time and steady": inside,
            "too close to tell": not (inside or off),
            "ms early": False,
            "ms late": False,
        }
        said["ms late" if sign > 0 else "ms early"] = off
        assert {words for words in said if words in result.text} == {words for words, true in said.items() if true}
        found |= {words for words in said if words in result.text}
    assert len(found) == 3


def test_a_bias_that_so_few_taps_cannot_tell_is_not_called_early(trial):
    """Mean -20 ms, but the interval of the mean reaches across zero."""
    errors_s = np.tile([-0.11, 0.07], 8)
    text = marked(trial.targets_s + errors_s, trial).text
    assert "early" not in text
    assert "wandered by about 93 ms" in text


def test_a_learner_of_known_bias_and_spread_is_measured_right():
    """64 ones of a learner with -30 and 25 ms: both figures within four of their standard errors."""
    trial = ONE.make(3, 1)
    errors = [
        ONE.mark(trial, shifted(-30, 25)(trial, np.random.default_rng(seed))).taps.errors_ms for seed in range(40)
    ]
    pooled = np.concatenate(errors)
    assert pooled.mean() == pytest.approx(-30, abs=4 * 25 / np.sqrt(pooled.size))
    assert pooled.std() == pytest.approx(25, abs=4 * 25 / np.sqrt(2 * pooled.size))


def test_the_json_has_the_keys_of_the_command(trial):
    data = json.loads(json.dumps(ONE.mark(trial, simulate("beginner", trial)).to_json(), allow_nan=False))
    figures = {"targets", "hits", "missed", "extra", "bias_ms", "spread_ms", "bias_ci95_ms", "uncertainty_ms"}
    assert figures | {"errors_ms", "beat_tapped", "verdict"} <= set(data)
    assert set(data["beat_tapped"]) == {"1", "2", "3", "4"}


def test_the_registry_lists_drills_in_ladder_order_and_offers_near_names():
    assert [each.ladder for each in drills().values()] == sorted(each.ladder for each in drills().values())
    with pytest.raises(Trouble, match="Did you mean one"):
        drill("oen")


@pytest.mark.sweep
@pytest.mark.parametrize("id", list(drills()))
def test_every_drill_has_the_form(id, quiet):
    """Eight rungs or more that can be listed, a sentence that asks, and a trial on every rung."""
    each = drill(id)
    assert len(each.rungs) >= 8
    assert str(each.asks()).endswith((".", "?"))
    assert json.dumps([rung.to_json() for rung in each.rungs])
    assert all(each.make(rung, 0).kind in Kind for rung in range(1, len(each.rungs) + 1))


@pytest.mark.parametrize("rung", [0, -1, 99])
def test_a_rung_that_does_not_exist_is_trouble(rung):
    with pytest.raises(Trouble, match="has rungs 1 to"):
        ONE.make(rung, 1)


def test_a_seed_below_nought_and_a_tempo_out_of_range_are_refused():
    with pytest.raises(ValueError, match="seed"):
        ONE.make(1, -1)
    with pytest.raises(ValueError, match="tempo"):
        ONE.make(1, 1, tempo_bpm=300)
    with pytest.raises(Trouble, match="groove"):
        ONE.make(1, 1, groove="nothing-like-it")


def test_help_fades_as_rungs_rise():
    help = [rung.help for rung in ONE.rungs]
    assert (help[0].sheet, help[0].voice) == (True, True)
    assert (help[-1].sheet, help[-1].voice) == (False, False)
    assert all(later.voice <= earlier.voice and later.sheet <= earlier.sheet for earlier, later in pairwise(help))


@pytest.mark.parametrize("tempo_bpm", [(120, 100), (30, 100), (100, 300)])
def test_a_rung_with_an_impossible_tempo_is_refused(tempo_bpm):
    with pytest.raises(ValueError, match="tempo"):
        Rung(id="x", new=Template("test.new", "x"), tempo_bpm=tempo_bpm, grooves=("backbeat",))


def test_a_learner_that_does_not_exist_is_trouble(trial):
    with pytest.raises(Trouble, match="perfect"):
        simulate("perfekt", trial)
