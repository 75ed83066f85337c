"""A help page as data.

Texts are marked for translation in the context "help" and translated when shown, by ``translated``. They contain no
escapes, which the collecting tool would not read; a minus sign is written as itself.
"""

from dataclasses import dataclass

from PySide6.QtCore import QCoreApplication

from app.ui.widgets.sheet.ruled import Ruling


@dataclass(frozen=True, slots=True)
class Strip:
    """A timing strip with its name and the dots of taps ``first`` to ``last`` of the page's example.

    ``uncertainty_ms`` is drawn as a hatched band. ``own_ms`` are the dots if the page has no example.
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
    """One page: ``lead`` is its first sentence, ``body`` the others.

    Each of ``ways`` draws a count sheet of the example in this way of counting, one below the other if ``stacked``.
    ``note`` stands beside the button: what to listen for, or why there is no sound. ``to_sound``: the button opens
    Sound and taps.
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
    to_sound: bool = False
    stacked: bool = False


def QT_TRANSLATE_NOOP(context: str, text: str) -> str:
    """Mark a text for translation: ``lupdate`` finds calls by this name. PySide6's own function has no types."""
    return text


def translated(text: str) -> str:
    """A help text in the window's language."""
    return QCoreApplication.translate("help", text) if text else ""
