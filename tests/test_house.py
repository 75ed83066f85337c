"""Laws of the house: what each room may use, what may stand in a committed file, what the built wheel holds."""

import ast
import fnmatch
import os
import re
import subprocess
import sys
import tomllib
import zipfile
from collections.abc import Iterator
from functools import cache
from importlib.metadata import distributions, requires, version
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

HOUSE = Path(__file__).parent.parent
ROOMS = ("app", "exercises", "synth", "assets")

# Module -> the only files that may import it, as patterns of paths.
ALONE = {
    "time": ["synth/device/clock.py"],
    "PySide6": ["app/*", "assets/*/make_*.py"],
    "sounddevice": ["synth/*", "app/*"],
    "sqlite3": ["exercises/logbook/*"],
}

# Of lower case, with a character class each, so that this file does not match itself.
FORBIDDEN = [
    r"pyp[i]\.org",
    r"pythonhoste[d]\.org",
    r"deb\.debia[n]\.org",
    r"security\.debia[n]\.org",
    r"npmj[s]\.(org|com)",
    r"registry\.npm[j]s",
    r"/(?<![\w.~-]/)wor[k]\b(?!/\w+\.(py|md)\b)",
    r"/(?<![\w.~-]/)tm[p]\b(?!/\.x11-unix)",  # where X servers put their sockets
    r"/(?<![\w.~-]/)roo[t]\b",
    r"/(?<![\w.~-]/)hom[e]/\w",
    r"fa(?<!\wfa)r[m]-\w",
    r"sh(?<![\w/]sh)are[d]/",
]

# Hosts of standards and reference works that a file may cite.
STANDARDS = {"w3.org", "toml.io", "sqlite.org", "specifications.freedesktop.org"}


def files() -> Iterator[Path]:
    """Every file that is or could be committed: all of the checkout but what .gitignore names."""
    ignored = [line.rstrip("/") for line in (HOUSE / ".gitignore").read_text().splitlines() if line]
    ignored.append(".git")
    for folder, folders, names in os.walk(HOUSE):
        folders[:] = [name for name in folders if not any(fnmatch.fnmatch(name, pattern) for pattern in ignored)]
        for name in names:
            if not any(fnmatch.fnmatch(name, pattern) for pattern in ignored):
                yield Path(folder, name)


def modules() -> list[Path]:
    """The Python files of the four rooms."""
    return sorted(path for room in ROOMS for path in (HOUSE / room).rglob("*.py"))


@cache
def text_of(path: Path) -> str:
    """What stands in a file of the four rooms."""
    return path.read_text(encoding="utf-8")


@cache
def imported(path: Path) -> set[str]:
    """Top-level names of the modules that a file imports, wherever in the file it does so."""
    names: set[str] = set()
    rest: list[ast.AST] = [ast.parse(text_of(path))]
    while rest:  # statements alone: none stands within an expression
        node = rest.pop()
        for block in ("body", "handlers", "orelse", "finalbody", "cases"):
            rest += getattr(node, block, ()) if not isinstance(node, ast.expr) else ()
        if isinstance(node, ast.Import):
            names |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.level == 0 and node.module:
            names.add(node.module.partition(".")[0])
    return names


@pytest.fixture(scope="module")
def project() -> dict:
    """The [project] table of pyproject.toml."""
    return tomllib.loads((HOUSE / "pyproject.toml").read_text())["project"]


@pytest.mark.parametrize("module", ALONE)
def test_a_module_is_imported_only_where_it_may_be(module):
    places = ALONE[module]
    found = [
        str(path.relative_to(HOUSE)) for path in modules() if module in text_of(path) and module in imported(path)
    ]
    assert found, f"nothing imports {module}: take it off the list"
    assert [place for place in found if not any(fnmatch.fnmatch(place, allowed) for allowed in places)] == []


def test_there_is_no_file_for_odds_and_ends():
    assert [path for path in modules() if path.stem in {"utils", "util", "helpers", "misc", "common"}] == []


def test_every_module_says_what_it_is_for():
    assert [path for path in modules() if not re.match(r'"""\s*[^\s"]', text_of(path))] == []


def test_unit_tests_do_not_sleep():
    """Only the end-to-end tests and the benchmarks live by the wall clock."""
    real_time = (HOUSE / "tests" / "end_to_end", HOUSE / "tests" / "benchmarks")
    tests = [
        path for path in (HOUSE / "tests").rglob("*.py") if not any(path.is_relative_to(room) for room in real_time)
    ]
    sleeps = re.compile(r"\btime\.slee[p]\(|\b(qtbo[t]\.wait|qWai[t])\(")
    assert [path for path in tests if sleeps.search(path.read_text(encoding="utf-8"))] == []


def test_no_file_names_a_registry_or_a_place_on_one_machine():
    found = []
    for path in files():
        text = path.read_bytes().decode("utf-8", errors="ignore").lower()
        for pattern in FORBIDDEN:
            found += [f"{path.relative_to(HOUSE)}: {each.group()}" for each in re.finditer(pattern, text)]
    assert found == []


def test_no_file_names_an_address_but_of_a_standard():
    found = []
    for path in files():
        text = path.read_bytes()
        if b"\0" not in text:  # fonts name their maker's
            found += [
                f"{path.relative_to(HOUSE)}: {host}"
                for host in re.findall(r"\w+:/[/]([\w.-]+)", text.decode("utf-8", errors="ignore"))
                if host.removeprefix("www.") not in STANDARDS
            ]
    assert found == []


def test_every_source_file_that_prose_names_exists():
    """Paths in backticks, from the top of the checkout, in .md files and docstrings."""
    found = {
        (path.name, named)
        for path in files()
        if path.suffix in {".md", ".py"}
        for named in re.findall(r"`(\w+/[\w/]+\.py)`", path.read_text(encoding="utf-8"))
    }
    assert {name for name, _ in found} >= {"DEVELOPERS.md", "README.md"}
    yet_to_be_written = ("DEVELOPERS.md", "exercises/drills/sharp.py")
    assert [each for each in found - {yet_to_be_written} if not (HOUSE / each[1]).exists()] == []


def test_every_folder_of_assets_has_its_licence():
    parts = [path.relative_to(HOUSE / "assets").parts for path in files() if path.is_relative_to(HOUSE / "assets")]
    folders = {HOUSE / "assets" / part[0] for part in parts if len(part) > 1}
    assert folders
    assert [folder.name for folder in folders if not list(folder.glob("LICEN[CS]E*"))] == []


def test_pins_are_exact_and_record_no_address():
    """A line is `name==version`, with a marker at most."""
    for name in ("requirements.txt", "requirements-test.txt"):
        lines = [line for line in (HOUSE / name).read_text().splitlines() if line and not line.startswith("#")]
        line_form = re.compile(
            r"[A-Za-z0-9_.-]+==[0-9][A-Za-z0-9.]*(; (python_version (<|>=) \"3\.\d+|sys_platform == \"linux)\")?"
        )
        assert [line for line in lines if not line_form.fullmatch(line)] == []


def test_what_the_program_needs_is_pinned(project):
    """Each dependency of pyproject.toml is in requirements.txt."""
    plain = re.compile(r"^[A-Za-z0-9_.-]+", re.MULTILINE)
    pinned = {name.lower().replace("_", "-") for name in plain.findall((HOUSE / "requirements.txt").read_text())}
    needed = {plain.match(line).group().lower().replace("_", "-") for line in project["dependencies"]}
    assert needed <= pinned


def test_nothing_but_what_the_program_needs_is_pinned_for_it(project):
    """requirements.txt holds the dependencies of pyproject.toml, what these need in turn, and nothing else."""
    needed, waiting = set(), [Requirement(line) for line in project["dependencies"]]
    while waiting:
        one = waiting.pop()
        name = one.name.lower().replace("_", "-")
        if name not in needed and (one.marker is None or one.marker.evaluate({"extra": ""})):
            needed.add(name)
            waiting += map(Requirement, requires(name) or ())
    lines = (HOUSE / "requirements.txt").read_text().splitlines()
    pins = [Requirement(line) for line in lines if line and not line.startswith("#")]
    assert {pin.name.lower() for pin in pins if pin.marker is None or pin.marker.evaluate()} <= needed


def test_the_pins_are_what_is_tested():
    """The packages that these tests run with are the pinned ones."""
    for name in ("requirements.txt", "requirements-test.txt"):
        for line in (HOUSE / name).read_text().splitlines():
            if "==" in line and ";" not in line:
                package, _, pinned = line.partition("==")
                assert version(package) == pinned, package


@pytest.mark.proof
def test_nothing_that_a_pinned_package_needs_is_missing():
    """What every installed package asks for is there, in such a version; tinysoundfont's player is left out."""
    there = {canonicalize_name(each.name): each for each in distributions()}
    wrong = []
    for each in there.values():
        for need in map(Requirement, each.requires or ()):
            if need.marker is None or need.marker.evaluate({"extra": ""}):
                found = there.get(canonicalize_name(need.name))
                if found is None or not need.specifier.contains(found.version, prereleases=True):
                    wrong.append(f"{each.name}: {need}, not {found and found.version}")
    assert len(there) > 50
    assert [each for each in wrong if "pyaudio" not in each] == []


def test_changelog_keeps_its_form(project):
    """Headings as Keep a Changelog 1.1.0 has them; the newest numbered version is the program's."""
    lines = (HOUSE / "CHANGELOG.md").read_text(encoding="utf-8").splitlines()
    assert lines[0] == "# Changelog"
    versions = [line for line in lines if line.startswith("## ")]
    assert versions
    form = re.compile(r"## \[(Unreleased|(\d+\.\d+\.\d+)\] - \d{4}-\d{2}-\d{2})\]?")
    assert [line for line in versions if not form.fullmatch(line)] == []
    numbered = [form.fullmatch(line).group(2) for line in versions if "Unreleased" not in line]
    assert not numbered or numbered[0] == project["version"]
    kinds = {"Added", "Changed", "Deprecated", "Removed", "Fixed", "Security"}
    assert {line[4:] for line in lines if line.startswith("### ")} <= kinds


def test_the_house_that_developers_see_is_the_tree():
    """The rooms that DEVELOPERS.md lists, by their indentation."""
    text = (HOUSE / "DEVELOPERS.md").read_text(encoding="utf-8")
    listed: set[str] = set()
    above: list[str] = []
    for line in text.partition("```\n")[2].partition("```")[0].splitlines():
        depth = (len(line) - len(line.lstrip())) // 2
        name = line.split()[0]
        if name.endswith("/") and depth <= len(above):
            above = [*above[:depth], name]
            listed.add("".join(above).rstrip("/"))
    rooms = {str(path.parent.relative_to(HOUSE)) for path in modules()}
    assert {room for room in listed if room.startswith(("app", "exercises", "synth"))} == {
        room for room in rooms if room.startswith(("app", "exercises", "synth"))
    }


def test_the_picture_of_the_house_is_drawn_from_the_imports_of_today():
    """Drawn anew by ``python -m assets.pictures.make_house``."""
    from assets.pictures.make_house import draw

    assert (HOUSE / "assets" / "pictures" / "house.svg").read_text(encoding="utf-8") == draw()


def _run(*words: object, cwd: Path | None = None, **environment: str) -> str:
    """What Python prints, called with these words; its complaints where it fails."""
    command, env = [sys.executable, *map(str, words)], os.environ | environment
    done = subprocess.run(command, capture_output=True, text=True, env=env, cwd=cwd, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def installed(tmp_path_factory) -> Path:
    """A folder that holds what is in the wheel, built from a copy of the checkout by the backend that it names."""
    place = tmp_path_factory.mktemp("wheel")
    source = place / "source"
    for path in files():
        copy = source / path.relative_to(HOUSE)
        if path.is_relative_to(HOUSE / "tests"):
            continue
        copy.parent.mkdir(parents=True, exist_ok=True)
        copy.write_bytes(path.read_bytes())
    backend = tomllib.loads((source / "pyproject.toml").read_text())["build-system"]["build-backend"]
    _run("-c", f"import {backend} as backend; backend.build_wheel({str(place)!r})", cwd=source)
    (wheel,) = place.glob("tallybar-*.whl")
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(place / "site")
    return place / "site"


# What the script does that an installer writes for the wheel's command.
SCRIPT = """
import sys
from importlib.metadata import distribution
(command,) = distribution("tallybar").entry_points.select(group="console_scripts", name="tallybar")
sys.exit(command.load()())
"""


def _installed(site: Path, *words: str) -> str:
    """What the command of the wheel prints, called from elsewhere with the checkout out of sight."""
    return _run("-c", SCRIPT, *words, cwd=site.parent, PYTHONPATH=str(site), PYTHONSAFEPATH="1")


@pytest.mark.proof
def test_the_wheel_holds_every_asset(installed):
    shipped = {path.relative_to(HOUSE) for path in files() if path.is_relative_to(HOUSE / "assets")}
    assert shipped
    assert [path for path in sorted(shipped) if not (installed / path).is_file()] == []


@pytest.mark.proof
def test_the_installed_program_lists_its_grooves(installed, tmp_path):
    """The command of the wheel runs from elsewhere, with the checkout out of sight, and finds its data."""
    printed = _installed(installed, "grooves")
    for path in (HOUSE / "assets" / "grooves").glob("*.groove"):
        assert path.stem in printed


@pytest.mark.proof
def test_the_program_says_the_version_of_its_project(installed, project):
    printed = _installed(installed, "--version")
    assert printed.split()[-1] == project["version"]
