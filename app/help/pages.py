"""The help's pages as data: what stands on each, what is drawn, and why a page is silent.

Texts are marked for translation in the context "help" and translated when they are shown, with ``told``. They hold
no escapes, since the tool that collects them would not read these; a minus is written as the sign itself.
"""

from dataclasses import dataclass

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication

from app.widgets.ruled import Box, Dot, Figure, Line, Ruling


@dataclass(frozen=True, slots=True)
class Strip:
    """A timing strip of the page: the name above it and which of the example's taps it shows (``None``: its own).

    ``uncertainty_ms`` is drawn as the hatched band. ``own_ms`` are its dots where the page has no example.
    """

    name: str
    first: int = 0
    last: int | None = None
    uncertainty_ms: float = 0.0
    own_ms: tuple[float, ...] = ()
    period_ms: float = 600.0
    figures: bool = True


@dataclass(frozen=True, slots=True)
class Page:
    """One page. ``lead`` is its one sentence, ``body`` the others.

    ``ways``: a count sheet each, in this way of counting, which follows the example. ``note`` stands beside the
    button: what is to be heard, or why nothing is where there is no example. ``to_bench``: the button leads there.
    ``stacked``: the sheets stand one below the other, so that each is wide.
    """

    id: str
    title: str
    lead: str
    body: str
    caption: str = ""
    ruling: Ruling | None = None
    strips: tuple[Strip, ...] = ()
    ways: tuple[str, ...] = ("bars",)
    note: str = ""
    to_bench: bool = False
    stacked: bool = False


def told(text: str) -> str:
    """A text of these pages in the window's language."""
    return QCoreApplication.translate("help", text) if text else ""


def _counted(bars: range, start: float = 0.0, cells: int | None = None) -> tuple[Figure, ...]:
    """The figures of bars of four as they are counted, from cell ``start`` on, ``cells`` of them at most."""
    figures = [
        Figure(start + place * 4 + beat, str(bar if beat == 0 else beat + 1), beat == 0)
        for place, bar in enumerate(bars)
        for beat in range(4)
    ]
    return tuple(figures[:cells])


def _struck(*beats: float, ring: bool = False) -> tuple[Dot, ...]:
    """Strokes on these beats, counted from 0."""
    return tuple(Dot(beat + 0.5, ring) for beat in beats)


COUNT = QT_TRANSLATE_NOOP("help", "Count")
KICK = QT_TRANSLATE_NOOP("help", "Kick")
SNARE = QT_TRANSLATE_NOOP("help", "Snare")
HATS = QT_TRANSLATE_NOOP("help", "Hats")
FIRST_RECORD = QT_TRANSLATE_NOOP("help", "First record")
SECOND_RECORD = QT_TRANSLATE_NOOP("help", "Second record")
INTRO_4 = QT_TRANSLATE_NOOP("help", "Intro, 4 bars")
OUTRO_4 = QT_TRANSLATE_NOOP("help", "Outro, 4 bars")
SONG_4 = QT_TRANSLATE_NOOP("help", "Song, 4 bars")
TAPS_AS_BELL = QT_TRANSLATE_NOOP("help", "A cowbell stands for each tap.")

COUNTING = (
    Page(
        "beat",
        QT_TRANSLATE_NOOP("help", "Beat and tempo"),
        QT_TRANSLATE_NOOP("help", "The beat is the steady pulse to which you nod your head."),
        QT_TRANSLATE_NOOP(
            "help",
            "Beats come at even distances, like steps when you walk. How many of them fit into a minute is the "
            "tempo, in beats per minute, BPM for short. In the example a deep drum falls on every beat. Nod along "
            "until it goes by itself: everything else is counted in beats.",
        ),
    ),
    Page(
        "bar",
        QT_TRANSLATE_NOOP("help", "The bar"),
        QT_TRANSLATE_NOOP("help", "Four beats together make a bar."),
        QT_TRANSLATE_NOOP(
            "help",
            "Count 1 2 3 4 and begin again. To know how many bars have gone by, say the number of the bar where the "
            "one would be: 1 2 3 4, 2 2 3 4, 3 2 3 4. On the sheet every bar is a line. Most music for dancing has "
            "four beats in a bar; a waltz has three.",
        ),
    ),
    Page(
        "one",
        QT_TRANSLATE_NOOP("help", "The one"),
        QT_TRANSLATE_NOOP("help", "The first beat of a bar is called the one, or the downbeat."),
        QT_TRANSLATE_NOOP(
            "help",
            "Things begin on it: bars, phrases, a new part of the song. A record that is started on another beat "
            "stays out of step with the first one, however well the beats meet. Listen for the deep drum, and for "
            "the crash of a cymbal that often marks the one of a new phrase, as it does here at the fifth bar.",
        ),
    ),
    Page(
        "drums",
        QT_TRANSLATE_NOOP("help", "Drums and cymbals"),
        QT_TRANSLATE_NOOP("help", "Two drums tell you where you are: the deep kick and the sharp snare."),
        QT_TRANSLATE_NOOP(
            "help",
            "In the plainest pattern the kick falls on one and three, and the snare, or a clap, on two and four: "
            "those sharp strokes are called the backbeat. So the beat before a sharp stroke is the one or the three; "
            "which of the two, the rest of the pattern tells. The hats, two small cymbals on a stand, tick evenly "
            "all along. A crash, the large cymbal, often rings out where a new phrase begins.",
        ),
        ruling=Ruling(
            8,
            (
                Line(COUNT, _counted(range(1, 3))),
                Line(KICK, _struck(0, 2, 4, 6)),
                Line(SNARE, _struck(1, 3, 5, 7, ring=True)),
                Line(HATS, _struck(*(half / 2 for half in range(16)))),
            ),
            (4,),
        ),
    ),
    Page(
        "floor",
        QT_TRANSLATE_NOOP("help", "Four on the floor"),
        QT_TRANSLATE_NOOP("help", "A kick on all four beats of the bar is called four on the floor."),
        QT_TRANSLATE_NOOP(
            "help",
            "House, disco and techno are built on it. The kick then gives you the beat, but not the one. The clap "
            "on two and four narrows it down: the one is a beat without a clap. To tell it from the three, wait for "
            "something that comes once a bar, or for the turn of the phrase.",
        ),
        ruling=Ruling(
            8,
            (
                Line(COUNT, _counted(range(1, 3))),
                Line(KICK, _struck(*range(8))),
                Line(QT_TRANSLATE_NOOP("help", "Clap"), _struck(1, 3, 5, 7, ring=True)),
            ),
            (4,),
        ),
    ),
    Page(
        "aloud",
        QT_TRANSLATE_NOOP("help", "Counting aloud"),
        QT_TRANSLATE_NOOP("help", "Counting aloud keeps the bars in your head, and there are two ways to do it."),
        QT_TRANSLATE_NOOP(
            "help",
            "In figures: 1 2 3 4, 2 2 3 4, 3 2 3 4. With letters: 1 A B C, 2 A B C, 3 A B C, so that a number is "
            "always the number of the bar. Both are right: take the one that comes more easily, and stay with it. "
            "You hear four bars of each.",
        ),
        ways=("bars", "letters"),
    ),
)

PHRASES = (
    Page(
        "phrase",
        QT_TRANSLATE_NOOP("help", "The phrase"),
        QT_TRANSLATE_NOOP("help", "Bars come in groups, and such a group is called a phrase."),
        QT_TRANSLATE_NOOP(
            "help",
            "Four bars make a short phrase, eight or sixteen a long one. Where a phrase ends, something changes: a "
            "drum comes or goes, a voice enters, the bass falls silent. You hear two phrases of four bars. Count "
            "with the voice, and notice how it begins again at one.",
        ),
    ),
    Page(
        "turn",
        QT_TRANSLATE_NOOP("help", "The turn and the fill"),
        QT_TRANSLATE_NOOP("help", "Where one phrase ends and the next begins is the turn, or turnaround."),
        QT_TRANSLATE_NOOP(
            "help",
            "A drummer announces it: at the end of the last bar the pattern gives way to a fill, a run of strokes "
            "on the snare or the toms. Then a cymbal crashes on the one of the new phrase. Not every turn has a "
            "fill, and not every fill means a turn, so keep counting.",
        ),
        ruling=Ruling(
            16,
            (
                Line(COUNT, (*_counted(range(3, 5)), *_counted(range(1, 3), 8))),
                Line(
                    QT_TRANSLATE_NOOP("help", "Drums"),
                    (
                        Box(0, 6, QT_TRANSLATE_NOOP("help", "pattern")),
                        Box(6, 8, QT_TRANSLATE_NOOP("help", "fill"), True),
                        Box(8, 16, QT_TRANSLATE_NOOP("help", "pattern, with something new")),
                    ),
                ),
                Line(QT_TRANSLATE_NOOP("help", "Crash"), _struck(8)),
            ),
            (8,),
        ),
    ),
    Page(
        "intro",
        QT_TRANSLATE_NOOP("help", "The intro"),
        QT_TRANSLATE_NOOP("help", "The intro is what comes before the song itself, often drums alone."),
        QT_TRANSLATE_NOOP(
            "help",
            "It is made for mixing: there is a beat to hold on to, and nothing that could clash. It lasts whole "
            "phrases, often eight, sixteen or thirty-two bars. Measure it before you mix: count the bars until bass, "
            "chords or a voice come in. In the example that is after eight bars.",
        ),
        ruling=Ruling(
            12,
            (
                Line(
                    QT_TRANSLATE_NOOP("help", "Drums"),
                    (
                        Box(0, 8, QT_TRANSLATE_NOOP("help", "Intro, 8 bars"), True),
                        Box(8, 12, QT_TRANSLATE_NOOP("help", "going on")),
                    ),
                ),
                Line(
                    QT_TRANSLATE_NOOP("help", "Bass and chords"),
                    (Box(8, 12, SONG_4),),
                ),
            ),
            (4, 8),
        ),
    ),
    Page(
        "break",
        QT_TRANSLATE_NOOP("help", "The break and the drop"),
        QT_TRANSLATE_NOOP("help", "In the break kick and snare fall silent; at the drop they come back."),
        QT_TRANSLATE_NOOP(
            "help",
            "A break lets the dancers breathe: chords, a voice or light drums go on alone. Count on through it, for "
            "the bars go by at the same pace. The drop falls on the one of a phrase, with kick and bass together. "
            "In the example the break has four bars.",
        ),
        ruling=Ruling(
            12,
            (
                Line(
                    QT_TRANSLATE_NOOP("help", "Kick and bass"),
                    (
                        Box(0, 4, SONG_4),
                        Box(8, 12, QT_TRANSLATE_NOOP("help", "Drop, 4 bars")),
                    ),
                ),
                Line(
                    QT_TRANSLATE_NOOP("help", "Voice and light drums"),
                    (Box(4, 8, QT_TRANSLATE_NOOP("help", "Break, 4 bars"), True),),
                ),
            ),
            (4, 8),
        ),
    ),
    Page(
        "feel",
        QT_TRANSLATE_NOOP("help", "Half time, double time"),
        QT_TRANSLATE_NOOP("help", "The tempo stays, but kick and snare come half as often, or twice as often."),
        QT_TRANSLATE_NOOP(
            "help",
            "In half time there is one snare a bar, on the three, and the music seems to walk. In double time the "
            "snare falls between the beats, and the music seems to run. The hats go on as before: they tell you "
            "that the count has not changed. You hear two bars of each, in this order.",
        ),
        ruling=Ruling(
            8.25,
            (
                Line(COUNT, _counted(range(1, 3))),
                Line(
                    QT_TRANSLATE_NOOP("help", "Straight on"),
                    (*_struck(0, 2, 4, 6), *_struck(1, 3, 5, 7, ring=True)),
                ),
                Line(QT_TRANSLATE_NOOP("help", "Half time"), (*_struck(0, 4), *_struck(2, 6, ring=True))),
                Line(
                    QT_TRANSLATE_NOOP("help", "Double time"),
                    (*_struck(*range(8)), *_struck(*(beat + 0.5 for beat in range(8)), ring=True)),
                ),
            ),
            (4,),
        ),
        note=QT_TRANSLATE_NOOP("help", "A filled dot is the kick, a ring the snare."),
    ),
)

TWO_RECORDS = (
    Page(
        "line",
        QT_TRANSLATE_NOOP("help", "Two records in line"),
        QT_TRANSLATE_NOOP("help", "Two records are in line when their ones fall together."),
        QT_TRANSLATE_NOOP(
            "help",
            "The same tempo is not enough: the beats may meet while the one of a record meets the two of the other. "
            "Then the sharp drums get in each other's way, and the music stumbles. In the example the second record "
            "is a beat late for four bars, then in line for four. Listen to how the drums suddenly agree.",
        ),
        ruling=Ruling(
            8,
            (
                Line(FIRST_RECORD, _counted(range(1, 3))),
                Line(QT_TRANSLATE_NOOP("help", "A beat late"), _counted(range(1, 3), 1, 7)),
                Line(QT_TRANSLATE_NOOP("help", "In line"), _counted(range(1, 3))),
            ),
            (4,),
        ),
    ),
    Page(
        "blend",
        QT_TRANSLATE_NOOP("help", "Outro and blend"),
        QT_TRANSLATE_NOOP("help", "The blend is the time for which two records are heard together."),
        QT_TRANSLATE_NOOP(
            "help",
            "The outro is how a record ends, mostly drums, and made for mixing as the intro is. The new record's "
            "intro plays while the old record's outro runs out, at one tempo and with the ones together. So nothing "
            "clashes. Then the new record stands alone, and the dancers never lost the beat.",
        ),
        ruling=Ruling(
            12,
            (
                Line(FIRST_RECORD, (Box(0, 4, SONG_4), Box(4, 8, OUTRO_4, True))),
                Line(SECOND_RECORD, (Box(4, 8, INTRO_4, True), Box(8, 12, SONG_4))),
            ),
            (4, 8),
        ),
    ),
    Page(
        "land",
        QT_TRANSLATE_NOOP("help", "Landing on the turn"),
        QT_TRANSLATE_NOOP(
            "help", "Start the second record so that its intro ends exactly where the first record turns."
        ),
        QT_TRANSLATE_NOOP(
            "help",
            "Take the bars of the intro from the bars that are left until the turn: what remains is how long you "
            "wait. Here eight bars are left and the intro has four, so you wait for four and start on the next one. "
            "The new song then enters at the very moment at which the old one gives way.",
        ),
        ruling=Ruling(
            12,
            (
                Line(FIRST_RECORD, (Box(0, 8, QT_TRANSLATE_NOOP("help", "Drop, 8 bars")), Box(8, 12, OUTRO_4, True))),
                Line(
                    SECOND_RECORD,
                    (
                        Box(0, 4, QT_TRANSLATE_NOOP("help", "wait for 4 bars"), waiting=True),
                        Box(4, 8, INTRO_4, True),
                        Box(8, 12, SONG_4),
                    ),
                ),
            ),
            (4, 8),
        ),
    ),
)

# Dots of the two strips on calibration: the same taps, before and after 70 ms of delay were found.
AFTER_MS = (-14.0, 6.0, -9.0, 12.0, 3.0, -6.0, 10.0, -2.0)
DELAY_MS = 70.0

FIGURES = (
    Page(
        "sheet",
        QT_TRANSLATE_NOOP("help", "Reading the sheet"),
        QT_TRANSLATE_NOOP(
            "help", "The sheet is the count written down: a bar on every line, a phrase in every block."
        ),
        QT_TRANSLATE_NOOP(
            "help",
            "Read a block downwards, then the one at its right; a block that begins with 1 is a new phrase. A long "
            "phrase may be broken to fit, and then the numbers go on: 5 6 7 8. Your taps are strokes where they "
            "fell, with their shift in ms beside them. A ring is a target that you missed, a cross a tap that met "
            "none, and a grey stroke a tap that did not count yet.",
        ),
        QT_TRANSLATE_NOOP(
            "help", "The same eight bars twice: two phrases of four bars, then one of eight, broken in two."
        ),
        ways=("bars", "bars"),
        stacked=True,
        note=TAPS_AS_BELL,
    ),
    Page(
        "met",
        QT_TRANSLATE_NOOP("help", "Met, missed, extra"),
        QT_TRANSLATE_NOOP("help", "A target is met when one of your taps falls near it."),
        QT_TRANSLATE_NOOP(
            "help",
            "Near means within a third of a beat, and never more than a fifth of a second. A target without a tap "
            "is missed: a ring stands around it. A tap that met no target is extra: it carries a cross. Here the "
            "ones were asked for; three were met, one was missed, and one tap fell on a three.",
        ),
        note=TAPS_AS_BELL,
    ),
    Page(
        "early",
        QT_TRANSLATE_NOOP("help", "Early and late"),
        QT_TRANSLATE_NOOP("help", "A tap that meets its target is nearly always a little before or after it."),
        QT_TRANSLATE_NOOP(
            "help",
            "Before is early and carries a minus, after is late and carries a plus. The figures are thousandths of "
            "a second, ms for short. Shifts inside the shaded band, a fortieth of the beat, hardly anyone would "
            "notice. In the example two bars are tapped 60 ms early, then two bars 60 ms late.",
        ),
        strips=(Strip(QT_TRANSLATE_NOOP("help", "One dot a tap, the first on top"), figures=False),),
        note=TAPS_AS_BELL,
    ),
    Page(
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
    Page(
        "bias",
        QT_TRANSLATE_NOOP("help", "Bias"),
        QT_TRANSLATE_NOOP("help", "The bias is the mean of your taps: early or late on the whole."),
        QT_TRANSLATE_NOOP(
            "help",
            "Minus is early, plus is late; the wedge under the strip stands at the bias. The figure after ± says how "
            "far to trust it: nineteen times out of twenty the true mean lies within it. The more taps, the smaller "
            "it becomes.",
        ),
        strips=(Strip(QT_TRANSLATE_NOOP("help", "A little early on the whole")),),
        note=TAPS_AS_BELL,
    ),
    Page(
        "spread",
        QT_TRANSLATE_NOOP("help", "Spread"),
        QT_TRANSLATE_NOOP("help", "The spread says how far your taps scatter around their own mean."),
        QT_TRANSLATE_NOOP(
            "help",
            "About two taps in three lie within one spread of the mean. A small spread means a steady hand, even "
            "where the taps are early. A delay of the computer moves all taps alike, so the spread is right even "
            "without calibration. You hear the steady hand first, then the unsteady one.",
        ),
        strips=(
            Strip(QT_TRANSLATE_NOOP("help", "Steady, but early"), 0, 8),
            Strip(QT_TRANSLATE_NOOP("help", "Right on the whole, but unsteady"), 8, 16),
        ),
        note=TAPS_AS_BELL,
    ),
    Page(
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
        to_bench=True,
    ),
    Page(
        "calibration",
        QT_TRANSLATE_NOOP("help", "Calibration"),
        QT_TRANSLATE_NOOP("help", "Calibration takes the computer's own delay out of your figures."),
        QT_TRANSLATE_NOOP(
            "help",
            "Sound takes time to reach your ear, and so does a key press on its way to the program; with wireless "
            "headphones it can be a fifth of a second and more. Calibrate by tapping, and delay and habit go "
            "together: zero is then your own relaxed tap. Calibrate by microphone, and the delay alone goes: what "
            "remains is you. Until then your spread holds, but nothing is said of early and late.",
        ),
        strips=(
            Strip(QT_TRANSLATE_NOOP("help", "Before"), own_ms=tuple(error_ms + DELAY_MS for error_ms in AFTER_MS)),
            Strip(QT_TRANSLATE_NOOP("help", "After: the same taps"), own_ms=AFTER_MS),
        ),
        ways=(),
        note=QT_TRANSLATE_NOOP(
            "help", "There is nothing to hear here: the delay lies between your computer, your ear and your hand."
        ),
        to_bench=True,
    ),
)

# NIOSH: 85 dBA for eight hours, half the time for every 3 dB more, T = 480 min / 2^((L - 85) / 3).
# WHO-ITU H.870 (2018): 80 dBA for 40 hours a week.
CARE = (
    Page(
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
    Page(
        "hands",
        QT_TRANSLATE_NOOP("help", "Your hands"),
        QT_TRANSLATE_NOOP("help", "Tap lightly, and take a pause after twenty minutes."),
        QT_TRANSLATE_NOOP(
            "help",
            "A tap needs no force: the key only has to go down. Keep the wrist straight and the shoulder loose, and "
            "change hands now and then. Stop at once if a finger, the wrist or the arm hurts or tingles; if it comes "
            "back, ask a doctor.",
        ),
        # Spaced practice lasts longer: Cepeda et al. 2008, Psychol. Sci. 19, 1095-1102.
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

CHAPTERS: tuple[tuple[str, tuple[Page, ...]], ...] = (
    (QT_TRANSLATE_NOOP("help", "Counting"), COUNTING),
    (QT_TRANSLATE_NOOP("help", "Phrases and parts"), PHRASES),
    (QT_TRANSLATE_NOOP("help", "Two records"), TWO_RECORDS),
    (QT_TRANSLATE_NOOP("help", "Your figures"), FIGURES),
    (QT_TRANSLATE_NOOP("help", "Looking after yourself"), CARE),
)
PAGES: dict[str, Page] = {page.id: page for _, pages in CHAPTERS for page in pages}
