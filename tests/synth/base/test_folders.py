"""The learner's folders are private (POSIX file modes), and what others put there as a link is left alone."""

import os
import stat

import pytest

from exercises.logbook.copies import daily_copy
from exercises.logbook.opening import open_logbook
from exercises.logbook.store import Logbook
from synth.base import folders
from synth.base.errors import Trouble
from synth.base.files import write_text
from synth.base.folders import data_folder, is_private
from tests.exercises.trial.plain import NOW, PLAIN


def mode(path):
    return stat.S_IMODE(path.stat().st_mode)


@pytest.fixture
def home(tmp_path, monkeypatch):
    """A data folder that is not there yet."""
    monkeypatch.setenv(folders.HOME_VARIABLE, str(tmp_path / "home"))
    return tmp_path / "home"


def test_everything_in_the_data_folder_is_the_learners_alone(home):
    with open_logbook(None, NOW).logbook as logbook:
        logbook.add(PLAIN)
        assert daily_copy(logbook.path, NOW) is None
        write_text(home / "settings.toml", "")
        found = list(home.rglob("*"))
    assert len(found) >= 4
    assert {mode(path) for path in (home, *found) if path.is_dir()} == {0o700}
    assert {mode(path) for path in found if path.is_file()} == {0o600}


def test_what_an_older_version_left_open_is_closed(home):
    home.mkdir(mode=0o755)
    (home / "settings.toml").write_text("")
    (home / "notes.txt").write_text("none of ours")
    (home / "notes.txt").chmod(0o644)
    open_logbook(None, NOW).logbook.close()
    assert mode(home) == 0o700
    assert mode(home / "settings.toml") == 0o600
    assert mode(home / "notes.txt") == 0o644


def test_what_is_exported_follows_the_umask(home, tmp_path):
    before = os.umask(0o022)
    try:
        write_text(tmp_path / "out.json", "{}")
    finally:
        os.umask(before)
    assert mode(tmp_path / "out.json") == 0o644


def test_the_learners_own_link_to_another_place_works(home, tmp_path):
    (tmp_path / "elsewhere").mkdir()
    home.symlink_to(tmp_path / "elsewhere")
    with Logbook.open() as logbook:
        logbook.add(PLAIN)
    assert (tmp_path / "elsewhere" / "logbook.sqlite3").exists()
    assert is_private(data_folder() / "logbook.sqlite3")


@pytest.mark.skipif(not hasattr(os, "lchown") or os.geteuid() != 0, reason="only root makes links of others")
def test_a_link_that_somebody_else_placed_is_left_alone(home, tmp_path):
    home.mkdir()
    (tmp_path / "theirs").write_text("precious")
    for name in ("logbook.sqlite3", "settings.toml"):
        (home / name).symlink_to(tmp_path / "theirs")
        os.lchown(home / name, 65534, 65534)
    with pytest.raises(Trouble, match="somebody else"):
        Logbook.open()
    with pytest.raises(Trouble, match="somebody else"):
        write_text(home / "settings.toml", "")
    assert (tmp_path / "theirs").read_text() == "precious"
