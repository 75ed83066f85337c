"""Sentences in the window's language, with their numbers and dates as it writes them."""

import re
from collections.abc import Iterable
from contextlib import suppress
from datetime import date
from functools import cache

from PySide6.QtCore import QCoreApplication, QLocale

from app.ui.base.numbers_and_dates import day_words, number
from synth.base.words import Say, Template
from synth.score.grooves import grooves

DAY = re.compile(r"\d{4}-\d\d-\d\d")
FRACTION = re.compile(r"[-+]?\d+\.\d+")
BELOW_NOUGHT = re.compile(r"-\d+")
# Fields that are not formatted: "3.2" may be a position in the count, not a decimal number.
AS_IT_IS = ("given", "expected", "plain")
# Spaces that must not break: between a number and its unit, and around ±.
WITH_UNIT = re.compile(r"(?<=\d) (?=(?:%|ms|dBA?|BPM|Hz|min\w*)(?!\w)|±)|(?<=±) (?=\d)")
OF = re.compile(r"(?<=\d) (\w{1,3}) (?=\d)")


def spoken(say: Say) -> str:
    """Translate a sentence of the exercises."""
    return unbroken(say.rendered(lambda text: QCoreApplication.translate("say", text), _written))


def spoken_all(says: Iterable[Say]) -> str:
    """Translate sentences and join them by spaces."""
    return " ".join(map(spoken, says))


def unbroken(text: str) -> str:
    """Put no-break spaces between a number and its unit, and around a short word between two numbers."""
    return OF.sub("\N{NO-BREAK SPACE}\\1\N{NO-BREAK SPACE}", WITH_UNIT.sub("\N{NO-BREAK SPACE}", text))


def after_title(text: str) -> str:
    """The text without the stop or colon that follows a title which asks: "Which is faster?."."""
    return re.sub(r"\?[.:](?=\s|$)", "?", text)


def groove_title(title: str) -> str:
    """The title of a groove, translated if the groove is a bundled one."""
    return QCoreApplication.translate("groove", title)


def groove_words(name: str) -> str:
    """The title of the groove of this name; for anything else, such as a MIDI file, the name."""
    return groove_title(_titles().get(name, name))


@cache
def _titles() -> dict[str, str]:
    return {name: groove.title for name, groove in grooves().items()}


def _written(name: str, value: object) -> str:
    """Format a field: a day in words, a number with the language's decimal mark and a true minus sign."""
    text = str(value)
    if name in AS_IT_IS:
        return text
    if isinstance(value, str) and DAY.fullmatch(text):
        with suppress(ValueError):
            return day_words(date.fromisoformat(text))
    fraction = isinstance(value, float | str) and FRACTION.fullmatch(text)
    if not fraction and not BELOW_NOUGHT.fullmatch(text):
        return text
    return text.replace(".", QLocale().decimalPoint()).replace("-", "\N{MINUS SIGN}")


def counted(n: int, one: Template, many: Template) -> str:
    """``one`` for 1, else ``many`` with the number formatted for the locale."""
    return spoken(one() if n == 1 else many(n=number(n)))
