"""The help's pages by chapter, in the order of the list, and by id."""

from app.ui.help.care import CARE
from app.ui.help.figures import FIGURES
from app.ui.help.help_page import QT_TRANSLATE_NOOP, HelpPage
from app.ui.help.records import OWN_RECORDS
from app.ui.help.trade import COUNTING, PHRASES, TWO_RECORDS

CHAPTERS: tuple[tuple[str, tuple[HelpPage, ...]], ...] = (
    (QT_TRANSLATE_NOOP("help", "Counting"), COUNTING),
    (QT_TRANSLATE_NOOP("help", "Phrases and parts"), PHRASES),
    (QT_TRANSLATE_NOOP("help", "Two records"), TWO_RECORDS),
    (QT_TRANSLATE_NOOP("help", "Your own records"), OWN_RECORDS),
    (QT_TRANSLATE_NOOP("help", "Your figures"), FIGURES),
    (QT_TRANSLATE_NOOP("help", "Looking after yourself"), CARE),
)
PAGES: dict[str, HelpPage] = {page.id: page for _, pages in CHAPTERS for page in pages}
