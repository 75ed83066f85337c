"""Learners are themselves: an id that lasts, names that may repeat, two made one on purpose and two again."""

import json
import sqlite3
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from exercises.learner.stored_levels import learner_levels
from exercises.logbook.copies import copies, daily_copy
from exercises.logbook.file import keep_copy
from exercises.logbook.health import Health, examine
from exercises.logbook.history import weeks
from exercises.logbook.joining import add, join, joined, learner, rename, separate
from exercises.logbook.opening import open_logbook, rebuilt
from exercises.logbook.schema import SCHEMA_VERSION, VERSIONS, WITH_IDS, statements
from exercises.logbook.store import Logbook
from exercises.logbook.transfer import delete_learner, export, merge
from exercises.trial.kept.record import TrialRecord
from exercises.trial.trial import Answer
from synth.base.errors import Trouble

pytestmark = pytest.mark.sampled(3)

NOW = datetime(2030, 5, 1, 18, 0, tzinfo=UTC)
RIGHT = {"right": True, "score": 1.0}


def one(minutes=0, **more):
    """A trial, so many minutes after the first."""
    when = f"{NOW + timedelta(minutes=minutes):%Y-%m-%dT%H:%M:%SZ}"
    return TrialRecord(when, "one", 1, 1, 4, "backbeat", 100.0, Answer(), RIGHT, **more)


@pytest.fixture
def logbook(tmp_path):
    with Logbook.open(tmp_path / "logbook.sqlite3") as opened:
        yield opened


@pytest.fixture
def twins(logbook):
    """Two called ada, of three trials and of two an hour later, and ben of one."""
    first, second = add(logbook, "ada"), add(logbook, "ada")
    for who, minutes in ((first, (0, 1, 2)), (second, (60, 61))):
        logbook.add_all(one(at, learner="ada", learner_id=who.id) for at in minutes)
    logbook.add(one(120, learner="ben"))
    return first.id, second.id


def old_file(path, version, *, names=("ada", "ben")):
    """A logbook as that schema version left it, with two trials of each learner, and one more learner without any."""
    with sqlite3.connect(path, isolation_level=None) as old:
        for script in VERSIONS[:version]:
            for statement in statements(script):
                old.execute(statement)
        old.executemany("INSERT INTO learners (name) VALUES (?)", [(name,) for name in (*names, "nobody")])
        old.execute("INSERT INTO benches (device, calibration) VALUES ('desk', 'null')")
        old.executemany(
            "INSERT INTO trials (uid, at, learner, bench, drill, rung, seed, version, mode, groove, tempo_bpm, taps,"
            " value, result, simulated) VALUES (?, '2030-05-01T18:00:00Z', ?, 1, 'one', 1, 1, 1, 'plain', 'backbeat',"
            " 100.0, x'', 'null', '{\"right\":true}', 0)",
            [(bytes([at]) * 16, 1 + at % 2) for at in range(2 * len(names))],
        )
        old.execute("PRAGMA application_id = 0x54414C59")
        old.execute(f"PRAGMA user_version = {version}")
    old.close()


def state(logbook):
    """Every trial with its learner's name and id, and the sums."""
    trials = sorted((each.uid, each.learner, each.learner_id) for each in logbook.all())
    return trials, logbook.rows("SELECT * FROM days ORDER BY 1, 2, 3, 4, 5, 6")


# -- ids -------------------------------------------------------------------------------------------------------------


def test_trials_of_an_id_are_one_learners_whatever_the_name(logbook, twins):
    first, second = twins
    assert [logbook.count(id) for id in twins] == [3, 2]
    logbook.add(one(3, learner="whoever", learner_id=first))
    assert logbook.count(first) == 4
    assert {each.learner for each in logbook.all(first)} == {"ada"}
    assert [week.trials for week in weeks(logbook, second)] == [2]


def test_two_of_one_name_are_told_apart_by_digits_that_are_accepted(logbook, twins):
    labels = logbook.learners()
    assert [label.split(" #")[0] for label in labels] == ["ada", "ada", "ben"]
    assert "#" not in labels[2]
    for id, label in zip(twins, labels, strict=False):
        digits = label.split("#")[1]
        assert id.startswith(digits)
        for asked in (id, label, f"#{digits}", f"ada#{digits}", f"ada #{id[:9]}"):
            assert learner(logbook, asked).id == id
    with pytest.raises(Trouble, match=r"'ada' can be 2 learners.*#"):
        learner(logbook, "ada")
    for asked in ("bea", f"ben #{twins[0][:6]}", "#" + "0" * 33, ""):
        with pytest.raises(Trouble, match="no learner"):
            learner(logbook, asked)


def test_digits_are_as_many_as_it_takes(logbook):
    for id in ("abcdef" + "0" * 26, "abcdef" + "1" * 26):
        logbook.add(one(learner="ada", learner_id=id))
    assert logbook.learners() == ["ada #abcdef0", "ada #abcdef1"]


def test_a_name_like_a_label_leads_to_nobody_else(logbook, twins):
    """Such a name comes from a file alone; it gets digits of its own, and its label is another one."""
    label = logbook.learners()[0]
    logbook.add(one(learner=label, learner_id="f" * 32))
    assert learner(logbook, label).id == twins[0]
    assert logbook.learners()[-1] == f"{label} #ffff"
    assert learner(logbook, f"{label} #ffff").id == "f" * 32


@pytest.mark.parametrize("name", ["", "  ", "a" * 61, "a\x00b", "ada #3f2a", "a\udcffb"])
def test_what_is_no_name(logbook, twins, name):
    with pytest.raises(Trouble, match="cannot be a name"):
        rename(logbook, learner(logbook, "ben"), name)
    with pytest.raises(Trouble, match="cannot be a name"):
        add(logbook, name)
    assert logbook.count("ben") == 1


def test_another_name_leaves_everything(logbook, twins):
    levels = learner_levels(logbook, twins[0]).tried["one"].level.answers
    assert rename(logbook, learner(logbook, twins[0]), "  Eva   Maria ").label == "Eva Maria"
    assert logbook.count("Eva Maria") == 3
    assert learner_levels(logbook, "Eva Maria").tried["one"].level.answers == levels == 3
    assert logbook.learners() == ["Eva Maria", "ada", "ben"]


# -- older logbooks --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("version", range(1, WITH_IDS))
def test_a_logbook_of_every_earlier_version_gets_ids_and_loses_nothing(tmp_path, version):
    old_file(tmp_path / "logbook.sqlite3", version)
    keep_copy(tmp_path / "logbook.sqlite3", tmp_path / "copy.sqlite3")
    found = []
    for name in ("logbook", "copy"):
        with open_logbook(tmp_path / f"{name}.sqlite3", NOW, copy=False).logbook as logbook:
            assert logbook.learners() == ["ada", "ben", "nobody"]
            assert [logbook.count(each) for each in logbook.learners()] == [2, 2, 0]
            assert logbook.rows("SELECT learner, trials FROM days") == [(1, 2), (2, 2)]
            assert logbook.rows("PRAGMA foreign_key_check") == []
            assert logbook.rows("PRAGMA foreign_keys") == [(1,)]
            found.append([each.id for each in logbook.known()])
        assert examine(tmp_path / f"{name}.sqlite3") is Health.SOUND
    # Those with trials have the same id wherever a copy is opened.
    assert found[0][:2] == found[1][:2] == ["00" * 16, "01" * 16]


def test_an_older_copy_is_restored_to_the_same_learners(tmp_path):
    old_file(tmp_path / "old.sqlite3", 5)
    with rebuilt(tmp_path / "old.sqlite3") as fresh, Logbook.open(fresh) as logbook:
        assert [each.id for each in logbook.known()][:2] == ["00" * 16, "01" * 16]
        assert [logbook.count(each) for each in logbook.learners()] == [2, 2, 0]


# -- in and out ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("ending", ["jsonl", "sqlite3"])
def test_the_id_goes_out_and_comes_in(logbook, twins, tmp_path, ending):
    export(logbook, tmp_path / f"all.{ending}")
    with Logbook.open(tmp_path / "other.sqlite3") as other:
        add(other, "ada")  # another one
        assert merge(other, tmp_path / f"all.{ending}").new == 6
        assert [other.count(each.id) for each in other.known()] == [0, 3, 2, 1]
        assert {each.learner_id for each in other.all()} == {each.learner_id for each in logbook.all()}
        # Known here by the id, whatever the name.
        rename(other, learner(other, twins[0]), "eva")
        logbook.add(one(5, learner="ada", learner_id=twins[0]))
        export(logbook, tmp_path / f"more.{ending}")
        assert merge(other, tmp_path / f"more.{ending}").new == 1
        assert other.count("eva") == 4


def test_the_id_stands_in_tables(logbook, twins, tmp_path):
    export(logbook, tmp_path / "all.csv")
    head, first, *_ = (tmp_path / "all.csv").read_text("utf-8").splitlines()
    assert dict(zip(head.split(","), first.split(","), strict=False))["learner_id"] == twins[0]


def test_an_old_export_has_one_learner_for_each_name(logbook, twins, tmp_path):
    """Into an empty logbook, and into one that knows the name."""
    export(logbook, tmp_path / "all.jsonl")
    head, *lines = (tmp_path / "all.jsonl").read_text("utf-8").splitlines()
    for line in (old := [json.loads(line) for line in lines]):
        del line["learner_id"]
    (tmp_path / "old.jsonl").write_text("\n".join([head, *map(json.dumps, old)]), "utf-8")
    for known in ([], ["ben"]):
        with Logbook.open(tmp_path / f"other{len(known)}.sqlite3") as other:
            ids = [add(other, name).id for name in known]
            assert merge(other, tmp_path / "old.jsonl").new == 6
            assert {each.name: other.count(each.id) for each in other.known()} == {"ada": 5, "ben": 1}
            assert not ids or learner(other, "ben").id == ids[0]


@pytest.mark.parametrize("given", ["3", 7, "F" * 32, "ff", ["f" * 32]])
def test_what_is_no_id_is_named_and_nothing_is_written(logbook, twins, tmp_path, given):
    export(logbook, tmp_path / "all.jsonl")
    head, line, *_ = (tmp_path / "all.jsonl").read_text("utf-8").splitlines()
    bad = json.dumps(json.loads(line) | {"learner_id": given})
    (tmp_path / "bad.jsonl").write_text(f"{json.dumps(json.loads(head) | {'trials': 1})}\n{bad}\n", "utf-8")
    with Logbook.open(tmp_path / "other.sqlite3") as other:
        with pytest.raises(Trouble, match=r"line 2.*learner_id"):
            merge(other, tmp_path / "bad.jsonl")
        assert (other.count(), other.known()) == (0, [])


def one_learners(logbook, id, path):
    export(logbook, path, learner=id)
    return path


def test_trials_come_in_under_a_name_that_is_chosen(logbook, twins, tmp_path):
    file = one_learners(logbook, twins[0], tmp_path / "ada.jsonl")
    with Logbook.open(tmp_path / "new.sqlite3") as other:
        assert merge(other, file, whose="eva").new == 3
        assert [(each.name, each.id) for each in other.known()] == [("eva", twins[0])]
        # The next export of the same learner finds them by the id.
        logbook.add(one(5, learner="ada", learner_id=twins[0]))
        assert merge(other, one_learners(logbook, twins[0], tmp_path / "later.jsonl")).new == 1
        assert other.count("eva") == 4
        with pytest.raises(Trouble, match="is 'eva' here"):
            merge(other, file, whose="liv")
    with Logbook.open(tmp_path / "known.sqlite3") as other:
        eva = add(other, "eva")
        assert merge(other, file, whose="eva").new == 3
        assert (other.count(eva.id), other.learners()) == (3, ["eva"])


def test_a_chosen_name_is_for_one_learner_and_for_a_good_name(logbook, twins, tmp_path):
    export(logbook, tmp_path / "all.jsonl")
    with Logbook.open(tmp_path / "other.sqlite3") as other:
        for whose, says in (
            ("eva", "several learners"),
            ("", "cannot be a name"),
            ("a\nb #12345", "cannot be a name"),
        ):
            with pytest.raises(Trouble, match=says):
                merge(other, tmp_path / "all.jsonl", whose=whose)
        assert (other.count(), other.known()) == (0, [])


# -- two made one ----------------------------------------------------------------------------------------------------


def test_two_are_made_one_and_two_again(logbook, twins):
    before = state(logbook)
    first, second = (learner(logbook, id) for id in twins)
    assert join(logbook, first, second) == 3
    assert (logbook.count("ada"), logbook.learners()) == (5, ["ada", "ben"])
    assert logbook.number(first.id) == second.number  # settings, plans and imports that know the old id
    assert sum(week.trials for week in weeks(logbook, twins[0])) == 5
    # What comes after stays with the other one, also what follows within a sitting.
    later = one(3, learner="ada", learner_id=second.id), one(300, learner="ada", learner_id=second.id)
    logbook.add_all(later)
    (gone,) = joined(logbook)
    assert gone.label.startswith("ada #")
    assert separate(logbook, gone) == 3
    assert [logbook.count(id) for id in twins] == [3, 4]
    logbook._connection.executemany(
        "DELETE FROM trials WHERE uid = ?", [(bytes.fromhex(each.uid),) for each in later]
    )
    assert state(logbook) == before
    assert joined(logbook) == []


def test_what_comes_in_for_one_who_was_joined_goes_with_them(logbook, twins, tmp_path):
    first, second = (learner(logbook, id) for id in twins)
    with Logbook.open(tmp_path / "other.sqlite3") as other:
        other.add(one(7, learner="ada", learner_id=first.id))
        export(other, tmp_path / "more.jsonl")
    join(logbook, first, second)
    assert merge(logbook, tmp_path / "more.jsonl").new == 1
    assert logbook.count(second.id) == 6


def test_three_made_one_come_apart_in_any_order(logbook, twins):
    before = state(logbook)
    first, second = (learner(logbook, id) for id in twins)
    ben = learner(logbook, "ben")
    join(logbook, first, second)
    join(logbook, learner(logbook, second.id), ben)
    assert (logbook.count("ben"), logbook.learners()) == (6, ["ben"])
    assert separate(logbook, second) == 5
    assert [logbook.count(id) for id in (second.id, ben.id)] == [5, 1]
    assert separate(logbook, first) == 3
    assert state(logbook) == before


def test_a_learner_is_not_joined_to_themselves(logbook, twins):
    with pytest.raises(Trouble, match="two different learners"):
        join(logbook, *[learner(logbook, "ben")] * 2)


def test_a_copy_keeps_who_was_joined(logbook, twins, tmp_path):
    before = state(logbook)
    first, second = (learner(logbook, id) for id in twins)
    join(logbook, first, second)
    keep_copy(logbook.path, tmp_path / "copy.sqlite3")
    with rebuilt(tmp_path / "copy.sqlite3") as fresh, Logbook.open(fresh) as other:
        assert other.learners() == ["ada", "ben"]
        assert separate(other, joined(other)[0]) == 3
        assert state(other)[0] == before[0]


@pytest.mark.parametrize("to", ["id", "(SELECT max(id) FROM learners) + 5", "NULL WHERE joined IS NOT NULL OR true"])
def test_learners_that_lead_nowhere_are_mended(logbook, twins, tmp_path, to):
    """A learner joined to themselves or to nobody would hide trials; one who is free again hides none."""
    join(logbook, *(learner(logbook, id) for id in twins))
    path = logbook.path
    assert daily_copy(path, NOW) is None
    logbook._connection.execute("PRAGMA foreign_keys = OFF")
    logbook._connection.execute(f"UPDATE learners SET joined = {to}")
    logbook.close()
    with open_logbook(path, NOW, copy=False).logbook as mended:
        assert mended.count() == 6
        assert sum(mended.count(each.id) for each in mended.known()) == 6


# -- for good --------------------------------------------------------------------------------------------------------


def test_deleting_one_of_two_leaves_the_other_also_in_old_copies(logbook, twins, tmp_path):
    daily_copy(logbook.path, NOW)
    rename(logbook, learner(logbook, twins[0]), "eva")
    assert delete_learner(logbook, "eva") == []
    assert [logbook.count(id) for id in twins] == [0, 2]
    with Logbook.open(copies(logbook.path)[0]) as copy:
        assert (copy.count(), copy.learners()) == (3, ["ada", "ben"])


def test_who_is_deleted_goes_from_a_copy_of_an_older_version(tmp_path):
    """Under the name of then, while somebody else has that name by now."""
    path = tmp_path / "logbook.sqlite3"
    old_file(path, 5)
    with open_logbook(path, NOW, copy=False).logbook as logbook:
        rename(logbook, learner(logbook, "ada"), "eva")
        logbook.add(one(learner="ada", learner_id=add(logbook, "ada").id))
        assert delete_learner(logbook, "ada") == []
        before = path.with_name(f"logbook-before-version-{SCHEMA_VERSION}.sqlite3")
        with sqlite3.connect(before) as copy:
            assert copy.execute("SELECT name FROM learners").fetchall() == [("ada",), ("ben",), ("nobody",)]
        assert delete_learner(logbook, "eva") == []
        with sqlite3.connect(before) as copy:
            assert copy.execute("SELECT name FROM learners").fetchall() == [("ben",), ("nobody",)]
            assert copy.execute("SELECT count(*) FROM trials").fetchone() == (2,)
        copy.close()


def test_those_who_were_joined_are_deleted_together(logbook, twins):
    daily_copy(logbook.path, NOW)
    join(logbook, *(learner(logbook, id) for id in twins))
    assert delete_learner(logbook, "ada") == []
    assert (logbook.count(), logbook.learners(), joined(logbook)) == (1, ["ben"], [])
    with Logbook.open(copies(logbook.path)[0]) as copy:
        assert copy.learners() == ["ben"]


def test_a_record_without_an_id_is_the_first_learners_of_that_name(logbook, twins):
    logbook.add(replace(one(9, learner="ada")))
    assert logbook.count(twins[0]) == 4
