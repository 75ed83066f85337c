"""The timing strip: a dot plot of tap errors in ms, early at the left, late at the right.

One dot a tap, the first on top, so that a drift shows as a slant. The shaded band is 2.5 % of the beat, the mean
threshold for one displaced tone (Friberg & Sundberg 1995, J. Acoust. Soc. Am. 98, 2524-2531); the hatched band is the
uncertainty of the measurement. The line through the dots is their mean, or what else is reported of them, the bar
below it its 95 % interval.
"""

import math
from collections.abc import Callable

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.ui.base import theme as look
from exercises.calibration.lag import Middle
from exercises.timing.asynchrony import asynchrony
from exercises.trial.marking import FEWEST_HITS
from synth.base.arrays import Seconds

UNNOTICED_SHARE = 0.025
# Distance of the interval from the axis.
INTERVAL_PX = 6
# Height of a low plot.
LOW_PX = 44


class TimingStrip(QWidget):
    """Shows errors in ms with their mean, the unnoticed band and the program's uncertainty."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.errors_ms: Seconds = np.empty(0)
        self._period_ms = 500.0
        self._uncertainty_ms = 0.0
        self._zero = self.tr("0 ms")
        self.middle_ms: float | None = None
        self.within_ms: tuple[float, float] | None = None
        self._low = False
        self.setMinimumWidth(320)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.tr("Timing strip"))

    def sizeHint(self) -> QSize:
        plot_px = 88 if look.px(100) <= look.LARGE else 72  # so that a result in large text is seen as a whole
        return QSize(720, (LOW_PX if self._low else plot_px) + 2 * look.px(26))

    def make_low(self, low: bool) -> None:
        """Take less height, where there is little."""
        if low != self._low:
            self._low = low
            self.updateGeometry()

    def show_errors(
        self,
        errors_ms: Seconds,
        period_ms: float,
        uncertainty_ms: float,
        *,
        from_mean: bool = False,
        middle: Middle | None = None,
    ) -> None:
        """Show errors (n,) in the order of the taps; ``from_mean``: they are relative to their mean.

        The line stands at their mean, or at a robust ``middle`` where that is what is reported.
        """
        self._zero = self.tr("your average") if from_mean else self.tr("0 ms")
        self.errors_ms = np.asarray(errors_ms, dtype=np.float64)
        if middle is not None:
            self.middle_ms, self.within_ms = middle.middle_ms, middle.ci95_ms
        else:
            found = asynchrony(self.errors_ms)
            enough = len(self.errors_ms) >= FEWEST_HITS
            self.middle_ms, self.within_ms = found.bias_ms, found.bias_ci95_ms if enough else None
        self._period_ms, self._uncertainty_ms = period_ms, uncertainty_ms
        if len(self.errors_ms):
            self.setAccessibleDescription(
                self.tr("Taps: {n}, from {low:.0f} to {high:.0f} ms.").format(
                    n=len(self.errors_ms), low=self.errors_ms.min(), high=self.errors_ms.max()
                )
            )
        else:
            self.setAccessibleDescription(self.tr("No taps to show."))
        self.update()

    def _reach_ms(self) -> float:
        """Half the width of the axis in ms: a round number beyond every dot."""
        far = max([60.0, *np.abs(self.errors_ms).tolist()]) * 1.08
        unit = 10.0 ** math.floor(math.log10(far))
        return next(unit * step for step in (1, 1.5, 2, 3, 5, 10) if unit * step >= far)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the bands, the axis, the dots and the mean."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        small = look.font(look.px(look.TYPE.small))
        painter.setFont(small)
        reach = self._reach_ms()
        plot = QRectF(self.rect()).adjusted(0, look.px(26), -1, -look.px(26) - 8)

        def x_of(ms: float) -> float:
            return plot.center().x() + ms / reach * plot.width() / 2

        band = self._period_ms * UNNOTICED_SHARE
        painter.fillRect(
            QRectF(x_of(-band), plot.top(), x_of(band) - x_of(-band), plot.height()), look.colour("wash")
        )
        painter.setPen(QPen(look.colour("edge"), 1, Qt.PenStyle.DotLine))  # the shade alone is too faint
        for ms in (-band, band):
            painter.drawLine(QPointF(x_of(ms), plot.top()), QPointF(x_of(ms), plot.bottom()))
        if self._uncertainty_ms > 0:
            unsure = min(self._uncertainty_ms, reach)
            hatch = QBrush(look.colour("edge"), Qt.BrushStyle.BDiagPattern)
            painter.fillRect(QRectF(x_of(-unsure), plot.bottom() - 10, x_of(unsure) - x_of(-unsure), 10), hatch)
        painter.setPen(QPen(look.colour("edge"), 1))
        painter.drawLine(plot.bottomLeft(), plot.bottomRight())
        for ms in (-reach, -reach / 2, 0.0, reach / 2, reach):
            x = round(x_of(ms)) + 0.5
            painter.setPen(QPen(look.colour("ink" if ms == 0 else "rule"), 1))
            painter.drawLine(QPointF(x, plot.top()), QPointF(x, plot.bottom()))
            painter.setPen(look.colour("soft_ink"))
            text = f"{ms:+g}".replace("-", "\N{MINUS SIGN}") if ms else self._zero
            box = QRectF(x - look.px(40), plot.bottom() + 12, look.px(80), look.px(20))
            if abs(ms) == reach:
                box.moveLeft(plot.left() if ms < 0 else plot.right() - box.width())
            side = Qt.AlignmentFlag.AlignHCenter
            if abs(ms) == reach:
                side = Qt.AlignmentFlag.AlignLeft if ms < 0 else Qt.AlignmentFlag.AlignRight
            painter.drawText(box, side | Qt.AlignmentFlag.AlignTop, text)
        head = QRectF(plot.left(), 0, plot.width(), look.px(22))
        painter.setPen(look.colour("ink"))
        painter.drawText(head, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, self.tr("early"))
        painter.drawText(head, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter, self.tr("late"))
        self._draw_dots(painter, plot, x_of)
        painter.end()

    def _draw_dots(self, painter: QPainter, plot: QRectF, x_of: Callable[[float], float]) -> None:
        n = len(self.errors_ms)
        if not n:
            words, middle = self.tr("No tap met its target."), Qt.AlignmentFlag.AlignCenter
            beneath = painter.boundingRect(plot, middle, words).adjusted(-8, -2, 8, 2)
            painter.fillRect(beneath, look.colour("paper"))  # the rules shall not strike it through
            painter.setPen(look.colour("soft_ink"))
            painter.drawText(plot, middle, words)
            return
        painter.setBrush(look.colour("pen"))
        painter.setPen(QPen(look.colour("sheet"), 1))
        room = plot.height() - 20
        for order, error in enumerate(self.errors_ms):
            y = plot.top() + 6 + (room * order / (n - 1) if n > 1 else room / 2)
            painter.drawEllipse(QPointF(x_of(float(error)), y), 5, 5)
        self._draw_mean(painter, plot, x_of)

    def _draw_mean(self, painter: QPainter, plot: QRectF, x_of: Callable[[float], float]) -> None:
        """Draw the mean as a line down to its 95 % interval below the axis, where enough taps give one."""
        foot = plot.bottom() + INTERVAL_PX
        assert self.middle_ms is not None
        pen = QPen(look.colour("ink"), 2)
        painter.setPen(pen)
        painter.drawLine(QPointF(x_of(self.middle_ms), plot.top()), QPointF(x_of(self.middle_ms), foot))
        if self.within_ms is None:
            return
        reach = self._reach_ms()
        low, high = (x_of(float(np.clip(each, -reach, reach))) for each in self.within_ms)
        painter.drawLine(QPointF(low, foot), QPointF(high, foot))
        for x in (low, high):
            painter.drawLine(QPointF(x, foot - INTERVAL_PX + 2), QPointF(x, foot + INTERVAL_PX - 2))
