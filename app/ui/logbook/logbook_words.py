"""Texts of the logbook screen: sentences, titles and notes."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QObject

from app.ui.base.words import after_title, groove_words, spoken
from app.ui.charts.content import Content
from exercises.drills import drills
from exercises.trial.kept.record import TrialRecord

# Sentences that say only that something cannot be known yet; the window leaves them out.
NOT_YET = frozenset({"trends.too_few", "trends.too_early", "attention.too_few", "attention.automatic"})


@dataclass(frozen=True, slots=True)
class Told:
    """A leading sentence, ``lines`` after it, and below ``heading`` more of them."""

    lead: str
    lines: tuple[str, ...]
    heading: str
    more: tuple[str, ...]


def played_words(record: TrialRecord) -> str:
    """What played in a trial: a groove, or one of the learner's records."""
    heard = None if record.truth is None else record.truth.recorded
    return groove_words(record.groove) if heard is None else heard.title


class LogbookWords(QObject):
    """Texts about a ``Content``."""

    def stamp(self, page: Content) -> str:
        """Note on simulated practice; empty if there is none."""
        if not page.invented:
            return ""
        if page.invented >= page.trials:
            return self.tr("Invented: a simulated learner")
        return self.tr("Invented trials here: {n}").format(n=page.invented)

    def words(self, page: Content) -> Told:
        """Sentences about all drills, or about the one shown."""
        return self._of_all(page) if page.question.drill is None else self._of_drill(page)

    def _of_all(self, page: Content) -> Told:
        return Told(
            spoken(page.head) if page.head is not None else "",
            tuple(spoken(say) for say in (page.latest_week, page.voids) if say is not None),
            self.tr("What to work on"),
            tuple(
                after_title(
                    self.tr("{drill}: {what}").format(
                        drill=spoken(drills()[task.drill].title()), what=spoken(task.say)
                    )
                )
                for task in page.tasks
            ),
        )

    def _of_drill(self, page: Content) -> Told:
        assert page.trend is not None
        says = [*page.trend.verdict, *filter(None, [page.busy]), *page.inner_beat]
        lead, *lines = [spoken(say) for say in says if say.template.id not in NOT_YET] or [
            self.tr("Practise on: what can be said of this drill will stand here.")
        ]
        wrong = page.mistakes.says if page.mistakes is not None and page.trend.known else ()
        return Told(lead, tuple(lines), self.tr("Mistakes"), tuple(spoken(say) for say in wrong))

    def card(self, name: str) -> tuple[str, str]:
        """Title of a card, and the note on how to read its picture."""
        return {
            "ladder": (
                self.tr("The ladder"),
                self.tr(
                    "Dot: the rung that suits you. Bar: your level with 95 % probability. A click shows its page."
                ),
            ),
            "wrong": (
                self.tr("What was taken for what"),
                self.tr("Wrong answers of the last 200 trials, the most frequent first."),
            ),
            "spread": (self.tr("Spread"), ""),
            "share": (
                self.tr("Answers that were right, in %"),
                self.tr("By the week, the last 60 at most; the line at each point is its 95 % interval."),
            ),
            "bias": (
                self.tr("Early and late, in ms"),
                self.tr("Below the line early, above it late; only where the device is calibrated."),
            ),
            "rung": (self.tr("The rung practised"), self.tr("By the week, the last 60 at most.")),
            "minutes": (
                self.tr("Minutes of practice"),
                self.tr("By the week, the last 60 at most; the filled part is listening."),
            ),
            "calendar": (self.tr("Days of practice"), self.tr("A stroke: a day on which you practised.")),
            "lost": (
                self.tr("Where the count is lost"),
                self.tr("Share of the targets missed, in %, by the bar of the phrase; the last 200 trials."),
            ),
            "beat": (
                self.tr("Where your one fell"),
                self.tr("Share of your taps, in %, by the beat of the bar; the last 200 trials."),
            ),
        }[name]

    def spread_note(self, page: Content) -> str:
        """How to read the chart of the spread, with or without a curve."""
        assert page.trend is not None
        days = self.tr("In ms, day by day over your practice; below, the day and the number of the trial.")
        if page.trend.change is None:
            return days
        if page.trend.curve is None:
            return days + " " + self.tr("Without a sure change there is no curve.")
        return days + " " + self.tr("Line: the practice curve; dotted: its 95 % band, on the device used last.")
