"""Where the dialogs for opening files begin."""

from pathlib import Path

from PySide6.QtCore import QStandardPaths
from PySide6.QtWidgets import QFileDialog, QWidget

from app.ui.widgets.open_file import open_files


def test_without_a_folder_for_music_they_begin_at_home_with_an_empty_field(qtbot, monkeypatch, tmp_path):
    begun = []
    monkeypatch.setattr(QStandardPaths, "writableLocation", lambda _: str(tmp_path / "Music"))
    monkeypatch.setattr(
        QFileDialog, "exec", lambda self: begun.append((self.directory().absolutePath(), self.selectedFiles())) or 0
    )
    parent = QWidget()
    qtbot.addWidget(parent)
    for _ in range(2):
        assert open_files(parent, "Add files", "Audio files", [".wav"]) == []
        (tmp_path / "Music").mkdir(exist_ok=True)
    assert [folder for folder, _ in begun] == [str(Path.home()), str(tmp_path / "Music")]
    assert all("Music" not in [Path(each).name for each in chosen] for _, chosen in begun[:1])
