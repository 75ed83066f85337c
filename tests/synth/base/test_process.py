"""A process of the program's own code: what it is told, what it tells, and where there can be none."""

import sys

import pytest

from synth.base.process import begun, ended


def test_it_has_its_words_and_the_path_of_the_program():
    process = begun("import synth; sys.stdout.write(' '.join(WORDS) + synth.__name__)", "one", "two ", lowest=True)
    assert process.communicate()[0] == b"one two synth"
    assert process.returncode == 0


def test_one_that_has_not_ended_is_ended():
    process = begun("sys.stdin.read()")
    ended(process)
    assert process.returncode != 0
    assert process.stdin.closed
    assert process.stdout.closed


def test_a_bundle_has_no_python_to_run_it(monkeypatch):
    monkeypatch.setattr(sys, "frozen", True, raising=False)
    with pytest.raises(OSError, match="no Python"):
        begun("pass")
