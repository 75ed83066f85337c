"""Learners by commands: rename, join and separate, import --as; every word takes a name, a label or digits."""

import json
import shlex

import pytest

from app.learner_settings import keep_choices, learner_path
from app.settings import Settings, load, save, settings_path
from exercises.drills import drill
from exercises.logbook.joining import add
from exercises.logbook.store import Logbook
from exercises.trial.kept.record import record
from exercises.trial.trial import Answer
from synth.base.folders import data_folder
from synth.device.clock import utc_now
from tests.app.cli.typed import run

pytestmark = pytest.mark.sampled(3)


def practise(logbook, who, trials):
    trial = drill("beat").make(1, 1)
    answer = Answer(trial.targets_s)
    for _ in range(trials):
        made = record(
            trial, answer, drill("beat").mark(trial, answer), when=utc_now().astimezone(), learner_id=who.id
        )
        logbook.add(made)


@pytest.fixture
def ids():
    """Two called Ada, of one trial and of two, and Bo of three, in the learner's own logbook."""
    with Logbook.open() as logbook:
        made = [add(logbook, name) for name in ("Ada Invented", "Ada Invented", "Bo Invented")]
        for trials, who in enumerate(made, 1):
            practise(logbook, who, trials)
        return [each.id for each in made]


def counts():
    """Label -> number of trials."""
    with Logbook.open() as logbook:
        return {each.label: logbook.count(each.id) for each in logbook.known()}


def undo(out):
    """The words of the command that the last line names."""
    return shlex.split(out.splitlines()[-1].removeprefix("To undo it: tallybar "))


def label(id):
    return f"Ada Invented #{id[:4]}"


def test_a_name_of_two_is_refused_in_one_line_that_names_both(ids, capsys, tmp_path):
    before = counts()
    for words in (
        ["logbook", "summary", "--learner", "Ada Invented"],
        ["logbook", "export", "--learner", "Ada Invented", tmp_path / "a.csv"],
        ["logbook", "rename", "Ada Invented", "Eva"],
        ["logbook", "join", "Ada Invented", "Bo Invented"],
        ["logbook", "join", "Bo Invented", "Ada Invented"],
        ["logbook", "delete", "Ada Invented", "--yes"],
        ["plan", "--learner", "Ada Invented"],
        ["report", "--learner", "Ada Invented", tmp_path / "a.pdf"],
    ):
        status, out, err = run(capsys, *words)
        assert (status, out, err.count("\n")) == (2, "", 1), words
        assert all(f"'{label(id)}'" in err for id in ids[:2]), words
    assert counts() == before
    assert list(tmp_path.iterdir()) == []


def test_digits_are_accepted_wherever_a_learner_is(ids, capsys, tmp_path):
    for asked in (label(ids[1]), f"#{ids[1][:4]}", f"Ada Invented#{ids[1][:6]}", ids[1]):
        status, out, _ = run(capsys, "logbook", "summary", "--learner", asked, "--json")
        (found,) = json.loads(out)
        assert (status, found["learner"], found["learner_id"]) == (0, label(ids[1]), ids[1])
        assert run(capsys, "logbook", "export", "--learner", asked, tmp_path / "a.jsonl")[1].endswith(": 2 trials\n")
        assert json.loads(run(capsys, "plan", "--learner", asked, "--json")[1])["learner"] == label(ids[1])
    assert run(capsys, "report", "--learner", f"#{ids[1][:4]}", tmp_path / "a.pdf")[0] == 0
    assert (tmp_path / "a.pdf").read_bytes().startswith(b"%PDF")


def test_whose_report_is_asked_with_labels_that_can_be_given(ids, capsys, tmp_path):
    err = run(capsys, "report", tmp_path / "a.pdf")[2]
    assert f"--learner '{label(ids[0])}'" in err


def test_another_name_by_command_and_back(ids, capsys):
    status, out, _ = run(capsys, "logbook", "rename", label(ids[0]), " Eva  Invented ")
    assert status == 0
    assert out.startswith(f"{label(ids[0])} is Eva Invented now; 1 trial as before.")
    assert counts() == {"Eva Invented": 1, "Ada Invented": 2, "Bo Invented": 3}
    assert run(capsys, *undo(out))[0] == 0
    assert counts() == {label(ids[0]): 1, label(ids[1]): 2, "Bo Invented": 3}


@pytest.mark.parametrize("name", ["", " ", "x" * 61, "a\x01b", "Eva #1234"])
def test_what_is_no_name_is_one_line(ids, capsys, name):
    status, out, err = run(capsys, "logbook", "rename", "Bo Invented", name)
    assert (status, out, err.count("\n"), "cannot be a name" in err) == (2, "", 1, True)
    assert "Bo Invented" in counts()


def test_two_are_joined_on_purpose_and_the_last_line_undoes_it(ids, capsys):
    before = counts()
    status, out, _ = run(capsys, "logbook", "join", label(ids[0]), label(ids[1]))
    assert status == 0
    assert out.startswith(f"1 trial of {label(ids[0])} went to Ada Invented, who has 3 now.")
    assert counts() == {"Ada Invented": 3, "Bo Invented": 3}
    with Logbook.open() as logbook:  # practice goes on meanwhile, and stays
        practise(logbook, logbook.known()[0], 1)
    status, out, _ = run(capsys, *undo(out))
    assert (status, out) == (0, f"{label(ids[0])} is a learner of their own again, with 1 trial.\n")
    assert counts() == before | {label(ids[1]): 3}


def test_a_logbook_named_is_named_in_what_undoes_it(ids, capsys, tmp_path):
    file = tmp_path / "an other.sqlite3"
    run(capsys, "logbook", "export", file)
    before = counts()
    out = run(capsys, "logbook", "--file", file, "join", "Bo Invented", f"#{ids[0][:4]}")[1]
    assert undo(out)[:3] == ["logbook", "--file", str(file)]
    assert run(capsys, *undo(out))[0] == 0
    assert counts() == before


def test_what_cannot_be_joined_or_separated_is_one_line(ids, capsys):
    for words, says in (
        (["join", "Bo Invented", "Bo Invented"], "two different learners"),
        (["join", "Bo Invented", "Cy"], "no learner"),
        (["separate", "Bo Invented"], "No learner of this logbook was joined"),
    ):
        status, out, err = run(capsys, "logbook", *words)
        assert (status, out, err.count("\n"), says in err) == (2, "", 1, True), err
    run(capsys, "logbook", "join", "Bo Invented", label(ids[0]))
    assert "no learner" in run(capsys, "logbook", "separate", "Ada Invented")[2]


def test_a_pupils_file_comes_in_under_the_name_that_the_tutor_gives(ids, capsys, tmp_path):
    run(capsys, "logbook", "export", "--learner", "Bo Invented", tmp_path / "bo.jsonl")
    other = tmp_path / "tutor.sqlite3"
    status, out, _ = run(capsys, "logbook", "--file", other, "import", "--as", "Pupil One", tmp_path / "bo.jsonl")
    assert status == 0
    with Logbook.open(other) as logbook:
        assert [(each.name, each.id, logbook.count(each.id)) for each in logbook.known()] == [
            ("Pupil One", ids[2], 3)
        ]
    assert run(capsys, *undo(out))[0] == 0
    status, _, err = run(capsys, "logbook", "--file", other, "import", "--as", "x #12345", tmp_path / "bo.jsonl")
    assert (status, err.count("\n"), "cannot be a name" in err) == (2, 1, True)


def test_drills_of_every_plan_are_a_learners_own(ids, capsys):
    save(Settings(learner="Bo Invented", learner_id=ids[2]), settings_path())
    assert run(capsys, "plan", "--always", "one")[0] == 0
    assert run(capsys, "plan", "--learner", label(ids[0]), "--never", "one")[0] == 0
    own = json.loads(run(capsys, "plan", "--json")[1])
    assert (own["learner"], own["always"], own["never"]) == ("Bo Invented", ["one"], [])
    theirs = json.loads(run(capsys, "plan", "--learner", label(ids[0]), "--json")[1])
    assert (theirs["always"], theirs["never"]) == ([], ["one"])
    assert load(settings_path(), utc_now()).settings.learner_id == ids[2]


def test_deleting_takes_the_choices_along(ids, capsys):
    save(Settings(learner="Bo Invented", learner_id=ids[2], minutes_a_day=20), settings_path())
    keep_choices(Settings(learner_id=ids[0]), settings_path())
    assert run(capsys, "logbook", "delete", label(ids[0]), "--yes")[0] == 0
    assert not learner_path(settings_path(), ids[0]).exists()
    assert load(settings_path(), utc_now()).settings.minutes_a_day == 20
    assert run(capsys, "logbook", "delete", "Bo Invented", "--yes")[0] == 0
    now = load(settings_path(), utc_now()).settings
    assert (now.learner, now.learner_id, now.minutes_a_day) == ("me", "", 10)
    assert counts() == {"Ada Invented": 2}
    held = [path for path in data_folder().rglob("*") if path.is_file() and b"Bo Invented" in path.read_bytes()]
    assert held == []
