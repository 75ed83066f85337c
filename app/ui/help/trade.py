"""Help pages on terms: counting, phrases and parts, two records."""

from app.ui.help.help_page import QT_TRANSLATE_NOOP, HelpPage
from app.ui.widgets.sheet.ruled import Box, Dot, Figure, Line, Ruling


def _counted(bars: range, start: float = 0.0, cells: int | None = None) -> tuple[Figure, ...]:
    """The counted figures of bars of four from cell ``start`` on, at most ``cells`` of them."""
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

COUNTING = (
    HelpPage(
        "beat",
        QT_TRANSLATE_NOOP("help", "Beat and tempo"),
        QT_TRANSLATE_NOOP("help", "The beat is the steady pulse to which you nod your head."),
        QT_TRANSLATE_NOOP(
            "help",
            "Beats come at even distances, like steps when you walk. How many of them fit into a minute "
            "is the tempo, in beats per minute, BPM for short. In the example the kick, the lowest drum, "
            "falls on every beat. Nod along until your head goes by itself: everything else is counted "
            "in beats.",
        ),
    ),
    HelpPage(
        "bar",
        QT_TRANSLATE_NOOP("help", "The bar"),
        QT_TRANSLATE_NOOP("help", "Four beats together make a bar."),
        QT_TRANSLATE_NOOP(
            "help",
            "Count 1 2 3 4 and begin again. To count bars, say the bar's number in place of the one: 1 2 "
            "3 4, 2 2 3 4, 3 2 3 4. On the sheet every bar is a line. Most music for dancing has four "
            "beats in a bar; a waltz has three.",
        ),
    ),
    HelpPage(
        "one",
        QT_TRANSLATE_NOOP("help", "The one"),
        QT_TRANSLATE_NOOP("help", "The first beat of a bar is called the one, or the downbeat."),
        QT_TRANSLATE_NOOP(
            "help",
            "Things begin on it: bars, phrases, a new part of the song. A record that is started on "
            "another beat stays out of step with the first record, however well the beats meet. Listen "
            "for the crash of a cymbal: it often marks the one of a new phrase, as here after four bars.",
        ),
    ),
    HelpPage(
        "drums",
        QT_TRANSLATE_NOOP("help", "Drums and cymbals"),
        QT_TRANSLATE_NOOP(
            "help", "Two drums show you where you are: the kick, low and dull, and the snare, high and short."
        ),
        QT_TRANSLATE_NOOP(
            "help",
            "In the plainest pattern the kick falls on one and three; the snare, or a clap instead, on "
            "two and four, the backbeat. The beat before a snare is then the one or the three; the rest "
            "of the pattern shows which. The hats, two small cymbals on a stand, tick evenly all along. "
            "A crash, the large cymbal, often rings out where a new phrase begins.",
        ),
        ruling=Ruling(
            8.25,
            (
                Line(COUNT, _counted(range(1, 3))),
                Line(KICK, _struck(0, 2, 4, 6)),
                Line(SNARE, _struck(1, 3, 5, 7, ring=True)),
                Line(HATS, _struck(*(half / 2 for half in range(16)))),
            ),
            (4.25,),  # after the last hat of the bar
        ),
    ),
    HelpPage(
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
    HelpPage(
        "aloud",
        QT_TRANSLATE_NOOP("help", "Counting aloud"),
        QT_TRANSLATE_NOOP("help", "Counting aloud keeps the bars in your head, and there are two ways to do it."),
        QT_TRANSLATE_NOOP(
            "help",
            "In numbers: 1 2 3 4, 2 2 3 4, 3 2 3 4. With letters: 1 A B C, 2 A B C, 3 A B C, so that a "
            "number is always the number of the bar. Both ways are right: take the way that comes more "
            "easily, and stay with it. You hear four bars of each.",
        ),
        ways=("bars", "letters"),
    ),
)

PHRASES = (
    HelpPage(
        "phrase",
        QT_TRANSLATE_NOOP("help", "The phrase"),
        QT_TRANSLATE_NOOP("help", "Bars come in groups, and such a group is called a phrase."),
        QT_TRANSLATE_NOOP(
            "help",
            "Four bars make a short phrase, eight or sixteen bars a long phrase. Where a phrase ends, "
            "something changes: a drum comes or goes, a voice enters, the bass falls silent. You hear "
            "two phrases of four bars. Count with the voice, and notice how it begins again at 1.",
        ),
    ),
    HelpPage(
        "turn",
        QT_TRANSLATE_NOOP("help", "The turn and the fill"),
        QT_TRANSLATE_NOOP("help", "The place where a phrase ends and the next begins is the turn, or turnaround."),
        QT_TRANSLATE_NOOP(
            "help",
            "A drummer announces it with a fill: at the end of the last bar, a run of strokes on the "
            "snare or the toms. Then a cymbal crashes on the one of the new phrase. Not every turn has a "
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
    HelpPage(
        "before",
        QT_TRANSLATE_NOOP("help", "Before the turn"),
        QT_TRANSLATE_NOOP("help", "A turn that is counted towards comes as no surprise."),
        QT_TRANSLATE_NOOP(
            "help",
            "Say the number of every bar. In a phrase of eight four bars are left on the 5, two on the 7, "
            "one on the 8. That is the moment to reach for the next record: it starts in time, and not in "
            "answer to the change.",
        ),
        ruling=Ruling(
            10,
            (
                Line(QT_TRANSLATE_NOOP("help", "Bars"), tuple(Figure(n, str(n % 8 + 1), n == 8) for n in range(10))),
                Line(
                    QT_TRANSLATE_NOOP("help", "Left"),
                    (
                        Box(4, 6, QT_TRANSLATE_NOOP("help", "4 bars left")),
                        Box(6, 8, QT_TRANSLATE_NOOP("help", "2 bars left"), True),
                    ),
                ),
            ),
            (8,),
        ),
    ),
    HelpPage(
        "lost",
        QT_TRANSLATE_NOOP("help", "Finding the count again"),
        QT_TRANSLATE_NOOP("help", "A count that was lost is found again at the next turn."),
        QT_TRANSLATE_NOOP(
            "help",
            "Find the beat with your foot, then the one: the crash falls on it, and bass or chords change "
            "there. The bar that follows the turn of the phrase is bar 1, so count on from it. In the "
            "example the drums stop and return in mid-phrase, on the two of bar 3.",
        ),
        ruling=Ruling(
            16,
            (
                Line(COUNT, (*_counted(range(1, 2)), *_counted(range(3, 5), 5)[1:], *_counted(range(1, 2), 13, 3))),
                Line(
                    QT_TRANSLATE_NOOP("help", "Drums"),
                    (
                        Box(0, 4, QT_TRANSLATE_NOOP("help", "pattern")),
                        Box(4, 6, QT_TRANSLATE_NOOP("help", "silence"), waiting=True),
                        Box(6, 13, QT_TRANSLATE_NOOP("help", "pattern")),
                        Box(13, 16, QT_TRANSLATE_NOOP("help", "bar 1"), True),
                    ),
                ),
            ),
            (13,),
        ),
    ),
    HelpPage(
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
    HelpPage(
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
    HelpPage(
        "feel",
        QT_TRANSLATE_NOOP("help", "Half time, double time"),
        QT_TRANSLATE_NOOP("help", "The tempo stays, but kick and snare come half as often, or twice as often."),
        QT_TRANSLATE_NOOP(
            "help",
            "In half time there is one snare a bar, on the three, and the music seems to walk. In double "
            "time the snare falls between the beats, and the music seems to run. Hats and count go on as "
            "before, but the beat you move to halves or doubles. You hear two bars of each, in this "
            "order.",
        ),
        ruling=Ruling(
            8.25,
            (
                Line(COUNT, _counted(range(1, 3))),
                Line(
                    QT_TRANSLATE_NOOP("help", "At first"),
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
    HelpPage(
        "line",
        QT_TRANSLATE_NOOP("help", "Two records in line"),
        QT_TRANSLATE_NOOP("help", "Two records are in line when their ones fall together."),
        QT_TRANSLATE_NOOP(
            "help",
            "The same tempo is not enough: the beats may meet while the one of a record meets the two of "
            "the other. Then kicks and snares get in each other's way, and the music stumbles. In the "
            "example the second record is a beat behind for four bars, then in line for four. Listen to "
            "how the drums suddenly agree.",
        ),
        ruling=Ruling(
            8,
            (
                Line(FIRST_RECORD, _counted(range(1, 3))),
                Line(QT_TRANSLATE_NOOP("help", "A beat behind"), _counted(range(1, 3), 1, 7)),
                Line(QT_TRANSLATE_NOOP("help", "In line"), _counted(range(1, 3))),
            ),
            (4,),
        ),
    ),
    HelpPage(
        "ahead",
        QT_TRANSLATE_NOOP("help", "Ahead or behind"),
        QT_TRANSLATE_NOOP("help", "Two records whose tempos differ a little part bar by bar."),
        QT_TRANSLATE_NOOP(
            "help",
            "They start together; then each kick becomes two strokes, close at first and further apart "
            "with every bar. If the second record's stroke comes first, it runs ahead, and its tempo is "
            "the higher. At 120 BPM a difference of 1 % makes 40 ms in eight beats. In the example the "
            "second record is 2 % faster.",
        ),
        ruling=Ruling(
            8,
            (
                Line(FIRST_RECORD, _struck(*range(8))),
                Line(SECOND_RECORD, _struck(*(beat * 0.94 for beat in range(8)), ring=True)),
            ),
            (4,),
        ),
        note=QT_TRANSLATE_NOOP("help", "Strokes are kicks; their distance is drawn three times as large."),
    ),
    HelpPage(
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
    HelpPage(
        "land",
        QT_TRANSLATE_NOOP("help", "Landing on the turn"),
        QT_TRANSLATE_NOOP(
            "help", "Start the second record so that its intro ends exactly where the first record turns."
        ),
        QT_TRANSLATE_NOOP(
            "help",
            "Subtract the bars of the intro from the bars that are left until the turn: what remains is "
            "how long you wait. Here eight bars are left and the intro has four, so you wait for four "
            "and start on the one that follows. The new song then enters at the moment when the old song "
            "gives way.",
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
