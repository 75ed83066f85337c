"""What is heard again: the learner's taps in the sound, or the truth and the answer one after the other."""

import numpy as np
import pytest

from app.demo.simulated import simulate
from exercises.drills import drill, drills
from exercises.trial.kept.truth import truth_of
from exercises.trial.replay import compared, tap_record, with_taps, wrong_taps
from exercises.trial.trial import LOST_COUNT, Answer, Kind
from synth.score.arranging.sequence import stretched
from synth.sound.kit import Kit
from tests.synth.sound.measures import loudness_lufs, true_peak_dbtp

pytestmark = pytest.mark.sampled(4)

RATE = 24_000  # at that of devices ``tests/synth/sound`` holds mixes to the same figures
CHOICES = [id for id, each in drills().items() if each.make(1, 1).choices or id == "tempo"]


def marked(id, rung, seed, answer):
    one = drill(id)
    trial = one.make(rung, seed)
    answer = answer(trial) if callable(answer) else answer
    return trial, answer, one.mark(trial, answer)


def wrong(trial, at=0):
    known = [each for each in drill(trial.drill).answers(trial) if each != trial.expected]
    if trial.drill == "tempo":
        return Answer(trial.targets_s, float(trial.expected) * 1.4)
    return Answer(trial.targets_s if trial.kind is Kind.TAPS else trial.targets_s[:1], known[at % len(known)])


def versions(id, rung, seed, answer=wrong):
    trial, answer, result = marked(id, rung, seed, answer)
    return trial, answer, drill(id).versions(trial, result)


def test_two_blocks_are_told_apart_by_their_pitch():
    """The loudest partial of the high one is at least an octave above that of the low one, in every kit."""
    for seed in range(6):
        peaks = [
            np.abs(np.fft.rfft(Kit(seed).take(voice).samples.sum(axis=1), 1 << 15)).argmax()
            for voice in ("high_block", "low_block")
        ]
        assert peaks[0] > 2 * peaks[1]


def test_every_tap_sounds_at_its_time_and_only_wrong_ones_are_low():
    """Of the ones and some twos and a tap that came too soon, the twos are low."""

    def taps(trial):
        early_s = [float(trial.targets_s[0]) - 2 * 4 * trial.period_s + 0.01]
        return Answer(np.sort([*early_s, *trial.targets_s + 0.02, *trial.targets_s[:3] + trial.period_s]))

    trial, answer, result = marked("one", 3, 1, taps)
    record = tap_record(trial, answer, result)
    assert record.hits.onset_s.tolist() == answer.taps_s.tolist()
    low = [record.hits.voices[voice] == "low_block" for voice in record.hits.voice.tolist()]
    off_s = (answer.taps_s[:, None] - trial.targets_s[None, :] - trial.period_s).tolist()
    assert low == [any(abs(each) < 1e-6 for each in row) for row in off_s]
    assert sum(low) == 3


def test_no_tap_stands_beyond_the_sound():
    trial, answer, result = marked("one", 3, 1, lambda trial: Answer(np.array([-0.2, 3.0, trial.duration_s + 1])))
    assert tap_record(trial, answer, result).hits.onset_s.tolist() == [3.0]
    assert tap_record(trial, Answer(), result) is None


@pytest.mark.parametrize(("off", "low"), [(0.0, []), (1.5, [0])])
def test_a_press_is_low_where_it_met_nothing(off, low):
    trial, answer, result = marked("outro", 2, 1, lambda trial: Answer(trial.targets_s - off * trial.period_s))
    assert wrong_taps(trial, answer, result).tolist() == low


def test_a_press_on_a_one_is_high_though_its_bar_was_wrong():
    trial, answer, result = marked("find-again", 2, 1, wrong)
    assert not result.right
    assert wrong_taps(trial, answer, result).tolist() == []


@pytest.mark.sweep("one", "through")
@pytest.mark.parametrize("id", ["beat", "one", "through", "turn", "feel"])
def test_a_replay_is_as_loud_as_a_trial(id):
    """-18 LUFS within 0.5 LU by pyloudnorm, at most -1 dBTP, as long as the trial, the drums where they were."""
    trial = drill(id).make(2, 2)
    answer = simulate("random", trial, 1) if id != "turn" else Answer(trial.targets_s)
    replay = with_taps(trial, answer, drill(id).mark(trial, answer), RATE)
    plain = trial.samples(RATE)
    assert replay.samples.shape == plain.shape
    assert loudness_lufs(replay.samples, RATE) == pytest.approx(-18, abs=0.5)
    assert true_peak_dbtp(replay.samples) <= -1
    assert not np.array_equal(replay.samples, plain)


def test_taps_add_to_the_sound_and_change_nothing_else():
    """Without a tap the replay is the trial, bit for bit."""
    trial, answer, result = marked("one", 2, 2, lambda trial: Answer(value=LOST_COUNT))
    assert np.array_equal(with_taps(trial, answer, result, RATE).samples, trial.samples(RATE))


@pytest.mark.sweep("drum", "feel")
@pytest.mark.parametrize("id", ["drum", "tempo", "faster", "feel", "in-line", "ahead", "odd-phrase"])
def test_both_versions_sound_one_after_the_other(id):
    """Each begins after the one before has ended, is told while it sounds, and both are as loud as a trial."""
    trial, _, found = versions(id, 2, 3)
    assert [str(each.label) for each in found] in (["it was", "your answer"], ["it was", "the others"])
    assert str(found[0].say) != str(found[1].say)
    replay = compared(found, trial.contrast, RATE)
    (first_s, ended_s), (second_s, end_s) = replay.spans_s
    assert second_s > ended_s
    assert [replay.sounding(at_s) for at_s in (0.0, first_s + 0.1, second_s - 0.1, second_s + 0.1)] == [
        None,
        0,
        None,
        1,
    ]
    assert replay.sounding(end_s + 0.1) is None
    assert loudness_lufs(replay.samples, RATE) == pytest.approx(-18, abs=0.5)
    assert true_peak_dbtp(replay.samples) <= -1


@pytest.mark.sweep("drum", "faster")
@pytest.mark.parametrize("id", CHOICES)
def test_there_are_versions_of_a_wrong_answer_and_where_ears_alone_decide(id):
    """Of a lost count there are none, but of a choice that could not be made; none where the trial has no sound."""
    one = drill(id)
    for rung in (1, len(one.rungs)):
        trial = one.make(rung, 4)
        right = one.mark(trial, simulate("perfect", trial, 1))
        lost = one.mark(trial, Answer(value=LOST_COUNT))
        everything = [str(trial.expected), *(each.key for each in trial.choices if each.key != trial.expected)]
        assert len(one.versions(trial, right)) == (len(everything) if id == "drum" else 0)
        found = one.versions(trial, lost)
        assert len(found) == (0 if one.counts else len(everything))
        assert [str(each.label) for each in found] == ["it was", *["to compare"] * (len(everything) - 1)][
            : len(found)
        ]
        kept = truth_of(trial).trial(id, rung, 4, trial.version, trial.groove)
        for result in (one.mark(kept, wrong(kept)), right, lost):
            assert one.versions(kept, result) == ()


@pytest.mark.parametrize("rung", [1, 2, 5])
def test_drum(rung):
    trial, answer, found = versions("drum", rung, 2)
    keys, row = [choice.key for choice in trial.choices], drill("drum").row_at(rung)
    for version, key in zip(found, (trial.expected, answer.value), strict=True):
        (part,) = version.make()
        hits = part.arrangement.hits
        assert {hits.voices[voice] for voice in hits.voice.tolist()} == {row.drums[keys.index(key)]}
        assert part.kit_seed == trial.kit_seed


def test_tempo():
    trial, answer, found = versions("tempo", 2, 2)
    for version, bpm in zip(found, (trial.expected, answer.value), strict=True):
        count = version.make()[0].arrangement.count
        assert 60 / np.diff(count.beats_s) == pytest.approx(bpm)
    other, own = (version.make()[0].arrangement.hits for version in found)
    assert other.voice.tolist() == own.voice.tolist()


def test_faster():
    trial, answer, found = versions("faster", 2, 2)
    paces = [np.diff(version.make()[0].arrangement.count.beats_s)[:-1].mean() for version in found]
    assert paces[0] < paces[1]
    assert [str(version.say).split(",")[0] for version in found] == [
        "the " + str(trial.expected),
        "the " + answer.value,
    ]


def test_feel():
    """The other version is the record of the same seed in the feel that was chosen."""
    _, answer, found = versions("feel", 3, 5)
    one = drill("feel")
    others = [each for each in (one.make(3, seed) for seed in range(40)) if each.expected == answer.value]
    assert others  # the rung has it
    assert str(found[1].say) == {"half": "half time", "straight": "as before", "double": "double time"}[answer.value]
    was, said = (version.make()[0].arrangement for version in found)
    assert was.hits.onset_s.tolist() != said.hits.onset_s.tolist()
    per_bar = was.metre.beats_per_bar
    assert was.count.beats_s.tolist() == pytest.approx(said.count.beats_s.tolist())
    # Until the turn both are the same record.
    turn_s = was.count.beats_s[2 * per_bar] - 0.1
    before = [each.hits.onset_s[each.hits.onset_s < turn_s].tolist() for each in (was, said)]
    assert before[0] == before[1]


@pytest.mark.parametrize(("rung", "seed"), [(1, 1), (1, 2), (4, 1), (5, 2), (6, 3)])
def test_in_line(rung, seed):
    """The second record's ones lie as many beats after the first's as was true, and as was answered."""
    trial = drill("in-line").make(rung, seed)
    for choice in (each for each in trial.choices if each.key != trial.expected):
        _, _, found = versions("in-line", rung, seed, lambda trial, key=choice.key: Answer(value=key))
        late = []
        for version in found:
            first, second = (part.arrangement.count for part in version.make())
            late.append(int(first.beat_in_bar[0] - second.beat_in_bar[0]) % 4)
        if rung < 4:
            assert [each == 0 for each in late] == [key == "same" for key in (trial.expected, choice.key)]
        else:
            assert late == [int(trial.expected), int(choice.key)]


def test_in_line_of_bars_is_heard_as_it_was():
    assert versions("in-line", 7, 1)[2] == ()


@pytest.mark.parametrize("seed", range(4))
def test_ahead(seed):
    """In one the second record's kicks come earlier and earlier, in the other later and later, by as much."""
    trial, _, found = versions("ahead", 2, seed)
    drift = []
    for version in found:
        first, second = (part.arrangement.count.beats_s for part in version.make())
        drift.append(float(second[12] - first[12] - (second[0] - first[0])))
    assert (drift[0] < 0) == (trial.expected == "ahead")
    assert drift[0] * drift[1] < 0
    assert abs(drift[1]) == pytest.approx(abs(drift[0]), rel=0.05)


def test_odd_phrase():
    trial, _, found = versions("odd-phrase", 3, 1)
    lengths = [len(set(version.make()[0].arrangement.count.bar_number[:-1].tolist())) for version in found]
    assert lengths[0] == trial.truth().phrase_bars + int(trial.expected[1:])
    assert lengths[1] == trial.truth().phrase_bars


def test_a_stretched_record_keeps_every_hit_on_its_place():
    """At another tempo each hit is as many beats into the record as before."""
    record = drill("beat").make(3, 1).arrangement
    slower = stretched(record, 1.25)
    assert slower.tempo_bpm == pytest.approx(record.tempo_bpm / 1.25)
    assert slower.hits.grid_s / np.diff(slower.count.beats_s)[0] == pytest.approx(
        record.hits.grid_s / np.diff(record.count.beats_s)[0]
    )
    with pytest.raises(ValueError, match="factor"):
        stretched(record, 0.0)
