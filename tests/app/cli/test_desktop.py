"""Desktop entry, icons and log file."""

import configparser
import logging
import shutil
import subprocess
import sys
import threading
import xml.etree.ElementTree as ET

import pytest
from PySide6.QtGui import QImage

import assets
from app.cli import desktop
from app.cli.commands import main
from app.logfile import LIMIT_BYTES, OLDER_FILES, LogFile, log, log_path
from synth.base.errors import Trouble
from synth.base.words import Say

pytestmark = pytest.mark.sampled(3)


@pytest.fixture
def data(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return tmp_path / "data"


class TestEntry:
    """Desktop Entry Specification 1.5: https://specifications.freedesktop.org/desktop-entry-spec/1.5/"""

    def test_it_holds_what_the_specification_asks_for(self, data, capsys):
        assert main(["--install-desktop-entry"]) == 0
        path = data / "applications" / "tallybar.desktop"
        assert str(path) in capsys.readouterr().out
        read = configparser.ConfigParser(interpolation=None)
        read.optionxform = str
        read.read_string(path.read_text(encoding="utf-8"))
        group = read["Desktop Entry"]
        assert group["Type"] == "Application"
        assert group["Name"] == "Tallybar"
        assert group["Exec"] == " ".join(map(desktop.quoted, desktop.command()))
        assert (data / "icons" / "hicolor" / "scalable" / "apps" / f"{group['Icon']}.svg").is_file()
        assert not group["Icon"].endswith(".svg")

    @pytest.mark.skipif(not shutil.which("desktop-file-validate"), reason="desktop-file-utils are not installed")
    def test_the_validator_of_freedesktop_finds_no_fault(self, data):
        desktop.install("linux")
        path = data / "applications" / "tallybar.desktop"
        done = subprocess.run(["desktop-file-validate", path], capture_output=True, text=True, check=False)
        assert (done.returncode, done.stdout) == (0, "")

    def test_a_second_time_replaces_the_first(self, data):
        desktop.install("linux")
        before = {path: path.read_bytes() for path in data.rglob("*") if path.is_file()}
        for path in before:
            path.write_text("of an older version")
        desktop.install("linux")
        assert {path: path.read_bytes() for path in data.rglob("*") if path.is_file()} == before

    @pytest.mark.parametrize(
        ("word", "line"),
        [
            ("/opt/tallybar", "/opt/tallybar"),
            ("/opt/my tools/run", '"/opt/my tools/run"'),
            ("/opt/100%/run", "/opt/100%%/run"),
            # The specification's own remark: a dollar sign in a quoted word is \\\\$, a backslash four of them.
            ("/opt/$HOME/run", r'"/opt/\\$HOME/run"'),
            ("a\\b", r'"a\\\\b"'),
        ],
    )
    def test_a_path_is_quoted_as_the_specification_has_it(self, word, line):
        assert desktop.quoted(word) == line
        # Undone in the specification's order: the string's escapes, then the shell's quotes, then the percent.
        plain = line.replace("\\\\", "\\")
        read = subprocess.run(["sh", "-c", f"printf %s {plain}"], capture_output=True, text=True, check=True).stdout
        assert read.replace("%%", "%") == word

    def test_a_path_with_a_line_break_cannot_add_a_line(self):
        with pytest.raises(Trouble, match="line break"):
            desktop.quoted("/opt/a\nExec=b")

    def test_a_relative_data_folder_counts_for_nothing(self):
        """XDG Base Directory Specification: all paths must be absolute, relative ones are to be ignored."""
        assert desktop.data_home({"XDG_DATA_HOME": "data"}).is_absolute()

    @pytest.mark.parametrize("platform", ["darwin", "win32"])
    def test_elsewhere_the_way_is_told_and_nothing_is_written(self, data, platform):
        told = desktop.install(platform)
        assert any(desktop.command()[0] in line for line in told)
        assert not data.exists()

    def test_a_file_in_the_folders_place_is_one_line(self, data, capsys):
        data.write_text("")
        assert main(["--install-desktop-entry"]) == 2
        assert len(capsys.readouterr().err.splitlines()) == 1


def test_the_icon_is_a_drawing_and_every_size_has_its_size():
    root = ET.parse(assets.path("icons", "tallybar.svg")).getroot()
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    for size in desktop.ICON_SIZES_PX:
        image = QImage(str(assets.path("icons", f"tallybar-{size}.png")))
        assert (image.width(), image.height()) == (size, size)
        assert image.hasAlphaChannel()


class TestLog:
    """The log file."""

    @pytest.fixture
    def told(self):
        notices: list[Say] = []
        file = LogFile(log_path(), notices.append)
        file.open()
        yield notices
        file.close()

    def test_an_uncaught_error_is_told_in_a_line_and_logged_with_its_trace(self, told, capsys):
        try:
            raise ZeroDivisionError("sought after\nand more")
        except ZeroDivisionError as slip:
            sys.excepthook(type(slip), slip, slip.__traceback__)
        line = " ".join(map(str, told))
        assert "\n" not in line
        assert str(log_path()) in line
        assert log_path().stat().st_mode & 0o777 == 0o600
        written = log_path().read_text()
        assert "Traceback" in written
        assert "test_desktop.py" in written
        assert len(capsys.readouterr().err.splitlines()) == 1

    @pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
    def test_an_error_in_a_thread_is_logged_too(self, told):
        thread = threading.Thread(target=lambda: [][0])
        thread.start()
        thread.join()
        assert "IndexError" in log_path().read_text()

    def test_the_files_together_stay_below_their_limit(self, told, home):
        for _ in range(1200):
            log.info("x" * 1000)
        sizes = [path.stat().st_size for path in home.glob("tallybar.log*")]
        assert len(sizes) == 1 + OLDER_FILES
        assert max(sizes) <= LIMIT_BYTES

    def test_hooks_are_given_back(self):
        before = sys.excepthook, threading.excepthook, list(logging.getLogger("tallybar").handlers)
        file = LogFile(log_path())
        file.open()
        file.close()
        assert (sys.excepthook, threading.excepthook, logging.getLogger("tallybar").handlers) == before

    def test_a_folder_that_cannot_be_made_leaves_no_log_and_no_trace(self, tmp_path, capsys):
        (tmp_path / "file").write_text("")
        notices: list[Say] = []
        file = LogFile(tmp_path / "file" / "tallybar.log", notices.append)
        file.open()
        sys.excepthook(ValueError, ValueError("slip"), None)
        file.close()
        (notice,) = map(str, notices)
        assert "ValueError: slip" in notice
        assert "details" not in notice
        assert len(capsys.readouterr().err.splitlines()) == 1
