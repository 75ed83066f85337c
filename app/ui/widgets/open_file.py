"""Dialogs for opening files and folders."""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QStandardPaths
from PySide6.QtWidgets import QFileDialog, QWidget


def open_file(parent: QWidget, title: str, words: str, endings: Sequence[str]) -> Path | None:
    """The path of a file chosen, or None. ``words`` names the kind of file, with these ``endings``: ".mid"."""
    folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
    dialog = QFileDialog(parent, title, folder, f"{words} ({' '.join(f'*{ending}' for ending in endings)})")
    dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
    chosen = Path(dialog.selectedFiles()[0]) if dialog.exec() else None
    dialog.deleteLater()
    return chosen


def open_files(parent: QWidget, title: str, words: str, endings: Sequence[str]) -> list[Path]:
    """The paths of files chosen, as many as one likes; ``words`` and ``endings`` as in ``open_file``."""
    folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.MusicLocation)
    dialog = QFileDialog(parent, title, folder, f"{words} ({' '.join(f'*{ending}' for ending in endings)})")
    dialog.setFileMode(QFileDialog.FileMode.ExistingFiles)
    chosen = [Path(each) for each in dialog.selectedFiles()] if dialog.exec() else []
    dialog.deleteLater()
    return chosen


def open_folder(parent: QWidget, title: str) -> Path | None:
    """The path of a folder chosen, or None."""
    folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.MusicLocation)
    dialog = QFileDialog(parent, title, folder)
    dialog.setFileMode(QFileDialog.FileMode.Directory)
    dialog.setOption(QFileDialog.Option.ShowDirsOnly)
    chosen = Path(dialog.selectedFiles()[0]) if dialog.exec() else None
    dialog.deleteLater()
    return chosen
