"""The look, after a practice sheet on paper: every colour, type size and distance of the program.

Tests check the contrast of the colour pairs in use against WCAG 2.2 (1.4.3 for text, 1.4.11 for graphics).
"""

from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QFontDatabase, QGuiApplication, QPalette

import assets

SERIF = "Vollkorn"
SANS = "Cabin"
FONT_FILES = ("Vollkorn-Regular.ttf", "Vollkorn-SemiBold.ttf", "Cabin-Regular.otf", "Cabin-SemiBold.otf")

# Step of the spacing grid; margins and gaps are multiples of it.
STEP_PX = 8
# Size of touch targets; WCAG 2.2, 2.5.8 requires 24 px.
TARGET_PX = 40
# Text size in % above which margins are narrow and texts short, to fit the window.
LARGE = 150


@dataclass(frozen=True, slots=True)
class Type:
    """Type sizes in pixels at a text size of 100 %."""

    small: int = 14
    body: int = 16
    lead: int = 20
    title: int = 30
    verdict: int = 34
    # Full screen, read from two metres.
    board: int = 44


TYPE = Type()

# The learner's text size as a factor on the sizes above. ``px`` applies it; the figures on the count sheet, which fit
# the space available, ignore it.
_text_scale = 1.0


def set_text_scale(scale: float) -> None:
    """Set the factor on type sizes, 1 to 2; visible widgets must be dressed again."""
    global _text_scale
    if not 1.0 <= scale <= 2.0:
        raise ValueError(f"text scale {scale:g}: 1 to 2 expected, is this a percentage?")
    _text_scale = scale


def px(size_px: float) -> int:
    """A type size in px at the learner's text size."""
    return round(size_px * _text_scale)


_reduced_motion = False


def set_reduced_motion(reduced: bool) -> None:
    """Set whether animation is reduced."""
    global _reduced_motion
    _reduced_motion = reduced


def reduced_motion() -> bool:
    """Whether animation is reduced."""
    return _reduced_motion


@dataclass(frozen=True, slots=True)
class Theme:
    """The colours of a theme. ``pen`` is the only accent: the learner's own marks, and the next step."""

    name: str
    paper: str
    sheet: str
    ink: str
    soft_ink: str
    rule: str
    edge: str
    pen: str
    on_pen: str
    wash: str

    def colour(self, name: str) -> QColor:
        """A colour by its name here."""
        return QColor(getattr(self, name))


LIGHT = Theme(
    name="light",
    paper="#F4F0E6",
    sheet="#FFFDF8",
    ink="#20232A",
    soft_ink="#595C63",
    rule="#D3CCBC",
    edge="#857E6E",
    pen="#1C4E9A",
    on_pen="#FFFFFF",
    wash="#E6EBF3",
)
DARK = Theme(
    name="dark",
    paper="#17191D",
    sheet="#202329",
    ink="#EFEBE0",
    soft_ink="#A9A89F",
    rule="#3A3E46",
    edge="#7E828B",
    pen="#8FB8F5",
    on_pen="#10131A",
    wash="#2A3444",
)


_worn = LIGHT


def wear(theme: Theme) -> None:
    """Paint in this theme from now on; visible widgets must be dressed again."""
    global _worn
    _worn = theme


def worn() -> Theme:
    """The theme of the window."""
    return _worn


def colour(name: str) -> QColor:
    """A colour of the window's theme by its name; to be read in every paint event."""
    return worn().colour(name)


def thinned(name: str, share: float) -> QColor:
    """A colour with this share of its ink on the sheet, 0 to 1."""
    ink, sheet = colour(name), colour("sheet")
    red, green, blue = (
        round(share * dark + (1 - share) * light)
        for dark, light in (
            (ink.red(), sheet.red()),
            (ink.green(), sheet.green()),
            (ink.blue(), sheet.blue()),
        )
    )
    return QColor(red, green, blue)


def load_fonts() -> None:
    """Load the bundled fonts into Qt; no system font is needed."""
    for name in FONT_FILES:
        QFontDatabase.addApplicationFont(str(assets.path("fonts", name)))


def chosen_theme(name: str = "system") -> Theme:
    """The theme by name: "light", "dark", or "system" for the desktop's choice."""
    return {LIGHT.name: LIGHT, DARK.name: DARK}.get(name) or system_theme()


def system_theme() -> Theme:
    """The light or dark theme, as the desktop prefers."""
    return DARK if QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark else LIGHT


def font(size_px: float, *, serif: bool = False, strong: bool = False) -> QFont:
    """A font of the program, with lining figures of equal width, so that columns align."""
    made = QFont(SERIF if serif else SANS)
    made.setPixelSize(max(1, round(size_px)))
    made.setWeight(QFont.Weight.DemiBold if strong else QFont.Weight.Normal)
    if serif:
        made.setFeature(QFont.Tag("lnum"), 1)
        made.setFeature(QFont.Tag("tnum"), 1)
    return made


# Controls drawn by Qt's style with a frame of its own.
FRAMED = ("QCheckBox",)


def palette(theme: Theme) -> QPalette:
    """Qt's palette for controls without a style sheet."""
    made = QPalette()
    roles = QPalette.ColorRole
    for role, colour in {
        roles.Window: theme.paper,
        roles.WindowText: theme.ink,
        roles.Base: theme.sheet,
        roles.AlternateBase: theme.paper,
        roles.Text: theme.ink,
        roles.Button: theme.sheet,
        roles.ButtonText: theme.ink,
        roles.Highlight: theme.pen,
        roles.HighlightedText: theme.on_pen,
        roles.PlaceholderText: theme.soft_ink,
        roles.ToolTipBase: theme.sheet,
        roles.ToolTipText: theme.ink,
    }.items():
        made.setColor(role, QColor(colour))
    for role in (roles.WindowText, roles.Text, roles.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, role, QColor(theme.edge))
    return made


def framed_palette(theme: Theme) -> QPalette:
    """The palette of the ``FRAMED`` controls, whose frame Qt derives from the window colour, with a visible frame."""
    made = palette(theme)
    # Fusion darkens the window colour by 1.4; lighten it so that the frame gets the edge colour.
    made.setColor(QPalette.ColorRole.Window, QColor(theme.edge).lighter(140))
    return made


def control_px() -> int:
    """Height of buttons, lists and fields in a row, in px at the learner's text size."""
    return px(22) + 2 * STEP_PX + 2


def stylesheet(theme: Theme) -> str:
    """Qt's style sheet for the theme, at the learner's text size."""
    return _stylesheet(theme, _text_scale)


@lru_cache(maxsize=2)
def _stylesheet(theme: Theme, text_scale: float) -> str:
    # A round slider handle: the groove is 4 px high, the border 2 px wide.
    handle_px = 2 * round(12 * text_scale)

    def px(size: float) -> str:
        return f"{round(size * text_scale)}px"

    def drawn(name: str) -> str:
        return f'image: url("{assets.path("icons", f"{name}-{theme.name}.svg").as_posix()}")'

    return f"""
    * {{ font-family: "{SANS}"; font-size: {px(TYPE.body)}; color: {theme.ink}; }}
    QMainWindow, QWidget#screen, QScrollArea, QScrollArea > QWidget > QWidget {{ background: {theme.paper}; }}
    QLabel[kind="title"] {{ font-family: "{SERIF}"; font-size: {px(TYPE.title)}; font-weight: 600; }}
    QLabel[kind="verdict"] {{ font-family: "{SERIF}"; font-size: {px(TYPE.verdict)}; font-weight: 600; }}
    QFrame#version {{ background: {theme.sheet}; border: 2px solid {theme.ink}; border-radius: 6px; }}
    QFrame#version[own="true"] {{ border: 2px dashed {theme.pen}; }}
    QFrame#version[state="now"] {{ background: {theme.wash}; }}
    QLabel[kind="lead"] {{ font-size: {px(TYPE.lead)}; }}
    QLabel[kind="heading"] {{ font-family: "{SERIF}"; font-size: {px(TYPE.lead)}; font-weight: 600; }}
    QLabel[kind="strong"] {{ font-size: {px(TYPE.body)}; font-weight: 600; }}
    QLabel[kind="soft"] {{ color: {theme.soft_ink}; }}
    QLabel[kind="small"] {{ font-size: {px(TYPE.small)}; color: {theme.soft_ink}; }}
    QLabel[kind="figure"] {{ font-family: "{SERIF}"; font-size: {px(TYPE.title)}; font-weight: 600; }}
    QLabel[kind="key"] {{ font-size: {px(TYPE.small)}; color: {theme.soft_ink};
        border: 1px solid {theme.edge}; border-radius: 4px; padding: 2px 5px; min-width: {px(14)}; }}
    QLabel[kind="board"] {{ font-family: "{SERIF}"; font-size: {px(TYPE.board)}; font-weight: 600; }}
    QLabel[kind="name"] {{ font-family: "{SERIF}"; font-size: {px(22)}; font-weight: 600; }}
    QLabel[wrong="true"] {{ font-weight: 400; }}
    QPushButton {{ background: {theme.sheet}; border: 1px solid {theme.edge}; border-radius: 6px;
        padding: 8px 18px; min-height: {px(22)}; }}
    QPushButton:hover {{ border-color: {theme.ink}; }}
    QPushButton {{ outline: none; }}
    QDialog QPushButton:focus {{ border-color: {theme.ink}; }}
    QPushButton:disabled {{ color: {theme.edge}; border-color: {theme.rule}; }}
    QPushButton[kind="next"] {{ background: {theme.pen}; color: {theme.on_pen}; border: 2px solid {theme.pen};
        font-size: {px(TYPE.lead)}; font-weight: 600; padding: 10px 28px; min-height: {px(25)}; }}
    QPushButton[kind="next"]:disabled {{ background: {theme.rule}; color: {theme.soft_ink};
        border-color: {theme.rule}; }}
    QPushButton[kind="tab"] {{ background: transparent; border: none; border-bottom: 3px solid transparent;
        border-radius: 0; padding: 8px 4px; color: {theme.soft_ink}; }}
    QPushButton[kind="tab"]:checked {{ color: {theme.ink}; border-bottom-color: {theme.pen}; font-weight: 600; }}
    QPushButton[kind="link"] {{ background: transparent; border: none; border-bottom: 2px solid transparent;
        border-radius: 0; padding: 0; min-height: 24px; font-size: {px(TYPE.small)}; color: {theme.soft_ink};
        text-decoration: underline; }}
    QPushButton[kind="link"]:hover {{ color: {theme.ink}; }}
    QPushButton[kind="choice"] {{ padding: 8px 14px; }}
    QPushButton QLabel {{ background: transparent; }}
    QPushButton[kind="offer"]:checked {{ border: 2px solid {theme.pen}; background: {theme.wash}; }}
    QCheckBox {{ min-height: {px(24)}; }}
    QCheckBox::indicator {{ width: {px(16)}; height: {px(16)}; }}
    QLineEdit[kind="digits"] {{ font-family: "{SERIF}"; font-size: {px(TYPE.title)}; font-weight: 600; }}
    QPushButton[kind="choice"]:checked {{ border: 2px solid {theme.pen}; background: {theme.wash}; font-weight: 600;
        padding: 7px 13px; }}
    QComboBox, QSpinBox, QDoubleSpinBox, QLineEdit {{ background: {theme.sheet}; border: 1px solid {theme.edge};
        border-radius: 6px; padding: 0 {px(10)}; min-height: {control_px() - 2}px; }}
    QSpinBox, QDoubleSpinBox {{ max-height: {control_px() - 2}px; }}
    QSpinBox[kind="figure"] {{ font-family: "{SERIF}"; font-size: {px(26)}; font-weight: 600; }}
    QComboBox:hover, QSpinBox:hover, QDoubleSpinBox:hover, QLineEdit:hover {{ border-color: {theme.ink}; }}
    QComboBox:disabled, QSpinBox:disabled, QDoubleSpinBox:disabled, QLineEdit:disabled {{ color: {theme.edge};
        border-color: {theme.rule}; }}
    QSpinBox QLineEdit, QDoubleSpinBox QLineEdit {{ min-height: 0; padding: 0; border: none; }}
    QComboBox::drop-down {{ subcontrol-origin: border; subcontrol-position: center right; width: {px(28)};
        border: none; }}
    QComboBox::down-arrow {{ {drawn("arrow-down")}; width: {px(12)}; height: {px(12)}; }}
    QComboBox QAbstractItemView {{ background: {theme.sheet}; border: 1px solid {theme.edge}; outline: 0;
        selection-background-color: {theme.wash}; selection-color: {theme.ink}; }}
    QSpinBox::up-button, QSpinBox::down-button, QDoubleSpinBox::up-button, QDoubleSpinBox::down-button {{
        subcontrol-origin: border; width: {px(28)}; height: {control_px() // 2}px; border: none;
        background: transparent; }}
    QSpinBox::up-button, QDoubleSpinBox::up-button {{ subcontrol-position: top right; }}
    QSpinBox::down-button, QDoubleSpinBox::down-button {{ subcontrol-position: bottom right; }}
    QSpinBox[kind="figure"]::up-button, QSpinBox[kind="figure"]::down-button {{ width: 0; }}
    QSpinBox[kind="figure"]::up-arrow, QSpinBox[kind="figure"]::down-arrow {{ image: none; }}
    QSpinBox::up-arrow, QDoubleSpinBox::up-arrow {{ {drawn("arrow-up")}; width: {px(12)}; height: {px(12)}; }}
    QSpinBox::down-arrow, QDoubleSpinBox::down-arrow {{ {drawn("arrow-down")}; width: {px(12)}; height: {px(12)}; }}
    QComboBox::down-arrow:disabled, QSpinBox::up-arrow:disabled, QSpinBox::down-arrow:disabled {{ image: none; }}
    QLabel#speaker {{ {drawn("speaker")}; min-width: {px(20)}; min-height: {px(20)}; max-width: {px(20)}; }}
    QSlider {{ min-height: {handle_px + 4}px; }}
    QSlider::groove:horizontal {{ height: 4px; background: {theme.edge}; border-radius: 2px; }}
    QSlider::sub-page:horizontal {{ background: {theme.pen}; border-radius: 2px; }}
    QSlider::handle:horizontal {{ width: {handle_px - 4}px; margin: -{(handle_px - 4) // 2}px 0;
        border-radius: {handle_px // 2}px; background: {theme.sheet}; border: 2px solid {theme.pen}; }}
    QSlider::handle:horizontal:focus {{ background: {theme.pen}; }}
    QFrame#card {{ background: {theme.sheet}; border: 1px solid {theme.rule}; border-radius: 6px; }}
    QFrame#rule {{ background: {theme.rule}; border: none; }}
    QFrame#line {{ border: none; border-left: 4px solid transparent; }}
    QFrame#line[state="now"] {{ background: {theme.wash}; border-left-color: {theme.pen}; }}
    QScrollBar {{ background: transparent; border: none; margin: 0; }}
    QScrollBar:vertical {{ width: 16px; }}
    QScrollBar:horizontal {{ height: 16px; }}
    QScrollBar::handle {{ background: {theme.edge}; border: 4px solid {theme.paper}; border-radius: 8px;
        min-height: 32px; min-width: 32px; }}
    QScrollBar::add-line, QScrollBar::sub-line, QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent;
        border: none; width: 0; height: 0; }}
    QProgressBar {{ background: {theme.rule}; border: none; border-radius: 3px; max-height: 6px; }}
    QProgressBar::chunk {{ background: {theme.pen}; border-radius: 3px; }}
    QListWidget#pages {{ background: {theme.paper}; outline: 0; }}
    QListWidget#pages::item {{ padding: 1px 8px; border-left: 3px solid transparent; color: {theme.ink}; }}
    QListWidget#pages::item:disabled {{ color: {theme.soft_ink}; padding-left: 0; border: none; margin-left: -3px; }}
    QListWidget#pages::item:selected {{ background: {theme.wash}; color: {theme.ink};
        border-left: 3px solid {theme.pen}; }}
    QListView#drills {{ background: {theme.sheet}; border: 1px solid {theme.rule}; border-radius: 6px; outline: 0; }}
    QTableView {{ background: {theme.sheet}; border: 1px solid {theme.rule}; gridline-color: {theme.rule};
        selection-background-color: {theme.wash}; selection-color: {theme.ink}; }}
    QHeaderView::section {{ background: {theme.paper}; color: {theme.soft_ink}; border: none;
        border-bottom: 1px solid {theme.edge}; padding: 8px 8px 8px 11px; font-size: {px(TYPE.small)}; }}
    QTableView::item {{ padding: 6px 8px; border: none; }}
    QTableView::item:selected {{ background: {theme.wash}; color: {theme.ink}; }}
    QToolTip {{ background: {theme.sheet}; color: {theme.ink}; border: 1px solid {theme.edge}; padding: 4px; }}
    """
