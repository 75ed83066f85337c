"""What a drill marks on the sheet stands where the truth says, in the trial as made and as kept."""

from dataclasses import replace

import numpy as np
import pytest

from app.demo.simulated import simulate
from exercises.drills import drill, drills
from exercises.forms.signs import signs
from exercises.logbook.old_trials.again import grid_drums
from exercises.trial.kept.truth import truth_of
from exercises.trial.sheet_marks import Shape, SheetMark, continued
from exercises.trial.trial import LOST_COUNT, Answer, Kind
from synth.score.arranging.turns import Signal
from synth.score.metre import steady_count

pytestmark = pytest.mark.sampled(3)

MARKED = [id for id, each in drills().items() if each.kind is not Kind.NONE]


def marked(drill_id, rung, seed, answer=None, *, given=None):
    """The trial, and what its sheet shows: of a value, or of an answer that may hang on the trial."""
    one = drill(drill_id)
    trial = one.make(rung, seed)
    if answer is None:
        answer = Answer(trial.targets_s, trial.expected if given is None else given)
    elif callable(answer):
        answer = answer(trial)
    found = one.sheet_marks(trial, answer, one.mark(trial, answer))
    return trial, found


def of(found, shape, *, own=False):
    return [mark.at_s for mark in found.marks if mark.shape is shape and mark.own is own]


@pytest.mark.sweep("drum", "through", "in-line")
@pytest.mark.parametrize("id", MARKED)
def test_marks_stand_on_the_sheet_and_follow_from_the_truth_that_is_kept(id, subtests):
    for who in ["perfect", "random", LOST_COUNT]:
        with subtests.test(who=who):
            one = drill(id)
            for rung in (1, len(one.rungs) // 2, len(one.rungs)):
                trial = one.make(rung, 5)
                answer = Answer(value=LOST_COUNT) if who == LOST_COUNT else simulate(who, trial, 3)
                found = one.sheet_marks(trial, answer, one.mark(trial, answer))
                kept = truth_of(trial).trial(id, rung, 5, trial.version, trial.groove)
                again = one.sheet_marks(kept, answer, one.mark(kept, answer))
                if id == "drum":  # which drum struck where is in the sound alone
                    assert again is None
                    again = found
                count = found.count or trial.count
                unlike = set(found.marks) ^ set(again.marks)
                assert all(id == "outro" and str(mark.say) == "the break" for mark in unlike)
                assert found.through == again.through
                for mark in found.marks:
                    assert count.beats_s[0] - trial.period_s < mark.at_s < count.end_s
                    if mark.shape is Shape.SHADE:
                        assert mark.at_s < mark.until_s <= count.end_s + 1e-6
                if who == "perfect" and id not in ("bring-in", "land"):  # there the learner's record is its press
                    assert not any(mark.own for mark in found.marks)


def test_a_shade_has_an_end_and_nothing_else_has():
    with pytest.raises(ValueError, match="shade"):
        SheetMark(Shape.SHADE, 1.0)
    with pytest.raises(ValueError, match="ring"):
        SheetMark(Shape.RING, 1.0, until_s=2.0)


def test_a_count_goes_on_in_phrases_of_the_same_length():
    whole = steady_count(120.0, [4, 4])
    count = continued(whole.excerpt(3, 10), 19, 4, 4)
    for name in ("beats_s", "beat_in_bar", "bar_number", "bar_in_phrase", "phrase_number"):
        assert getattr(count, name).tolist() == getattr(whole, name)[3:].tolist()
    assert count.end_s == whole.end_s


@pytest.mark.parametrize("seed", range(4))
def test_intro(seed):
    """The song comes in on the one after so many bars, as the arrangement has it; the answer where it was heard."""
    trial, found = marked("intro", 4, seed, given=7)
    (song_s,) = (mark.at_s for mark in found.marks if str(mark.say) == "the song came in")
    assert song_s == pytest.approx(next(each.start_s for each in trial.arrangement.sections if each.name == "verse"))
    assert found.through
    (own_s,) = of(found, Shape.FLAG, own=True)
    row = int(np.abs(trial.count.beats_s - own_s).argmin())
    assert (trial.count.bar_number[row], trial.count.beat_in_bar[row]) == (8, 1)
    assert [str(mark.say) for mark in found.marks if mark.own] == ["your answer: 7"]  # it ends where bar 8 begins
    hints = [odd for odd in trial.truth().exceptions if odd.kind == "tease"]
    assert len(found.marks) == 2 + len(hints)


@pytest.mark.parametrize("seed", range(3))
def test_outro(seed):
    trial, found = marked("outro", 4, seed)
    told = {str(mark.say): mark.at_s for mark in found.marks}
    starts = {each.name: each.start_s for each in trial.arrangement.sections}
    assert found.through
    assert told["the outro began"] == pytest.approx(starts["outro"])
    assert ("the break" in told) == ("break" in starts)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("id", ["stopped-beat", "stopped-bar"])
def test_stopped(id, seed):
    """The last beat is ringed, and the nearest beat of the wrong answer, which may lie in the silence."""
    one = drill(id)
    trial = one.make(3, seed)
    answers = [each for each in one.answers(trial) if each != trial.expected]
    for given in answers:
        _, found = marked(id, 3, seed, given=given)
        assert of(found, Shape.RING) == [trial.count.beats_s[-1]]
        (own_s,) = of(found, Shape.RING, own=True)
        count = trial.count if found.count is None else found.count
        row = int(np.flatnonzero(count.beats_s == own_s)[0])
        assert one.truth(int(count.bar_in_phrase[row]), int(count.beat_in_bar[row])) == given
        assert [own_s > trial.count.end_s - 1e-6] == [bool(of(found, Shape.SHADE))]
        cycle = one.cycle(one.rungs[2], 4)
        assert abs(own_s - trial.count.beats_s[-1]) <= (cycle // 2 + 1e-6) * trial.period_s


@pytest.mark.parametrize("rung", [1, 4, 6, 10])
def test_through(rung):
    """The shade covers the beats without a drum, and those alone; the flag is where the drums are back."""
    trial, found = marked("through", rung, 2)
    (shade,) = (mark for mark in found.marks if mark.shape is Shape.SHADE)
    beats_s = trial.count.beats_s
    shaded = np.flatnonzero((beats_s > shade.at_s - 1e-6) & (beats_s < shade.until_s - 1e-6))
    assert shaded.tolist() == trial.rest_rows().tolist()
    assert of(found, Shape.FLAG) == [shade.until_s] == [beats_s[shaded[-1] + 1]]


@pytest.mark.parametrize(("id", "rung"), [("turn", 4), ("turn", 7), ("turn", 9), ("before-turn", 6)])
def test_turns_and_their_signs(id, rung):
    trial, found = marked(id, rung, 1)
    told = {round(mark.at_s, 6): str(mark.say) for mark in found.marks if mark.shape is Shape.FLAG}
    turns = {round(turn.time_s, 6): turn.signals for turn in trial.truth().turns}
    for start_s in trial.count.phrase_starts_s[trial.count.phrase_starts_s > trial.count.beats_s[0]].tolist():
        assert told.pop(round(start_s, 6)) == str(signs(turns[round(start_s, 6)]))
    odd = {round(each.start_s, 6) for each in trial.truth().exceptions if each.kind in ("false fill", "false turn")}
    assert set(told) == odd
    assert all("no turn" in text for text in told.values())
    if id == "before-turn":
        assert of(found, Shape.RING) == [trial.targets_s[0]]


@pytest.mark.parametrize(
    ("signals", "words"),
    [
        ((), "no sign"),
        ((Signal.CRASH,), "a crash"),
        ((Signal.BASS_IN, Signal.CRASH, Signal.HAT_CHANGE), "a crash, then the bass came in"),
        ((Signal.CRASH, Signal.ECHO, Signal.FILL), "a fill, then a crash"),
    ],
)
def test_the_plainest_signs_are_named_in_the_order_heard(signals, words):
    assert str(signs([str(each) for each in signals])) == words


@pytest.mark.parametrize(("rung", "seed"), [(1, 1), (1, 2), (4, 1), (4, 3), (5, 2), (8, 2), (9, 4)])
def test_in_line(rung, seed):
    """The second record's ones (or phrases) stand as far from the first's as the right answer says."""
    trial, found = marked("in-line", rung, seed)
    count, other = trial.count, trial.beside[0]
    marks_s = of(found, Shape.ONE)
    record, by_bars = other.arrangement.count, rung >= 7
    rows = (record.beat_in_bar == 1) & ((record.bar_in_phrase == 1) | (not by_bars))
    assert marks_s == pytest.approx((record.beats_s[rows] + other.start_s).tolist())
    firsts_s = count.phrase_starts_s if by_bars else count.ones_s
    late = round(np.min(np.abs(firsts_s - marks_s[0])) / trial.period_s)
    assert (late == 0) == (trial.expected in ("same", "0"))
    for choice in trial.choices:
        if choice.key in (trial.expected, "apart"):
            continue
        _, found = marked("in-line", rung, seed, given=choice.key)
        own_s = of(found, Shape.ONE, own=True)
        if choice.key == "same":
            assert set(own_s) <= set(count.ones_s.tolist())
        else:
            unit_s = trial.period_s * (4 if by_bars else 1)
            cycle_s = (trial.truth().phrase_bars if by_bars else 1) * 4 * trial.period_s
            off_s = (own_s[0] - marks_s[0] - unit_s * (int(choice.key) - int(trial.expected))) / cycle_s
            assert off_s == pytest.approx(round(off_s), abs=1e-6)


def test_ahead():
    trial, found = marked("ahead", 1, 3)
    last = max(found.marks, key=lambda mark: mark.at_s)
    ones_s = trial.beside[0].arrangement.count.ones_s + trial.beside[0].start_s
    assert of(found, Shape.ONE) == pytest.approx(ones_s.tolist())
    off_ms = 1000 * float((ones_s[-1] - trial.count.beats_s)[np.abs(trial.count.beats_s - ones_s[-1]).argmin()])
    assert str(last.say) == f"{abs(round(off_ms))} ms {'ahead' if trial.expected == 'ahead' else 'behind'} here"


@pytest.mark.parametrize("off", [0.0, 1.0, 4.0])
def test_bring_in(off):
    """The learner's record has its ones from the press on; a wrong one is told where it should have started."""
    trial, found = marked("bring-in", 3, 2, lambda trial: Answer(trial.targets_s[1:2] + off * trial.period_s))
    press_s = trial.targets_s[1] + off * trial.period_s
    own_s = of(found, Shape.ONE, own=True)
    assert own_s[0] == press_s
    assert np.diff(own_s) == pytest.approx(4 * trial.period_s)
    assert of(found, Shape.RING) == pytest.approx([trial.targets_s[1]] if off else [], abs=1e-5)


def test_land():
    trial, found = marked("land", 2, 2, lambda trial: Answer(trial.targets_s - 4 * trial.period_s))
    told = {str(mark.say): mark.at_s for mark in found.marks if mark.say}
    outro_s = next(each.start_s for each in trial.arrangement.sections if each.name == "outro")
    assert told["the outro began"] == pytest.approx(outro_s)
    assert told["your intro ended"] == pytest.approx(outro_s - 4 * trial.period_s)
    assert told["it should start here"] == pytest.approx(trial.targets_s[0], abs=1e-5)


@pytest.mark.parametrize("waited", [0, 1, 3])
def test_find_again(waited):
    """The flag is where the drums come back, the ring on the one that was pressed."""
    trial = drill("find-again").make(4, 3)
    bar = (int(trial.expected) - 1 + waited) % trial.truth().phrase_bars + 1
    wrong = bar % trial.truth().phrase_bars + 1
    for said in (bar, wrong):
        answer = Answer(trial.targets_s[waited : waited + 1], str(said))
        _, found = marked("find-again", 4, 3, answer)
        gaps_s = np.diff(trial.count.beats_s)
        assert of(found, Shape.FLAG) == [trial.count.beats_s[1 + gaps_s.argmax()]]
        assert of(found, Shape.RING) == [trial.targets_s[waited]]
        own = of(found, Shape.RING, own=True)
        assert [int(trial.count.bar_in_phrase[trial.count.beats_s == at_s][0]) for at_s in own] == (
            [] if said == bar else [wrong]
        )


@pytest.mark.parametrize("seed", range(3))
def test_odd_phrase(seed):
    trial, found = marked("odd-phrase", 3, seed)
    odd, by = int(str(trial.expected)[0]), int(str(trial.expected)[1:])
    n = trial.truth().phrase_bars
    (ringed_s,) = of(found, Shape.RING)
    assert ringed_s == trial.count.phrase_starts_s[odd - 1]
    lengths = {mark.at_s: str(mark.say) for mark in found.marks}
    assert lengths[ringed_s] == f"{n + by} bars"
    assert set(lengths.values()) == {f"{n + by} bars", f"{n} bars"}
    said = next(each for each in trial.choices if each.key[0] != str(odd))
    _, found = marked("odd-phrase", 3, seed, given=said.key)
    (own,) = (mark for mark in found.marks if mark.own)
    assert own.at_s == trial.count.phrase_starts_s[int(said.key[0]) - 1]
    assert str(own.say) == f"your answer: {said.say}"  # beside the true length: never taken for it


def test_feel():
    trial, found = marked("feel", 3, 4)
    sections = trial.arrangement.count.phrase_number
    assert of(found, Shape.FLAG) == [trial.count.beats_s[sections == 2][0]]
    wrong = next(each.key for each in trial.choices if each.key != trial.expected)
    _, found = marked("feel", 3, 4, given=wrong)
    assert [str(mark.say).startswith("your answer: ") for mark in found.marks] == [False, True]


def test_faster():
    trial, found = marked("faster", 2, 1, given="first")
    starts_s = trial.count.phrase_starts_s.tolist()
    assert of(found, Shape.RING) == [starts_s[["first", "second"].index(trial.expected)]]
    assert of(found, Shape.RING, own=True) == ([] if trial.expected == "first" else [starts_s[0]])


@pytest.mark.parametrize(("groove", "kick", "snare"), [("backbeat", {1, 3}, {2, 4}), ("half-time", {1}, {3})])
@pytest.mark.parametrize("given", ["low", "sharp"])
def test_drum_shows_where_each_drum_lies_in_the_bar(groove, kick, snare, given):
    """A bar a drum. Kick and backbeat stand on these beats (common practice: rock backbeat and half time)."""
    one = drill("drum")
    for seed in range(1, 6):
        trial = one.make(3, seed, groove=groove)
        answer = Answer(value=given)
        found = one.sheet_marks(trial, answer, one.mark(trial, answer))
        assert (found.count.beat_in_bar.tolist(), found.count.bar_in_phrase.max()) == ([1, 2, 3, 4] * 2, 1)
        beats = np.array(of(found, Shape.ONE) + of(found, Shape.ONE, own=True)) / trial.period_s
        assert kick <= {round(at, 2) + 1 for at in beats if at < 4}
        assert snare == {round(at, 2) - 3 for at in beats if at >= 4}
        own = [mark.at_s for mark in found.marks if mark.own]
        assert bool(own) == (given != trial.expected)
        assert all((at_s >= 4 * trial.period_s) == (given == "sharp") for at_s in own)
        assert any(not mark.own for mark in found.marks if mark.shape is Shape.FLAG)


def test_drum_says_nothing_of_a_bar_that_it_did_not_play():
    """An old trial may sound as plain drums on its beats: they are not its own."""
    one = drill("drum")
    trial = one.make(3, 1)
    answer = Answer(value=trial.expected)
    gone = truth_of(trial).trial("drum", 99, 1, trial.version, trial.groove)  # a rung that is no more
    for old in (replace(trial, arrangement=grid_drums(trial)), gone):
        assert one.sheet_marks(old, answer, one.mark(old, answer)) is None
