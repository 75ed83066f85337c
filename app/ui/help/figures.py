"""Help pages on the figures of a result and their uncertainty."""

from app.ui.help.help_page import QT_TRANSLATE_NOOP, HelpPage, Strip
from app.ui.widgets.sheet.ruled import Box, Dot, Figure, Line, Ruling

TAPS_AS_BELL = QT_TRANSLATE_NOOP("help", "A cowbell stands for each tap.")
# Taps of the two strips on calibration: the same ones before and after correction by 70 ms.
AFTER_MS = (-14.0, 6.0, -9.0, 12.0, 3.0, -6.0, 10.0, -2.0)
DELAY_MS = 70.0

FIGURES = (
    HelpPage(
        "sheet",
        QT_TRANSLATE_NOOP("help", "Reading the sheet"),
        QT_TRANSLATE_NOOP(
            "help", "The sheet is the count written down: a bar on every line, a phrase in every block."
        ),
        QT_TRANSLATE_NOOP(
            "help",
            "Read a block downwards, then the block at its right; a block that begins with 5 continues its phrase. "
            "Your taps are strokes where they fell, with their shift in ms beside them. A ring is a missed target, a "
            "cross a tap that met none, a grey stroke a tap that does not count. What the answer was is marked in "
            "ink, and your answer beside it in broken lines.",
        ),
        QT_TRANSLATE_NOOP(
            "help", "The same eight bars twice: two phrases of four bars, then a phrase of eight, broken in two."
        ),
        ways=("bars", "bars"),
        stacked=True,
        note=TAPS_AS_BELL,
    ),
    HelpPage(
        "met",
        QT_TRANSLATE_NOOP("help", "Met, missed, extra"),
        QT_TRANSLATE_NOOP("help", "A target is met when a tap of yours falls near it."),
        QT_TRANSLATE_NOOP(
            "help",
            "Near means within a third of a beat, and never more than a fifth of a second. Only “The "
            "turn of the phrase” is wider: a beat and a half at first, one beat on its last rungs. A target "
            "without a tap is missed and has a ring; a tap that met no target is extra and has a cross. "
            "Here the ones were asked for; three were met, a fourth was missed, and one tap fell on a "
            "three.",
        ),
        note=TAPS_AS_BELL,
    ),
    HelpPage(
        "early",
        QT_TRANSLATE_NOOP("help", "Early and late"),
        QT_TRANSLATE_NOOP("help", "A tap that meets its target is nearly always a little before or after it."),
        QT_TRANSLATE_NOOP(
            "help",
            "Before is early and carries a minus, after is late and carries a plus. The figures are "
            "thousandths of a second, ms for short. Shifts inside the shaded band, a fortieth of the "
            "beat, hardly anyone would notice. In the example two bars are tapped 60 ms early, then two "
            "bars 60 ms late.",
        ),
        strips=(Strip(QT_TRANSLATE_NOOP("help", "One dot a tap, the first on top"), figures=False),),
        note=TAPS_AS_BELL,
    ),
    HelpPage(
        "habit",
        QT_TRANSLATE_NOOP("help", "Why most people tap early"),
        QT_TRANSLATE_NOOP("help", "Most people tap some 30 to 50 ms before the beat, and do not notice it."),
        QT_TRANSLATE_NOOP(
            "help",
            "You do not wait for the sound and then answer it: you foresee the beat, and the finger goes ahead. To "
            "you it feels exactly right. Practised drummers come closer. It is no fault as long as it stays the "
            "same, for a steady shift can be allowed for.",
        ),
        strips=(Strip(QT_TRANSLATE_NOOP("help", "A usual beginner")),),
        note=TAPS_AS_BELL,
    ),
    HelpPage(
        "bias",
        QT_TRANSLATE_NOOP("help", "Bias"),
        QT_TRANSLATE_NOOP("help", "The bias is the mean of your taps: early or late on the whole."),
        QT_TRANSLATE_NOOP(
            "help",
            "Minus is early, plus is late; the line through the strip stands at the bias. The figure after ± says "
            "how far to trust it, and is the bar at the foot of the line. Nineteen times out of twenty the true mean "
            "lies within it. The more taps, the smaller it becomes.",
        ),
        strips=(Strip(QT_TRANSLATE_NOOP("help", "A little early on the whole")),),
        note=TAPS_AS_BELL,
    ),
    HelpPage(
        "spread",
        QT_TRANSLATE_NOOP("help", "Spread"),
        QT_TRANSLATE_NOOP("help", "The spread says how far your taps scatter around their own mean."),
        QT_TRANSLATE_NOOP(
            "help",
            "About two taps in three lie within one spread of the mean. A small spread means a steady "
            "hand, even where the taps are early. A delay of the computer moves all taps alike, so the "
            "spread is right even without calibration. You hear the steady hand first, then the unsteady "
            "hand.",
        ),
        strips=(
            Strip(QT_TRANSLATE_NOOP("help", "Steady, but early"), 0, 8),
            Strip(QT_TRANSLATE_NOOP("help", "Right on the whole, but unsteady"), 8, 16),
        ),
        note=TAPS_AS_BELL,
    ),
    HelpPage(
        "uncertainty",
        QT_TRANSLATE_NOOP("help", "Uncertainty"),
        QT_TRANSLATE_NOOP("help", "The program does not know everything exactly, and it says so."),
        QT_TRANSLATE_NOOP(
            "help",
            "The moment of a key press, and the moment at which a sound leaves the loudspeaker, are both measured, "
            "and no measurement is perfect. What remains open is drawn as a hatched band at the foot of the strip. "
            "A bias inside that band may be nothing at all.",
        ),
        strips=(
            Strip(
                QT_TRANSLATE_NOOP("help", "A bias that may be nothing"),
                uncertainty_ms=8.0,
                own_ms=(-12.0, 9.0, -4.0, 14.0, 2.0, -8.0, 11.0, 4.0),
            ),
        ),
        ways=(),
        note=QT_TRANSLATE_NOOP("help", "There is nothing to hear here: this page is about what cannot be heard."),
        to_sound=True,
    ),
    HelpPage(
        "calibration",
        QT_TRANSLATE_NOOP("help", "Calibration"),
        QT_TRANSLATE_NOOP("help", "Calibration takes the computer's own delay out of your figures."),
        QT_TRANSLATE_NOOP(
            "help",
            "Sound and key presses need time on their way; with wireless headphones it can be a fifth of "
            "a second and more. Calibrate by tapping, and delay and habit go together: zero is then your "
            "own relaxed tap. Calibrate by microphone, and the delay alone goes: what remains is you. "
            "Until then your spread holds, but nothing is said of early and late.",
        ),
        strips=(
            Strip(QT_TRANSLATE_NOOP("help", "Before"), own_ms=tuple(error_ms + DELAY_MS for error_ms in AFTER_MS)),
            Strip(QT_TRANSLATE_NOOP("help", "After: the same taps"), own_ms=AFTER_MS),
        ),
        ways=(),
        note=QT_TRANSLATE_NOOP(
            "help", "There is nothing to hear here: the delay lies between your computer, your ear and your hand."
        ),
        to_sound=True,
    ),
    HelpPage(
        "ladder",
        QT_TRANSLATE_NOOP("help", "The ladder"),
        QT_TRANSLATE_NOOP("help", "Every drill is a ladder of rungs, from easy to hard."),
        QT_TRANSLATE_NOOP(
            "help",
            "The rung follows your answers, so that about four in five come out right. In the logbook a "
            "dot is the rung that suits you, a bar your level. Nineteen times out of twenty (95 %) the "
            "true level lies within the bar. With a side task you sort numbers or colours beside the "
            "count: what that costs you shows how much attention the count takes.",
        ),
        ruling=Ruling(
            8,
            (
                Line(QT_TRANSLATE_NOOP("help", "Rungs"), tuple(Figure(at, str(at + 1)) for at in range(8))),
                Line(QT_TRANSLATE_NOOP("help", "The rung that suits"), (Dot(4.5),)),
                Line(
                    QT_TRANSLATE_NOOP("help", "Your level"), (Box(3.2, 5.9, QT_TRANSLATE_NOOP("help", "95 % sure")),)
                ),
            ),
        ),
        ways=(),
        note=QT_TRANSLATE_NOOP("help", "There is nothing to hear here: the ladder is climbed in practice."),
    ),
)
