"""Dialogs for opening files and folders."""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QDir, QStandardPaths
from PySide6.QtWidgets import QFileDialog, QWidget

Place = QStandardPaths.StandardLocation
Mode = QFileDialog.FileMode


def open_file(parent: QWidget, title: str, words: str, endings: Sequence[str]) -> Path | None:
    """The path of a file chosen, or None. ``words`` names the kind of file, with these ``endings``: ".mid"."""
    chosen = _chosen(parent, title, Place.DocumentsLocation, Mode.ExistingFile, words, endings)
    return chosen[0] if chosen else None


def open_files(parent: QWidget, title: str, words: str, endings: Sequence[str]) -> list[Path]:
    """The paths of files chosen, as many as one likes; ``words`` and ``endings`` as in ``open_file``."""
    return _chosen(parent, title, Place.MusicLocation, Mode.ExistingFiles, words, endings)


def open_folder(parent: QWidget, title: str) -> Path | None:
    """The path of a folder chosen, or None."""
    chosen = _chosen(parent, title, Place.MusicLocation, Mode.Directory)
    return chosen[0] if chosen else None


def _chosen(
    parent: QWidget, title: str, place: Place, mode: Mode, words: str = "", endings: Sequence[str] = ()
) -> list[Path]:
    kinds = f"{words} ({' '.join(f'*{ending}' for ending in endings)})" if endings else ""
    folder = QStandardPaths.writableLocation(place)
    if not Path(folder).is_dir():  # Qt would write the name of what is not there into the field
        folder = QDir.homePath()
    dialog = QFileDialog(parent, title, folder, kinds)
    dialog.setFileMode(mode)
    dialog.setOption(QFileDialog.Option.ShowDirsOnly, mode is Mode.Directory)
    chosen = [Path(each) for each in dialog.selectedFiles()] if dialog.exec() else []
    dialog.deleteLater()
    return chosen
