"""Help pages on hearing and hands, with published limits."""

from app.ui.help.help_page import QT_TRANSLATE_NOOP, HelpPage
from app.ui.widgets.sheet.ruled import Box, Line, Ruling

# WHO-ITU H.870 (2018), for leisure: 80 dBA for 40 hours a week (75 dBA for children and sensitive listeners), half
# the time for every 3 dB more, T = 40 h / 2^((L - 80) / 3). From secondary sources; not checked against the standard.
# NIOSH (1998, publication 98-126), for workers: 85 dBA for 8 hours a day.
CARE = (
    HelpPage(
        "ears",
        QT_TRANSLATE_NOOP("help", "Your ears"),
        QT_TRANSLATE_NOOP("help", "Start quietly, and turn it up only as far as you need."),
        QT_TRANSLATE_NOOP(
            "help",
            "No program can know how loud it is at your ear. For leisure, WHO and ITU (H.870) advise at "
            "most 80 dBA for 40 hours a week, for children 75 dBA. If your ears ring, feel dull or hurt, "
            "stop now; if it is still there the next day, see a doctor. And leave the headphones off in "
            "traffic: this is no exercise for driving.",
        ),
        QT_TRANSLATE_NOOP(
            "help",
            "Longest time a week at each level, for leisure (WHO-ITU H.870). For work NIOSH names 85 dBA, 8 "
            "hours a day.",
        ),
        Ruling(
            40,
            (
                Line("80 dBA", (Box(0, 40, QT_TRANSLATE_NOOP("help", "40 hours")),)),
                Line("83 dBA", (Box(0, 20, QT_TRANSLATE_NOOP("help", "20 hours")),)),
                Line("86 dBA", (Box(0, 10, QT_TRANSLATE_NOOP("help", "10 hours")),)),
                Line("89 dBA", (Box(0, 5, QT_TRANSLATE_NOOP("help", "5 hours")),)),
                Line("92 dBA", (Box(0, 2.5, QT_TRANSLATE_NOOP("help", "2 hours 30 minutes")),)),
                Line("95 dBA", (Box(0, 1.25, QT_TRANSLATE_NOOP("help", "1 hour 15 minutes")),)),
            ),
            (20,),
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
            "A tap needs no force: the key only has to go down. Keep the wrist straight and the shoulder "
            "loose, and change hands now and then. Stop now if a finger, the wrist or the arm hurts or "
            "tingles; if it comes back, see a doctor.",
        ),
        QT_TRANSLATE_NOOP("help", "Rest before a hand tires."),
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
