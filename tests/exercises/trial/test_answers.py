"""Answers from files: what is read, and the one clear line for everything else."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from exercises.drills import drill
from exercises.trial.answers import answer_of, parse_taps, parse_value, read_answer
from exercises.trial.trial import LOST_COUNT, Choice, Kind
from synth.base.errors import Trouble
from synth.base.words import say


@pytest.fixture(scope="module")
def trial():
    return drill("one").make(1, 3)


def test_one_number_a_line_with_comments_and_blank_lines(tmp_path, trial):
    file = tmp_path / "taps.txt"
    file.write_bytes(
        b"\xef\xbb\xbf# my taps\r\n1.5\r\n\r\n 2.25  # late\r\n2.25\r\n-0.5e1x".replace(b"-0.5e1x", b"3e0")
    )
    assert read_answer(file, trial).taps_s.tolist() == [1.5, 2.25, 2.25, 3.0]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "no taps"),
        ("# nothing\n", "no taps"),
        ("1\n3\n2\n", "line 3: 2 comes after 3: taps must be sorted"),
        ("1\n" * 1_000_000, "line 20001: more than 20000 taps"),
        ("0." + "0" * 300 + "x", "is no number of seconds"),
        ("1\n1e9\n", "line 2: 1e9: seconds expected, is this milliseconds?"),
        ("1 2 3\n", "line 1: '1 2 3' is no number of seconds. One number a line."),
        ("one\n", "'one' is no number"),
        ("1\nnan\n", "line 2: nan: a finite number"),
        ("inf\n", "line 1: inf: a finite number"),
        ("\x00\x01", "line 1: not text"),
        ("1\n" + "9" * 5000, "line 2"),
    ],
)
def test_the_line_that_is_wrong_is_named(text, says):
    with pytest.raises(Trouble) as caught:
        parse_taps(text, "taps.txt")
    assert says in str(caught.value)
    assert str(caught.value).startswith("taps.txt")
    assert len(str(caught.value)) < 160


def test_milliseconds_where_seconds_belong(tmp_path, trial):
    file = tmp_path / "taps.txt"
    file.write_text("12000\n14000\n16000\n")
    with pytest.raises(Trouble, match=r"12000: seconds expected, is this milliseconds\?"):
        read_answer(file, trial)


def test_a_folder_a_missing_file_and_junk_are_told_apart(tmp_path, trial):
    junk = tmp_path / "junk"
    junk.write_bytes(b"1.0\n\xff\xfe\x80")
    for path, says in ((tmp_path, "a folder"), (tmp_path / "none", "cannot be read"), (junk, "line 2: not text")):
        with pytest.raises(Trouble, match=says):
            read_answer(path, trial)
    with pytest.raises(Trouble, match="not the name of a file"):
        read_answer("a\0b", trial)


@given(st.binary(max_size=200))
def test_broken_bytes_end_in_taps_or_in_trouble(tmp_path_factory, trial, data):
    file = tmp_path_factory.getbasetemp() / "broken.txt"
    file.write_bytes(data)
    taps_s, told = None, ""
    try:
        taps_s = read_answer(file, trial).taps_s
    except Trouble as trouble:
        told = str(trouble)
    assert told.isprintable()
    if taps_s is None:
        assert told
    else:
        assert taps_s.size
        assert np.all(np.isfinite(taps_s))
        assert np.all(np.diff(taps_s) >= 0)


def other(trial, kind, *keys):
    """The trial with another question."""
    from dataclasses import replace

    return replace(trial, kind=kind, choices=tuple(Choice(key, say(key)) for key in keys))


def test_a_choice_is_one_of_the_keys(trial, tmp_path):
    asked = other(trial, Kind.CHOICE, "kick", "snare")
    assert parse_value(asked, " Kick ") == "kick"
    with pytest.raises(Trouble, match=r"'snair' is none of the answers: kick, snare\. Did you mean snare"):
        parse_value(asked, "snair")
    file = tmp_path / "answer.txt"
    file.write_text("# mine\nsnare\n")
    assert read_answer(file, asked).value == "snare"
    file.write_text("snare\nkick\n")
    with pytest.raises(Trouble, match="one line with the answer expected, not 2"):
        read_answer(file, asked)


@pytest.mark.parametrize("text", ["0.1", "3", "3.5", "3.0", "-1.2", "3.2.1", "", "three"])
def test_a_position_is_bar_and_beat(trial, text):
    asked = other(trial, Kind.POSITION)
    assert parse_value(asked, "3.2") == "3.2"
    with pytest.raises(Trouble):
        parse_value(asked, text)


@pytest.mark.parametrize("text", ["9.9", "three", "3"])
def test_every_sentence_of_a_refusal_ends_before_the_next(trial, text):
    with pytest.raises(Trouble, match=r"[^.?][.?] Nor is there a file of that name\.$"):
        answer_of(text, other(trial, Kind.POSITION))


@pytest.mark.parametrize("text", ["", "many", "nan", "inf"])
def test_a_number_is_finite(trial, text):
    asked = other(trial, Kind.NUMBER)
    assert parse_value(asked, "16") == 16
    with pytest.raises(Trouble):
        parse_value(asked, text)


def test_a_trial_without_question_takes_no_words(trial):
    with pytest.raises(Trouble, match="no answer in words"):
        parse_value(other(trial, Kind.NONE), "3")


@pytest.mark.parametrize("kind", [Kind.TAPS, Kind.PRESS, Kind.CHOICE, Kind.NUMBER, Kind.POSITION])
def test_a_lost_count_is_an_answer_to_every_question(trial, tmp_path, kind):
    asked, file = other(trial, kind, "kick", "snare"), tmp_path / "answer.txt"
    file.write_text("# I could not tell\nLost\n")
    for answer in (read_answer(file, asked), answer_of(str(file), asked), answer_of("lost", asked)):
        assert (answer.value, answer.lost, answer.taps_s.size) == (LOST_COUNT, True, 0)


def test_taps_may_come_before_a_lost_count(trial, tmp_path):
    file = tmp_path / "answer.txt"
    file.write_text("1.5\n2.5\nanswer: lost\n")
    answer = read_answer(file, trial)
    assert (answer.lost, answer.taps_s.tolist()) == (True, [1.5, 2.5])
    file.write_text("1.5\nanswer: 3\n")
    with pytest.raises(Trouble, match=r"line 2: this trial takes no answer in words"):
        read_answer(file, trial)
