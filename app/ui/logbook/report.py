"""The report for the tutor: one page of A4 about one learner, drawn from what the logbook holds."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from shlex import quote

from PySide6.QtCore import QObject, QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QGuiApplication, QPainter, QPen

from app.ui.base import theme as look
from app.ui.base.numbers_and_dates import day_words, number
from app.ui.base.paper import MARGIN, PAGE, pdf
from app.ui.base.words import counted, spoken
from app.ui.charts.ladder import draw_ladder
from app.ui.charts.logbook_charts import draw_minutes, minutes_field, week_ticks
from app.ui.charts.plot import Plot
from exercises.drills import drills
from exercises.learner.stored_levels import learner_levels
from exercises.logbook.history import Change, Practised, Week, bench_changes
from exercises.logbook.learners import Learner, label_of, one_of
from exercises.logbook.opening import reading
from exercises.logbook.store import FILE_NAME, Logbook
from exercises.progress.mistakes import Mistakes
from exercises.progress.overview import LadderRow, Suggestion, invented, ladder, tasks
from exercises.progress.summary import MINUTE, MINUTES, TRIAL, TRIALS, summary, voids_says
from exercises.progress.trends import CHANGED, CHANGED_ONCE, LEAST_ANSWERS, Trend
from synth.base.errors import Trouble
from synth.base.files import check_ending, write_bytes
from synth.base.folders import data_folder
from synth.base.words import Template
from synth.device.clock import today

NOTHING = Template("report.nothing", "{learner} has not practised yet: there is nothing to report.")

# Below this there is only the foot.
BOTTOM = PAGE.height() - MARGIN - 44
# Two lines below the table.
EQUIPMENT_PX = 34.0
# The last half year of weeks stands side by side.
MOST_WEEKS = 26
# Between the end of a cell's text and the next cell.
BETWEEN_CELLS = 5.0


@dataclass(frozen=True, slots=True, eq=False)
class Findings:
    """What the page tells of a learner on a day.

    ``drills`` are those practised, in the order of the ladder; ``benches`` the device and calibration used, the first
    and each after a change. ``voids``: how many trials do not count, and how many of them by the learner's word.
    """

    learner: str
    today: date
    trials: int
    invented: int
    weeks: tuple[Week, ...]
    places: tuple[LadderRow, ...]
    drills: tuple[tuple[Practised, Trend, Mistakes], ...]
    tasks: tuple[Suggestion, ...]
    benches: tuple[Change, ...]
    voids: tuple[int, int] = (0, 0)


def findings(logbook: Logbook, learner: str, today: date) -> Findings:
    """Read the page's content; ``Trouble`` where the learner has not practised yet."""
    found, label = summary(logbook, learner, today), label_of(logbook.known(), learner)
    if not found.weeks:
        raise Trouble(NOTHING(learner=label))
    done = {each.drill: each for each, _, _ in found.drills}
    stands = learner_levels(logbook, learner)
    places = ladder(stands, done)
    wrong = {each.drill: mistakes for each, _, mistakes in found.drills}
    return Findings(
        learner=label,
        today=today,
        trials=sum(week.trials for week in found.weeks),
        invented=invented(logbook, learner),
        weeks=found.weeks,
        places=places,
        drills=found.drills,
        tasks=tasks(places, wrong, stands.fresh),
        benches=tuple(bench_changes(logbook, learner)),
        voids=found.voids,
    )


def write_report(logbook: Logbook, learner: str, path: Path) -> None:
    """Write the page about a learner as a PDF; ``Trouble`` where there is nothing to tell or it cannot be written.

    Needs a Qt application and the program's fonts.
    """
    check_ending(path, (".pdf",))
    found = findings(logbook, learner, today())
    write_bytes(path, Report(found).pdf())


class Report(QObject):
    """The page itself."""

    def __init__(self, found: Findings) -> None:
        super().__init__()
        self._found = found
        self._theme = look.LIGHT

    def pdf(self) -> bytes:
        """The page as PDF."""
        return pdf(self.tr("Practice report: {learner}").format(learner=self._found.learner), [self.draw])

    def draw(self, painter: QPainter) -> None:
        """Draw the page in px of 1/96 inch."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        inner = PAGE.width() - 2 * MARGIN
        top = self._head(painter, inner)
        half = inner / 2 - 12
        left = QRectF(MARGIN, top, half + 20, 0)
        right = QRectF(MARGIN + half + 44, top, half - 20, 0)
        below_left = self._ladder(painter, left)
        below_right = self._practice(painter, right)
        below_right = self._tasks(painter, QRectF(right.left(), below_right + 18, right.width(), 0))
        below = self.table(painter, QRectF(MARGIN, max(below_left, below_right) + 22, inner, 0))
        below = self._equipment(painter, QRectF(MARGIN, below + 6, inner, 0))
        self._notes(painter, QRectF(MARGIN, below + 26, inner, 0))
        self._foot(painter, inner)

    # Pieces of the page. Each gets a box for its place and width, and returns where it ends.

    def _head(self, painter: QPainter, inner: float) -> float:
        found = self._found
        top = MARGIN - 8
        self.text(painter, QRectF(MARGIN, top, inner, 16), "Tallybar", _sans(12, strong=True), "soft_ink")
        stamp = self._stamp()
        if stamp:
            font = _sans(12, strong=True)
            width = QFontMetricsF(font).horizontalAdvance(stamp) + 20
            box = QRectF(MARGIN + inner - width, top - 4, width, 24)
            painter.setPen(QPen(self._theme.colour("ink"), 1.2))
            painter.drawRect(box)
            self.text(painter, box, stamp, font, "ink", Qt.AlignmentFlag.AlignCenter)
        title = self.tr("Practice report: {learner}").format(learner=found.learner)
        large = _serif(26, strong=True)
        title = QFontMetricsF(large).elidedText(title, Qt.TextElideMode.ElideRight, inner)
        self.text(painter, QRectF(MARGIN, top + 20, inner, 38), title, large)
        minutes = sum(week.spent_s for week in found.weeks) / 60
        first = min(each.first for each, _, _ in found.drills) if found.drills else found.weeks[0].monday
        last = max(each.last for each, _, _ in found.drills) if found.drills else found.weeks[-1].monday
        days = day_words(first)
        if last != first:
            days = self.tr("{first} to {last}").format(first=day_words(first), last=day_words(last))
        line = self.tr("{days}: {trials}, {minutes} of practice.").format(
            days=days,
            trials=counted(found.trials, TRIAL, TRIALS),
            minutes=counted(round(minutes), MINUTE, MINUTES),
        )
        self.text(painter, QRectF(MARGIN, top + 60, inner, 20), line, _sans(14))
        painter.setPen(QPen(self._theme.colour("ink"), 1))
        painter.drawLine(QPointF(MARGIN, top + 88), QPointF(MARGIN + inner, top + 88))
        return top + 102

    def _stamp(self) -> str:
        found = self._found
        if not found.invented:
            return ""
        if found.invented >= found.trials:
            return self.tr("INVENTED: a simulated learner, no person's practice")
        return self.tr("INVENTED trials among these: {n}").format(n=number(found.invented))

    def _heading(self, painter: QPainter, box: QRectF, text: str) -> float:
        self.text(painter, QRectF(box.left(), box.top(), box.width(), 24), text, _serif(17, strong=True))
        return box.top() + 28

    def _ladder(self, painter: QPainter, box: QRectF) -> float:
        top = self._heading(painter, box, self.tr("The ladder"))
        height = 21.0 * (len(self._found.places) + 1)
        draw_ladder(
            painter,
            QRectF(box.left(), top, box.width(), height),
            self._found.places,
            self._theme,
            name_font=_sans(12),
            small_font=_sans(10),
        )
        note = self.tr("Rungs of each drill. Dot: the rung that suits; bar: the level with 95 % probability.")
        return self.wrapped(
            painter, QRectF(box.left(), top + height + 4, box.width(), 0), note, _sans(10), "soft_ink"
        )

    def _practice(self, painter: QPainter, box: QRectF) -> float:
        top = self._heading(painter, box, self.tr("Minutes of practice by the week"))
        weeks = self._found.weeks[-MOST_WEEKS:]
        field = minutes_field(QRectF(box.left() + 24, top + 6, box.width() - 24, 96), weeks)
        plot = Plot(painter, field, font=_sans(10), theme=self._theme)
        plot.axes(week_ticks([week.monday for week in weeks]))
        draw_minutes(plot, weeks)
        note = QRectF(box.left(), field.box.bottom() + 34, box.width(), 0)
        void = voids_says(self._found.voids)
        words = " ".join([self.tr("Filled: listening."), *([] if void is None else [spoken(void)])])
        return self.wrapped(painter, note, words, _sans(10), "soft_ink")

    def _tasks(self, painter: QPainter, box: QRectF) -> float:
        top = self._heading(painter, box, self.tr("What to work on"))
        for task in self._found.tasks:
            title = spoken(drills()[task.drill].title())
            top = self.wrapped(painter, QRectF(box.left(), top, box.width(), 0), title, _sans(12, strong=True))
            line = QRectF(box.left(), top, box.width(), 0)
            top = self.wrapped(painter, line, spoken(task.say), _sans(12)) + 5
        return top

    def table(self, painter: QPainter, box: QRectF) -> float:
        top = self._heading(painter, box, self.tr("Drill by drill"))
        heads = (
            (self.tr("Drill"), 0.0),
            (self.tr("Trials"), 0.25),
            (self.tr("Last"), 0.32),
            (self.tr("Rung"), 0.44),
            (self.tr("Right lately (95 %)"), 0.54),
            (self.tr("Change of the spread"), 0.735),
            (self.tr("Early or late"), 0.885),
        )
        room = BOTTOM - top - EQUIPMENT_PX
        line = min(22.0, room / (len(self._found.drills) + 1))
        size = min(12.0, line * 0.62)
        ends = [at for _, at in heads[1:]] + [1.0]
        cells = [
            (box.left() + at * box.width(), (end - at) * box.width())
            for (_, at), end in zip(heads, ends, strict=True)
        ]
        for (text, _), (left, width) in zip(heads, cells, strict=True):
            self.text(painter, QRectF(left, top, width, line), text, _within(text, width, 10), "soft_ink")
        for row, (done, trend, _) in enumerate(self._found.drills, 1):
            y = top + row * line
            painter.setPen(QPen(self._theme.colour("rule"), 0.8))
            painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))
            texts = (
                spoken(drills()[done.drill].title()),
                number(done.trials),
                day_words(done.last),
                self._rung(trend),
                self._right(trend),
                self._spread(trend),
                self._bias(trend),
            )
            for (left, width), text in zip(cells, texts, strict=True):
                self.text(painter, QRectF(left, y, width, line), text, _within(text, width, size))

        return top + line * (len(self._found.drills) + 1)

    def _equipment(self, painter: QPainter, box: QRectF) -> float:
        """By what it was practised: whether that changed, and whether early and late can be told."""
        benches = self._found.benches
        if not benches:
            return box.top()
        words = (
            self.tr("The computer was calibrated at the last practice: early and late are shown.")
            if benches[-1].calibrated
            else self.tr("The computer was not calibrated at the last practice: early and late are not shown.")
        )
        changes = len(benches) - 1
        if changes:
            words = f"{spoken(CHANGED_ONCE() if changes == 1 else CHANGED(n=changes))} {words}"
        return self.wrapped(painter, box, words, _sans(10), "soft_ink")

    def _notes(self, painter: QPainter, box: QRectF) -> None:
        """Ruled lines for what the tutor writes by hand, where there is room for three or more."""
        lines = int((BOTTOM - box.top() - 28) / 26)
        if lines < 3:
            return
        top = self._heading(painter, box, self.tr("Notes"))
        painter.setPen(QPen(self._theme.colour("rule"), 0.8))
        for at in range(1, lines + 1):
            painter.drawLine(QPointF(box.left(), top + at * 26), QPointF(box.right(), top + at * 26))

    def _rung(self, trend: Trend) -> str:
        """The rung, where the ladder has a dot for it."""
        if not trend.known:
            return self.tr("too few yet")
        return self.tr("{rung} of {rungs}").format(rung=trend.rung, rungs=trend.rungs)

    def _right(self, trend: Trend) -> str:
        of = trend.right
        if of is None:
            return self.tr("no answers")
        if of.n < LEAST_ANSWERS:
            return self.tr("{right} of {n}").format(right=round(of.value * of.n), n=of.n)
        return self.tr("{percent} % of {n} ({low} to {high})").format(
            percent=number(100 * of.value), n=of.n, low=number(100 * of.low), high=number(100 * of.high)
        )

    def _spread(self, trend: Trend) -> str:
        if not any(day.spreads for day in trend.days):
            return "\N{EN DASH}"
        if trend.change is None:
            return self.tr("too few yet")
        if not trend.change.called:
            return self.tr("no clear change")
        text = self.tr("{percent} % smaller") if trend.change.called < 0 else self.tr("{percent} % larger")
        return text.format(percent=number(trend.change.percent))

    def _bias(self, trend: Trend) -> str:
        if trend.bias_ms is None:
            told = any(day.bias_ms is not None for day in trend.days)
            return self.tr("too few yet") if told else "\N{EN DASH}"
        if trend.bias_ms.low < 0 < trend.bias_ms.high:
            return self.tr("neither")
        off = trend.bias_ms.value
        text = self.tr("{ms} ms early") if off < 0 else self.tr("{ms} ms late")
        return text.format(ms=number(abs(off)))

    def _foot(self, painter: QPainter, inner: float) -> None:
        line = self.tr(
            "Made by Tallybar on {day}. Lately: the last four weeks of practice. Spread: standard deviation of the"
            " taps; its change is that at the same rung and tempo. Minutes: from one"
            " answer to the next, for each trial its sound and a minute more at most."
        ).format(day=day_words(self._found.today))
        box = QRectF(MARGIN, PAGE.height() - MARGIN - 28, inner, 0)
        self.wrapped(painter, box, line, _sans(10), "soft_ink")

    # Type.

    def text(
        self,
        painter: QPainter,
        box: QRectF,
        text: str,
        font: QFont,
        colour: str = "ink",
        side: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter,
    ) -> None:
        painter.setFont(font)
        painter.setPen(self._theme.colour(colour))
        painter.drawText(box, side | Qt.TextFlag.TextDontClip | Qt.TextFlag.TextSingleLine, text)

    def wrapped(self, painter: QPainter, box: QRectF, text: str, font: QFont, colour: str = "ink") -> float:
        painter.setFont(font)
        painter.setPen(self._theme.colour(colour))
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft
        whole = QRectF(box.left(), box.top(), box.width(), 2000)
        needed = painter.boundingRect(whole, int(flags), text)
        painter.drawText(QRectF(box.left(), box.top(), box.width(), needed.height()), int(flags), text)
        return box.top() + needed.height()


def _sans(size_px: float, *, strong: bool = False) -> QFont:
    return look.font(size_px, strong=strong)


def _within(text: str, width: float, size_px: float) -> QFont:
    """The type for a cell of a table: as large as asked, or so much smaller that the text stays within."""
    needed = QFontMetricsF(_sans(size_px)).horizontalAdvance(text)
    return _sans(size_px * min(1.0, (width - BETWEEN_CELLS) / max(needed, 1.0)))


def _serif(size_px: float, *, strong: bool = False) -> QFont:
    return look.font(size_px, serif=True, strong=strong)


def learner_of(known: Sequence[Learner], asked: str | None) -> Learner:
    """Whose report is meant: the one asked for, or the only one there is; ``Trouble`` names those there are."""
    if not known:
        raise Trouble("Nothing has been practised yet: there is nothing to report.")
    if asked is None and len(known) > 1:
        raise Trouble(f"Whose report? Add one of: {', '.join(f'--learner {quote(each.label)}' for each in known)}")
    return known[0] if asked is None else one_of(known, asked)


def report_command(book: Path | None, learner: str | None, out: Path) -> None:
    """The command ``report``: no window, no screen; ``Trouble`` where it cannot be done."""
    check_ending(out, (".pdf",))
    book = data_folder() / FILE_NAME if book is None else book
    if not book.exists():
        raise Trouble(f"{book}: there is no such logbook")
    with reading(book) as logbook:
        who = learner_of(logbook.known(), learner)
        os.environ["QT_QPA_PLATFORM"] = "offscreen"  # whatever screen the caller named
        application = QGuiApplication.instance() or QGuiApplication(["tallybar"])
        look.load_fonts()
        write_report(logbook, who.id, out)
        del application
