"""The exercises' sentences in the window's language, their numbers and days as it writes them."""

import re
from collections.abc import Iterable
from contextlib import suppress
from datetime import date, datetime
from functools import cache

from PySide6.QtCore import QCoreApplication, QDate, QLocale, QTime

from synth.base.words import Say, Template
from synth.score.grooves import grooves

DAY = re.compile(r"\d{4}-\d\d-\d\d")
FRACTION = re.compile(r"[-+]?\d+\.\d+")
BELOW_NOUGHT = re.compile(r"-\d+")
# Fields shown as they are: an answer may be a place in the count, "3.2", which is no fraction.
AS_IT_IS = ("given", "expected", "plain")
# No line break between a number and its unit, nor within "12 of 12".
WITH_UNIT = re.compile(r"(?<=\d) (?=(?:%|ms|dBA?|BPM|Hz|min\w*)(?!\w)|±)|(?<=±) (?=\d)")
OF = re.compile(r"(?<=\d) (\w{1,3}) (?=\d)")


def spoken(say: Say) -> str:
    """A sentence of the exercises, translated."""
    return unbroken(say.rendered(lambda text: QCoreApplication.translate("say", text), _written))


def spoken_all(says: Iterable[Say]) -> str:
    """Several sentences in a row, translated."""
    return " ".join(map(spoken, says))


def unbroken(text: str) -> str:
    """The text with no-break spaces between a number and its unit, and around a short word between two numbers."""
    return OF.sub("\N{NO-BREAK SPACE}\\1\N{NO-BREAK SPACE}", WITH_UNIT.sub("\N{NO-BREAK SPACE}", text))


def groove_title(title: str) -> str:
    """The title of a groove, translated if it is one of the program's own."""
    return QCoreApplication.translate("groove", title)


def groove_words(name: str) -> str:
    """The title of the groove with this name; of anything else, such as a MIDI file, the name."""
    return groove_title(_titles().get(name, name))


@cache
def _titles() -> dict[str, str]:
    return {name: groove.title for name, groove in grooves().items()}


def _written(name: str, value: object) -> str:
    """The value of a field as text: a day in words, a number with the language's decimal point and a true minus."""
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


def number(value: float, decimals: int = 0) -> str:
    """A number as the person's language writes it, with a true minus."""
    return QLocale().toString(float(value), "f", decimals).replace("-", "\N{MINUS SIGN}")


def counted(n: int, one: Template, many: Template) -> str:
    """A number of things: ``one`` of them, or ``many`` with the number as the person's language writes it."""
    return spoken(one() if n == 1 else many(n=number(n)))


def day_words(day: date) -> str:
    """A day with its year, in the order of the person's locale; the month as a word, whose number may be misread."""
    return QLocale().toString(QDate(day.year, day.month, day.day), "MMM d, yyyy" if _month_first() else "d MMM yyyy")


def moment_words(when: datetime) -> str:
    """A day and the time of day, both as the person's locale writes them."""
    time = QLocale().toString(QTime(when.hour, when.minute), QLocale.FormatType.ShortFormat)
    return f"{day_words(when.date())}, {time}"


def day_short(day: date) -> str:
    """A day without its year, in the order of the person's locale."""
    return QLocale().toString(QDate(day.year, day.month, day.day), "MMM d" if _month_first() else "d MMM")


def _month_first() -> bool:
    written = QLocale().dateFormat(QLocale.FormatType.LongFormat).replace("dddd", "")
    return written.index("M") < written.index("d")
