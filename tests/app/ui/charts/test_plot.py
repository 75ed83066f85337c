"""The chart painter: rules at round numbers, values where the axes say, texts that do not run into each other."""

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QBuffer, QPointF, QRectF, QSize
from PySide6.QtGui import QImage, QPainter
from PySide6.QtSvg import QSvgGenerator

from app.ui.base import theme
from app.ui.charts.logbook_charts import SpreadChart
from app.ui.charts.plot import MOST_RULES, Field, Plot, round_numbers

pytestmark = pytest.mark.sampled(3)

FIELD = Field(QRectF(40, 10, 200, 100), (0.0, 10.0), (0.0, 50.0))
SIZE = QSize(260, 150)


@given(st.floats(-1e6, 1e6), st.floats(0.1, 1e6))
def test_rules_stand_at_round_numbers_within_the_range(low, span):
    found = round_numbers(low, low + span)
    assert 1 <= len(found) <= MOST_RULES + 1
    assert low - 1e-6 * span <= found[0] <= found[-1] <= low + span + 1e-6 * span
    steps = np.diff(found)
    if len(steps):
        digits = steps[0] / 10 ** math.floor(math.log10(steps[0]) + 1e-9)
        assert min(abs(digits - each) for each in (1, 2, 5)) < 1e-6
        np.testing.assert_allclose(steps, steps[0], rtol=1e-6)


@pytest.mark.parametrize(
    ("low", "high", "numbers"),
    [
        (0, 63, [0, 20, 40, 60]),
        (-30, 30, [-20, 0, 20]),
        (0, 111, [0, 20, 40, 60, 80, 100]),
        (0, 9.5, [0, 2, 4, 6, 8]),
    ],
)
def test_rules_of_the_charts(low, high, numbers):
    np.testing.assert_allclose(round_numbers(low, high), numbers)


def test_values_stand_where_the_axes_say():
    assert FIELD.at(0.0, 0.0) == QPointF(40, 110)
    assert FIELD.at(10.0, 50.0) == QPointF(240, 10)
    assert FIELD.at(5.0, 25.0) == QPointF(140, 60)
    assert FIELD.x_of(FIELD.at(3.0, 0.0).x()) == pytest.approx(3.0)


def test_a_bar_is_filled_from_nought_to_its_value(qapp):
    image = QImage(SIZE, QImage.Format.Format_RGB32)
    image.fill(theme.LIGHT.colour("sheet"))
    painter = QPainter(image)
    plot = Plot(painter, FIELD, font=theme.font(14), theme=theme.LIGHT)
    plot.bars(np.array([5.0]), np.array([25.0]), width=2.0)
    painter.end()
    column = [image.pixelColor(140, y).name() for y in range(SIZE.height())]
    filled = [y for y, colour in enumerate(column) if colour == theme.LIGHT.pen.lower()]
    assert min(filled) == pytest.approx(60, abs=2)
    assert max(filled) == pytest.approx(110, abs=2)
    assert len(filled) == max(filled) - min(filled) + 1


def test_a_word_that_would_run_into_the_one_before_is_left_out(qapp):
    """Read in Qt's SVG, where a text is a text: under the axis and at the heads of the dashed lines."""
    buffer = QBuffer()
    drawing = QSvgGenerator()
    drawing.setOutputDevice(buffer)
    drawing.setSize(SIZE)
    painter = QPainter(drawing)
    plot = Plot(painter, FIELD, font=theme.font(14), theme=theme.LIGHT)
    plot.axes([(1.0, "first"), (1.5, "second"), (8.0, "third")])
    plot.uprights([(2.0, "one"), (2.2, "two"), (9.9, "three")], 10.0)
    painter.end()
    found = re.findall(r'<text [^>]*?x="([\d.]+)"[^>]*>([^<]*)<', bytes(buffer.data()).decode())
    said = [text.strip() for _, text in found]
    assert [text for text in said if not text.isdigit()] == ["first", "third", "one", "three"]
    assert next(float(x) for x, text in found if text.strip() == "three") < FIELD.at(9.9, 0).x()


def test_a_learner_without_any_spread_has_a_chart(qapp):
    """The axis has a range though every value on it is nought."""
    chart = SpreadChart()
    chart.ys = np.zeros(2)
    low, high = chart.reach()
    assert low < high


def test_a_slip_in_painting_lets_go_of_the_widget(qapp, monkeypatch):
    """Qt ends the program where a painter outlives what it paints on."""
    monkeypatch.setattr(SpreadChart, "paint", lambda *_: 1 / 0)
    with pytest.raises(ZeroDivisionError):
        SpreadChart().grab()
