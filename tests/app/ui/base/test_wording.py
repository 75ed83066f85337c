"""Wording: what the window says is short, has one word for one thing, and stands alone, in both languages."""

import importlib
import importlib.util
import re
import tomllib

import pytest

import assets
from exercises.drills import drills
from exercises.trial.result import Result, said
from synth.base.words import Template, templates

LONGEST = 25  # words of a sentence
# What a rung cannot say by itself: it refers to another rung or to a title.
LEANING = re.compile(r"\b(these|those|this|it|its|them|they|too|all three|the two|any more|no more|as well|still)\b")
# Numbers that are never 1 where these stand: lengths of phrases and intros, lists of at least so many, or a singular
# that the program says in another sentence.
NEVER_ONE = {
    # A phrase has four bars or more, and of an intro two at least are left.
    "The first record's phrases have {phrase} bars. Of the next record's intro {intro} bars are left. "
    "Press once to start it so that its intro ends as a phrase turns.",
    "It comes back within about {n} days.",
    "Phrases of {n} bars.",
    "Phrases of {n} bars",
    "phrases of {n} bars",
    "Drum intro: {n} bars",
    "{title} is too long for one sound: at most {minutes} minutes can be written.",
    "Tap the one of the next {n} bars too.",
    "Over {n} beats of silence near {tempo} BPM your inner beat varied by {ms} ms (95 %: {low} to {high}).",
    "{drill}: rung {rung} of {rungs} (95 %: {low} to {high}), from {n} answers.",
    "This trial is longer than {minutes} minutes, and is not made into a sound.",
    "Silence played for {seconds} s: {blocks} blocks served, faults: {faults}.",
    "You had the beat: {hits} of {targets}. You stopped {n} beats before the end.",
    "The first {n} beats went by before you were in.",
    "You lost it for the last {n} beats. Keep nodding, even where the music changes.",
    "The intro was {n} bars long.",
    "You said {given}; the intro was {n} bars long.",
    "You said {given}; {n} bars were left of the intro.",
    "{title} is too short for a phrase of {bars} bars.",
    "It was the {answer}; the others had {n} bars.",
    "You had the one: {hits} of {targets}. You stopped {n} bars before the end.",
    "A phrase has {bars} bars. The music stops: which bar of the phrase was it, and which beat?",
    "You said {given} where it was {expected}, in {n} of {asked} answers. Before you say {given}, compare the two.",
    "Too soon to see whether the spread changes: that takes {days} days and {trials} trials on one device.",
    "Lately {percent} % of {asked} answers were right (95 %: {low} to {high} %).",
    "Press once, {before} before the second turn: with the one of that bar. A phrase has {phrase} bars.",
    "The phrases are {n} bars long.",
    "The drums stop and return somewhere else in a phrase of {bars} bars. As soon as you know where you are, "
    "press on the one of a bar; then say which bar it was. The sooner, the better.",
    "You pressed at the fill: it was in mid-phrase. Count on to the end of the {n} bars.",
    "You pressed at the crash: it was in mid-phrase. Count on to the end of the {n} bars.",
    "You pressed in every bar. A phrase is longer: these turn after {n} bars.",
    "You pressed every {k} bars. These phrases are {n} bars long: count on to the end.",
    "You pressed far more often than the phrases turn. Press only when {n} bars have passed.",
    "One turn came without a sign. Only the count finds it: these phrases are {n} bars long.",
    "When the drums come back after the break, {bars} bars follow, then the outro. "
    "The next record has an intro of {intro} bars. "
    "Press once to start it so that its intro ends as the outro begins.",
    "When the voice enters, a chorus of {bars} bars begins, then comes the outro. "
    "The next record has an intro of {intro} bars. "
    "Press once to start it so that its intro ends as the outro begins.",
}
THINGS = "taps|trials|bars|beats|answers|minutes|days|weeks|rungs|times|targets|turns|phrases|blocks"
COUNTED = re.compile(rf"{{(\w+)}} (?:silent )?({THINGS})\b")


def _load(name):
    spec = importlib.util.spec_from_file_location(name, assets.path("languages", f"{name}.py"))
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


make_languages = _load("make_languages")
ROWS = [(source, text) for _, source, text, _ in make_languages.messages(make_languages.table("es"))]
TEXTS = {"en": sorted({source for source, _ in ROWS}), "es": sorted({text for _, text in ROWS})}
GLOSSARY = tomllib.loads(assets.path("languages", "glossary.toml").read_text(encoding="utf-8"))
FORBIDDEN = [
    *((name[-2:], each) for word in GLOSSARY["word"] for name in ("not_en", "not_es") for each in word.get(name, ())),
    *((language, each) for language, never in GLOSSARY["never"].items() for each in never),
]


@pytest.mark.parametrize("language", TEXTS)
def test_no_sentence_is_longer_than_25_words(language):
    ends = re.compile(r"(?<=[.!?])[»”]?\s+(?=[«“¿¡]?[A-ZÁÉÍÓÚÑ{0-9])")
    sentences = [sentence for text in TEXTS[language] for sentence in ends.split(text)]
    assert [each for each in sentences if len(re.findall(r"[\w{}'’%]+", each)) > LONGEST] == []


@pytest.mark.parametrize("word", GLOSSARY["word"], ids=lambda word: word["en"])
def test_a_word_of_the_glossary_is_used_in_both_languages(word):
    for language, texts in TEXTS.items():
        assert word[language].lower() in " ".join(texts).lower()


@pytest.mark.parametrize(("language", "pattern"), FORBIDDEN)
def test_no_text_has_a_word_that_the_glossary_rules_out(language, pattern):
    assert [text for text in TEXTS[language] if re.search(pattern, text)] == []


def test_uno_is_the_beat():
    """Beside "one of every two" and "one or two", and what the voice says."""
    beat = re.compile(
        r"(?i)(\b(el|un|su|al|del|primer|mismo|tu|siguiente)|«)\s?uno\b|\buno(?= (de cada|o dos|dos tres|A B C))"
    )
    assert [text for text in TEXTS["es"] if re.search(r"(?i)\buno\b", beat.sub("", text))] == []


def test_a_sentence_ends_with_a_stop():
    """What begins with a capital or a path, but for titles and what another sentence goes on from."""
    part = re.compile(r"\.(title|gives|on|not_read)$|^(kits|check\.sources)\.")
    stop = re.compile(r"[.?!:]$|\(At: {where}\.\)$|{(why|trouble|advice|asks|verdict)}$")
    found = {each for name in make_languages.modules() for each in templates(importlib.import_module(name))}
    sentences = [each for each in found if each.text[0].isupper() or each.text.startswith("{path}")]
    assert len(sentences) > 300
    assert [each for each in sentences if not part.search(each.id) and not stop.search(each.text)] == []


@pytest.mark.parametrize("language", TEXTS)
def test_what_holds_two_sentences_ends_with_a_stop(language):
    """Whatever the window says, also what is no ``Template``."""
    two = re.compile(r"[a-záéíóúñ]{2}[.?!] [«¿¡]?[A-ZÁÉÍÓÚÑ]")
    stop = re.compile(r"[.?!:…]$|\(.*{where}\.\)$|{\w+}$")
    assert [text for text in TEXTS[language] if two.search(text) and not stop.search(text)] == []


def test_the_spanish_ends_as_the_english_does():
    """With a stop or without; a title that asks in Spanish asks."""
    stop = re.compile(r"[.?!:…]$")
    differ = [(en, es) for en, es in ROWS if bool(stop.search(en)) is not bool(stop.search(es))]
    assert [pair for pair in differ if not pair[1].startswith("¿")] == []


@pytest.mark.parametrize("right", [True, False, None])
def test_right_or_wrong_stands_first(right):
    """In the window's heading and list (``said``) and in what commands print; nothing where nothing is marked."""
    verdict = (Template("test.wording", "You had the one: 3 of 4.")(),)
    head = {True: "Right. ", False: "Not yet. ", None: ""}[right]
    result = Result(drill="one", rung=1, seed=1, right=right, score=0.5, verdict=verdict)
    assert str(result) == " ".join(map(str, said(right, verdict))) == f"{head}You had the one: 3 of 4."
    assert result.to_record()["verdict"] == [{"say": "test.wording"}]


@pytest.mark.parametrize("drill", drills().values(), ids=lambda drill: drill.id)
def test_the_text_of_a_rung_stands_alone(drill):
    """Lower case, without a full stop: the window puts "Rung 3:" before it and a stop after it."""
    for rung in (*drill.rungs, *filter(None, [drill.introduction])):
        text = str(rung.new)
        assert not LEANING.search(text), text
        assert text[0] == text[0].lower(), text
        assert text[-1] not in ".:;,", text


def test_a_number_that_can_be_one_has_a_singular():
    """Another text that begins alike, with a word for 1 in the place of the number."""

    def has_singular(before: str) -> bool:
        one = re.compile(
            re.escape(before.removesuffix("about ")) + r"(1|one|(about )?an?|once|yesterday|less than a)\b",
            re.IGNORECASE,
        )
        return any(one.match(other) for other in TEXTS["en"])

    numbers = [(text, found) for text in TEXTS["en"] for found in COUNTED.finditer(text)]
    plural = {text for text, found in numbers if not has_singular(text[: found.start()])}
    assert plural - NEVER_ONE == set()
    assert NEVER_ONE - {text for text, _ in numbers} == set()
