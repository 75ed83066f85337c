"""Choosing where a file goes: a name to begin from, the ending added where none was typed."""

import pytest
from PySide6.QtWidgets import QFileDialog, QWidget

from app.ui.widgets.save_as import save_as

KINDS = {"png": "Picture", "svg": "Drawing"}


@pytest.mark.parametrize(
    ("typed", "chosen", "written"),
    [
        (None, None, "tallybar.png"),
        ("mine", None, "mine.png"),
        ("mine", "Drawing (*.svg)", "mine.svg"),
        ("mine.svg", None, "mine.svg"),
    ],
)
def test_an_ending_that_was_not_typed_is_added(qtbot, monkeypatch, tmp_path, typed, chosen, written):
    def choose(dialog) -> bool:
        if chosen is not None:
            dialog.selectNameFilter(chosen)
            dialog.filterSelected.emit(chosen)
        if typed is not None:
            dialog.selectFile(str(tmp_path / typed))
        return True

    monkeypatch.setattr(QFileDialog, "exec", choose)
    parent = QWidget()
    qtbot.addWidget(parent)
    path = save_as(parent, "Save", "tallybar.png", KINDS)
    assert path is not None
    assert path.name == written
    assert path.is_absolute()


def test_nothing_chosen_is_nothing(qtbot, monkeypatch):
    monkeypatch.setattr(QFileDialog, "exec", lambda dialog: False)
    parent = QWidget()
    qtbot.addWidget(parent)
    assert save_as(parent, "Save", "tallybar.png", KINDS) is None
