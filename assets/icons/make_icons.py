"""Renders the PNG icons from tallybar.svg: ``python -m assets.icons.make_icons``."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QImage, QPainter
from PySide6.QtSvg import QSvgRenderer

import assets
from app.cli.desktop import ICON_SIZES_PX

HERE = assets.path("icons")


def drawn(size_px: int) -> QImage:
    """The icon in one size on a transparent background."""
    image = QImage(size_px, size_px, QImage.Format.Format_ARGB32)
    image.fill(Qt.GlobalColor.transparent)
    painter = QPainter(image)
    QSvgRenderer(str(HERE / "tallybar.svg")).render(painter)
    painter.end()
    return image


def main() -> None:
    """Write all sizes."""
    application = QGuiApplication.instance() or QGuiApplication([])
    for size_px in ICON_SIZES_PX:
        drawn(size_px).save(str(HERE / f"tallybar-{size_px}.png"))
    del application


if __name__ == "__main__":
    main()
