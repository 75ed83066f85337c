"""A disk that takes no more, and a folder that takes nothing: one plain line, status 2, nothing half written."""

import json
import os
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from app.cli.commands import main

WRITING = (
    ("render", "--form", "verse:1", "out.wav"),
    ("render", "--form", "verse:1", "out.flac"),
    ("render", "--form", "verse:1", "out.mp3"),
    ("render", "--form", "verse:1", "out.ogg"),
    ("render", "--form", "verse:149", "--song", "--truth", "out.json", "--beats", "out.txt", "out.mid"),
    ("trial", "one", "--out", "."),
    ("logbook", "--file", "BOOK", "export", "out.csv"),
    ("logbook", "--file", "BOOK", "export", "--taps", "out.csv"),
    ("logbook", "--file", "BOOK", "export", "out.jsonl"),
    ("logbook", "--file", "BOOK", "export", "out.sqlite3"),
    ("logbook", "--file", "BOOK", "backup", "out.sqlite3"),
    ("report", "--file", "BOOK", "--learner", "Invented learner A", "out.pdf"),
)
# No file may grow beyond this: less than any of the above, more than SQLite needs to read a logbook.
MOST_BYTES = 33_000
SCRIPT = f"""
import contextlib, io, json, os, resource, sys
from app.cli.commands import main
resource.setrlimit(resource.RLIMIT_FSIZE, ({MOST_BYTES}, {MOST_BYTES}))
for words in json.loads(sys.argv[1]):
    before = set(os.listdir())
    with contextlib.redirect_stderr(io.StringIO()) as err, contextlib.redirect_stdout(io.StringIO()):
        status = main(words)
    print(json.dumps([status, err.getvalue(), sorted(set(os.listdir()) - before)]))
"""


@pytest.mark.proof
@pytest.mark.skipif(sys.platform == "win32", reason="no such limit there")
def test_a_full_disk_is_told(tmp_path, invented_weeks, checkout):
    """Written under the system's limit of a file's size, which fails as a full disk does."""
    book = invented_weeks(1, 1, datetime(2026, 3, 1, tzinfo=UTC))
    large = [each for each in WRITING if each[0] != "report"]  # a page is smaller than what SQLite needs
    words = [[str(book) if word == "BOOK" else word for word in each] for each in large]
    own = os.environ | {"PYTHONPATH": str(checkout), "TALLYBAR_HOME": str(tmp_path / "home")}
    (tmp_path / "out").mkdir()
    done = subprocess.run(
        [sys.executable, "-P", "-c", SCRIPT, json.dumps(words)],
        cwd=tmp_path / "out",
        env=own,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    found = [json.loads(line) for line in done.stdout.splitlines()]
    for each, (status, err, left) in zip(large, found, strict=True):
        assert (status, err.count("\n")) == (2, 1), (each, err)
        assert left == [], each


@pytest.mark.sweep
@pytest.mark.parametrize("words", WRITING)
def test_a_folder_without_rights_is_told(tmp_path, invented_weeks, capsys, monkeypatch, words):
    """As the system says it to somebody who is not root."""
    book = invented_weeks(1, 1, datetime(2026, 3, 1, tzinfo=UTC))
    monkeypatch.chdir(tmp_path)
    make = os.open

    def refused(path, flags, *more, **named):
        if flags & os.O_CREAT and Path(path).resolve().is_relative_to(tmp_path):
            raise PermissionError(13, "Permission denied", str(path))
        return make(path, flags, *more, **named)

    monkeypatch.setattr("os.open", refused)
    assert main([str(book) if word == "BOOK" else word for word in words]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert "permission denied" in err.lower()
    assert list(tmp_path.iterdir()) == []


def test_a_report_on_a_full_disk_is_told(tmp_path, invented_weeks, capsys, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    book = invented_weeks(1, 1, datetime(2026, 3, 1, tzinfo=UTC))
    monkeypatch.setattr("pathlib.Path.write_bytes", full)
    words = ["report", "--file", str(book), "--learner", "Invented learner A", str(tmp_path / "out.pdf")]
    assert main(words) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert "no space left" in err
    assert list(tmp_path.iterdir()) == []
