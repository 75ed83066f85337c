"""What is printed holds no control character, whatever was typed or kept (ECMA-48: C0, DEL, C1)."""

import json
import os
import subprocess
import sys

import pytest

from app.cli.commands import main
from app.cli.output import clean, counted, say_json

ROUGH = "a\x1b[31m\x07\x9b\x7f\udcff\nb"


def test_a_line_keeps_its_words_and_loses_the_rest():
    assert clean(ROUGH) == "a\\x1b[31m\\x07\\x9b\\x7f\\xff\nb"


def test_json_stays_json(capsys):
    say_json({"name": ROUGH.replace("\udcff", "")})
    printed = capsys.readouterr().out
    assert json.loads(printed) == {"name": ROUGH.replace("\udcff", "")}
    assert all(each.isprintable() or each == "\n" for each in printed)


@pytest.mark.parametrize("terminal", [True, False])
def test_what_takes_long_is_counted_on_a_terminal_alone(capsys, monkeypatch, terminal):
    monkeypatch.setattr(sys.stderr, "isatty", lambda: terminal)
    assert list(counted(iter(range(4001)))) == list(range(4001))
    lines = capsys.readouterr().err.split("\r")
    assert lines[1:3] == (["2,000 trials read. Ctrl-C cancels.", "4,000 trials read. Ctrl-C cancels."] * terminal)
    assert not lines[-1]


@pytest.mark.parametrize(
    "words", [["\x1b[31mred"], ["x" * 2_000_000], ["mark", "no\x07where", "3"], ["trial", "one\n"]]
)
def test_what_was_mistyped_is_told_in_one_clean_line(words, capsys):
    assert main(words) == 2
    printed = capsys.readouterr().err
    assert printed.count("\n") == 1
    assert printed[:-1].isprintable()
    assert len(printed) < 700


@pytest.mark.parametrize("locale", ["C", "C.UTF-8"])
def test_a_name_that_is_no_utf_8_is_shown_as_bytes(tmp_path, locale):
    """As the shell gives it, in a locale of its own; PYTHONUTF8=0 keeps Python from mending it (PEP 540)."""
    name = os.fsencode(tmp_path) + b"/caf\xe9.json"
    environment = os.environ | {"LC_ALL": locale, "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    code = "import sys; from app.cli.commands import main; sys.exit(main())"
    done = subprocess.run([sys.executable, "-c", code, "mark", name, "3"], capture_output=True, env=environment)
    assert done.returncode == 2
    assert b"caf\\xe9.json" in done.stderr
    assert b"Traceback" not in done.stderr
