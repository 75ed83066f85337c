"""Dialog for opening a file."""

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
