"""Something to look at while a question's sound plays: a pen that draws slowly, and follows nothing of the sound.

Its figure, pace and beginning come from a source of chance of their own, it knows no trial, and it goes on from
trial to trial. Its pace wanders, so that what it has drawn measures no time; it stays far from that of any beat.
"""

from functools import cached_property
from math import exp

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QEvent, QObject, QPointF, QRectF, Qt, QTimer
from PySide6.QtGui import QHideEvent, QPainter, QPaintEvent, QPen, QPixmap, QPolygonF, QShowEvent
from PySide6.QtWidgets import QWidget

from app.ui.base import theme as look
from synth.device.clock import now_s

TICK_MS = 40
# The figure of a twin pendulum: each axis swings with two of these frequencies, nearly in tune, and dies away.
SWINGS = ((1.0, 2.0), (2.0, 3.0), (1.0, 3.0))
TURNS, POINTS = 28, 9_000
# Mean pace in half heights of the figure a second; its logarithm wanders with this SD, over so many seconds.
PACE, WANDERS, OVER_S = 0.55, 0.4, 4.0
# Longest step in seconds: a pen that was not served does not jump.
LONGEST_S = 0.1
LINE_PX, INK = 1.3, 0.42
# Width of the figure by its height, and its share of the page.
WIDE, SHARE = 2.6, 0.86


class Drawing:
    """A figure and how far it is drawn; ``points``: (n, 2), x within [-WIDE, WIDE], y within [-1, 1]."""

    def __init__(self, rng: np.random.Generator) -> None:
        self._rng = rng
        low, high = SWINGS[int(rng.integers(len(SWINGS)))]
        t = np.linspace(0, 2 * np.pi * TURNS / low, POINTS)
        away = np.exp(-t / t[-1] * rng.uniform(1.2, 1.8))
        turns = 2 * np.pi * rng.random(4)
        off = 1 + rng.uniform(0.002, 0.006, 2) * rng.choice([-1.0, 1.0], 2)
        x = np.sin(low * t + turns[0]) + 0.25 * np.sin(high * off[0] * t + turns[1])
        y = np.sin(high * off[1] * t + turns[2]) + 0.25 * np.sin(low * t + turns[3])
        drawn = np.column_stack([x * away, y * away])
        drawn -= (drawn.max(axis=0) + drawn.min(axis=0)) / 2
        self.points: npt.NDArray[np.float64] = drawn / drawn.max(axis=0) * [WIDE, 1.0]
        self._far = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(self.points, axis=0).T))])
        self._at, self._wander = 0.0, 0.0

    def go_on(self, passed_s: float) -> None:
        """Draw for some seconds."""
        passed_s = min(passed_s, LONGEST_S)
        stays = exp(-passed_s / OVER_S)
        self._wander = stays * self._wander + WANDERS * (1 - stays**2) ** 0.5 * self._rng.standard_normal()
        self._at += PACE * exp(self._wander) * passed_s

    @property
    def drawn(self) -> int:
        """How many points are drawn."""
        return int(np.searchsorted(self._far, self._at, side="right"))

    @property
    def finished(self) -> bool:
        """Whether it is complete."""
        return bool(self._at >= self._far[-1])


class InkDrawing(QWidget):
    """Draws over its parent while it is shown; lets the mouse through. ``on`` decides with each change of page."""

    def __init__(self, parent: QWidget, rng: np.random.Generator | None = None) -> None:
        super().__init__(parent)
        self._over = parent
        self._rng = np.random.default_rng() if rng is None else rng
        self._inked = 0
        self._page: QPixmap | None = None
        self._before_s = 0.0
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        parent.installEventFilter(self)
        self._timer = QTimer(self)
        self._timer.setInterval(TICK_MS)
        self._timer.timeout.connect(self._go_on)
        self.hide()

    @cached_property
    def drawing(self) -> Drawing:
        """The figure and how far it is drawn; made when it is first asked for."""
        return Drawing(self._rng)

    def turn(self, on: bool) -> None:
        """Draw, or be gone; with less movement it is never there. A finished figure makes room for the next."""
        on = on and not look.reduced_motion()
        if on and self.isHidden() and self.drawing.finished:
            self.drawing, self._page = Drawing(self._rng), None
        self.setVisible(on)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.setGeometry(self._over.rect())
        self._before_s = now_s()
        self._timer.start()

    def hideEvent(self, event: QHideEvent) -> None:
        if hasattr(self, "_timer"):  # a window that is collected while it is shown hides it without its attributes
            self._timer.stop()
        super().hideEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Take the parent's size."""
        if event.type() is QEvent.Type.Resize:
            self.setGeometry(self._over.rect())
        return False

    def event(self, event: QEvent) -> bool:
        """Draw anew in another size or theme."""
        if event.type() in (QEvent.Type.Resize, QEvent.Type.StyleChange, QEvent.Type.PaletteChange):
            self._page = None
        return super().event(event)

    def _go_on(self) -> None:
        at_s = now_s()
        self.drawing.go_on(at_s - self._before_s)
        self._before_s = at_s
        if self._page is not None and self.drawing.drawn > self._inked:
            self.update(self._ink(self._page).toAlignedRect())

    def _ink(self, page: QPixmap) -> QRectF:
        """Put the points that are new on the page; returns where they lie."""
        first, end = max(0, self._inked - 1), self.drawing.drawn
        self._inked = end
        half = min(self.height() * SHARE / 2, self.width() * SHARE / 2 / WIDE)
        middle = QPointF(self.width() / 2, self.height() / 2)
        line = QPolygonF([middle + QPointF(x, y) * half for x, y in self.drawing.points[first:end]])
        painter = QPainter(page)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(look.thinned("ink", INK), LINE_PX))
        painter.drawPolyline(line)
        painter.end()
        return line.boundingRect().adjusted(-2, -2, 2, 2)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint what is drawn so far."""
        ratio = self.devicePixelRatioF()
        if self._page is None or self._page.devicePixelRatio() != ratio:
            self._page = QPixmap(self.size() * ratio)
            self._page.setDevicePixelRatio(ratio)
            self._page.fill(Qt.GlobalColor.transparent)
            self._inked = 0
            self._ink(self._page)
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._page)
        painter.end()
