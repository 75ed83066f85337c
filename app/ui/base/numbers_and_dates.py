"""Numbers and dates in the window's locale."""

from datetime import date, datetime

from PySide6.QtCore import QDate, QLocale, QTime


def number(value: float, decimals: int = 0) -> str:
    """A number with ``decimals`` in the locale's format, with a true minus sign."""
    return QLocale().toString(float(value), "f", decimals).replace("-", "\N{MINUS SIGN}")


def day_words(day: date) -> str:
    """A day with its year in the locale's order; the month as a word, as numbers are ambiguous."""
    return QLocale().toString(QDate(day.year, day.month, day.day), "MMM d, yyyy" if _month_first() else "d MMM yyyy")


def moment_words(when: datetime) -> str:
    """A day and time in the locale's format."""
    time = QLocale().toString(QTime(when.hour, when.minute), QLocale.FormatType.ShortFormat)
    return f"{day_words(when.date())}, {time}"


def day_short(day: date) -> str:
    """A day without its year in the locale's order."""
    return QLocale().toString(QDate(day.year, day.month, day.day), "MMM d" if _month_first() else "d MMM")


def _month_first() -> bool:
    written = QLocale().dateFormat(QLocale.FormatType.LongFormat).replace("dddd", "")
    return written.index("M") < written.index("d")
