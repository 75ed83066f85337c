"""One more drill and one more groove change no test: those that go over all of them pass in such a checkout too."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

# Tests of the window and of the logbook are left out: they take longer than all others together.
FOLDERS = ("exercises/drills", "exercises/learner", "exercises/trial", "synth/base", "synth/midi", "synth/score")

# Leaves out tests that see nothing of the new ones: those given another drill or groove, or what Hypothesis draws,
# and those that name the tables of all neither themselves nor through what they use in their file. What ``learner``
# has goes over all drills by itself, and the words in ``base`` over all files. Of the proofs it takes the rows that
# ``./run test quick`` leaves out of a sweep, and those of ``learner``.
OVER_ALL = """
import ast
from functools import cache

from exercises.drills import drills
from synth.score.grooves import grooves

OTHERS = {*drills(), *grooves()} - {"sharp", "another"}

def apart(item):
    params = item.callspec.params.values() if hasattr(item, "callspec") else ()
    given = [getattr(each, "id", each) for each in params]
    return hasattr(item.function, "hypothesis") or any(isinstance(each, str) and each in OTHERS for each in given)

@cache
def over_all(path):
    named, over = {}, {"drills", "marked_drills", "grooves"}
    for each in ast.parse(path.read_text()).body:
        if isinstance(each, ast.ImportFrom) and each.module.startswith("tests."):
            over |= {at.name for at in each.names}
        for part in each.body if isinstance(each, ast.ClassDef) else [each]:
            own = getattr(part, "name", None)
            for name in [own] if own else [at.id for at in ast.walk(part) if isinstance(at, ast.Name)]:
                words = {at.id for at in ast.walk(part) if isinstance(at, ast.Name)}
                words |= {at.arg for at in ast.walk(part) if isinstance(at, ast.arg)}
                named.setdefault(name, set()).update(words)
    before = 0
    while before != len(over):
        before = len(over)
        over |= {name for name, words in named.items() if words & over}
    return over

def blind(item):
    return item.path.parent.name not in ("learner", "base") and item.originalname not in over_all(item.path)

def slow(item):
    swept = item.get_closest_marker("sweep") or item.path.parent.name == "learner"
    return item.get_closest_marker("proof") and not swept

def pytest_collection_modifyitems(items):
    items[:] = [item for item in items if not (apart(item) or slow(item) or blind(item))]
"""


def worked_drill(checkout: Path) -> str:
    """The drill that DEVELOPERS.md shows."""
    (code,) = re.findall(r"```python\n(.*?)```", (checkout / "DEVELOPERS.md").read_text(encoding="utf-8"), re.DOTALL)
    return code


@pytest.fixture
def larger(tmp_path, checkout) -> Path:
    """A copy of the checkout with one more drill and one more groove."""
    for name in ("app", "assets", "exercises", "synth", "tests"):  # what is compiled stays valid: times are copied
        shutil.copytree(checkout / name, tmp_path / name)
    for path in checkout.iterdir():
        if path.is_file() and path.name != ".git":
            shutil.copy(path, tmp_path)
    (tmp_path / "exercises" / "drills" / "sharp.py").write_text(worked_drill(checkout))
    (tmp_path / "over_all.py").write_text(OVER_ALL)
    tab = (tmp_path / "assets" / "grooves" / "backbeat.groove").read_text()
    (tmp_path / "assets" / "grooves" / "another.groove").write_text(tab.replace("title: ", "title: Another ", 1))
    return tmp_path


@pytest.mark.proof
def test_one_more_drill_and_one_more_groove_pass_every_test_that_goes_over_all(larger):
    over_all = [
        str(path.relative_to(larger))
        for folder in FOLDERS
        for path in sorted((larger / "tests" / folder).rglob("test_*.py"))
        if re.search(r"(drills|grooves)\(\)", text := path.read_text())
        and ("pytestmark = pytest.mark.proof" not in text or "mark.sweep" in text)  # see ``slow``
    ]
    assert len(over_all) > 8
    drill = larger / "exercises" / "drills" / "sharp.py"
    for check in (("ruff", "check"), ("ruff", "format", "--check")):
        tidy = subprocess.run([sys.executable, "-m", *check, drill], capture_output=True, text=True)
        assert tidy.returncode == 0, tidy.stdout
    env = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST_")}
    words = ("-q", "-p", "no:cacheprovider", "-p", "no:hypothesispytest", "-p", "over_all")
    done = subprocess.run(
        [sys.executable, "-P", "-m", "pytest", *words, *over_all],
        cwd=larger,
        env=env | {"PYTHONPATH": str(larger)},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-1000:]
    assert int(re.search(r"(\d+) passed", done.stdout).group(1)) > 100
