"""A record and files: the count that one gives it, its sheet as PDF, and its sound as it is heard."""

from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.practice.records.confirming import Confirming
from app.practice.records.shelf import Shelf
from app.practice.records.written import ENDINGS, WRITING, check_name
from app.ui.base.words import spoken
from app.ui.widgets.controls import KeyButton
from app.ui.widgets.open_file import open_file
from app.ui.widgets.save_as import save_as
from synth.base.errors import Trouble
from synth.base.files import check_ending, write_bytes
from synth.catalogue.exchange.grid_file import ENDINGS as GRID_ENDINGS
from synth.catalogue.exchange.grid_file import grid_of_file
from synth.recording.grid import Grid


class RecordFiles(QObject):
    """Buttons ``grid``, ``sound`` and ``pdf``, and what they ask and do, once the sound of the ``page`` has stopped.

    Signals: ``taken`` with the grid of a file, ``said`` with a line on how it went.
    """

    taken = Signal(object)
    said = Signal(str)

    def __init__(self, shelf: Shelf, page: QWidget) -> None:
        super().__init__(page)
        self._shelf, self._page = shelf, page
        self.grid = KeyButton(
            self.tr("Count from a file…"),
            self.tr("Takes its count from a file of beats or a JAMS file. You can hear it then."),
            self.tr("O"),
        )
        self.sound = KeyButton(
            self.tr("Save as sound…"),
            self.tr("The whole record as you hear it: with its count, or behind a drum intro. For your own use."),
            self.tr("S"),
        )
        self.pdf = KeyButton(
            self.tr("Save for print…"), self.tr("The sheet as PDF, on one page or two."), self.tr("Ctrl+P")
        )
        self.buttons = (self.grid, self.sound, self.pdf)

    def show(self, *, counted: bool, may_be_given: bool) -> None:
        """Show what there is to do: a count can be written, and one may be given; one sound is written at a time."""
        self.grid.setVisible(may_be_given)
        self.sound.setVisible(counted)
        self.sound.setEnabled(not self._shelf.writing)
        self.pdf.setVisible(counted)

    def ask_grid(self, known: Grid) -> None:
        """Take the count from a file that is chosen."""
        path = open_file(self._page, self.grid.words.text(), self.tr("Beats and JAMS files"), GRID_ENDINGS)
        if path is not None:
            self.take_grid(path, known)

    def take_grid(self, path: Path, known: Grid) -> None:
        """Take the count from a file; a line says why that is impossible."""
        try:
            grid = grid_of_file(path, known)
        except Trouble as trouble:
            self.said.emit(spoken(trouble.says))
        else:
            self.taken.emit(grid)

    def ask_sound(self, confirming: Confirming) -> None:
        """Write the record as it is heard to a file that is chosen."""
        kinds = {ending[1:]: self.tr("Sound") for ending in ENDINGS}
        path = save_as(self._page, self.sound.words.text(), f"{confirming.recording.name}{ENDINGS[0]}", kinds)
        if path is not None:
            self.write_sound(path, confirming)

    def write_sound(self, path: Path, confirming: Confirming) -> None:
        """Write the record as it is heard, in a thread of the shelf; a line says that it has begun, or why not."""
        try:
            check_name(path)
            self._shelf.write(path, confirming.wanted())
            self.said.emit(spoken(WRITING()))
        except Trouble as trouble:
            self.said.emit(spoken(trouble.says))

    def ask_pdf(self, confirming: Confirming) -> None:
        """Write the sheet to a file that is chosen."""
        name, kinds = f"{confirming.recording.name}.pdf", {"pdf": self.tr("Document")}
        path = save_as(self._page, self.pdf.words.text(), name, kinds)
        if path is not None:
            self.write_pdf(path, confirming)

    def write_pdf(self, path: Path, confirming: Confirming) -> None:
        """Write the sheet as PDF; a line says how it went."""
        from app.ui.records.sheet_print import SheetPrint

        try:
            check_ending(path, (".pdf",))
            write_bytes(path, SheetPrint(confirming.recording, confirming.grid, confirming.outline).pdf())
            self.said.emit(self.tr("{path} is written.").format(path=path))
        except Trouble as trouble:
            self.said.emit(spoken(trouble.says))
