"""Contrast of every pair of colours in use, by WCAG 2.2's own formula."""

import re
from pathlib import Path

import pytest
from PySide6.QtGui import QColor, QFont, QFontDatabase
from PySide6.QtWidgets import QCheckBox, QStyle, QStyleOptionButton

import app
import assets
from app.ui.base import theme
from app.ui.practise.trial.side_view import HUES, SideView
from app.ui.widgets.controls import label
from exercises.trial.side_task import COLOURS, Thing


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

    def test_the_drawn_signs_are_in_the_themes_own_ink(self, sheet):
        """Arrows and the loudspeaker are files, whose colours nothing else would hold to the theme's."""
        for path in assets.path("icons").glob(f"*-{sheet.name}.svg"):
            found = set(re.findall(r"#[0-9A-F]{6}", path.read_text(encoding="utf-8")))
            assert found <= {sheet.ink, sheet.soft_ink}, path
            assert found, path

    def test_text_on_the_next_button(self, sheet):
        assert contrast(sheet.on_pen, sheet.pen) >= 4.5

    @pytest.mark.parametrize("part", ["edge", "pen"])
    @pytest.mark.parametrize("ground", ["paper", "sheet", "wash"])
    def test_edges_of_controls_and_marks(self, sheet, part, ground):
        assert contrast(getattr(sheet, part), getattr(sheet, ground)) >= 3.0

    def test_a_disabled_next_button_can_still_be_read(self, sheet):
        """1.4.3 exempts what is inactive; here it says what is being waited for, so that 3:1 is asked for."""
        assert contrast(sheet.soft_ink, sheet.rule) >= 3.0

    @pytest.mark.parametrize("shape", list(HUES))
    def test_the_side_task_stands_out_by_its_outline(self, qtbot, monkeypatch, sheet, shape):
        """The four hues are Okabe and Ito's and not all reach 3:1 on both papers: the outline of each shape does."""
        monkeypatch.setattr(theme, "worn", lambda: sheet)
        view = SideView()
        qtbot.addWidget(view)
        view.resize(480, 112)
        view.setStyleSheet(f"background: {sheet.paper};")
        says, _, key = next(each for each in COLOURS if each[1] is shape)
        view.show_thing(Thing(0.0, says(), shape, key))
        image = view.grab().toImage()
        line = [image.pixelColor(x, 56).name() for x in range(180, 300)]  # between the keys
        first = next(at for at, colour in enumerate(line) if contrast(colour, sheet.paper) > 1.05)
        assert max(contrast(colour, sheet.paper) for colour in line[first : first + 4]) >= 3.0


def test_labels_in_the_typeface_of_numbers_have_lining_figures(qtbot):
    """In its text figures a 1 looks like a small capital I: "18 bars" in a box read "I8 bars"."""
    kinds = re.findall(rf'QLabel\[kind="(\w+)"\] {{ font-family: "{theme.SERIF}"', theme.stylesheet(theme.LIGHT))
    assert {"name", "verdict"} <= set(kinds)
    for kind in kinds:
        made = label("18", kind)
        qtbot.addWidget(made)
        made.setStyleSheet(theme.stylesheet(theme.LIGHT))
        made.ensurePolished()
        assert (kind, made.font().featureValue(QFont.Tag("lnum"))) == (kind, 1)


def test_only_the_theme_and_the_side_task_have_colours():
    """So that the pairs above are all there are: no other file of the window writes a colour down."""
    files = [path for path in Path(app.__file__).parent.rglob("*.py") if path.name != "theme.py"]
    found = {path.name for path in files if re.search(r"\"#[0-9A-Fa-f]{6}\"", path.read_text(encoding="utf-8"))}
    assert found == {"side_view.py"}


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

    def test_the_box_of_a_check_box_follows(self, qtbot):
        sides = []
        for scale in (1.0, 2.0):
            theme.set_text_scale(scale)
            box, option = QCheckBox("A soft tick"), QStyleOptionButton()
            qtbot.addWidget(box)
            box.setStyleSheet(theme.stylesheet(theme.LIGHT))
            box.ensurePolished()
            box.initStyleOption(option)
            sides.append(box.style().subElementRect(QStyle.SubElement.SE_CheckBoxIndicator, option, box).height())
        assert sides[1] == 2 * sides[0]

    def test_a_percentage_is_no_scale(self):
        with pytest.raises(ValueError, match="percentage"):
            theme.set_text_scale(150)


def test_a_theme_by_name_does_not_follow_the_desktop(qapp):
    assert theme.chosen_theme("dark") is theme.DARK
    assert theme.chosen_theme("light") is theme.LIGHT
    assert theme.chosen_theme("system") is theme.system_theme()
