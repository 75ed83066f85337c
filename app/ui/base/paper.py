"""Pages of A4 as PDF."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QBuffer, QMarginsF, QSizeF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter, QPdfWriter

# A4 in px of 1/96 inch (ISO 216: 210 by 297 mm), and the margin around what is printed.
PAGE = QSizeF(793.7, 1122.5)
MARGIN = 56.0
DOTS_PER_INCH = 1200


def pdf(title: str, pages: Sequence[Callable[[QPainter], object]]) -> bytes:
    """A document of pages, each drawn in px of 1/96 inch.

    Qt names no file: its names are all UTF-8, and it is silent about a full disk.
    """
    held = QBuffer()
    held.open(QBuffer.OpenModeFlag.WriteOnly)
    paper = QPdfWriter(held)
    paper.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
    paper.setPageMargins(QMarginsF(0, 0, 0, 0), QPageLayout.Unit.Millimeter)
    paper.setResolution(DOTS_PER_INCH)
    paper.setTitle(title)
    paper.setCreator("Tallybar")
    painter = QPainter(paper)
    try:
        for number, draw in enumerate(pages):
            if number:
                paper.newPage()
            painter.save()
            painter.scale(DOTS_PER_INCH / 96, DOTS_PER_INCH / 96)
            draw(painter)
            painter.restore()
    finally:  # a painter must not outlive what it paints on
        painter.end()
    return bytes(held.data().data())
