"""The charts of the logbook, one class each: what they draw of a page, and how they say a value."""

import math
from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import Qt

from app.ui.logbook.chart import Chart, day_mark
from app.ui.logbook.page import Page
from app.ui.words import counted, day_words, number
from exercises.logbook.history import Change, Day, monday
from exercises.progress.summary import MINUTE, MINUTES, TRIAL, TRIALS
from exercises.progress.trends import Estimate, share
from synth.base.words import Template

# So many weeks side by side can still be told apart; before that, years are left to the spread's chart.
MOST_WEEKS = 60
# Top of an axis in %: the ring of the marker at 100 stays inside.
ABOVE_ALL = 111.0
ANSWER, ANSWERS = Template("charts.answer", "1 answer"), Template("charts.answers", "{n} answers")
# Shapes of the benches, the one used last first; only that one is filled.
SHAPES = ("o", "s", "t", "d")


class DayChart(Chart):
    """A figure of each day over the practice so far, in trials, with the changes of device or calibration."""

    def __init__(self) -> None:
        super().__init__()
        self.page: Page | None = None
        self.days: Sequence[Day] = ()

    def figure(self, day: Day) -> float | None:
        """The figure of a day."""
        raise NotImplementedError

    def show_page(self, page: Page) -> bool:
        """Show a page; whether there is anything to show."""
        self.page = page
        trend = page.trend
        self.days = [] if trend is None else [day for day in trend.days if self.figure(day) is not None]
        self.xs = np.array([day.before + day.trials / 2 for day in self.days])
        self.ys = np.array([self.figure(day) for day in self.days], dtype=float)
        if self.days:
            self.redraw()
        return bool(self.days)

    def draw_days(self) -> None:
        """The points, each bench in a shape of its own, and the upright lines between the benches."""
        assert self.page is not None
        order = list(dict.fromkeys(day.bench for day in reversed(self.days)))
        many = len(self.days) > 400
        for place, bench in enumerate(order):
            own = np.array([day.bench == bench for day in self.days])
            self.put(
                pg.ScatterPlotItem(
                    self.xs[own],
                    self.ys[own],
                    symbol=SHAPES[place % len(SHAPES)],
                    size=4 if many else 8,
                    pen=self.pen("pen", 1 if many else 1.5),
                    brush=pg.mkBrush(self.brush("pen")) if place == 0 and not many else pg.mkBrush(None),
                    antialias=True,
                )
            )
        self.uprights([(self._begin(change), self._change(at)) for at, change in enumerate(self.page.benches) if at])
        years = (self.days[-1].day - self.days[0].day).days > 365
        self.ticks(lambda at: f"{day_mark(self.days[at].day, years)}\n{number(self.days[at].before + 1)}")

    def _begin(self, change: Change) -> float:
        """Where on the practice axis a bench begins."""
        found = [day.before for day in self.days if day.bench == change.bench and day.day >= change.day]
        return float(found[0]) if found else float(self.xs[-1])

    def _change(self, at: int) -> str:
        assert self.page is not None
        now, before = self.page.benches[at], self.page.benches[at - 1]
        return self.tr("other device") if now.device != before.device else self.tr("calibrated anew")


class SpreadChart(DayChart):
    """The spread of the taps day by day, with the practice curve and its band."""

    def figure(self, day: Day) -> float | None:
        """The spread."""
        return day.spread_ms

    def draw(self) -> None:
        """Band, curve, days."""
        assert self.page is not None
        assert self.page.trend is not None
        curve = self.page.trend.curve
        top = float(self.ys.max())
        if curve is not None:
            edge = self.pen("soft_ink", 1.2, Qt.PenStyle.DotLine)
            low, high = (
                pg.PlotCurveItem(curve.at, row, pen=edge, antialias=True)
                for row in (np.maximum(curve.low, 0.0), curve.high)
            )
            self.put(pg.FillBetweenItem(low, high, brush=pg.mkBrush(self.brush("wash"))))
            self.put(low, high)
            self.put(pg.PlotCurveItem(curve.at, curve.figure, pen=self.pen("ink", 2.4), antialias=True))
            top = max(top, min(float(curve.high.max()), 1.5 * top))
        self.draw_days()
        self.reach(0.0, top * 1.18)

    def words(self, at: int) -> str:
        """Day, spread, trials."""
        day = self.days[at]
        assert day.spread_ms is not None
        return self.tr("{day}: spread {ms} ms, from {trials}.").format(
            day=day_words(day.day), ms=number(day.spread_ms), trials=counted(day.spreads, TRIAL, TRIALS)
        )


class BiasChart(DayChart):
    """The bias day by day, where the bench was calibrated; the line in the middle is neither early nor late."""

    def figure(self, day: Day) -> float | None:
        """The bias, if it means something."""
        calibrated = {change.bench for change in self.page.benches if change.calibrated} if self.page else set()
        return day.bias_ms if day.bench in calibrated else None

    def draw(self) -> None:
        """The middle, the days."""
        far = max(20.0, float(np.abs(self.ys).max()) * 1.2)
        self.put(pg.InfiniteLine(0.0, angle=0, pen=self.pen("ink", 1.6)))
        self.draw_days()
        self.reach(-far, far)

    def words(self, at: int) -> str:
        """Day, bias in words, trials."""
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


class WeekChart(Chart):
    """A figure of each week; at most the last ``MOST_WEEKS``."""

    def __init__(self) -> None:
        super().__init__()
        self.mondays: Sequence[date] = ()

    def set_weeks(self, mondays: Sequence[date], ys: Sequence[float]) -> None:
        """Weeks stand as far apart as they are."""
        self.mondays = mondays
        self.xs = np.array([(each - mondays[0]).days / 7 for each in mondays]) if mondays else np.empty(0)
        self.ys = np.asarray(ys, dtype=float)
        if len(self.xs):
            self.redraw()

    def week_ticks(self) -> None:
        """Mondays under the chart, each as many weeks after the one before; with the year where it is another."""
        step = max(1, math.ceil(float(self.xs[-1]) / (self.tick_room() - 1)))
        self.ticks(
            lambda at: (
                day_mark(self.mondays[at])
                + ("" if at and self.mondays[at].year == self.mondays[0].year else f"\n{self.mondays[at].year}")
            ),
            [at for at, week in enumerate(self.xs) if week % step == 0],
        )


def by_week(days: Sequence[Day]) -> dict[date, list[Day]]:
    """The days of each of the last weeks in which there are any."""
    found: dict[date, list[Day]] = {}
    for day in days:
        found.setdefault(monday(day.day), []).append(day)
    if not found:
        return {}
    since = max(found) - timedelta(weeks=MOST_WEEKS - 1)
    return {week: rows for week, rows in found.items() if week >= since}


class ShareChart(WeekChart):
    """The share of right answers by the week, each with its 95 % interval."""

    def __init__(self) -> None:
        super().__init__()
        self._shares: list[Estimate] = []

    def show_page(self, page: Page) -> bool:
        """Show a page; whether there is anything to show."""
        weeks = by_week([] if page.trend is None else [day for day in page.trend.days if day.asked])
        told = {
            week: share(sum(day.rights for day in rows), sum(day.asked for day in rows))
            for week, rows in weeks.items()
        }
        self._shares = [each for each in told.values() if each is not None]
        self.set_weeks(list(told), [100 * each.value for each in self._shares])
        return bool(self._shares)

    def draw(self) -> None:
        """Points and intervals over the share that practice aims at."""
        low, high = (np.array([100 * getattr(each, end) for each in self._shares]) for end in ("low", "high"))
        self.put(
            pg.ErrorBarItem(
                x=self.xs,
                y=self.ys,
                top=high - self.ys,
                bottom=self.ys - low,
                beam=0.0 if len(self.xs) > 20 else 0.16,
                pen=self.pen("soft_ink", 1.4),
            )
        )
        self.put(
            pg.ScatterPlotItem(
                self.xs,
                self.ys,
                symbol="o",
                size=9,
                pen=self.pen("sheet", 1),
                brush=pg.mkBrush(self.brush("pen")),
                antialias=True,
            )
        )
        self.week_ticks()
        self.reach(0.0, ABOVE_ALL, pad=0.06)

    def words(self, at: int) -> str:
        """Week, share, interval."""
        of = self._shares[at]
        return self.tr("Week from {day}: {percent} % of {answers} right (95 %: {low} to {high} %).").format(
            day=day_words(self.mondays[at]),
            percent=number(100 * of.value),
            answers=counted(of.n, ANSWER, ANSWERS),
            low=number(100 * of.low),
            high=number(100 * of.high),
        )


class RungChart(WeekChart):
    """The rung on which was practised, week by week."""

    def __init__(self) -> None:
        super().__init__()
        self._rungs = 1

    def show_page(self, page: Page) -> bool:
        """Show a page; whether there is anything to show."""
        if page.trend is None:
            return False
        self._rungs = page.trend.rungs
        weeks = by_week(page.trend.days)
        self.set_weeks(
            list(weeks),
            [sum(day.rung * day.trials for day in rows) / sum(day.trials for day in rows) for rows in weeks.values()],
        )
        return bool(weeks)

    def draw(self) -> None:
        """A line from week to week, squares on it."""
        self.put(pg.PlotCurveItem(self.xs, self.ys, pen=self.pen("ink", 1.6), antialias=True))
        self.put(
            pg.ScatterPlotItem(
                self.xs,
                self.ys,
                symbol="s",
                size=9,
                pen=self.pen("sheet", 1),
                brush=pg.mkBrush(self.brush("pen")),
                antialias=True,
            )
        )
        self.week_ticks()
        self.reach(0.0, self._rungs + 0.5, pad=0.06)

    def words(self, at: int) -> str:
        """Week and rung."""
        return self.tr("Week from {day}: rung {rung} on average.").format(
            day=day_words(self.mondays[at]), rung=number(float(self.ys[at]), 1)
        )


class MinutesChart(WeekChart):
    """Minutes of practice by the week; the filled part of a bar is listening."""

    def __init__(self) -> None:
        super().__init__()
        self._listening: list[float] = []
        self._trials: list[int] = []

    def show_page(self, page: Page) -> bool:
        """Show a page; whether there is anything to show."""
        weeks = page.weeks[-MOST_WEEKS:]
        self._listening = [week.sound_s / 60 for week in weeks]
        self._trials = [week.trials for week in weeks]
        self.set_weeks([week.monday for week in weeks], [week.spent_s / 60 for week in weeks])
        return bool(weeks)

    def draw(self) -> None:
        """Hollow bars with a filled foot."""
        edge = self.pen("ink", 1.4)
        self.put(
            pg.BarGraphItem(x=self.xs, height=self.ys, width=0.62, pen=edge, brush=pg.mkBrush(self.brush("sheet")))
        )
        self.put(
            pg.BarGraphItem(
                x=self.xs, height=self._listening, width=0.62, pen=edge, brush=pg.mkBrush(self.brush("pen"))
            )
        )
        self.week_ticks()
        self.reach(0.0, max(10.0, float(self.ys.max()) * 1.12), pad=0.07)

    def words(self, at: int) -> str:
        """Week, minutes, trials."""
        return self.tr("Week from {day}: {minutes}, {listening} of them listening; {trials}.").format(
            day=day_words(self.mondays[at]),
            minutes=counted(round(float(self.ys[at])), MINUTE, MINUTES),
            listening=number(self._listening[at]),
            trials=counted(self._trials[at], TRIAL, TRIALS),
        )


class LostChart(Chart):
    """In which bar of the phrase targets are missed, as a share of them."""

    def __init__(self) -> None:
        super().__init__()
        self._missed: list[tuple[int, int, int]] = []

    def show_page(self, page: Page) -> bool:
        """Show a page; whether there is anything to show."""
        missed = {} if page.mistakes is None else page.mistakes.missed
        self._missed = [(bar, there, gone) for bar, (there, gone) in missed.items() if there]
        self.xs = np.array([bar for bar, _, _ in self._missed], dtype=float)
        self.ys = np.array([100 * gone / there for _, there, gone in self._missed])
        shown = len(self._missed) > 1 and bool(self.ys.any())
        if shown:
            self.redraw()
        return shown

    def first_marked(self) -> int:
        """The bar in which most is missed."""
        return int(np.argmax(self.ys))

    def draw(self) -> None:
        """A bar for each bar."""
        self.put(
            pg.BarGraphItem(
                x=self.xs,
                height=self.ys,
                width=0.5,
                pen=self.pen("ink", 1.4),
                brush=pg.mkBrush(self.brush("pen")),
            )
        )
        self.ticks(lambda at: self.tr("bar {n}").format(n=number(self._missed[at][0])))
        self.reach(0.0, max(10.0, float(self.ys.max()) * 1.2), pad=0.1)

    def words(self, at: int) -> str:
        """Bar, share, numbers."""
        bar, there, gone = self._missed[at]
        return self.tr("Bar {bar} of the phrase: {percent} % missed, {gone} of {n}.").format(
            bar=number(bar), percent=number(100 * gone / there), gone=number(gone), n=number(there)
        )


class BeatChart(Chart):
    """Which beat of the bar the taps fell on, in a drill that asks for the one."""

    def __init__(self) -> None:
        super().__init__()
        self._shares: dict[int, float] = {}

    def show_page(self, page: Page) -> bool:
        """Show a page; whether there is anything to show."""
        found = page.mistakes
        shown = found is not None and page.question.drill in ("one", "through") and bool(found.beat_tapped)
        if shown and found is not None:
            self._shares = dict(found.beat_tapped)
            self.xs = np.array(list(self._shares), dtype=float)
            self.ys = np.array([100 * each for each in self._shares.values()])
            self.redraw()
        return shown

    def first_marked(self) -> int:
        """The beat on which most taps fell."""
        return int(np.argmax(self.ys))

    def draw(self) -> None:
        """The one hollow, what was taken for it filled."""
        for at, (x, y) in enumerate(zip(self.xs, self.ys, strict=True)):
            brush = self.brush("sheet" if at == 0 else "pen")
            bar = pg.BarGraphItem(x=[x], height=[y], width=0.5, pen=self.pen("ink", 1.4), brush=pg.mkBrush(brush))
            self.put(bar)
        self.ticks(self._name)
        self.reach(0.0, ABOVE_ALL, pad=0.1)

    def _name(self, at: int) -> str:
        names = {1: self.tr("the one"), 2: self.tr("the two"), 3: self.tr("the three"), 4: self.tr("the four")}
        beat = list(self._shares)[at]
        return names.get(beat) or number(beat)

    def words(self, at: int) -> str:
        """Beat and share."""
        return self.tr("{percent} % of your taps fell on {beat}.").format(
            percent=number(float(self.ys[at])), beat=self._name(at)
        )


KINDS = {
    "spread": SpreadChart,
    "share": ShareChart,
    "bias": BiasChart,
    "rung": RungChart,
    "minutes": MinutesChart,
    "lost": LostChart,
    "beat": BeatChart,
}
