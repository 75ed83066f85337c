"""What a drill says on a learner's record: nothing of drums, which the record may not have, and nothing of a pattern
or a sign that nobody knows of."""

import re
import sys

import numpy as np
import pytest

from app.demo.simulated import LEARNERS, simulate
from exercises.drills import drills
from exercises.drills.intro import ASKS_LEFT
from exercises.forms import told_drill
from exercises.trial.trial import LOST_COUNT, Answer, Kind
from exercises.trial.verdict import bias_and_spread, press_verdict, tap_verdict
from synth.base.errors import Trouble
from synth.base.words import Say, templates
from tests.app.ui.base.test_wording import ROWS
from tests.exercises.test_recorded import ON_RECORDS, SOURCE

# What only the program's own sound is known to have, in both languages.
DRUMS = re.compile(
    r"(?i)drum|kick|snare|\bclap|\bhats?\b|\brims?\b|\btoms?\b|crash|groove|backbeat|\bfills?\b|\bbass\b|chord"
    r"|tambor|bater|bombo|\bcajas?\b|palmada|charles|\baro\b|\britmo|relleno|\bbajo\b|acorde"
)
# What the modules of these drills say of drums, bass and chords is said of the program's own sound alone: rungs, the
# question of a drum intro, what misled in a song that was made so, and where the one is known to be a kick.
OWN_SOUND = re.compile(
    r"\.rung\.\d+$|\.introduction$"
    r"|^intro\.(asks|asks\.teased|phrase_short|at_tease|some_long)$"
    r"|^land\.asks\.(drop|chorus)$"
    r"|^turn\.at_false_(fill|turn)$|^in_line\.advice\.same$"
    r"|^one\.(beat\.(2|3|last|alike)|astray)$|^last_beat\.(turned_round|turned_round\.music|off)$"
    r"|^through\.turned_round(\.music)?$"
)
SPANISH = dict(ROWS)
# Of each rung a trial marked with a calibration and one without: both ways of both say the same sentences.
SEEDS = ((0, True), (1, False))


def whole(say: Say) -> set[str]:
    """A sentence and those within it, by id."""
    return {say.template.id}.union(*(whole(each) for each in say.values.values() if isinstance(each, Say)))


def answers(trial):
    """What learners of all habits do, one who has lost the count, and taps of several kinds."""
    found = [simulate(name, trial) for name in LEARNERS]
    found.append(Answer(value=LOST_COUNT))
    value = trial.expected
    at_s, beat_s = trial.targets_s, trial.period_s
    if at_s.size:
        half = max(1, len(at_s) // 2)
        taps = (at_s[:half], at_s[half:], at_s + beat_s / 2, at_s - beat_s, at_s + 0.12, at_s[:1] - 4 * beat_s)
        taps += (at_s[-1:] + 9 * beat_s, np.sort(np.concatenate([at_s, at_s + beat_s / 2])), at_s[:2])
        found += [Answer(np.sort(each), value) for each in taps]
    found += [Answer(trial.targets_s, choice.key) for choice in trial.choices]
    return found


def shown(one, rung):
    """Every sentence that a rung may show on a record."""
    yield one.title()
    yield one.task(on_record=True)
    if one.short is not None:
        yield one.short()
    yield one.brings(one.row_at(rung), on_record=True)
    for seed, calibrated in SEEDS:
        trial = one.make(rung, seed, recording=SOURCE)
        yield trial.question
        yield from (choice.say for choice in trial.choices)
        for answer in answers(trial):
            try:
                result = one.mark(trial, answer, uncertainty_ms=4.0, calibrated=calibrated)
            except Trouble as trouble:  # such as without an answer, which the window does not let happen
                yield trouble.says
                continue
            yield from result.verdict
            if result.taps is not None:
                yield from bias_and_spread.in_words(result.taps, {} if calibrated else None, result.verdict)
            marks = one.sheet_marks(trial, answer, result)
            yield from (each.say for each in (marks.marks if marks else ()) if each.say is not None)
            yield from (version.label for version in one.versions(trial, result))


@pytest.mark.proof
@pytest.mark.parametrize("one", ON_RECORDS, ids=[one.id for one in ON_RECORDS])
def test_no_sentence_on_a_record_speaks_of_drums_in_either_language(one):
    says = [say for rung in range(1, len(one.rungs) + 1) for say in shown(one, rung)]
    ids = set().union(*map(whole, says))
    assert [text for text in set(map(str, says)) if DRUMS.search(text)] == []
    texts = {say.template.text for say in says}
    assert [text for text in texts if DRUMS.search(SPANISH.get(text, ""))] == []
    assert [id for id in ids if OWN_SOUND.search(id)] == []
    assert len(ids) > (6 if one.kind is Kind.NONE else 10)  # of questions, verdicts and advice


def modules():
    """Those of the drills, with what stands in a room, and of what they share."""
    drills = {type(one).__module__ for one in ON_RECORDS}
    of_drills = [sys.modules[name] for name in sorted(sys.modules) if {name, name.rpartition(".")[0]} & drills]
    return [*of_drills, told_drill, bias_and_spread, press_verdict, tap_verdict]


@pytest.mark.parametrize("module", modules(), ids=lambda module: module.__name__.removeprefix("exercises."))
def test_what_these_drills_say_of_drums_is_written_down(module):
    """Also what no learner above came across: a new sentence is true of records, or is said of own sound alone."""
    found = {each.id for each in templates(module) if DRUMS.search(each.text)}
    assert {id for id in found if not OWN_SOUND.search(id)} == set()


def test_the_intro_is_asked_about_as_a_record_has_it():
    one = drills()["intro"]
    assert one.task(on_record=True).template is ASKS_LEFT
    assert one.task(on_record=False).template is one.asks


@pytest.mark.parametrize(
    ("drill", "rung", "words"),
    [
        ("beat", 1, "sheet and voice count along"),
        ("beat", 2, "the sheet counts along"),
        ("beat", 9, "without help"),
        ("stopped-bar", 1, "a voice counts the first bars"),
        ("turn", 1, "a voice counts along"),
        ("through", 4, "2 silent bars; without help"),
        ("through", 1, "one silent bar; sheet and voice count along"),
        ("tempo", 2, "within 10 %; without help"),
        ("ahead", 1, "2.5 % apart; without help"),
    ],
)
def test_of_a_rung_only_what_holds_on_a_record_is_said(drill, rung, words):
    one = drills()[drill]
    assert str(one.brings(one.row_at(rung), on_record=True)) == words


def test_no_sign_is_named_at_a_turn_of_a_record():
    """Nobody knows what announces it."""
    one = drills()["turn"]
    trial = one.make(2, 3, recording=SOURCE)
    marks = one.sheet_marks(trial, Answer(trial.targets_s), one.mark(trial, Answer(trial.targets_s))).marks
    assert len(marks) > 1
    assert {each.say for each in marks} == {None}
    own = one.make(2, 3)
    marks = one.sheet_marks(own, Answer(own.targets_s), one.mark(own, Answer(own.targets_s))).marks
    assert None not in {each.say for each in marks}
