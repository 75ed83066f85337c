"""Installs a desktop entry and its icons.

Desktop Entry Specification 1.5 and Icon Theme Specification 0.13 (freedesktop.org), XDG Base Directory Specification
0.8 for the folders. On other platforms it prints instructions.
"""

import os
import shutil
import sys
from collections.abc import Mapping
from pathlib import Path

import assets
from synth.base.errors import Trouble
from synth.base.files import make_folder, replace_with, write_text

ICON_SIZES_PX = (16, 32, 48, 128, 256)
# Reserved characters of an Exec argument.
RESERVED = set(" \t\n\"'\\><~|&;$*?#()`")


def command() -> list[str]:
    """The command that starts this program again: the checkout's script, the installed script, or Python."""
    run = Path(__file__).resolve().parents[2] / "run"
    if run.is_file() and os.access(run, os.X_OK):
        return [str(run)]
    beside = Path(sys.argv[0]).absolute()
    if beside.stem == "tallybar" and beside.is_file():
        return [str(beside)]
    found = shutil.which("tallybar")
    return [found] if found else [sys.executable, "-m", "app"]


def quoted(word: str) -> str:
    r"""Quote an argument of an Exec line where necessary, with ``%`` doubled.

    Within quotes ``"``, `````, ``$`` and ``\`` are escaped by a backslash, and every backslash is doubled once more,
    as in any string of a desktop entry.
    """
    if "\n" in word or "\r" in word:
        raise Trouble("The program's own path has a line break in it; no desktop entry can name it.")
    word = word.replace("%", "%%")
    if not RESERVED & set(word) and word:
        return word
    for each in '\\"`$':
        word = word.replace(each, "\\" + each)
    return '"' + word.replace("\\", "\\\\") + '"'


def entry(words: list[str]) -> str:
    """Text of the desktop entry that starts the program with these words."""
    return "\n".join(
        (
            "[Desktop Entry]",
            "Type=Application",
            "Name=Tallybar",
            "GenericName=Ear training",
            "GenericName[es]=Entrenamiento del oído",
            "Comment=Count beats, bars and phrases, and see how near you were",
            "Comment[es]=Cuenta tiempos, compases y frases, y mira cuánto te acercaste",
            f"Exec={' '.join(quoted(word) for word in words)}",
            "Icon=tallybar",
            "Terminal=false",
            "Categories=Education;Music;",
            "Keywords=rhythm;beat;bar;phrase;count;practice;",
            "StartupNotify=true",
            "StartupWMClass=Tallybar",
            "",
        )
    )


def data_home(environment: Mapping[str, str] = os.environ) -> Path:
    """``XDG_DATA_HOME``, or its default; a relative path is ignored, as specified."""
    given = Path(environment.get("XDG_DATA_HOME", ""))
    return given if given.is_absolute() else Path.home() / ".local" / "share"


def install(platform: str = sys.platform) -> list[str]:
    """Install entry and icons; returns lines that say where, or how to do it elsewhere.

    Raises ``Trouble`` where a folder or file cannot be written.
    """
    start = " ".join(command())
    if platform == "darwin":
        return [
            "On macOS a program gets its place in the Dock from an app of its own:",
            "in Automator make a new Application with one action, Run Shell Script, that holds this line:",
            f"  {start}",
        ]
    if platform.startswith("win"):
        return [
            "On Windows: right-click the desktop, New, Shortcut, and give this as its target:",
            f"  {start}",
            "Then pin the shortcut to Start or to the taskbar.",
        ]
    home = data_home()
    written = home / "applications" / "tallybar.desktop"
    icons = home / "icons" / "hicolor"
    copies = {f"tallybar-{size}.png": icons / f"{size}x{size}" / "apps" / "tallybar.png" for size in ICON_SIZES_PX}
    copies["tallybar.svg"] = icons / "scalable" / "apps" / "tallybar.svg"
    for name, goal in copies.items():
        make_folder(goal.parent)
        with replace_with(goal) as beside:
            shutil.copyfile(assets.path("icons", name), beside)
    make_folder(written.parent)
    write_text(written, entry(command()))
    return [f"Desktop entry: {written}", f"Icon: {copies['tallybar.svg']} and {len(copies) - 1} sizes beside it"]
