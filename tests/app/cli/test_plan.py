"""The command ``plan``: today's plan, and what learner or tutor wants in every plan or in none."""

import json

import pytest

from app.cli.commands import main
from app.settings import load, settings_path
from synth.device.clock import utc_now


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("TALLYBAR_HOME", str(tmp_path))


def planned(capsys, *words):
    assert main(["plan", *words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_a_choice_holds_from_one_day_to_the_next_and_can_be_taken_back(capsys):
    assert "drum" in [item["drill"] for item in planned(capsys)["items"]]
    chosen = planned(capsys, "--always", "tempo", "--never", "drum", "--never", "beat")
    again = planned(capsys)
    assert again == chosen
    drills = [item["drill"] for item in again["items"]]
    assert "tempo" in drills
    assert not {"drum", "beat"} & set(drills)
    assert (again["always"], again["never"]) == (["tempo"], ["drum", "beat"])
    assert sum(item["minutes"] for item in again["items"]) + again["lesson_minutes"] == again["minutes"]
    assert load(settings_path(), utc_now()).settings.chosen.never == ("drum", "beat")
    back = planned(capsys, "--usual", "drum", "--always", "beat")
    assert (back["always"], back["never"]) == (["tempo", "beat"], [])


def test_the_plan_is_printed_a_line_an_item(capsys):
    assert main(["plan", "--never", "drum"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("(lesson)")
    assert lines[1].startswith("count-along    rung 1")
    assert lines[-1] == "In no plan: drum."


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--always", "drumm"], "There is no drill 'drumm'. Did you mean drum?"),
        (["--always", "drum", "--never", "drum"], "drum: 'always', 'never' or 'usual', not two of them."),
        (["--never", "count-along"], "nothing is marked in it"),
        (["--learner", "nobody"], "There is no logbook yet"),
    ],
)
def test_a_wrong_choice_is_one_line_and_changes_nothing(words, says, capsys):
    assert main(["plan", *words]) == 2
    assert says in capsys.readouterr().err
    assert not settings_path().exists()
