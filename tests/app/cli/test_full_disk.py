"""A disk that takes no more, and a folder that takes nothing: one plain line, status 2, nothing half written."""

import os
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


@pytest.mark.skipif(sys.platform == "win32", reason="no such limit there")
@pytest.mark.parametrize("words", [each for each in WRITING if each[0] != "report"])  # a page is smaller than that
def test_a_full_disk_is_told(tmp_path, invented_weeks, capsys, monkeypatch, words):
    """Written under the system's limit of a file's size, which fails as a full disk does."""
    import resource

    book = invented_weeks(1, 1, datetime(2026, 3, 1, tzinfo=UTC))
    monkeypatch.chdir(tmp_path)
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (MOST_BYTES, before[1]))
    try:
        status = main([str(book) if word == "BOOK" else word for word in words])
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
    assert (status, capsys.readouterr().err.count("\n")) == (2, 1)
    assert list(tmp_path.iterdir()) == []


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
