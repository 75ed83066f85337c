"""The window's language: choice, translations, and the locale for numbers and days.

English is what the sources say; every other language is a compiled table in ``assets/languages`` (made by
``make_languages.py`` there). The commands and the files that they write stay in English with decimal points.
"""

from PySide6.QtCore import QCoreApplication, QLibraryInfo, QLocale, QTranslator

import assets
from app.settings import LANGUAGES

SOURCE = "en"


def pick_language(setting: str, system: QLocale | None = None) -> str:
    """The language for a setting, "system" or one of them: as set, or the first of the desktop's that there is.

    ``ValueError`` for any other setting.
    """
    if setting in LANGUAGES:
        return setting
    if setting != "system":
        raise ValueError(f"language {setting!r}: system or one of {', '.join(LANGUAGES)} expected")
    wanted = (name.replace("_", "-").split("-")[0] for name in (system or QLocale.system()).uiLanguages())
    return next((name for name in wanted if name in LANGUAGES), SOURCE)


def locale_of(language: str, system: QLocale | None = None) -> QLocale:
    """Locale for numbers and days: the desktop's if it has that language, else the language in its country.

    Where a country has no way of its own in that language, the language's usual one holds: for English the day before
    the month and 24 hours, which are misread nowhere.
    """
    system = system or QLocale.system()
    wanted = QLocale(language).language()
    if system.language() == wanted:
        return system
    there = QLocale(wanted, system.territory())
    if wanted == QLocale.Language.English and there.territory() != system.territory():
        return QLocale(wanted, QLocale.Country.UnitedKingdom)
    return there


def speak(application: QCoreApplication, setting: str, system: QLocale | None = None) -> str:
    """Install a language on the application in place of the one before; returns its code.

    Widgets take their texts when they are made, so this comes before the first one.
    """
    language = pick_language(setting, system)
    for old in application.findChildren(QTranslator):
        application.removeTranslator(old)
        old.deleteLater()
    if language != SOURCE:
        # Qt's own texts first: of two tables that know a text, the one installed last is asked first.
        folders = (QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath), str(assets.path("languages")))
        for stem, folder in zip(("qtbase", "tallybar"), folders, strict=True):
            table = QTranslator(application)
            if table.load(f"{stem}_{language}", folder):
                application.installTranslator(table)
    QLocale.setDefault(locale_of(language, system))
    return language
