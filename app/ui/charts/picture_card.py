"""A card around a picture: title, note, the marked value in words, and saving as a file."""

from pathlib import Path

from PySide6.QtCore import QBuffer, QPoint, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QImage, QPaintDevice, QPainter, QRegion
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.charts.picture import Picture
from app.ui.widgets.controls import button, label, named, row, show
from app.ui.widgets.save_as import save_as
from synth.base.errors import Trouble
from synth.base.files import check_ending, write_bytes

ENDINGS = (".png", ".svg")
# A saved picture has twice the screen's resolution.
FINE = 2


class PictureCard(QFrame):
    """A card around a picture. ``troubled`` carries a line when it could not be saved."""

    troubled = Signal(str)

    def __init__(self, picture: Picture, title: str, note: str = "") -> None:
        super().__init__()
        self.setObjectName("card")
        self.picture = picture
        self.title, self.note = label(title, "name", wrap=True), label(note, "small", wrap=True)
        self.value = label("", "body", wrap=True)
        self.stamp = ""
        self.keep = button(self.tr("Save…"), self.tr("Save this picture as a PNG or SVG file."), "tab")
        self.keep.setToolTip(self.keep.accessibleDescription())
        self.keep.clicked.connect(self._ask)
        picture.said.connect(self.value.setText)
        named(picture, title, picture.accessibleDescription())
        step = look.STEP_PX
        column = QVBoxLayout(self)
        column.setContentsMargins(step * 3, step * 2, step * 3, step * 2)
        column.setSpacing(step)
        head = row(self.title, spacing=step)
        head.setStretch(0, 1)
        head.addWidget(self.keep, 0, Qt.AlignmentFlag.AlignTop)
        column.addLayout(head)
        column.addWidget(self.note)
        column.addWidget(picture, 1)
        column.addWidget(self.value)
        column.addStretch(0)
        self.note.setVisible(bool(note))

    def set_note(self, note: str) -> None:
        """Set the note on how to read the picture."""
        show(self.note, note)

    def _ask(self) -> None:
        kinds = {"png": self.tr("Picture"), "svg": self.tr("Drawing")}
        path = save_as(self, self.tr("Save the picture"), "tallybar.png", kinds)
        if path is not None:
            try:
                self.save(path)
            except Trouble as trouble:
                self.troubled.emit(spoken(trouble.says))

    def save(self, path: Path) -> None:
        """Save title and picture as .png or .svg, with the stamp if any. Raises ``Trouble``."""
        check_ending(path, ENDINGS)
        gap = look.STEP_PX * 2
        head = look.px(30) + (look.px(22) if self.stamp else 0) + (look.px(22) if self.note.text() else 0)
        size = QSize(self.picture.width() + 2 * gap, self.picture.height() + head + 2 * gap)
        self.picture.show_marker(False)
        try:
            held = QBuffer()
            held.open(QBuffer.OpenModeFlag.WriteOnly)
            if path.suffix.lower() == ".svg":
                from PySide6.QtSvg import QSvgGenerator

                drawing = QSvgGenerator()
                drawing.setOutputDevice(held)
                drawing.setSize(size)
                drawing.setViewBox(QRectF(0, 0, size.width(), size.height()))
                drawing.setTitle(self.title.text())
                drawing.setDescription(" ".join(each for each in (self.stamp, self.note.text()) if each))
                self._paint(drawing, size, gap, head)
            else:
                image = QImage(size * FINE, QImage.Format.Format_ARGB32_Premultiplied)
                image.setDevicePixelRatio(FINE)
                self._paint(image, size, gap, head)
                image.save(held, "PNG")  # type: ignore[call-overload]  # bytes are refused
            write_bytes(path, bytes(held.data().data()))
        finally:
            self.picture.show_marker(True)

    def _paint(self, on: QPaintDevice, size: QSize, gap: int, head: int) -> None:
        painter = QPainter(on)
        try:
            self._draw(painter, size, gap, head)
        finally:  # a painter must not outlive what it paints on
            painter.end()

    def _draw(self, painter: QPainter, size: QSize, gap: int, head: int) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(QRectF(0, 0, size.width(), size.height()), look.colour("sheet"))
        lines = [(self.title.text(), look.font(look.px(22), serif=True, strong=True))]
        small = look.font(look.px(look.TYPE.small))
        lines += [(text, small) for text in (self.stamp, self.note.text()) if text]
        painter.setPen(look.colour("ink"))
        top = float(gap)
        for text, font in lines:
            height = font.pixelSize() * 1.4
            painter.setFont(font)
            painter.drawText(QRectF(gap, top, size.width() - 2 * gap, height), Qt.AlignmentFlag.AlignVCenter, text)
            top += height
        self.picture.render(painter, QPoint(gap, head + gap), QRegion(), QWidget.RenderFlag.DrawChildren)
