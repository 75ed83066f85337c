"""The window's language: choice, translations, and the locale for numbers and days.

Sources are in English; every other language is a compiled table in ``assets/languages`` (see ``make_languages.py``
there). Commands and the files that they write stay in English with decimal points.
"""

from hashlib import sha256

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication, QLibraryInfo, QLocale, QTranslator

import assets
from app.settings import LANGUAGES

SOURCE = "en"
# Lines of a digest and a file's name, as sha256sum writes and checks them.
DIGESTS = "sha256.txt"


def pick_language(setting: str, system: QLocale | None = None) -> str:
    """Language code for a setting: itself, or for "system" the first available one of the desktop's languages.

    ``ValueError`` for any other setting.
    """
    if setting in LANGUAGES:
        return setting
    if setting != "system":
        raise ValueError(f"language {setting!r}: system or one of {', '.join(LANGUAGES)} expected")
    wanted = (name.replace("_", "-").split("-")[0] for name in (system or QLocale.system()).uiLanguages())
    return next((name for name in wanted if name in LANGUAGES), SOURCE)


def locale_of(language: str, system: QLocale | None = None) -> QLocale:
    """Locale for numbers and days: the desktop's if it has that language, else the language in the desktop's country.

    Where that country has no such locale, the language's default holds; for English with day before month and 24 h.
    """
    system = system or QLocale.system()
    wanted = QLocale(language).language()
    if system.language() == wanted:
        return system
    there = QLocale(wanted, system.territory())
    if wanted == QLocale.Language.English and there.territory() != system.territory():
        return QLocale(wanted, QLocale.Country.UnitedKingdom)
    return there


def whole(language: str) -> bool:
    """Whether the table of a language is as ``make_languages.py`` made it, by its SHA-256."""
    table = assets.path("languages", f"tallybar_{language}.qm")
    try:
        digests = assets.path("languages", DIGESTS).read_text(encoding="ascii")
        return f"{sha256(table.read_bytes()).hexdigest()}  {table.name}" in digests.splitlines()
    except (OSError, UnicodeDecodeError):
        return False


# Of Qt's own file dialog, what its Spanish table still has under earlier texts.
QT_TEXTS = (QT_TRANSLATE_NOOP("QFileDialog", "&Look in:"), QT_TRANSLATE_NOOP("QFileDialog", "Files of &type:"))


def speak(application: QCoreApplication, setting: str, system: QLocale | None = None) -> str:
    """Install a language on the application in place of the previous one; returns its code.

    Call it before making widgets: they translate their texts when made.
    """
    language = pick_language(setting, system)
    for old in application.findChildren(QTranslator):
        application.removeTranslator(old)
        old.deleteLater()
    if language != SOURCE:
        # Qt's own table first: the table installed last takes precedence.
        folders = (QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath), str(assets.path("languages")))
        for stem, folder in zip(("qtbase", "tallybar"), folders, strict=True):
            table = QTranslator(application)
            if stem == "tallybar" and not whole(language):
                continue  # Qt trusts what it reads: a damaged table may end the program, or name another place in it
            if table.load(f"{stem}_{language}", folder):
                application.installTranslator(table)
    QLocale.setDefault(locale_of(language, system))
    return language
