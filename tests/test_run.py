"""The script ``run`` with a Python that only notes what it is told: nothing is fetched, nothing is installed."""

import os
import re
import shutil
import subprocess
import tomllib
from dataclasses import dataclass
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

pytestmark = pytest.mark.sampled(4)

# What is there to be used; no apt-get, so that the system is left alone.
TOOLS = ("bash", "cat", "cp", "flock", "head", "ln", "mkdir", "mv", "nice", "readlink", "rm", "rmdir", "tr", "uname")
# Notes its words, a line each time, and the settings that reach it. An environment holds its pin files in
# `installed`. A file `fail`, `fail-once` or `kill` holds part of the words at which it fails, or ends its caller.
NOTING = r"""#!{bash}
words=${{*//$'\n'/ }}
printf '%s\n' "$words" >>'{noted}/calls'
for name in ${{!PYTHON@}} ${{!PIP_@}}; do printf '%s\n' "$name=${{!name}}"; done >'{noted}/settings'
at() {{ [[ -e '{noted}'/$1 && $words == *"$(<'{noted}'/"$1")"* ]]; }}
at kill && kill -9 $PPID
at fail && exit 1
at fail-once && {{ rm '{noted}/fail-once'; exit 1; }}
case $words in
    *"-m venv "*) mkdir -p "${{*: -1}}/bin" && ln -s '{python}' "${{*: -1}}/bin/python" ;;
    *"config list") [[ ${{PIP_CONFIG_FILE-}} ]] && cat "$PIP_CONFIG_FILE" ;;
    *" install "*)
        cp '{noted}/settings' '{noted}/settings-of-pip'
        printf '%s\n' "${{*: -1}}" >>"${{0%/bin/*}}/installed" ;;
    *realpath*) printf '%s\n' '{python}' ;;
esac
exit 0
"""
PINS = ("requirements", "requirements-test")
START = "-P -m app"


@dataclass
class Checkout:
    """A checkout of nothing but ``run`` and the pin files, and the tools that it may use."""

    tools: Path
    here: Path
    noted: Path

    @property
    def venv(self) -> Path:
        return self.here / ".venv"

    def call(self, *words: str, status: int = 0, by=(), cwd=None, run=None, **settings: str) -> list[str]:
        """What Python was told, a line each time; ``self.said`` is what the person was told."""
        (self.noted / "calls").write_text("")
        env = {"PATH": str(self.tools), **settings}
        command = [*by, run or self.here / "run", *words]
        done = subprocess.run(command, env=env, cwd=cwd, stdin=subprocess.DEVNULL, capture_output=True, text=True)
        self.said = done.stderr
        assert done.returncode == status, done.stderr
        return (self.noted / "calls").read_text().splitlines()

    def settings(self, of: str = "settings") -> dict[str, str]:
        """The variables PYTHON* and PIP_* that reached the last call of Python, or that of pip."""
        return dict(line.split("=", 1) for line in (self.noted / of).read_text().splitlines())

    def at(self, what: str, words: str) -> None:
        (self.noted / what).write_text(words)

    def change_pins(self) -> str:
        """Gives the pins of before."""
        pins = self.here / "requirements.txt"
        before = pins.read_text()
        pins.write_text(f"{before}another==2\n")
        return before

    def state(self) -> dict[str, str]:
        """Every file of .venv with its contents, and what else of set-ups lies beside it."""
        files = {
            str(path.relative_to(self.here)): path.read_text() for path in self.venv.rglob("*") if path.is_file()
        }
        return files | {path.name: "" for path in self.here.glob(".venv.*")}


def make(tmp_path: Path, checkout: Path) -> Checkout:
    made = Checkout(tmp_path / "tools", tmp_path / "here", tmp_path / "noted")
    for folder in (made.tools, made.here, made.noted):
        folder.mkdir()
    for tool in TOOLS:
        found = shutil.which(tool)
        if found is None:
            pytest.skip("run is for systems with bash")
        (made.tools / tool).symlink_to(found)
    shutil.copy(checkout / "run", made.here / "run")
    for name in PINS:
        (made.here / f"{name}.txt").write_text(f"{name}==1\n")
    python = made.tools / "python3"
    python.write_text(NOTING.format(bash=shutil.which("bash"), noted=made.noted, python=python))
    python.chmod(0o755)
    return made


@pytest.fixture
def bare(tmp_path, checkout):
    """A checkout in which nothing was set up."""
    return make(tmp_path, checkout)


@pytest.fixture
def ready(bare):
    """A checkout that is set up for the program."""
    bare.call()
    return bare


def installed(told: list[str]) -> list[str]:
    """The pin files that were installed, in order."""
    return [Path(line.split()[-1]).stem for line in told if " install " in line]


class TestSetUp:
    def test_installs_both_files_once(self, bare):
        told = bare.call("test", "WORD")
        assert installed(told) == list(PINS)
        assert told[-1] == "-P -m pytest WORD"
        assert bare.call("test", "WORD") == ["-P -m pytest WORD"]
        assert bare.call("bench", "WORD") == [f"-P {bare.here}/tests/benchmarks WORD"]
        assert bare.call() == [START]

    def test_cut_short_by_an_earlier_version_is_made_anew(self, bare):
        """Half of the second file's packages are there, so all is made anew, the first file's too."""
        bare.call("test", "WORD")
        (bare.venv / "ready-requirements-test").unlink()
        (bare.venv / "unfinished").touch()
        assert installed(bare.call("test", "WORD")) == list(PINS)
        assert bare.call("test", "WORD") == ["-P -m pytest WORD"]

    def test_imports_the_packages_before_it_notes_that_they_are_there(self, bare):
        bare.at("fail", "importlib")
        bare.call(status=2)
        assert bare.state() == {}

    def test_goes_on_from_what_is_there(self, ready):
        """Changed pins: pip installs into a copy, which makes no environment and fetches only what changed."""
        ready.change_pins()
        told = ready.call()
        assert installed(told) == ["requirements"]
        assert not any("-m venv" in line for line in told)
        assert ready.call() == [START]

    def test_comes_again_when_python_is_another(self, ready):
        python = ready.venv / "bin" / "python"
        copy = shutil.copy(python, ready.tools / "python3.14")
        python.unlink()
        python.symlink_to(copy)
        assert installed(ready.call()) == ["requirements"]

    def test_makes_anew_what_does_not_come_out_whole(self, ready):
        """Something was deleted from .venv, which pip does not see: the imports fail in the copy."""
        ready.change_pins()
        ready.at("fail-once", "importlib")
        told = ready.call()
        assert installed(told) == ["requirements"] * 2
        assert any("-m venv" in line for line in told)
        assert ready.call() == [START]

    def test_leaves_alone_what_venv_is_a_link_to(self, ready, tmp_path):
        elsewhere = tmp_path / "elsewhere"
        ready.venv.rename(elsewhere)
        ready.venv.symlink_to(elsewhere)
        before = sorted(elsewhere.rglob("*"))
        ready.call("test", "WORD")
        assert sorted(elsewhere.rglob("*")) == before
        assert not ready.venv.is_symlink()

    def test_keeps_the_links_of_an_environment_in_its_copy(self, ready):
        """A Python that became a file of its own would not find its library."""
        ready.call("test", "WORD")
        assert (ready.venv / "bin" / "python").is_symlink()


class TestWhatWasThereIsKept:
    @pytest.mark.parametrize("step", ["-m pip install", "importlib"])
    def test_when_the_tests_cannot_be_set_up(self, ready, step):
        before = ready.state()
        ready.at("fail", step)
        ready.call("test", "WORD", status=2)
        assert "requirements-test.txt" in ready.said
        assert ready.state() == before
        assert ready.call() == [START]

    @pytest.mark.parametrize("step", ["-m pip install", "importlib"])
    def test_when_new_pins_cannot_be_installed(self, ready, step):
        before = ready.state()
        pins = ready.change_pins()
        ready.at("fail", step)
        ready.call(status=2)
        assert ready.state() == before
        (ready.here / "requirements.txt").write_text(pins)
        assert ready.call() == [START]

    def test_when_it_is_killed_and_the_next_set_up_sweeps(self, ready):
        before = ready.state()
        pins = ready.change_pins()
        ready.at("kill", "-m pip install")
        ready.call(status=-9)
        (left,) = set(ready.state()) - set(before)
        assert left.startswith(".venv.new-")
        assert {name: text for name, text in ready.state().items() if name != left} == before
        (ready.noted / "kill").unlink()
        (ready.here / "requirements.txt").write_text(pins)
        assert ready.call() == [START]
        ready.call("test", "WORD")
        assert not list(ready.here.glob(".venv.*"))

    def test_when_it_is_killed_between_the_two_moves(self, ready):
        ready.venv.rename(ready.here / ".venv.old-99999999")
        assert ready.call() == [START]
        assert not list(ready.here.glob(".venv.*"))

    def test_when_the_folder_is_closed(self, ready):
        before = ready.state()
        ready.change_pins()
        (ready.tools / "mkdir").unlink()
        (ready.tools / "mkdir").write_text("#!/bin/sh\necho 'cannot create directory' >&2\nexit 1\n")
        (ready.tools / "mkdir").chmod(0o755)
        ready.call(status=2)
        assert ready.said == f"tallybar: cannot write to {ready.here}.\n"
        assert ready.state() == before


class TestPlace:
    @pytest.mark.parametrize("name", ["moved", "with space", 'it\'s "é" $(touch x) #%&?*', "-k"])
    def test_a_moved_checkout_needs_nothing(self, ready, tmp_path, name):
        moved = ready.here.rename(tmp_path / name)
        assert ready.call(run=moved / "run") == [START]
        assert ready.settings() == {"PYTHONPATH": str(moved)}
        assert ready.call(run="./run", cwd=moved) == [START]
        assert ready.call(by=["bash"], run="run", cwd=moved) == [START]

    def test_a_link_leads_to_the_folder_itself(self, ready, tmp_path):
        (tmp_path / "link").symlink_to(ready.here)
        (tmp_path / "command").symlink_to(tmp_path / "link" / "run")
        for run in (tmp_path / "link" / "run", tmp_path / "command"):
            assert ready.call(run=run) == [START]
            assert ready.settings() == {"PYTHONPATH": str(ready.here)}

    @pytest.mark.parametrize("name", [b"a:b", b"a\nb", b"l\xe4tin", b"l\xe4", b"\x1b[1m"], ids=ascii)
    @pytest.mark.parametrize("locale", ["C", "C.UTF-8", "xx_XX.no-such"])
    def test_a_name_that_python_or_qt_cannot_bear_is_told(self, bare, tmp_path, name, locale):
        moved = bare.here.rename(tmp_path / os.fsdecode(name))
        assert bare.call(run=moved / "run", status=2, LC_ALL=locale) == []
        assert bare.said.splitlines()[-1].startswith("tallybar: Python and Qt need a folder")

    def test_a_current_folder_that_is_gone_is_told(self, ready, tmp_path):
        gone = tmp_path / "gone"
        gone.mkdir()
        by = ["bash", "-c", 'rmdir "$PWD" && exec "$@"', "bash"]
        assert ready.call(by=by, cwd=gone, status=2) == []
        assert ready.said.splitlines()[-1] == "tallybar: the folder that you are in is gone, or closed to you."

    def test_bash_under_the_name_of_sh_will_do(self, bare):
        assert bare.call(by=["bash", "--posix"])[-1] == START
        assert bare.call(by=["bash", "--posix"]) == [START]

    def test_another_shell_hands_over_to_bash(self, ready):
        dash = shutil.which("dash")
        if dash is None:
            pytest.skip("needs a shell that is not bash")
        assert ready.call("drills", "", "a", by=[dash], run="run", cwd=ready.here) == [f"{START} drills  a"]


PYTHONS = ("PATH", "HOME", "STARTUP", "SAFEPATH", "WARNINGS", "_COLORS")
ELSEWHERE = ("TARGET", "PREFIX", "ROOT", "USER", "CONSTRAINT", "REQUIREMENT", "DRY_RUN", "PYTHON", "PRE", "NO_BINARY")
FETCHING = ("INDEX_URL", "EXTRA_INDEX_URL", "NO_INDEX", "FIND_LINKS", "CERT", "PROXY", "CACHE_DIR", "DEFAULT_TIMEOUT")


class TestCallersSettings:
    def test_of_python_none_and_of_pip_those_about_fetching_come_through(self, bare):
        kept = {f"PIP_{name}": name.lower() for name in FETCHING}
        dropped = {f"PYTHON{name}": "/x:" for name in PYTHONS} | {f"PIP_{name}": "1" for name in ELSEWHERE}
        told = bare.call(**dropped, **kept)
        own = {"PIP_CONFIG_FILE": "/dev/null", "PIP_DISABLE_PIP_VERSION_CHECK": "1"}
        assert bare.settings("settings-of-pip") == kept | own
        assert bare.settings() == kept | {"PYTHONPATH": str(bare.here)}
        assert all(line.startswith("-I ") for line in told[:-1])
        assert told[-1] == START

    def test_of_pips_files_those_about_fetching_come_through(self, bare, tmp_path):
        listed = tmp_path / "pip.conf"
        listed.write_text(
            ":env:.timeout='3'\n"
            "global.extra-index-url='one\\ntwo'\n"
            "global.index-url='first'\n"
            "global.proxy='theirs'\n"
            "global.target='/x'\n"
            "install.dry-run='true'\n"
            "install.index-url='last'\n"
            "wheel.no-index='true'\n"
        )
        bare.call(PIP_CONFIG_FILE=str(listed), PIP_PROXY="mine", PIP_CACHE_DIR="kept")
        assert bare.settings("settings-of-pip") == {
            "PIP_CACHE_DIR": "kept",
            "PIP_CONFIG_FILE": "/dev/null",
            "PIP_DISABLE_PIP_VERSION_CHECK": "1",
            "PIP_EXTRA_INDEX_URL": "one two",
            "PIP_INDEX_URL": "last",
            "PIP_PROXY": "mine",
        }


CHECKS = ("mypy", "ruff format --check .", "ruff check .", "importlinter", "pytest")


class TestChecks:
    def test_quick_makes_every_check_and_fails_with_each(self, ready):
        told = ready.call("test", "quick")
        for check in CHECKS:
            assert any(check in line for line in told), check
            ready.at("fail", check)
            ready.call("test", "quick", status=1)

    def test_a_check_that_is_killed_has_failed(self, ready):
        ready.call("test", "quick")
        ready.at("kill", "mypy")
        ready.call("test", "quick", status=1)


def test_the_set_up_imports_what_the_program_asks_for(checkout):
    (listed,) = re.findall(r"requirements\) names='(.*)'", (checkout / "run").read_text())
    imported = {name.split(".")[0] for name in listed.split()}
    asked = tomllib.loads((checkout / "pyproject.toml").read_text())["project"]["dependencies"]
    brought = packages_distributions()
    names = {canonicalize_name(name) for module in imported for name in brought[module]}
    needed = {canonicalize_name(Requirement(line).name) for line in asked if ";" not in line}  # rtmidi may be missing
    assert needed <= names


def test_a_complete_start_runs_no_process_but_the_program(ready):
    """No other command can be found, and nothing is said about that."""
    for tool in ready.tools.iterdir():
        if tool.name not in ("bash", "python3"):
            tool.unlink()
    assert ready.call() == [START]
    assert ready.said == ""
