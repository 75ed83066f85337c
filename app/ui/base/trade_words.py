"""The trade words of the window's language, each with the help's page that explains it."""

import re
from collections.abc import Iterator
from functools import lru_cache

from PySide6.QtCore import QCoreApplication


def QT_TRANSLATE_NOOP(context: str, text: str) -> str:
    """Mark a text for translation: ``lupdate`` finds calls by this name."""
    return text


# Page of the help -> the forms of its words, separated by commas.
FORMS = {
    "beat": QT_TRANSLATE_NOOP("trade words", "beat, beats, tempo, tempos, BPM"),
    "bar": QT_TRANSLATE_NOOP("trade words", "bar, bars"),
    "one": QT_TRANSLATE_NOOP("trade words", "the one, the first one, its one, first ones"),
    "drums": QT_TRANSLATE_NOOP("trade words", "drum, drums, kick, snare, clap, hats, crash, backbeat"),
    "floor": QT_TRANSLATE_NOOP("trade words", "four on the floor"),
    "phrase": QT_TRANSLATE_NOOP("trade words", "phrase, phrases"),
    "turn": QT_TRANSLATE_NOOP("trade words", "turn, turns, fill, fills"),
    "intro": QT_TRANSLATE_NOOP("trade words", "intro, intros"),
    "break": QT_TRANSLATE_NOOP("trade words", "break, breaks, drop, drops"),
    "feel": QT_TRANSLATE_NOOP("trade words", "half time, double time"),
    "line": QT_TRANSLATE_NOOP("trade words", "in line"),
    "blend": QT_TRANSLATE_NOOP("trade words", "outro, outros, blend"),
    "ladder": QT_TRANSLATE_NOOP("trade words", "rung, rungs, ladder"),
}


def found(text: str) -> Iterator[tuple[int, int, str]]:
    """First and last place of each trade word in a text, with its page; of every page the first word alone."""
    forms = tuple(QCoreApplication.translate("trade words", words) for words in FORMS.values())
    seen = set[str]()
    for match in _pattern(forms).finditer(text):
        page = next(page for page, of in zip(FORMS, forms, strict=True) if match[0].lower() in _words(of))
        if page not in seen:
            seen.add(page)
            yield match.start(), match.end(), page


def _words(forms: str) -> list[str]:
    return [word.strip().lower() for word in forms.split(",")]


@lru_cache(maxsize=4)
def _pattern(forms: tuple[str, ...]) -> re.Pattern[str]:
    words = sorted((word for of in forms for word in _words(of)), key=len, reverse=True)
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, words))})(?!\w)", re.IGNORECASE)
