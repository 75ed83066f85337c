"""Sentences as data."""

import ast
import importlib
import os
import pkgutil
import subprocess
import sys
from collections import Counter
from pathlib import Path

import msgspec
import pytest

import exercises
import synth
from synth.base.border import Unfit, fitted
from synth.base.old_words import OLD_TEXTS
from synth.base.sentences import Sentence
from synth.base.words import Say, Template, fields, plural, say, templates

ROOT = Path(__file__).parents[3]


def test_a_sentence_within_a_sentence_is_translated_too():
    sentence = Template("test.on", "You were on {beat}.")(beat=Template("test.three", "the three")())
    german = {"You were on {beat}.": "Du warst auf {beat}.", "the three": "der Drei"}
    assert str(sentence) == "You were on the three."
    assert sentence.rendered(german.__getitem__) == "Du warst auf der Drei."


def test_a_sentence_goes_through_json_and_back():
    sentence = Template("test.of", "{n} of {what}")(n=3, what=Template("test.ones", "{m} ones")(m=16))
    assert sentence.to_json() == {"say": "test.of", "with": {"n": 3, "what": {"say": "test.ones", "with": {"m": 16}}}}
    back = Say.from_json(sentence.to_json())
    assert str(back) == "3 of 16 ones"
    assert back == sentence


def test_a_sentence_of_version_0_1_0_is_read():
    """It was kept as its English text."""
    was = Template("test.was", "You were on {what}.")
    ones = Template("test.ones", "{m} ones")
    kept = {"say": "You were on {what}.", "with": {"what": {"say": "{m} ones", "with": {"m": 16}}}}
    assert Say.from_json(kept) == was(what=ones(m=16))


@pytest.mark.parametrize(
    "text",
    ["{x:>300000000}", "{0.foo}", "{x.__class__}", "{{x}} {", "}", "{x!r}", "{x:{x}}", "{x}", "test.of", "", "plain"],
)
def test_text_from_a_file_is_never_a_template(text):
    """What is not known, or lacks a value, is shown as it stands; so is a value that looks like a template."""
    Template("test.of", "{n} of {what}")
    assert str(Say.from_json({"say": text, "with": {"x": 1}})) == text
    assert str(Say.from_json({"say": "{n} of {what}", "with": {"n": text, "what": "{n}"}})) == f"{text} of {{n}}"


@pytest.mark.parametrize(
    "data", [{"say": 3}, {"say": ["x"]}, {"say": "x", "with": {"x": [1]}}, {"say": "x", "with": 3}]
)
def test_what_is_no_sentence_is_refused(data):
    with pytest.raises(TypeError):
        Say.from_json(data)


def test_a_field_without_value_or_a_value_without_field_is_refused():
    on = Template("test.on_beat", "on {beat}")
    with pytest.raises(ValueError, match="beat"):
        on()
    with pytest.raises(ValueError, match="bar"):
        on(beat=1, bar=2)


@pytest.mark.parametrize(
    ("id", "text"), [("Test.x", "x"), ("test..x", "x"), ("test.y", "{x:>9}"), ("test.y", "{x.y}"), ("test.y", "{}")]
)
def test_an_id_is_of_small_words_and_a_field_is_a_plain_name(id, text):
    with pytest.raises(ValueError, match="plain names expected"):
        Template(id, text)


def test_plain_text_may_hold_braces():
    plain = say("no {field} here {{ or }}")
    assert str(plain) == "no {field} here {{ or }}"
    assert Say.from_json(plain.to_json()) == plain


def test_one_and_many():
    one, many = Template("test.bar", "one bar"), Template("test.bars", "{n} bars")
    assert [str(plural(n, one, many)) for n in (0, 1, 2)] == ["0 bars", "one bar", "2 bars"]


def test_every_module_lists_what_it_can_say():
    """A translation table finds the sentences, those of a drill's set of words included."""
    found = {
        name: [each.text for each in templates(importlib.import_module(name))]
        for _, name, _ in pkgutil.walk_packages(exercises.__path__, "exercises.")
    }
    assert "You were on {beat}. Start your count on the kick." in found["exercises.drills.one"]
    assert "Tap only the one, the first beat of every bar." in found["exercises.drills.one"]
    assert "the three" in found["exercises.trial.verdict.tap_verdict"]
    assert all(fields(text) is not None for texts in found.values() for text in texts)


@pytest.mark.proof
def test_no_two_sentences_of_the_program_share_an_id():
    """A file may name it years later."""
    files = [file for room in ("app", "exercises", "synth") for file in (ROOT / room).rglob("*.py")]
    texts = [file.read_text(encoding="utf-8") for file in files]
    ids = [
        node.args[0].value
        for text in texts
        if "Template(" in text
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Template"
        if isinstance(node.args[0], ast.Constant)
    ]
    assert len(ids) > 500
    assert [id for id, times in Counter(ids).items() if times > 1] == []


def test_one_id_for_two_texts_is_a_wrong_call():
    Template("test.one_id", "a")
    Template("test.one_id", "a")
    with pytest.raises(ValueError, match=r"test\.one_id"):
        Template("test.one_id", "b")


def test_a_sentence_that_is_worded_in_another_way_by_now_still_reads():
    """A verdict of version 0.1.0."""
    kept = {"say": "You came in {whole} {way}.", "with": {"whole": {"say": "one beat"}, "way": {"say": "late"}}}
    assert str(Say.from_json(kept)) == "You came in one beat late."
    texts = list(OLD_TEXTS)
    assert len(set(texts)) == len(texts)


READ = """
import sys
from app.ui.logbook.trials_table import TrialsModel
from exercises.drills import drills
from synth.base.words import Say
drills()
print([id for id in sys.stdin.read().split() if Say.from_json({"say": id}).template.id != id])
"""


def test_what_a_logbook_or_a_plan_may_name_is_known_where_it_is_read():
    """Sentences are known once their module has been imported: those without a field, in a fresh process."""
    kept = ("exercises.drills", "exercises.forms", "exercises.trial", "exercises.timing", "synth.device.faults")
    ids = [
        each.id
        for room in (exercises, synth)
        for _, name, _ in pkgutil.walk_packages(room.__path__, f"{room.__name__}.")
        if name.startswith(kept)
        and not name.endswith(".bias_and_spread")  # what the window says of a result is not kept
        for each in templates(importlib.import_module(name))
        if not fields(each.text)
    ]
    assert len(ids) > 200
    surroundings = os.environ | {"QT_QPA_PLATFORM": "offscreen"}
    run = subprocess.run(
        [sys.executable, "-c", READ],
        input=" ".join(ids),
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
        cwd=ROOT,
        env=surroundings,
    )
    assert run.stdout.strip() == "[]"


def test_an_unknown_sentence_as_long_as_a_file_may_hold_is_kept_and_read_again():
    """It becomes the value of a plain one, which a file must then be able to hold."""
    unknown = Sentence(say="x" * 2000)
    fitted(msgspec.to_builtins(unknown), Sentence)
    kept = unknown.to_say().to_json()
    assert fitted(kept, Sentence).to_say() == unknown.to_say()
    with pytest.raises(Unfit):
        fitted({"say": "x" * 2001}, Sentence)
