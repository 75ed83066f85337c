"""The script ``run`` with a Python that only notes what it is told: nothing is fetched, nothing is installed."""

import shutil
import subprocess
from pathlib import Path

import pytest

# What is there to be used; no apt-get, so that the system is left alone.
TOOLS = ("bash", "cat", "flock", "head", "ln", "mkdir", "mv", "rm", "rmdir", "uname")
NOTING = """#!{bash}
printf '%s\\n' "$*" >>"{noted}"
case "$*" in
    *"-m venv "*) mkdir -p "${{*: -1}}/bin" && ln -s "$0" "${{*: -1}}/bin/python" ;;
    *realpath*) printf '%s\\n' "$0" ;;
esac
"""
PINS = ("requirements", "requirements-test")


@pytest.fixture
def run_test(tmp_path, checkout):
    """Calls ``run test WORD`` in a checkout of its own and gives what Python was told, a line each time."""
    if any(shutil.which(tool) is None for tool in TOOLS):
        pytest.skip("run is for systems with bash")
    tools, here, noted = tmp_path / "tools", tmp_path / "here", tmp_path / "noted"
    tools.mkdir()
    here.mkdir()
    for tool in TOOLS:
        (tools / tool).symlink_to(shutil.which(tool))
    shutil.copy(checkout / "run", here / "run")
    for name in PINS:
        (here / f"{name}.txt").write_text(f"{name}==1\n")
    python = tools / "python3"
    python.write_text(NOTING.format(bash=shutil.which("bash"), noted=noted))
    python.chmod(0o755)

    def call() -> list[str]:
        noted.write_text("")
        env = {"PATH": str(tools), "PIP_CACHE_DIR": str(tmp_path / "pip")}
        done = subprocess.run(
            [here / "run", "test", "WORD"], env=env, stdin=subprocess.DEVNULL, capture_output=True, text=True
        )
        assert done.returncode == 0, done.stderr
        return noted.read_text().splitlines()

    call.venv = here / ".venv"
    return call


def installed(told: list[str]) -> list[str]:
    """The pin files that were installed, in order."""
    return [Path(line.split()[-1]).stem for line in told if " install " in line]


def test_a_set_up_installs_both_files_once(run_test):
    told = run_test()
    assert installed(told) == list(PINS)
    assert told[-1] == "-P -m pytest WORD"
    assert run_test() == ["-P -m pytest WORD"]


def test_a_set_up_cut_short_takes_the_programs_packages_along(run_test):
    """Ctrl-C while the second file is installed: half of it is there, so all is made anew, the first file too."""
    run_test()
    (run_test.venv / "ready-requirements-test").unlink()
    (run_test.venv / "unfinished").touch()
    assert installed(run_test()) == list(PINS)
    assert run_test() == ["-P -m pytest WORD"]
