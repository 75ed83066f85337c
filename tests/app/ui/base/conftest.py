"""Languages for a test."""

import pytest
from PySide6.QtCore import QLocale

from app.ui.base.language import speak

NOWHERE = QLocale("C")


@pytest.fixture
def speaking(qapp):
    """Choose a language for the test; afterwards all is as before."""
    before = QLocale()
    yield lambda language: speak(qapp, language, NOWHERE)
    speak(qapp, "en", NOWHERE)
    QLocale.setDefault(before)
