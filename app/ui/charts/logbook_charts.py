"""The charts of the logbook: what each paints, and its values in words."""

import math
from collections.abc import Sequence
from datetime import date, timedelta
from statistics import fmean
from typing import TypeVar

import numpy as np
from PySide6.QtCore import QRectF

from app.ui.base.numbers_and_dates import day_words, number
from app.ui.base.words import counted
from app.ui.charts.base_chart import MOST_TICKS, Chart, day_mark, ticks
from app.ui.charts.content import Content
from app.ui.charts.plot import Field, Plot, Values
from exercises.logbook.history import Change, Day, Week, monday
from exercises.progress.curve import Curve
from exercises.progress.summary import MINUTE, MINUTES, TRIAL, TRIALS
from exercises.progress.trends import Estimate, Try, share
from synth.base.words import Template

# What has a day.
Dated = TypeVar("Dated", Day, Try)
# The most weeks that are distinguishable side by side; the spread's chart covers years.
MOST_WEEKS = 60
# Top of an axis in %: leaves space for the marker's ring at 100.
ABOVE_ALL = 111.0
ANSWER, ANSWERS = Template("charts.answer", "1 answer"), Template("charts.answers", "{n} answers")
# Point shapes of the benches, the latest first; only the latest is filled.
SHAPES = ("circle", "square", "triangle", "diamond")
# With more days than this, points are small and hollow.
MANY_DAYS = 400
# Least number of weeks on the axis of the bars.
LEAST_WEEKS = 8


class DayChart(Chart):
    """A figure of each day against the number of trials so far, with changes of device or calibration."""

    def __init__(self) -> None:
        super().__init__()
        self.page: Content | None = None
        self.days: Sequence[Day] = ()

    def figure(self, day: Day) -> float | None:
        """The figure of a day."""
        raise NotImplementedError

    def show_page(self, page: Content) -> bool:
        """Show a page; returns whether it has values."""
        self.page = page
        trend = page.trend
        self.days = [] if trend is None else [day for day in trend.days if self.figure(day) is not None]
        xs = np.array([day.before + day.trials / 2 for day in self.days])
        self.show_points(xs, np.array([self.figure(day) for day in self.days], dtype=float))
        return bool(self.days)

    def ticks(self) -> list[tuple[float, str]]:
        """The date and the number of its first trial."""
        years = (self.days[-1].day - self.days[0].day).days > 365

        def text(at: int) -> str:
            return f"{day_mark(self.days[at].day, years)}\n{number(self.days[at].before + 1)}"

        return ticks(self.xs, text, most=self.tick_room())

    def draw(self, plot: Plot) -> None:
        """Points in a shape for each bench, and upright lines between benches."""
        assert self.page is not None
        order = list(dict.fromkeys(day.bench for day in reversed(self.days)))
        many = len(self.days) > MANY_DAYS
        for place, bench in enumerate(order):
            own = np.array([day.bench == bench for day in self.days])
            fill = "pen" if place == 0 and not many else None
            shape = SHAPES[place % len(SHAPES)]
            plot.points(self.xs[own], self.ys[own], shape, 4 if many else 8, edge="pen", fill=fill)
        plot.uprights(self.changes(), float(self.xs[-1]))

    def changes(self) -> list[tuple[float, str]]:
        """Where the bench changes (x, text)."""
        assert self.page is not None
        found = [(self._begin(change), self._change(at)) for at, change in enumerate(self.page.benches) if at]
        return [(x, text) for x, text in found if x >= self.xs[0]]

    def _begin(self, change: Change) -> float:
        """Where a bench begins on the x axis."""
        found = [day.before for day in self.days if day.bench == change.bench and day.day >= change.day]
        return float(found[0]) if found else float(self.xs[-1])

    def _change(self, at: int) -> str:
        assert self.page is not None
        now, before = self.page.benches[at], self.page.benches[at - 1]
        return self.tr("other device") if now.device != before.device else self.tr("calibrated again")


class SpreadChart(DayChart):
    """Daily spread of the taps; where it surely changed, with the practice curve and its band."""

    def figure(self, day: Day) -> float | None:
        return day.spread_ms

    @property
    def _curve(self) -> Curve | None:
        return None if self.page is None or self.page.trend is None else self.page.trend.curve

    def reach(self) -> tuple[float, float]:
        """From 0 to above every day, and above the band unless it is far wider."""
        top = float(self.ys.max())
        if self._curve is not None:
            top = max(top, min(float(self._curve.high.max()), 1.5 * top))
        return 0.0, max(1.0, top * 1.18)

    def draw(self, plot: Plot) -> None:
        if (curve := self._curve) is not None:
            plot.band(curve.at, np.maximum(curve.low, 0.0), curve.high)
            plot.line(curve.at, curve.figure, width=2.4)
        super().draw(plot)

    def words(self, at: int) -> str:
        day = self.days[at]
        assert day.spread_ms is not None
        return self.tr("{day}: spread {ms} ms, from {trials}.").format(
            day=day_words(day.day), ms=number(day.spread_ms), trials=counted(day.spreads, TRIAL, TRIALS)
        )


class BiasChart(DayChart):
    """Daily bias on a calibrated bench; the middle line is zero."""

    def figure(self, day: Day) -> float | None:
        """The bias, or None without a calibration."""
        calibrated = {change.bench for change in self.page.benches if change.calibrated} if self.page else set()
        return day.bias_ms if day.bench in calibrated else None

    def reach(self) -> tuple[float, float]:
        """A symmetric range."""
        far = max(20.0, float(np.abs(self.ys).max()) * 1.2)
        return -far, far

    def draw(self, plot: Plot) -> None:
        plot.line(np.array(self.span()), np.zeros(2))
        super().draw(plot)

    def words(self, at: int) -> str:
        day = self.days[at]
        assert day.bias_ms is not None
        text = (
            self.tr("{day}: {ms} ms early on average, from {trials}.")
            if day.bias_ms < 0
            else self.tr("{day}: {ms} ms late on average, from {trials}.")
        )
        return text.format(
            day=day_words(day.day), ms=number(abs(day.bias_ms)), trials=counted(day.biases, TRIAL, TRIALS)
        )


def week_places(mondays: Sequence[date]) -> Values:
    """Number of weeks since the first, (n,)."""
    return np.array([(each - mondays[0]).days / 7 for each in mondays])


def week_ticks(mondays: Sequence[date], room: int = MOST_TICKS) -> list[tuple[float, str]]:
    """Ticks at evenly spaced Mondays, at most ``room``; with the year where it changes."""
    xs = week_places(mondays)
    step = max(1, math.ceil(float(xs[-1]) / (room - 1)))

    def text(at: int) -> str:
        same = at and mondays[at].year == mondays[0].year
        return day_mark(mondays[at]) + ("" if same else f"\n{mondays[at].year}")

    return ticks(xs, text, [at for at, week in enumerate(xs) if week % step == 0])


class WeekChart(Chart):
    """A weekly figure; at most the last ``MOST_WEEKS``."""

    PAD = 0.06
    mondays: Sequence[date] = ()

    def show_weeks(self, mondays: Sequence[date], ys: Sequence[float]) -> bool:
        """Show these weeks; returns whether there are any."""
        self.mondays = mondays
        self.show_points(week_places(mondays), np.asarray(ys, dtype=float))
        return bool(mondays)

    def ticks(self) -> list[tuple[float, str]]:
        return week_ticks(self.mondays, self.tick_room())


def by_week(days: Sequence[Dated]) -> dict[date, list[Dated]]:
    """Days or trials by Monday of the last ``MOST_WEEKS`` weeks, without empty weeks."""
    found: dict[date, list[Dated]] = {}
    for day in days:
        found.setdefault(monday(day.day), []).append(day)
    if not found:
        return {}
    since = max(found) - timedelta(weeks=MOST_WEEKS - 1)
    return {week: rows for week, rows in found.items() if week >= since}


class ShareChart(WeekChart):
    """Weekly share of right answers with its 95 % interval."""

    def __init__(self) -> None:
        super().__init__()
        self._shares: list[Estimate] = []

    def show_page(self, page: Content) -> bool:
        weeks = by_week([] if page.trend is None else [day for day in page.trend.days if day.asked])
        found = {
            week: share(sum(day.rights for day in rows), sum(day.asked for day in rows))
            for week, rows in weeks.items()
        }
        self._shares = [each for each in found.values() if each is not None]
        return self.show_weeks(list(found), [100 * each.value for each in self._shares])

    def reach(self) -> tuple[float, float]:
        return 0.0, ABOVE_ALL

    def draw(self, plot: Plot) -> None:
        low, high = (np.array([100 * getattr(each, end) for each in self._shares]) for end in ("low", "high"))
        plot.intervals(self.xs, low, high, beam=0.0 if len(self.xs) > 20 else 0.16)
        plot.points(self.xs, self.ys)

    def words(self, at: int) -> str:
        of = self._shares[at]
        return self.tr("Week from {day}: {percent} % of {answers} right (95 %: {low} to {high} %).").format(
            day=day_words(self.mondays[at]),
            percent=number(100 * of.value),
            answers=counted(of.n, ANSWER, ANSWERS),
            low=number(100 * of.low),
            high=number(100 * of.high),
        )


class RungChart(WeekChart):
    """Weekly mean rung."""

    def __init__(self) -> None:
        super().__init__()
        self._rungs = 1

    def show_page(self, page: Content) -> bool:
        if page.trend is None:
            return False
        self._rungs = page.trend.rungs
        weeks = by_week(page.trend.tries)
        return self.show_weeks(list(weeks), [fmean(each.rung for each in rows) for rows in weeks.values()])

    def reach(self) -> tuple[float, float]:
        return 0.0, self._rungs + 0.5

    def draw(self, plot: Plot) -> None:
        plot.line(self.xs, self.ys)
        plot.points(self.xs, self.ys, "square")

    def words(self, at: int) -> str:
        return self.tr("Week from {day}: rung {rung} on average.").format(
            day=day_words(self.mondays[at]), rung=number(float(self.ys[at]), 1)
        )


def minutes_field(box: QRectF, weeks: Sequence[Week]) -> Field:
    """The plot area of these weeks' minutes in a box; a single week is as wide as one of eight."""
    last = max(float(week_places([week.monday for week in weeks])[-1]), LEAST_WEEKS - 1)
    edge = max(0.5, last * 0.07)
    return Field(box, (-edge, last + edge), (0.0, max(10.0, max(week.spent_s / 60 for week in weeks) * 1.12)))


def draw_minutes(plot: Plot, weeks: Sequence[Week]) -> None:
    """Weekly minutes of practice as hollow bars, filled up to the minutes of listening."""
    xs = week_places([week.monday for week in weeks])
    plot.bars(xs, np.array([week.spent_s / 60 for week in weeks]), "sheet")
    plot.bars(xs, np.array([week.sound_s / 60 for week in weeks]))


class MinutesChart(WeekChart):
    """Weekly minutes of practice, see ``draw_minutes``."""

    _weeks: Sequence[Week] = ()

    def show_page(self, page: Content) -> bool:
        self._weeks = page.weeks[-MOST_WEEKS:]
        return self.show_weeks([week.monday for week in self._weeks], [week.spent_s / 60 for week in self._weeks])

    def field(self) -> Field:
        """The same plot area as on the printed page."""
        return minutes_field(self.box(), self._weeks)

    def draw(self, plot: Plot) -> None:
        draw_minutes(plot, self._weeks)

    def words(self, at: int) -> str:
        return self.tr("Week from {day}: {minutes} (listening: {listening} min); {trials}.").format(
            day=day_words(self.mondays[at]),
            minutes=counted(round(float(self.ys[at])), MINUTE, MINUTES),
            listening=number(self._weeks[at].sound_s / 60),
            trials=counted(self._weeks[at].trials, TRIAL, TRIALS),
        )


class LostChart(Chart):
    """Share of missed targets in each bar of the phrase."""

    PAD = 0.1

    def __init__(self) -> None:
        super().__init__()
        self._missed: list[tuple[int, int, int]] = []

    def show_page(self, page: Content) -> bool:
        missed = {} if page.mistakes is None else page.mistakes.missed
        self._missed = [(bar, there, gone) for bar, (there, gone) in missed.items() if there]
        xs = np.array([bar for bar, _, _ in self._missed], dtype=float)
        self.show_points(xs, np.array([100 * gone / there for _, there, gone in self._missed]))
        return len(self._missed) > 1 and bool(self.ys.any())

    def first_marked(self) -> int:
        """The bar with most misses."""
        return int(np.argmax(self.ys))

    def reach(self) -> tuple[float, float]:
        return 0.0, max(10.0, float(self.ys.max()) * 1.2)

    def ticks(self) -> list[tuple[float, str]]:
        return ticks(
            self.xs, lambda at: self.tr("bar {n}").format(n=number(self._missed[at][0])), most=self.tick_room()
        )

    def draw(self, plot: Plot) -> None:
        plot.bars(self.xs, self.ys, width=0.5)

    def words(self, at: int) -> str:
        bar, there, gone = self._missed[at]
        return self.tr("Bar {bar} of the phrase: {percent} % missed, {gone} of {n}.").format(
            bar=number(bar), percent=number(100 * gone / there), gone=number(gone), n=number(there)
        )


class BeatChart(Chart):
    """Beats of the bar on which taps fell, in a drill that asks for the one."""

    PAD = 0.1

    def __init__(self) -> None:
        super().__init__()
        self._shares: dict[int, float] = {}

    def show_page(self, page: Content) -> bool:
        found = page.mistakes
        shown = found is not None and page.question.drill in ("one", "through") and bool(found.beat_tapped)
        if shown and found is not None:
            self._shares = dict(found.beat_tapped)
            xs = np.array(list(self._shares), dtype=float)
            self.show_points(xs, np.array([100 * each for each in self._shares.values()]))
        return shown

    def first_marked(self) -> int:
        """The beat with most taps."""
        return int(np.argmax(self.ys))

    def reach(self) -> tuple[float, float]:
        return 0.0, ABOVE_ALL

    def ticks(self) -> list[tuple[float, str]]:
        return ticks(self.xs, self._name, most=self.tick_room())

    def draw(self, plot: Plot) -> None:
        """The one hollow, other beats filled."""
        plot.bars(self.xs[:1], self.ys[:1], "sheet", width=0.5)
        plot.bars(self.xs[1:], self.ys[1:], width=0.5)

    def _name(self, at: int) -> str:
        names = {1: self.tr("the one"), 2: self.tr("the two"), 3: self.tr("the three"), 4: self.tr("the four")}
        beat = list(self._shares)[at]
        return names.get(beat) or number(beat)

    def words(self, at: int) -> str:
        return self.tr("{percent} % of your taps fell on {beat}.").format(
            percent=number(float(self.ys[at])), beat=self._name(at)
        )


KINDS: dict[str, type[Chart]] = {
    "spread": SpreadChart,
    "share": ShareChart,
    "bias": BiasChart,
    "rung": RungChart,
    "minutes": MinutesChart,
    "lost": LostChart,
    "beat": BeatChart,
}
