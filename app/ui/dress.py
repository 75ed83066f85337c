"""Applies theme, text size and reduced motion to the whole application."""

from PySide6.QtWidgets import QApplication

from app.settings import Settings
from app.ui.base import theme as look


def apply(settings: Settings) -> None:
    """Apply theme, text size and reduced motion of the settings to the whole application."""
    look.set_text_scale(settings.text_percent / 100)
    look.set_reduced_motion(settings.reduced_motion)
    dress(look.chosen_theme(settings.theme))


def dress(theme: look.Theme) -> None:
    """Set fonts, palette and style sheet of the application; custom painting uses ``look.worn``."""
    look.wear(theme)
    application = QApplication.instance()
    assert isinstance(application, QApplication)
    sheet = look.stylesheet(theme)
    if application.styleSheet() == sheet:
        return  # unchanged: restyling every widget takes 0.1 s
    if application.styleSheet():
        application.setStyleSheet("")  # first: Qt puts one sheet in the place of another in four times the time
    else:
        application.setStyle("Fusion")  # once: it restyles every widget, too
    application.setFont(look.font(look.px(look.TYPE.body)))
    application.setPalette(look.palette(theme))
    for kind in look.FRAMED:
        # PySide6 takes a str here; its stub says bytes.
        application.setPalette(look.framed_palette(theme), kind)  # type: ignore[arg-type]
    application.setStyleSheet(sheet)
