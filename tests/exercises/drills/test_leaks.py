"""A trial's question can be answered from the sound alone: a guess, or what else can be known of it, tells nothing.

For 300 seeds a drill, spread over its rungs: mutual information between every cue and the truth, within each rung
and metre, against the same figure with the truths shuffled, which shows what chance alone gives and so corrects the
bias of the plug-in estimate. No sound is made: the drums are left out of the record, and what is compared does not
depend on them, which the first test makes sure of. The promises of ``test_promises.py`` are held on the same trials.
"""

from functools import cache

import numpy as np
import pytest
from shiboken6 import delete

from app.demo.simulated import simulate
from app.inputs.equipment import Equipment
from app.practice.learner.present_learner import PresentLearner
from app.practice.practice import Practice
from app.practice.trial.attempt import BY_TAPS
from app.practice.trial.next_trial import Ahead, Wish
from app.ui.practise.screen import PractiseScreen
from app.ui.practise.trial import ink_drawing
from exercises.drills import drills
from exercises.trial.trial import Kind
from synth.sound import mixdown
from synth.sound.mixdown import duration_frames
from tests.app.silent import SilentPlayer, silence
from tests.exercises.drills.test_promises import PROMISES, ROWS, promises_of

pytestmark = pytest.mark.proof

# What so many seeds still find is shown by ``test_a_cue_that_tells_two_answers_of_five_is_found``.
SEEDS = 300
SHUFFLES = 30
RATE_HZ = 48_000
MARKED = [one.id for one in drills().values() if one.kind is not Kind.NONE]


@pytest.fixture
def unheard(monkeypatch):
    """Trials keep their length and are not mixed."""
    monkeypatch.setattr(mixdown, "mixdown_together", silence)


def cues(trial):
    """What can be known of a trial without listening, and tempo and first beat, where these are not the question."""
    frames = max(
        [duration_frames(trial.arrangement, RATE_HZ)]
        + [round((part.start_s + part.arrangement.duration_s) * RATE_HZ) for part in trial.beside]
    )
    first = f"{trial.count.bar_in_phrase[0]}.{trial.count.beat_in_bar[0]}"
    return {
        "start": round(trial.count.beats_s[0], 6),
        "length of the sound": frames,
        "length of the file": 44 + 4 * frames,
        "beats": len(trial.count),
        "question": str(trial.question),
        "choices": str([choice.key for choice in trial.choices]),
        "help": f"{trial.help.sheet} {trial.help.voice}",
        "seed": trial.seed // len(drills()[trial.drill].rungs) % 5,
        "kit": trial.kit_seed,
        "tempo": 0.0 if trial.drill in ("tempo", "faster") else round(60 / np.diff(trial.count.beats_s[:2])[0], 3),
        "first beat": "" if trial.expected is None else first,
    }


def truths(trial):
    """What is asked, as labels: the right answer, or where the first target lies and which beat sounds first."""
    if trial.expected is not None:
        return {"answer": str(trial.expected)}
    row = round((trial.targets_s[0] - trial.count.beats_s[0]) / trial.period_s)
    return {"first target": row, "first beat": f"{trial.count.bar_in_phrase[0]}.{trial.count.beat_in_bar[0]}"}


def labels(values, most=8):
    """Values as numbers from 0: each value its own where there are few of them, else neighbours together."""
    found, inverse = np.unique(np.asarray(values), return_inverse=True)
    if len(found) <= most:
        return inverse
    order = np.argsort(np.argsort(inverse, kind="stable"), kind="stable")
    return order * most // len(order) if found.dtype.kind in "if" else inverse % most


def information_bits(cue, truth):
    """Mutual information of two rows of labels, the plug-in estimate, in bits."""
    wide = int(truth.max()) + 1
    table = np.bincount(cue * wide + truth, minlength=(int(cue.max()) + 1) * wide).reshape(-1, wide) / len(cue)
    apart = table.sum(axis=1, keepdims=True) * table.sum(axis=0, keepdims=True)
    there = table > 0
    return float((table[there] * np.log2(table[there] / apart[there])).sum())


def test_the_measure_finds_a_leak_and_finds_none_where_there_is_none():
    """A cue that is the truth holds all its bits; one that is drawn apart holds about (r-1)(c-1) / (2 n ln 2) bits.

    Bias of the plug-in estimate: Miller 1955, in Quastler, Information Theory in Psychology (from memory).
    """
    rng = np.random.default_rng(1)
    truth, other = rng.integers(4, size=2000), rng.integers(3, size=2000)
    assert information_bits(truth, truth) == pytest.approx(2.0, abs=0.01)
    assert information_bits(other, truth) == pytest.approx(6 / (2 * 2000 * np.log(2)), abs=0.004)
    group, parts = np.repeat([0, 1], [1500, 500]), (slice(1500), slice(1500, None))
    rows = np.array([truth, rng.permutation(truth)])
    means = [mean_bits([(other[part], row[part]) for part in parts]) for row in rows]
    assert grouped_bits(group, other, rows) == pytest.approx(means, rel=1e-9)


@pytest.mark.parametrize("id", MARKED)
def test_leaving_the_drums_out_changes_neither_cues_nor_truths(id, request):
    one = drills()[id]
    before = [(cues(t), truths(t)) for t in (one.make(rung, 5) for rung in range(1, len(one.rungs) + 1))]
    request.getfixturevalue("quiet")
    after = [(cues(t), truths(t)) for t in (one.make(rung, 5) for rung in range(1, len(one.rungs) + 1))]
    assert after == before


@cache
def seen(id):
    """Of ``SEEDS`` trials: cues and truths by rung and metre; how many random answers are right, the chance of it.

    And by rung and promise, in how many it is kept.
    """
    one, alike, right, chance, kept = drills()[id], {}, 0, [], {}
    promises = [promises_of(one, rung, PROMISES) for rung in range(1, len(one.rungs) + 1)]
    for seed in range(SEEDS):
        trial = one.make(1 + seed % len(one.rungs), seed)
        for words in promises[trial.rung - 1]:
            kept.setdefault((trial.rung, words), []).append(bool(PROMISES[words](trial)))
        if one.kind is Kind.NONE:
            continue
        alike.setdefault((trial.rung, int(trial.count.beat_in_bar.max())), []).append((cues(trial), truths(trial)))
        right += bool(one.mark(trial, simulate("random", trial)).right)
        chance.append(one.chance(trial))
    return alike, right, float(np.mean(chance or [0.0])), kept


@pytest.mark.parametrize("id", sorted({one.id for one, _, _ in ROWS}))
def test_a_rung_keeps_its_promise(id, quiet, subtests):
    """In nine of ten of its trials, 27 or more: one kept in seven of ten would pass once in 200 times."""
    for one, number, words in ROWS:
        if one.id != id:
            continue
        with subtests.test(f"{number}: {words}"):
            kept = seen(id)[3][number, words]
            assert len(kept) >= 27
            assert np.mean(kept) >= 0.9, one.rungs[number - 1].new


@pytest.mark.parametrize("id", MARKED)
def test_guessing_comes_out_at_chance(id, quiet):
    """Right answers of 300 random trials lie within the 99.9 % range of the binomial with the drill's own chance."""
    _, right, chance, _ = seen(id)
    from scipy.stats import binom  # takes two seconds, also of those who run no test of these

    low, high = binom.ppf([0.0005, 0.9995], SEEDS, chance)
    assert low <= right <= high


@pytest.mark.parametrize("id", MARKED)
def test_nothing_but_the_sound_tells_the_answer(id, quiet):
    """No cue holds more than chance gives (five SDs of the shuffled figure) and more than a hundredth of a bit."""
    assert leaks(seen(id)[0].values()) == {}


@pytest.mark.parametrize("id", [id for id in MARKED if drills()[id].kind not in BY_TAPS])
def test_what_is_seen_while_a_question_sounds_is_the_same_whatever_the_answer(id, quiet, unheard, qapp, monkeypatch):
    """Trials of the hardest rung with different answers, at the same moments: the whole page, pixel by pixel."""
    at_s = 0.0
    monkeypatch.setattr(ink_drawing, "now_s", lambda: at_s)
    one, seen, answers = drills()[id], [], set()
    for seed in range(1, 13):
        practice = Practice(
            Equipment(SilentPlayer()),
            PresentLearner(None),
            Ahead(lambda seed=seed: seed),
            wish=Wish(id, len(one.rungs)),
        )
        screen = PractiseScreen(practice)
        screen.ink = ink_drawing.InkDrawing(screen.sheet, np.random.default_rng(1))
        screen.resize(900, 500)
        screen.show()
        screen.go_on()
        answers.add(str(practice.trial.expected))
        frames = []
        for _ in range(120):
            at_s += ink_drawing.TICK_MS / 1000
            screen.ink._go_on()
            frames.append(screen.ink.drawing.drawn)
        seen.append((frames, screen.grab().toImage()))
        screen.close()
        delete(screen)  # closed alone it would tick on in all tests that come after
        if len(answers) > 1 and seed >= 4:
            break
    assert len(answers) > 1
    assert all(each == seen[0] for each in seen)
    assert seen[0][0][-1] > seen[0][0][0]


@pytest.mark.parametrize(("choices", "told"), [(2, 0.4), (4, 0.4), (8, 0.4)])
def test_a_cue_that_tells_two_answers_of_five_is_found(choices, told):
    """A cue that tells the answer in two trials of five, and in the others is drawn apart, in trials of nine rungs.

    Right guesses rise from 1/2 to 7/10, from 1/4 to 11/20, from 1/8 to 19/40. Found in 98 of 100 such drills;
    where it tells one answer of three in 85 or more.
    """
    rng = np.random.default_rng(3)
    found = 0
    for _ in range(40):
        pairs = []
        for _ in range(9):
            truth = rng.integers(choices, size=SEEDS // 9)
            apart = rng.integers(choices, size=len(truth))
            pairs.append((np.where(rng.random(len(truth)) < told, truth, apart), truth))
        found += leak_bits(pairs, rng) is not None
    assert found >= 39


def leaks(groups):
    """Cue and truth -> bits, where there are too many, in groups of like trials, each its cues and truths."""
    rng = np.random.default_rng(2)
    columns = [
        [{name: labels([each[name] for each in known]) for name in known[0]} for known in zip(*made, strict=True)]
        for made in groups
    ]
    first_cues, first_truths = columns[0]
    found = {
        (cue, truth): leak_bits([(cues[cue], truths[truth]) for cues, truths in columns], rng)
        for truth in first_truths
        for cue in first_cues
    }
    return {names: round(bits, 4) for names, bits in found.items() if bits}


def leak_bits(pairs, rng):
    """Bits that a cue holds above what chance gives: five SDs of the shuffled figure and 0.01; None for fewer."""
    seen = mean_bits(pairs)
    if seen < 0.01:
        return None
    group = np.repeat(np.arange(len(pairs)), [len(cue) for cue, _ in pairs])
    cue, truth = (np.concatenate(each) for each in zip(*pairs, strict=True))
    order = rng.random((SHUFFLES, len(truth)))
    shuffled = grouped_bits(group, cue, truth[np.lexsort((order, np.broadcast_to(group, order.shape)))])
    above = seen - float(np.mean(shuffled))
    return above if above > max(0.01, 5 * np.std(shuffled)) else None


def mean_bits(pairs):
    """Mean information over groups of trials, each weighed by its size."""
    return sum(len(a) * information_bits(a, b) for a, b in pairs) / sum(len(a) for a, _ in pairs)


def grouped_bits(group, cue, truths):
    """The same of each row of ``truths`` (rows, n), from groups in one row, all at once."""
    rows, groups, tall, wide = len(truths), *(int(each.max()) + 1 for each in (group, cue, truths))
    places = ((np.arange(rows)[:, None] * groups + group) * tall + cue) * wide + truths
    table = np.bincount(places.ravel(), minlength=rows * groups * tall * wide)
    table = table.reshape(rows, groups, tall, wide) / len(group)
    size = table.sum(axis=(2, 3), keepdims=True)
    apart = table.sum(axis=3, keepdims=True) * table.sum(axis=2, keepdims=True)
    there = table > 0
    bits = np.log2(np.divide(table * size, apart, where=there, out=np.ones_like(table)))
    return (table * bits).sum(axis=(1, 2, 3))
