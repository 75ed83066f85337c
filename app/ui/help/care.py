"""Help pages on hearing and hands, with published limits."""

from app.ui.help.help_page import QT_TRANSLATE_NOOP, HelpPage
from app.ui.widgets.ruled import Box, Line, Ruling

# NIOSH: 85 dBA for eight hours, half the time for every 3 dB more, T = 480 min / 2^((L - 85) / 3).
# WHO-ITU H.870 (2018): 80 dBA for 40 hours a week.
CARE = (
    HelpPage(
        "ears",
        QT_TRANSLATE_NOOP("help", "Your ears"),
        QT_TRANSLATE_NOOP("help", "Start quietly, and turn it up only as far as you need."),
        QT_TRANSLATE_NOOP(
            "help",
            "No program can know how loud it is at your ear. Every 3 dB more halves the time that is thought safe; "
            "for a whole week, 80 dB for 40 hours is the usual limit, less for children. If your ears ring or feel "
            "dull, rest them; if that stays, or if they hurt, see a doctor. And leave the headphones off in "
            "traffic: this is no exercise for driving.",
        ),
        QT_TRANSLATE_NOOP(
            "help", "Longest time a day at each level (dBA), after NIOSH; the week after WHO-ITU H.870."
        ),
        Ruling(
            8,
            (
                Line("85 dB", (Box(0, 8, QT_TRANSLATE_NOOP("help", "8 hours")),)),
                Line("88 dB", (Box(0, 4, QT_TRANSLATE_NOOP("help", "4 hours")),)),
                Line("91 dB", (Box(0, 2, QT_TRANSLATE_NOOP("help", "2 hours")),)),
                Line("94 dB", (Box(0, 1, QT_TRANSLATE_NOOP("help", "1 hour")),)),
                Line("97 dB", (Box(0, 0.5, QT_TRANSLATE_NOOP("help", "30 minutes")),)),
                Line("100 dB", (Box(0, 0.25, QT_TRANSLATE_NOOP("help", "15 minutes")),)),
            ),
            (4,),
        ),
        ways=(),
        note=QT_TRANSLATE_NOOP("help", "There is nothing to hear here: quiet is what rests the ears."),
    ),
    HelpPage(
        "hands",
        QT_TRANSLATE_NOOP("help", "Your hands"),
        QT_TRANSLATE_NOOP("help", "Tap lightly, and take a pause after twenty minutes."),
        QT_TRANSLATE_NOOP(
            "help",
            "A tap needs no force: the key only has to go down. Keep the wrist straight and the shoulder loose, and "
            "change hands now and then. Stop at once if a finger, the wrist or the arm hurts or tingles; if it comes "
            "back, ask a doctor.",
        ),
        # Spacing effect: Cepeda et al. 2008, Psychol. Sci. 19, 1095-1102.
        QT_TRANSLATE_NOOP("help", "A little every day does more than a lot at once."),
        Ruling(
            45,
            (
                Line(
                    QT_TRANSLATE_NOOP("help", "Minutes"),
                    (
                        Box(0, 20, QT_TRANSLATE_NOOP("help", "practise for 20"), True),
                        Box(20, 25, QT_TRANSLATE_NOOP("help", "rest")),
                        Box(25, 45, QT_TRANSLATE_NOOP("help", "practise for 20"), True),
                    ),
                ),
            ),
        ),
        ways=(),
        note=QT_TRANSLATE_NOOP("help", "There is nothing to hear here: let your hands rest while you read."),
    ),
)
