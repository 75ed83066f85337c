"""Contrast of every pair of colours in use, by WCAG 2.2's own formula."""

import re

import pytest
from PySide6.QtGui import QColor, QFontDatabase

from app import theme


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2 (definition of relative luminance)."""
    parts = [QColor(colour).redF(), QColor(colour).greenF(), QColor(colour).blueF()]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_formula_agrees_with_the_known_edge_cases():
    """#767676 on white passes 4.5:1 and #777777 fails: 4.542 and 4.478 (computed with WCAG's formula)."""
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.542, abs=0.002)
    assert contrast("#777777", "#FFFFFF") == pytest.approx(4.478, abs=0.002)


@pytest.mark.parametrize("sheet", [theme.LIGHT, theme.DARK], ids=lambda sheet: sheet.name)
class TestContrast:
    """WCAG 2.2: 1.4.3 asks 4.5:1 for text, 1.4.11 asks 3:1 for parts of controls and graphics."""

    @pytest.mark.parametrize("ink", ["ink", "soft_ink", "pen"])
    @pytest.mark.parametrize("ground", ["paper", "sheet", "wash"])
    def test_text(self, sheet, ink, ground):
        assert contrast(getattr(sheet, ink), getattr(sheet, ground)) >= 4.5

    def test_text_on_the_next_button(self, sheet):
        assert contrast(sheet.on_pen, sheet.pen) >= 4.5

    @pytest.mark.parametrize("part", ["edge", "pen"])
    @pytest.mark.parametrize("ground", ["paper", "sheet"])
    def test_edges_of_controls_and_marks(self, sheet, part, ground):
        assert contrast(getattr(sheet, part), getattr(sheet, ground)) >= 3.0


def test_the_bundled_fonts_are_found(qapp):
    theme.load_fonts()
    assert {theme.SERIF, theme.SANS} <= set(QFontDatabase.families())


class TestTextSize:
    """WCAG 2.2, 1.4.4: text can be made twice as large."""

    @pytest.fixture(autouse=True)
    def _as_before(self):
        yield
        theme.set_text_scale(1.0)

    def test_every_size_of_the_style_sheet_follows(self):
        plain = [int(size) for size in re.findall(r"font-size: (\d+)px", theme.stylesheet(theme.LIGHT))]
        theme.set_text_scale(2.0)
        assert [int(size) for size in re.findall(r"font-size: (\d+)px", theme.stylesheet(theme.LIGHT))] == [
            2 * size for size in plain
        ]
        assert theme.px(theme.TYPE.small) == 2 * theme.TYPE.small

    def test_a_percentage_is_no_scale(self):
        with pytest.raises(ValueError, match="percentage"):
            theme.set_text_scale(150)


def test_a_theme_by_name_does_not_follow_the_desktop(qapp):
    assert theme.chosen_theme("dark") is theme.DARK
    assert theme.chosen_theme("light") is theme.LIGHT
    assert theme.chosen_theme("system") is theme.system_theme()
