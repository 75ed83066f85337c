"""Dialog for saving a file, with a suggested name and a default ending."""

from pathlib import Path

from PySide6.QtCore import QStandardPaths
from PySide6.QtWidgets import QFileDialog, QWidget


def save_as(parent: QWidget, title: str, name: str, kinds: dict[str, str]) -> Path | None:
    """The path chosen, or None. ``kinds``: ending without its dot -> its name in words, the usual one first."""
    folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
    filters = {f"{words} (*.{ending})": ending for ending, words in kinds.items()}
    dialog = QFileDialog(parent, title, folder)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setNameFilters(list(filters))
    dialog.setDefaultSuffix(next(iter(kinds)))
    dialog.filterSelected.connect(lambda chosen: dialog.setDefaultSuffix(filters[chosen]))
    dialog.selectFile(name)
    chosen = Path(dialog.selectedFiles()[0]) if dialog.exec() else None
    dialog.deleteLater()
    return chosen
