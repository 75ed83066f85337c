"""The exercises' sentences in the window's language, their numbers and days as it writes them."""

import re
from datetime import date
from functools import cache

from PySide6.QtCore import QCoreApplication, QDate, QLocale

from exercises.words import Say, Template
from synth.grooves import grooves

FRACTION = re.compile(r"-?\d+\.\d+")
# What an answer was may be a place in the count, "3.2", which no language writes as a fraction.
ANSWERS = ("given", "expected")


def spoken(say: Say) -> str:
    """A sentence of the exercises, translated."""
    values = {
        name: spoken(value) if isinstance(value, Say) else value if name in ANSWERS else _written(value)
        for name, value in say.values.items()
    }
    return QCoreApplication.translate("say", say.template).format(**values)


def groove_title(title: str) -> str:
    """The title of a groove, translated if it is one of the program's own."""
    return QCoreApplication.translate("groove", title)


def groove_words(name: str) -> str:
    """The title of the groove with this name; of anything else, such as a MIDI file, the name."""
    return groove_title(_titles().get(name, name))


@cache
def _titles() -> dict[str, str]:
    return {name: groove.title for name, groove in grooves().items()}


def _written(value: object) -> object:
    """A number with a fraction gets the language's decimal point."""
    if isinstance(value, float | str) and FRACTION.fullmatch(str(value)):
        return str(value).replace(".", QLocale().decimalPoint())
    return value


def number(value: float, decimals: int = 0) -> str:
    """A number as the person's language writes it, with a true minus."""
    return QLocale().toString(float(value), "f", decimals).replace("-", "\N{MINUS SIGN}")


def counted(n: int, one: Template, many: Template) -> str:
    """A number of things: ``one`` of them, or ``many`` with the number as the person's language writes it."""
    return spoken(one() if n == 1 else many(n=number(n)))


def day_words(day: date) -> str:
    """A day with its year; the month as a word, since its number is read one way here and another there."""
    return QLocale().toString(QDate(day.year, day.month, day.day), "d MMM yyyy")


def dated(say: Say) -> Say:
    """The sentence with its days ("2030-05-01") as the person's language writes them."""
    return Say(say.template, {name: _dated(value) for name, value in say.values.items()})


def _dated(value: object) -> object:
    if isinstance(value, str) and len(value) == 10:
        try:
            return day_words(date.fromisoformat(value))
        except ValueError:
            return value
    return value
