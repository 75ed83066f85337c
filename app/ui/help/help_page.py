"""A page of the help as data: what stands on it, what is drawn, and why it is silent.

Texts are marked for translation in the context "help" and translated when they are shown, with ``told``. They hold
no escapes, since the tool that collects them would not read these; a minus is written as the sign itself.
"""

from dataclasses import dataclass

from PySide6.QtCore import QCoreApplication

from app.ui.widgets.ruled import Ruling


@dataclass(frozen=True, slots=True)
class Strip:
    """A timing strip of the page: the name above it and which of the example's taps it shows (``None``: its own).

    ``uncertainty_ms`` is drawn as the hatched band. ``own_ms`` are its dots where the page has no example.
    """

    name: str
    first: int = 0
    last: int | None = None
    uncertainty_ms: float = 0.0
    own_ms: tuple[float, ...] = ()
    period_ms: float = 600.0
    figures: bool = True


@dataclass(frozen=True, slots=True)
class HelpPage:
    """One page. ``lead`` is its one sentence, ``body`` the others.

    ``ways``: a count sheet each, in this way of counting, which follows the example. ``note`` stands beside the
    button: what is to be heard, or why nothing is where there is no example. ``to_bench``: the button leads there.
    ``stacked``: the sheets stand one below the other, so that each is wide.
    """

    id: str
    title: str
    lead: str
    body: str
    caption: str = ""
    ruling: Ruling | None = None
    strips: tuple[Strip, ...] = ()
    ways: tuple[str, ...] = ("bars",)
    note: str = ""
    to_bench: bool = False
    stacked: bool = False


def QT_TRANSLATE_NOOP(context: str, text: str) -> str:
    """Mark a text for translation: Qt's ``lupdate`` finds the calls by this name. PySide6's own has no types."""
    return text


def translated(text: str) -> str:
    """A text of these pages in the window's language."""
    return QCoreApplication.translate("help", text) if text else ""
