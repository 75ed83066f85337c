"""Today's plan: a line an item with its reason, duration and state."""

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QFrame, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from app.practice.today import State, Today, states
from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.widgets.controls import label, named
from app.ui.widgets.screens import Scrolled, ScrollPage
from exercises.drills import drill
from exercises.learner.plan import Item
from exercises.learner.reasons import Reason


class PlanCard(Scrolled):
    """Shows a ``Today``; the current item has a bar, the word "now", and its instruction."""

    def __init__(self) -> None:
        super().__init__(QWidget())
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        # Fill the space available, and scroll if that is too little.
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        self.setMinimumHeight(look.STEP_PX * 30)
        named(self, self.tr("Today's plan"), self.accessibleDescription())
        self._shown: tuple[object, ...] = ()
        self._now: QWidget | None = None

    def show_today(self, today: Today) -> None:
        """Show the plan's state."""
        shown = (id(today.plan), today.at, tuple(today.counts), look.px(100))
        if shown == self._shown:
            return
        self._shown = shown
        sheet = QFrame()
        sheet.setObjectName("card")
        lines = QVBoxLayout(sheet)
        lines.setContentsMargins(1, 1, 1, 1)
        lines.setSpacing(0)
        now: QWidget | None = None
        for index, (item, state) in enumerate(states(today)):
            if index:
                rule = QFrame()
                rule.setObjectName("rule")
                rule.setFixedHeight(1)
                lines.addWidget(rule)
            line = self._line(index, item, state, today.counts[index], today.plan.whole_minutes[index])
            lines.addWidget(line)
            now = line if state is State.NOW else now
        whole = ScrollPage()
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(sheet)
        if today.plan.rests is not None:
            column.addWidget(label(spoken(today.plan.rests), "soft", wrap=True))
        column.addStretch(1)
        self.setWidget(whole)
        self._now = now
        QTimer.singleShot(0, self, self._scroll)  # after the layout

    def _scroll(self) -> None:
        if self._now is not None:
            self.ensureWidgetVisible(self._now, 0, look.STEP_PX * 8)

    def _line(self, index: int, item: Item, state: State, count: int, minutes: int) -> QWidget:
        step, one = look.STEP_PX, drill(item.drill)
        line = QFrame()
        line.setObjectName("line")
        line.setProperty("state", state.value)
        across = QHBoxLayout(line)
        across.setContentsMargins(step * 2, step * 3 // 2, step * 3, step * 3 // 2)
        across.setSpacing(step * 2)
        over = state in (State.DONE, State.SKIPPED)

        number = label(f"{index + 1}", "soft" if over else "heading")
        number.setMinimumWidth(look.px(step * 3))
        number.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
        across.addWidget(number, 0, Qt.AlignmentFlag.AlignTop)

        title, why = spoken(one.title()), spoken(item.why)
        words = QVBoxLayout()
        words.setSpacing(step // 2)
        words.addWidget(label(title, "soft" if over else "heading"))
        if not over:
            words.addWidget(label(why, "soft", wrap=True))
        if state is State.NOW and item.reason not in (Reason.NEXT, Reason.WARM_UP):
            words.addWidget(label(spoken(one.asks()), "body", wrap=True))
        words.addStretch(1)
        across.addLayout(words, 1)

        texts = QVBoxLayout()
        texts.setSpacing(step // 2)
        length, progress = self._length(minutes), self._progress(item, state, count)
        for text, kind in ((progress, "small"),) if over else ((length, "body"), (progress, "strong")):
            words_right = label(text, kind)
            words_right.setAlignment(Qt.AlignmentFlag.AlignRight)
            texts.addWidget(words_right)
        texts.addStretch(1)
        across.addLayout(texts)
        named(line, f"{index + 1}. {title}, {length}. {progress}", why)
        return line

    def _length(self, minutes: int) -> str:
        return self.tr("1 minute") if minutes == 1 else self.tr("{n} minutes").format(n=minutes)

    def _progress(self, item: Item, state: State, count: int) -> str:
        if state is State.COMING:
            return ""
        if state is State.SKIPPED:
            return self.tr("skipped")
        if state is State.DONE:
            return self.tr("1 trial done") if count == 1 else self.tr("{n} trials done").format(n=count)
        if count:
            return self.tr("now, {count} of {all} done").format(count=count, all=item.trials)
        return self.tr("now")
