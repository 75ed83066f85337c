"""The command ``logbook``, as somebody types it."""

import json
import os
import shlex
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing, redirect_stdout, suppress
from datetime import UTC, date, datetime
from io import StringIO
from pathlib import Path

import pytest

from app.cli.commands import main
from exercises.logbook.schema import APPLICATION_ID, SCHEMA_VERSION, VERSIONS, statements
from exercises.logbook.store import Logbook
from tests.exercises.quiet import leave_out_drums

pytestmark = pytest.mark.sampled(8)


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    """One invented week, by the command: its folder, and the lines that it said. A logbook keeps no drums."""
    folder = tmp_path_factory.mktemp("two words")
    with pytest.MonkeyPatch.context() as patch, redirect_stdout(StringIO()) as said:
        leave_out_drums(patch)
        assert main(["demo", "--weeks", "1", "--out", str(folder)]) == 0
    return folder, said.getvalue().splitlines()


@pytest.fixture(scope="module")
def week(demo, tmp_path_factory):
    """A few trials of it: every command reads all that there are."""
    path = Path(shutil.copy(demo[0] / "logbook.sqlite3", tmp_path_factory.mktemp("few")))
    with Logbook.open(path) as opened:
        opened._connection.execute("DELETE FROM trials WHERE id % 6 != 0")
    return path


@pytest.fixture(autouse=True)
def _quiet(monkeypatch):
    leave_out_drums(monkeypatch)


@pytest.fixture
def logbook(week, tmp_path):
    """A logbook of an invented week's trials, every sixth."""
    return Path(shutil.copy(week, tmp_path))


def run(logbook, capsys, *words):
    """Status, what was said, what was complained."""
    status = main(["logbook", "--file", str(logbook), *map(str, words)])
    said = capsys.readouterr()
    return status, said.out, said.err


def test_the_demo_says_that_it_is_invented(demo):
    folder, (first, *weeks, last) = demo
    assert "invented" in first
    assert [line[:11] for line in weeks] == ["Week 1 of 1"]
    assert str(folder) in last


def test_its_last_line_can_be_pasted(demo, tmp_path):
    """Read as a shell does (shlex): the report that it names is written, whatever the folder is called."""
    out, (*_, last) = demo
    assert " " in str(out)
    look, report = last.split("to look at it, ")[1].split("; for the tutor, ")
    assert shlex.split(look) == [f"TALLYBAR_HOME={out}", "./run"]
    start, *words, page = shlex.split(report)
    assert start == "./run"
    assert main([*words, str(tmp_path / page)]) == 0
    assert (tmp_path / page).read_bytes().startswith(b"%PDF")


def test_out_and_in_again(logbook, tmp_path, capsys):
    for name in ("a.csv", "a.jsonl", "a.sqlite3"):
        assert run(logbook, capsys, "export", tmp_path / name)[0] == 0
    status, out, _ = run(tmp_path / "new.sqlite3", capsys, "import", tmp_path / "a.jsonl")
    assert status == 0
    assert ", new: 0" not in out
    assert ", new: 0." in run(tmp_path / "new.sqlite3", capsys, "import", tmp_path / "a.sqlite3")[1]
    assert "taps" in run(logbook, capsys, "export", "--taps", tmp_path / "t.csv")[1]


def test_back_to_a_copy_with_the_present_one_kept(logbook, capsys):
    assert run(logbook, capsys, "backup")[0] == 0
    name = "Invented learner A"
    assert run(logbook, capsys, "summary", "--learner", name)[0] == 0
    with Logbook.open(logbook) as opened:
        before = opened.count()
        opened._connection.execute("DELETE FROM trials")
    status, out, _ = run(logbook, capsys, "restore")
    assert status == 0
    assert f"{before} trials from" in out
    assert "What was there before (0) is kept in logbook-before-restore" in out
    with Logbook.open(logbook) as opened:
        assert opened.count() == before


def another(path):
    """Another program's database."""
    with closing(sqlite3.connect(path)) as file:
        file.execute("CREATE TABLE things (id INTEGER PRIMARY KEY, name TEXT)")


def an_empty_one(path):
    """A database as SQLite begins one, without a table."""
    with closing(sqlite3.connect(path)) as file:
        file.execute("VACUUM")


def a_half(path):
    """It says that it is a logbook, and has other tables, or columns, than one."""
    another(path)
    with closing(sqlite3.connect(path)) as file:
        file.execute("CREATE TABLE trials (id INTEGER PRIMARY KEY)")
        file.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        file.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")


def a_half_old(path):
    """The same of an older version: it cannot be brought up to date."""
    a_half(path)
    with closing(sqlite3.connect(path)) as file:
        file.execute("PRAGMA user_version = 1")


def an_index_amiss(path):
    """A logbook whose index has lost its rows; only the whole integrity check of SQLite sees that."""
    shutil.copy(path.with_name("logbook.sqlite3"), path)
    with Logbook.open(path) as opened:
        opened.rows("PRAGMA writable_schema = ON")
        opened._connection.execute(
            "UPDATE sqlite_schema SET sql = 'CREATE INDEX trials_in ON trials (rung)' WHERE name = 'trials_in'"
        )


@pytest.mark.proof
@pytest.mark.parametrize("make", [another, an_empty_one, a_half, a_half_old, Path.touch])
def test_what_is_no_logbook_is_not_gone_back_to(logbook, tmp_path, capsys, make):
    """One line, status 2, and nothing has been touched or added."""
    source = tmp_path / "other.sqlite3"
    make(source)
    before = {path: path.read_bytes() for path in tmp_path.iterdir()}
    status, out, err = run(logbook, capsys, "restore", source)
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert "left as it is" in err
    assert {path: path.read_bytes() for path in tmp_path.iterdir()} == before
    assert run(logbook, capsys, "summary")[0] == 0


def test_a_copy_with_a_damaged_index_is_written_anew(logbook, tmp_path, capsys):
    """Only rows are read, so that what is gone back to has an index without fault."""
    from exercises.logbook.health import Health, examine

    source = tmp_path / "other.sqlite3"
    an_index_amiss(source)
    assert run(logbook, capsys, "restore", source)[0] == 0
    assert examine(logbook) is Health.SOUND


def test_an_import_is_undone_by_the_command_that_it_names(logbook, tmp_path, capsys):
    other = tmp_path / "new.sqlite3"
    assert run(logbook, capsys, "export", tmp_path / "a.jsonl")[0] == 0
    run(other, capsys, "import", tmp_path / "a.jsonl")
    out = run(other, capsys, "import", tmp_path / "a.jsonl")[1]
    assert "To undo" not in out  # nothing was new
    assert len(list(tmp_path.glob("new-before-import-*"))) == 1
    with Logbook.open(other) as opened:
        held = opened.count()
    lines = (tmp_path / "a.jsonl").read_text(encoding="utf-8").splitlines()
    more = json.loads(lines[1]) | {"uid": "f" * 32}
    (tmp_path / "b.jsonl").write_text('{"format": "tallybar logbook", "version": 1}\n' + json.dumps(more) + "\n")
    out = run(other, capsys, "import", tmp_path / "b.jsonl")[1]
    words = shlex.split(out.splitlines()[-1].partition("tallybar ")[2])
    assert main(words) == 0
    with Logbook.open(other) as opened:
        assert opened.count() == held


def test_two_restores_in_one_second_keep_both(logbook, capsys, monkeypatch):
    moment = datetime(2030, 5, 1, 18, tzinfo=UTC)
    monkeypatch.setattr("synth.device.clock.utc_now", lambda: moment)
    assert run(logbook, capsys, "backup")[0] == 0
    for _ in range(2):
        assert run(logbook, capsys, "restore")[0] == 0
    assert len(list(logbook.parent.glob("logbook-before-restore-*"))) == 2


def test_an_older_logbook_is_brought_up_to_date_before_it_is_gone_back_to(logbook, tmp_path, capsys):
    """And is itself left as it is."""
    old = tmp_path / "old.sqlite3"
    with closing(sqlite3.connect(old, isolation_level=None)) as file:
        for statement in statements(VERSIONS[0]):
            file.execute(statement)
        file.execute("INSERT INTO learners (name) VALUES ('ada')")
        file.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        file.execute("PRAGMA user_version = 1")
    before = old.read_bytes()
    assert run(logbook, capsys, "restore", old)[0] == 0
    assert "ada: " in run(logbook, capsys, "summary")[1]
    assert old.read_bytes() == before
    assert not list(tmp_path.glob("*-before-version-*"))


def test_a_logbook_is_not_gone_back_to_from_itself(logbook, capsys):
    status, _, err = run(logbook, capsys, "restore", logbook)
    assert status == 2
    assert "the logbook itself" in err


@pytest.mark.proof
@pytest.mark.parametrize("other", ["pupilC.sqlite3", "pupilB.db", "pupilB", "logbook.sqlite3"])
def test_logbooks_in_one_folder_never_take_each_others_copies(week, tmp_path, capsys, other):
    """After a copy of one, the other one has none to go back to, and is not mended from it either."""
    mine, other = Path(shutil.copy(week, tmp_path / "pupilB.sqlite3")), tmp_path / other
    assert run(mine, capsys, "backup")[0] == 0
    shutil.copy(week, other)
    status, _, err = run(other, capsys, "restore")
    assert status == 2
    assert "no daily copy" in err
    other.write_bytes(other.read_bytes()[:20_000])
    status, _, err = run(other, capsys, "backup")
    assert status == 0
    assert "no good copy" in err
    assert len(list(tmp_path.glob("*-copies/*"))) == 2
    assert run(mine, capsys, "restore")[0] == 0


def test_a_summary_as_json(logbook, capsys):
    data = json.loads(run(logbook, capsys, "summary", "--json")[1])
    assert data[0]["learner"] == "Invented learner A"


def test_a_warning_is_no_part_of_a_summary_as_json(logbook, capsys):
    assert run(logbook, capsys, "backup")[0] == 0
    logbook.write_bytes(logbook.read_bytes()[:20_000])
    status, out, err = run(logbook, capsys, "summary", "--json")
    assert status == 0
    assert json.loads(out)[0]["learner"] == "Invented learner A"
    assert "was damaged" in err


def test_a_page_is_printed_whatever_screen_the_environment_names(logbook, tmp_path, checkout):
    """In a process of its own: Qt ends a program whose screen it does not find."""
    words = ["report", "--file", logbook, "--learner", "Invented learner A", tmp_path / "a.pdf"]
    nowhere = os.environ | {"QT_QPA_PLATFORM": "xcb", "DISPLAY": "", "TALLYBAR_HOME": str(tmp_path / "home")}
    done = subprocess.run([sys.executable, "-m", "app", *words], cwd=checkout, env=nowhere, capture_output=True)
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.parametrize("closed", ["file", "folder"])
def test_a_logbook_that_may_only_be_read_is_read(logbook, tmp_path, capsys, monkeypatch, closed):
    """The file or its folder, as os.access says: nothing in it changes, and nothing is made beside it."""
    (tmp_path / "locked").mkdir()
    there = logbook.replace(tmp_path / "locked" / logbook.name)
    wanted = run(there, capsys, "summary")[1]
    before = there.read_bytes()
    denied = there.parent if closed == "folder" else there
    monkeypatch.setattr("os.access", lambda path, mode: Path(path) != denied)
    assert run(there, capsys, "summary") == (0, wanted, "")
    name = ["--learner", "Invented learner A"]
    assert main(["report", "--file", str(there), *name, str(tmp_path / "a.pdf")]) == 0
    assert there.read_bytes() == before
    assert list(there.parent.iterdir()) == [there]
    there.write_bytes(before[:20_000])
    assert "may not be written" in run(there, capsys, "summary")[2]
    assert list(there.parent.iterdir()) == [there]


def test_one_week_is_one_week():
    from exercises.logbook.history import Week
    from exercises.progress.summary import head

    one = Week(monday=date(2030, 4, 29), trials=1, voids=0, sound_s=30.0, spent_s=60.0)
    assert str(head("me", [one])) == "me: 1 trial in 1 week, 1 minute of practice."
    assert str(head("me", [one, one])) == "me: 2 trials in 2 weeks, 2 minutes of practice."


def test_marking_again(logbook, capsys):
    assert "the same as before" in run(logbook, capsys, "mark-again")[1]


def test_the_old_word_for_it_still_works_and_is_listed_nowhere(logbook, capsys):
    assert "the same as before" in run(logbook, capsys, "remark", "--dry-run")[1]
    assert main(["logbook", f"--file={logbook}", "remark"]) == 0
    capsys.readouterr()
    with pytest.raises(SystemExit):
        main(["logbook", "--help"])
    status, _, err = run(logbook, capsys, "mark")
    assert (status, "mark-again" in err) == (2, True)
    assert "remark" not in err + capsys.readouterr().out


def test_one_trial_as_files_is_marked_as_it_was(logbook, tmp_path, capsys):
    with Logbook.open(logbook) as book:
        kept = next(each for each in book.all() if each.drill in ("stopped-beat", "drum"))
    assert run(logbook, capsys, "trial", kept.uid, "--out", tmp_path / "t")[::2] == (0, "")
    assert main(["mark", str(tmp_path / "t" / "trial.json"), str(tmp_path / "t" / "answer.txt"), "--json"]) == 0
    marked = json.loads(capsys.readouterr().out)
    assert (marked["given"], marked["right"]) == (kept.answer.value, kept.result["right"])
    assert "no trial 'ff'" in run(logbook, capsys, "trial", "ff", "--out", tmp_path / "t")[2]


def test_deleting_takes_a_yes(logbook, capsys):
    status, _, err = run(logbook, capsys, "delete", "Invented learner A")
    assert status == 2
    assert "add --yes" in err
    status, out, _ = run(logbook, capsys, "delete", "Invented learner A", "--yes")
    assert status == 0
    assert "trials deleted" in out
    assert run(logbook, capsys, "summary", "--learner", "Invented learner A")[0] == 2


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["export", "a.txt"], "must end with"),
        (["export", "--taps", "a.jsonl"], "--taps"),
        (["restore"], "no daily copy"),
        (["restore", "none.sqlite3"], "no such copy"),
        (["import", "none.jsonl"], "cannot be read"),
        (["summary", "--learner", "ada"], "no learner"),
        (["delete", "ada"], "no learner"),
        (["backup", "a.txt"], "must end with"),
        (["compact"], "invalid choice"),
        ([], "required"),
    ],
)
def test_slips_are_told_in_one_line(logbook, capsys, words, says):
    status, _, err = run(logbook, capsys, *words)
    assert status == 2
    assert says in err
    assert err.count("\n") == 1


def test_a_logbook_that_is_not_there_is_not_made_to_be_read(tmp_path, capsys):
    status, _, err = run(tmp_path / "none.sqlite3", capsys, "summary")
    assert status == 2
    assert "no such logbook" in err
    assert list(tmp_path.iterdir()) == []


def test_an_empty_file_is_not_made_a_logbook_to_be_read(tmp_path, capsys):
    empty = tmp_path / "mine.sqlite3"
    empty.touch()
    for words in (["summary"], ["export", tmp_path / "a.csv"], ["remark"], ["backup"]):
        status, _, err = run(empty, capsys, *words)
        assert status == 2
        assert "is empty" in err
    assert empty.stat().st_size == 0
    assert list(tmp_path.iterdir()) == [empty]


@pytest.mark.parametrize("folder", ["", "a/b"])
@pytest.mark.parametrize("words", [["import", "none.jsonl"], ["restore", "none.sqlite3"], ["restore"]])
def test_what_failed_leaves_no_new_logbook(tmp_path, capsys, folder, words):
    """Nor a folder; and one that was there already stays, however empty."""
    new = tmp_path / folder / "new.sqlite3"
    assert run(new, capsys, *words)[0] == 2
    assert list(tmp_path.iterdir()) == []
    new.parent.mkdir(parents=True, exist_ok=True)
    new.touch()
    assert run(new, capsys, *words)[0] == 2
    assert new.exists()


def test_a_new_logbook_with_trials_stays_whatever_comes_after(logbook, tmp_path, monkeypatch):
    """The report of an import meets a closed pipe: its trials are kept."""

    def closed(*_, **__):
        raise BrokenPipeError

    new = tmp_path / "new.sqlite3"
    with monkeypatch.context() as patch:
        patch.setattr("builtins.print", closed)
        with suppress(BrokenPipeError, SystemExit):
            main(["logbook", "--file", str(new), "import", str(logbook)])
    assert new.exists()


def test_a_csv_is_not_read_back_and_says_what_is(logbook, tmp_path, capsys):
    assert run(logbook, capsys, "export", tmp_path / "a.csv")[0] == 0
    status, _, err = run(logbook, capsys, "import", tmp_path / "a.csv")
    assert status == 2
    assert ".jsonl or .sqlite3 is needed" in err


def test_invented_weeks_are_never_added_to_a_logbook(logbook, tmp_path, capsys):
    """Not a byte of it changes."""
    before = logbook.read_bytes()
    assert main(["demo", "--weeks", "1", "--out", str(tmp_path)]) == 2
    assert "is left alone" in capsys.readouterr().err
    assert logbook.read_bytes() == before
    assert list(tmp_path.iterdir()) == [logbook]


@pytest.mark.parametrize("words", [["--weeks", "1", "--every-trial"], []])
def test_no_demo_touches_somebodys_practice(tmp_path, capsys, words):
    """Trials that nobody invented keep the demo out, whichever way it writes."""
    from app.demo.simulated import simulate
    from exercises.drills import drill
    from exercises.logbook.store import Logbook
    from exercises.trial.kept.record import record
    from synth.device.clock import utc_now

    one = drill("one")
    trial = one.make(1, 1)
    answer = simulate("beginner", trial)
    with Logbook.open(tmp_path / "logbook.sqlite3") as book:
        book.add(record(trial, answer, one.mark(trial, answer), when=utc_now()))
    assert main(["demo", "--out", str(tmp_path), *words]) == 2
    assert "holds the practice of me" in capsys.readouterr().err
    with Logbook.open(tmp_path / "logbook.sqlite3") as book:
        assert book.count() == 1


@pytest.mark.parametrize("weeks", ["0", "-3", "9999"])
def test_a_demo_of_so_many_weeks_is_refused(tmp_path, capsys, weeks):
    assert main(["demo", "--weeks", weeks, "--out", str(tmp_path / "x")]) == 2
    assert "1 to 1040" in capsys.readouterr().err


def test_a_link_that_leads_nowhere_stays_where_nothing_came_of_it(tmp_path, capsys):
    link = tmp_path / "mine.sqlite3"
    link.symlink_to(tmp_path / "away.sqlite3")
    assert run(link, capsys, "restore")[0] == 2
    assert link.is_symlink()
    assert list(tmp_path.iterdir()) == [link]


def test_a_copy_with_a_name_that_is_no_utf_8_is_made_and_read(logbook, tmp_path, capsys):
    for name in (b"caf\xe9.sqlite3", b"caf\xe9.jsonl", b"caf\xe9.csv"):
        out = tmp_path / os.fsdecode(name)
        assert run(logbook, capsys, "export", out)[0] == 0
        assert out.exists()
    assert "caf\\xe9.sqlite3" in run(logbook, capsys, "import", tmp_path / os.fsdecode(b"caf\xe9.sqlite3"))[1]
