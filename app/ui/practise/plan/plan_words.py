"""Texts of the practise screen about today's plan."""

from PySide6.QtCore import QLocale, QObject

from app.practice.plan.today import Today
from app.ui.base.words import after_title, spoken
from exercises.drills import drill
from exercises.learner.reasons import LESSON_TITLE
from exercises.progress.gains import Tally


def _title(drill_id: str) -> str:
    return spoken(drill(drill_id).title())


class PlanWords(QObject):
    """Texts about a ``Today``."""

    def heading(self, today: Today | None) -> str:
        """Heading of the plan or of its end."""
        if today is not None and today.finished:
            return self.tr("That is enough for today.") if today.practised() else self.tr("Nothing more for today.")
        return self.tr("Today's practice")

    def lead(self, today: Today | None) -> str:
        """Below the heading: what to do with the plan, or what was done."""
        if today is None:
            return self.tr("One moment: choosing what helps you most today …")
        if today.finished:
            return self._practised(today)
        if today.begun:
            return self._left(today.minutes_left)
        if today.lesson_due:
            return self.tr("In this order. Skip what does not suit you today.")
        return self.tr("In this order, a warm-up first. Skip what does not suit you today.")

    def rest(self, today: Today | None, tomorrow: tuple[str, ...] | None) -> str:
        """Below the lead of the closing page; ``tomorrow`` are the drills of the next day's plan, once known."""
        if today is None or not (today.finished and today.practised()):
            return ""
        luck = self.tr("One good or bad day may be luck; the logbook shows where you stand.")
        if not tomorrow:
            settles = self.tr("What you learnt settles while you rest. What is due will be in the next plan.")
        else:
            names = QLocale().createSeparatedList([_title(each) for each in tomorrow])
            settles = self.tr("What you learnt settles while you rest. Tomorrow: {drills}.").format(drills=names)
        return after_title(f"{luck} {settles}")

    def place(self, today: Today) -> str:
        """Place in the plan of the trial started last."""
        if today.turn is None:
            return ""
        item = today.plan.items[today.turn.item]
        return self.tr("{at} of {items}: {drill} (trial {trial} of {trials})").format(
            at=today.turn.item + 1 + today.plan.lesson,
            items=len(today.plan.items) + today.plan.lesson,
            drill=_title(item.drill),
            trial=today.turn.trial,
            trials=item.trials,
        )

    def start(self, today: Today | None) -> str:
        """Next step on the plan's page."""
        if today is None:
            return self.tr("One moment")
        item = today.item
        if today.lesson_due:
            return self.tr("Start: {drill}").format(drill=spoken(LESSON_TITLE()))
        if item is None:
            return self.tr("Look at the logbook")
        if today.trial > 1:
            return self.tr("Continue: {drill}, trial {trial} of {trials}").format(
                drill=_title(item.drill), trial=today.trial, trials=item.trials
            )
        return self.tr("Start: {drill}").format(drill=_title(item.drill))

    def next_step(self, today: Today, *, void: bool = False) -> str:
        """Next step after a result; ``void``: the trial did not count."""
        item = today.item
        if item is None:
            return self.tr("Finish for today")
        if void:
            return self.tr("Once more: {drill}").format(drill=_title(item.drill))
        if today.trial > 1:
            return self.tr("Next: trial {trial} of {trials} in {drill}").format(
                drill=_title(item.drill), trial=today.trial, trials=item.trials
            )
        return self.tr("Next: {drill}").format(drill=_title(item.drill))

    def _left(self, minutes: int) -> str:
        if minutes == 1:
            return self.tr("About a minute is left.")
        return self.tr("About {n} minutes are left.").format(n=minutes)

    def _practised(self, today: Today) -> str:
        drills = today.practised()
        if not drills:
            return self.tr("You skipped what was planned. It will be there when you come back.")
        names = QLocale().createSeparatedList([_title(each) for each in drills])
        minutes = max(1, round(today.spent_s / 60))
        practised = (
            self.tr("You practised for about a minute: {drills}.")
            if minutes == 1
            else self.tr("You practised for about {n} minutes: {drills}.")
        )
        whole = sum(today.tallies, Tally())
        said = after_title(practised.format(n=minutes, drills=names))
        return " ".join([said, *map(spoken, whole.says())])
