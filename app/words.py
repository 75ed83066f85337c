"""The exercises' sentences in the window's language."""

from datetime import date

from PySide6.QtCore import QCoreApplication, QDate, QLocale

from exercises.words import Say


def spoken(say: Say) -> str:
    """A sentence of the exercises, translated."""
    return say.rendered(lambda template: QCoreApplication.translate("say", template))


def number(value: float, decimals: int = 0) -> str:
    """A number as the person's language writes it, with a true minus."""
    return QLocale().toString(float(value), "f", decimals).replace("-", "\N{MINUS SIGN}")


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
