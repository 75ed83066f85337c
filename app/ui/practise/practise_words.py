"""Texts of the practise screen: heading, lead, legend, and the next step."""

from contextlib import suppress

from PySide6.QtCore import QObject

from app.practice.practice import Practice
from app.practice.records.own_records import by_whom
from app.practice.trial.attempt import Phase
from app.ui.base import theme as look
from app.ui.base.words import spoken, spoken_all
from app.ui.practise.plan.plan_words import PlanWords
from app.ui.practise.steps import cut_short
from app.ui.result.legend import SheetLegend
from exercises.drills import drill
from exercises.forms.drill import INTRODUCTION
from exercises.learner.level import TOLD_FROM
from exercises.progress.gains import Tally, comes_back, last_time, stands
from exercises.trial.result import Result, said
from exercises.trial.verdict.bias_and_spread import in_words
from synth.base.errors import Trouble


class PractiseWords(QObject):
    """Texts for the state of a ``Practice``; an empty text where there is nothing to say."""

    def __init__(self, practice: Practice, parent: QObject) -> None:
        super().__init__(parent)
        self._practice = practice
        self._plan = PlanWords(self)
        self._legend = SheetLegend(self)

    @property
    def _result(self) -> Result | None:
        return self._practice.result if self._practice.phase is Phase.MARKED else None

    def _verdict(self, result: Result) -> tuple[str, str]:
        """The heading, with right or wrong first, and the rest; in large text the heading has one sentence."""
        first, rest = spoken(result.verdict[0]), spoken_all(result.verdict[1:])
        if look.px(100) > look.LARGE and ". " in first:
            first, advice = first.split(". ", 1)
            first, rest = f"{first}.", f"{advice} {rest}".rstrip()
        return " ".join([*map(spoken, said(result.right, ())), first]), rest

    def place(self) -> str:
        """Place in the plan of the current trial."""
        practice = self._practice
        if practice.at_plan or practice.phase is Phase.MAKING:
            return ""
        place = "" if practice.today is None else self._plan.place(practice.today)
        return "  ·  ".join(filter(None, (place, self._on())))

    def _on(self) -> str:
        """The own record of the trial; with its result also who has confirmed its count."""
        practice = self._practice
        heard = None if practice.trial is None or practice.phase is Phase.READY else practice.trial.recorded
        if heard is None:
            return ""
        if self._result is None and practice.drill.title_tells:
            return self.tr("On a record of yours")
        words = self.tr("On: {title}").format(title=heard.title)
        other = practice.trial.second_recorded if practice.trial is not None else None
        if other is not None:
            told = self.tr("On: {title}, and {other}, brought to its tempo")
            words = told.format(title=heard.title, other=other.title)
        if self._result is None:
            return words
        return f"{words}. {spoken(by_whom(practice.records, heard))}"

    def heading(self) -> str:
        """The verdict, or else the title of the task."""
        if self._practice.at_plan:
            return self._plan.heading(self._practice.today)
        if self._practice.chooses:
            return self.tr("Choose a drill")
        if self._result is None:
            return spoken(self._practice.drill.title())
        return self._verdict(self._result)[0]

    def lead(self) -> str:
        """The instruction, or the rest of the verdict."""
        practice, attempt = self._practice, self._practice.attempt
        if practice.at_plan:
            return self._plan.lead(practice.today)
        if practice.chooses:
            return ""
        if self._result is not None:
            return self._verdict(self._result)[1]
        if practice.phase is Phase.MAKING:
            return self.tr("One moment: the sound is being made …")
        if attempt is None or attempt.phase in (Phase.READY, Phase.VOID):
            return spoken(practice.drill.task(on_record=practice.on_record))
        words = [spoken(attempt.trial.question)]
        if attempt.phase is Phase.SOUNDING and attempt.side is not None and look.px(100) > look.LARGE:
            return words[0]  # the keys beside the side task show the rest, and the sheet needs the height
        if attempt.phase is Phase.SOUNDING and attempt.by_taps:
            words.append(self.tr("Space or any letter, a click or a touch on the sheet."))
        if attempt.phase is Phase.SOUNDING and attempt.side is not None:
            words.append(spoken(attempt.side.asks))
        return " ".join(words)

    def _timing(self, result: Result) -> str:
        """How the taps lay, in plain sentences."""
        attempt = self._practice.attempt
        if result.taps is None or attempt is None or attempt.kept is None or not attempt.tells_shift:
            return ""
        return spoken_all(in_words(result.taps, attempt.kept.calibration, result.verdict))

    def rungs(self) -> dict[str, int]:
        """Rungs of the plan's drills, where there are answers enough to know them."""
        today = self._practice.today
        if today is None:
            return {}
        levels = self._practice.learner.levels()
        known = {id: levels.level(id) for id in dict.fromkeys(item.drill for item in today.plan.items)}
        return {id: level.rung(drill(id)) for id, level in known.items() if level.answers >= TOLD_FROM}

    def before(self) -> dict[str, Tally]:
        """At the end of the plan, the answers of the last time in its drills, on the rungs of today."""
        learner, today = self._practice.learner, self._practice.today
        if today is None or not today.finished or learner.logbook is None:
            return {}
        try:
            return {id: last_time(learner.logbook, learner.key, drill(id)) for id in today.practised()}
        except Trouble:
            return {}  # reported on saving

    def _introduced(self, result: Result) -> str:
        """After a drill's introduction, why there is neither right nor wrong."""
        trial = self._practice.trial
        if trial is None or trial.rung != INTRODUCTION or result.right is not None:
            return ""
        if result.given == result.expected:
            return self.tr("That is what you said. It was the introduction, which is not marked.")
        return self.tr("It was the introduction, which is not marked.")

    def _gains(self) -> str:
        """A new rung; at the end of an item what went well in it, the rung, and when it comes back."""
        practice, today, attempt = self._practice, self._practice.today, self._practice.attempt
        says = [] if attempt is None or attempt.news is None or attempt.withdrawn else [attempt.news]
        if today is not None and today.turn is not None and not today.turn_goes_on:
            one, learner, gained = practice.drill, practice.learner, today.tallies[today.turn.item]
            level = learner.levels().level(one.id)
            says += gained.says()
            with suppress(Trouble):  # reported when the levels are read
                says += stands(level, one, learner.logbook, learner.key, gained)
            says += [comes_back(level, one)] if gained.asked else []
        return spoken_all(says)

    def _what_follows(self) -> str:
        """What the next item of the plan asks, where the trial was the last of its item: it begins with one key."""
        today = self._practice.today
        if today is None or today.item is None or today.turn_goes_on or look.px(100) > look.LARGE:
            return ""
        comes = drill(today.item.drill)
        return self.tr("Next: {asks}").format(asks=spoken((comes.short or comes.asks)()))

    def soft(self) -> str:
        """Below the lead: what the rung is, how taps lay, or how the day ends."""
        practice = self._practice
        if practice.at_plan:
            return self._plan.rest(practice.today, None if practice.day is None else practice.day.tomorrow())
        if self._result is not None:
            parts = (self._introduced(self._result), self._gains(), self._what_follows())
            below = (self._timing(self._result), " ".join(filter(None, parts)))
            return "\n".join(text for text in below if text)
        if practice.phase is not Phase.READY:
            return ""
        on_record = practice.on_record
        number = max(1, practice.rung) if on_record else practice.rung  # the introduction is not on records
        what = spoken(practice.drill.brings(practice.drill.row_at(number), on_record=on_record))
        if number == INTRODUCTION:
            return self.tr("Introduction: {what}.").format(what=what)
        return self.tr("Rung {n}: {what}.").format(n=number, what=what)

    def legend(self) -> str:
        """Legend of the marks that are on the sheet, and the zero of early and late; or what is drawn meanwhile."""
        attempt = self._practice.attempt
        if attempt is not None and attempt.only_heard and not look.reduced_motion():
            return self.tr("Only something to look at: the line follows nothing of the sound.")
        marked = None if self._result is None or attempt is None else attempt.marked
        if marked is None or attempt is None:
            return ""
        return self._legend.heard(marked) if attempt.sounds_taps else self._legend.words(marked)

    def next_short(self) -> str:
        """What Return does, short."""
        practice, today = self._practice, self._practice.today
        if cut_short(practice):
            return self.tr("Answer")
        if today is not None and today.item is None:
            return self.tr("Logbook") if practice.phase is Phase.READY else self.tr("Finish")
        return self.tr("Start") if practice.phase is Phase.READY else self.tr("Next")

    def after_lesson(self) -> str:
        """What follows the lesson."""
        today = self._practice.today
        return "" if today is None else self._plan.next_step(today)

    def next_step(self) -> str:
        """What Return does."""
        practice, today = self._practice, self._practice.today
        if cut_short(practice):
            return self.tr("Answer now")
        if practice.at_plan:
            return self._plan.start(today)
        if practice.phase is Phase.READY:
            return self.tr("Start")
        if today is None:
            return self.tr("Next trial")
        return self._plan.next_step(today, void=practice.phase is Phase.VOID)
