"""Sentences as data."""

import importlib
import pkgutil

import pytest

import exercises
from synth.base.words import Say, Template, fields, plural, say, templates


def test_a_sentence_within_a_sentence_is_translated_too():
    sentence = Template("You were on {beat}.")(beat=Template("the three")())
    german = {"You were on {beat}.": "Du warst auf {beat}.", "the three": "der Drei"}
    assert str(sentence) == "You were on the three."
    assert sentence.rendered(german.__getitem__) == "Du warst auf der Drei."


def test_a_sentence_goes_through_json_and_back():
    sentence = Template("{n} of {what}")(n=3, what=Template("{m} ones")(m=16))
    back = Say.from_json(sentence.to_json())
    assert str(back) == "3 of 16 ones"
    assert back.to_json() == sentence.to_json()


def test_a_field_without_value_or_a_value_without_field_is_refused():
    with pytest.raises(ValueError, match="beat"):
        Template("on {beat}")()
    with pytest.raises(ValueError, match="bar"):
        Template("on {beat}")(beat=1, bar=2)


def test_plain_text_may_hold_braces():
    assert str(say("no {field} here")) == "no {field} here"


def test_one_and_many():
    one, many = Template("one bar"), Template("{n} bars")
    assert [str(plural(n, one, many)) for n in (0, 1, 2)] == ["0 bars", "one bar", "2 bars"]


def test_every_module_lists_what_it_can_say():
    """A translation table finds the sentences, those of a drill's set of words included."""
    found = {
        name: list(templates(importlib.import_module(name)))
        for _, name, _ in pkgutil.walk_packages(exercises.__path__, "exercises.")
    }
    assert "You were on {beat}. Listen for the deeper drum." in found["exercises.drills.one"]
    assert "Tap only the one, the first beat of every bar." in found["exercises.drills.one"]
    assert "the three" in found["exercises.trial.advice"]
    assert all(fields(text) is not None for texts in found.values() for text in texts)
