"""The exercises' sentences in the window's language."""

from PySide6.QtCore import QCoreApplication

from exercises.words import Say


def spoken(say: Say) -> str:
    """A sentence of the exercises, translated."""
    return say.rendered(lambda template: QCoreApplication.translate("say", template))
