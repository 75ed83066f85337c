"""Help pages on one's own records."""

from app.ui.help.help_page import QT_TRANSLATE_NOOP, HelpPage
from app.ui.widgets.sheet.ruled import Dot, Figure, Line, Ruling

OWN_RECORDS = (
    HelpPage(
        "records",
        QT_TRANSLATE_NOOP("help", "Your own records"),
        QT_TRANSLATE_NOOP("help", "The end of all counting practice is your own music."),
        QT_TRANSLATE_NOOP(
            "help",
            "The program looks for beat, one and phrase in the files that you add, or says why it cannot: a file of "
            "their beats helps. Hear eight bars with the count, set right what is wrong by one key, and confirm. A "
            "drum intro in front leads into a record that has none. Once three records are confirmed, part of every "
            "plan is on them.",
        ),
        caption=QT_TRANSLATE_NOOP(
            "help", "What you hear on the page Records: a low block on the one, a high block on the other beats."
        ),
        ruling=Ruling(
            8,
            (
                Line(
                    QT_TRANSLATE_NOOP("help", "Count"),
                    tuple(
                        Figure(beat, str(beat // 4 + 1 if beat % 4 == 0 else beat % 4 + 1), beat % 4 == 0)
                        for beat in range(8)
                    ),
                ),
                Line(QT_TRANSLATE_NOOP("help", "Low block"), tuple(Dot(beat + 0.5) for beat in (0, 4))),
                Line(
                    QT_TRANSLATE_NOOP("help", "High block"), tuple(Dot(beat + 0.5) for beat in range(8) if beat % 4)
                ),
            ),
            (4,),
        ),
        ways=(),
        note=QT_TRANSLATE_NOOP("help", "There is nothing to hear here: open a record of your own and listen."),
    ),
)
