"""Today's plan: a line an item with its reason, duration and state."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app.practice.plan.today import State, Today, states
from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.widgets.controls import label, named
from app.ui.widgets.linked_label import LinkedLabel
from app.ui.widgets.screens import Scrolled, ScrollPage
from exercises.drills import drill
from exercises.learner.plan import Item
from exercises.learner.reasons import LESSON, LESSON_TITLE, Reason
from exercises.progress.gains import Tally


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the plan in words."""

    title: str
    why: str
    asks: str
    state: State
    minutes: int
    progress: str
    rung: str = ""


class PlanCard(Scrolled):
    """Shows a ``Today``; the current item has a bar, the word "now", and its instruction.

    ``help_asked`` carries the page of a trade word.
    """

    help_asked = Signal(str)

    def __init__(self) -> None:
        super().__init__(QWidget())
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        # Fill the space available, and scroll if that is too little.
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        self.setMinimumHeight(look.STEP_PX * 30)
        named(self, self.tr("Today's plan"), self.accessibleDescription())
        self._shown: tuple[object, ...] = ()
        self._now: QWidget | None = None

    def show_today(
        self,
        today: Today,
        rungs: Mapping[str, int] = MappingProxyType({}),
        before: Mapping[str, Tally] = MappingProxyType({}),
    ) -> None:
        """Show the plan's state; ``rungs`` are those of drills that were practised, where they are known.

        ``before`` are the answers of the last time on the same rung.
        """
        shown = (
            tuple(rungs.items()),
            tuple(before.items()),
            tuple(today.tallies),
            id(today.plan),
            today.at,
            today.lesson,
            tuple(today.counts),
            look.px(100),
            look.colour("ink").name(),
        )
        if shown == self._shown:
            return
        self._shown = shown
        # From the outside in: Qt styles all that is in a widget anew each time when it gets a parent.
        whole = ScrollPage()
        self.setWidget(whole)
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        sheet = QFrame()
        sheet.setObjectName("card")
        column.addWidget(sheet)
        lines = QVBoxLayout(sheet)
        lines.setContentsMargins(1, 1, 1, 1)
        lines.setSpacing(0)
        rows = [] if today.lesson is None else [self._lesson(today.lesson, today.plan.lesson_minutes)]
        parts = zip(states(today), today.counts, today.tallies, today.plan.whole_minutes, strict=True)
        for (item, state), count, gained, minutes in parts:
            rows.append(
                self._item(item, state, count, gained, minutes, rungs.get(item.drill), before.get(item.drill))
            )
        now: QWidget | None = None
        for at, row in enumerate(rows):
            if at:
                rule = QFrame()
                rule.setObjectName("rule")
                rule.setFixedHeight(1)
                lines.addWidget(rule)
            line = QFrame()
            lines.addWidget(line)
            self._fill(line, at + 1, row)
            now = line if row.state is State.NOW else now
        if today.plan.rests is not None:
            column.addWidget(label(spoken(today.plan.rests), "soft", wrap=True))
        column.addStretch(1)
        self._now = now
        QTimer.singleShot(0, self, self._scroll)  # after the layout

    def _scroll(self) -> None:
        if self._now is not None:
            self.ensureWidgetVisible(self._now, 0, look.STEP_PX * 8)

    def _lesson(self, state: State, minutes: int) -> Row:
        progress = {State.NOW: self.tr("now"), State.SKIPPED: self.tr("skipped"), State.DONE: self.tr("done")}
        return Row(spoken(LESSON_TITLE()), spoken(LESSON()), "", state, minutes, progress.get(state, ""))

    def _item(
        self,
        item: Item,
        state: State,
        count: int,
        gained: Tally,
        minutes: int,
        stands: int | None,
        before: Tally | None,
    ) -> Row:
        one, known = drill(item.drill), item.rung if state is State.COMING else stands or item.rung
        asks = spoken(one.asks()) if item.reason not in (Reason.NEXT, Reason.WARM_UP) else ""
        rung = self.tr("rung {n} of {rungs}").format(n=known, rungs=len(one.rungs))
        if state is State.DONE and item.reason is not Reason.WARM_UP and known > item.rung:
            rung = self.tr("rung {n} of {rungs}, up from {before}").format(
                n=known, rungs=len(one.rungs), before=item.rung
            )
        if state is State.SKIPPED or (state is State.DONE and (stands is None or not gained.asked)):
            rung = ""
        progress = self._progress(item, state, count, gained)
        if state is State.DONE and gained.asked and before is not None and before.asked:
            last = self.tr("last time {right} of {asked}").format(right=before.right, asked=before.asked)
            progress = f"{progress}, {last}"
        return Row(spoken(one.title()), spoken(item.why), asks, state, minutes, progress, rung)

    def _fill(self, line: QWidget, number: int, row: Row) -> None:
        step, over = look.STEP_PX, row.state in (State.DONE, State.SKIPPED)
        line.setObjectName("line")
        line.setProperty("state", row.state.value)
        across = QHBoxLayout(line)
        across.setContentsMargins(step * 2, step * 3 // 2, step * 3, step * 3 // 2)
        across.setSpacing(step * 2)

        place = label(f"{number}", "soft" if over else "heading")
        place.setMinimumWidth(look.px(step * 3))
        place.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
        across.addWidget(place, 0, Qt.AlignmentFlag.AlignTop)

        words = QVBoxLayout()
        words.setSpacing(step // 2)
        words.addWidget(label(row.title, "soft" if over else "heading"))
        if row.state is State.NOW:
            for text, kind in ((row.why, "soft"), (row.asks, "body")):
                if text:
                    words.addWidget(self._linked(text, kind))
        elif not over:
            words.addWidget(label(row.why, "soft", wrap=True))
        words.addStretch(1)
        across.addLayout(words, 1)

        texts = QVBoxLayout()
        texts.setSpacing(step // 2)
        length = self._length(row.minutes)
        done = ", ".join(text for text in (row.progress, row.rung) if text)
        lines = ((done, "small"),) if over else ((length, "body"), (row.rung, "soft"), (row.progress, "strong"))
        for text, kind in lines:
            if text:
                words_right = label(text, kind)
                words_right.setAlignment(Qt.AlignmentFlag.AlignRight)
                texts.addWidget(words_right)
        texts.addStretch(1)
        across.addLayout(texts)
        named(line, f"{number}. {row.title}, {length}. {done}", row.why)

    def _linked(self, text: str, kind: str) -> LinkedLabel:
        made = LinkedLabel(kind)
        made.setText(text)
        made.help_asked.connect(self.help_asked)
        return made

    def _length(self, minutes: int) -> str:
        return self.tr("1 minute") if minutes == 1 else self.tr("{n} minutes").format(n=minutes)

    def _progress(self, item: Item, state: State, count: int, gained: Tally) -> str:
        if state is State.COMING:
            return ""
        if state is State.SKIPPED:
            return self.tr("skipped")
        if state is State.DONE and gained.asked:
            return self.tr("{right} of {asked} right").format(right=gained.right, asked=gained.asked)
        if state is State.DONE:
            return self.tr("1 trial done") if count == 1 else self.tr("{n} trials done").format(n=count)
        if count:
            return self.tr("now, {count} of {all} done").format(count=count, all=item.trials)
        return self.tr("now")
