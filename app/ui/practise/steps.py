"""The bottom line of the practise screen: secondary actions at the left, the next step at the right, with keys."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QLabel, QPushButton, QWidget

from app.practice.practice import IDLE, Practice
from app.practice.trial.attempt import Phase
from app.ui.base import theme as look
from app.ui.practise.plan.step_row import Steps
from app.ui.widgets.controls import KeyButton, button, label, row, turn_into
from exercises.trial.equipment_lag import FIGURE


class PractiseSteps(Steps):
    """Shows the actions available in a practice. A button's letter works only while the button is visible."""

    def __init__(self) -> None:
        self.next = button("", "", "next")
        self.stop = button("", "")
        self.again = button("", "")
        self._arranging = False
        # Long and short name of each control, and the one of two that fits: 0 or 1.
        self._words: dict[QPushButton, tuple[str, str]] = {}
        self._aside = tuple(KeyButton("", "", "") for _ in range(8))
        self.lost, self.measure, self.withdraw, self.to_plan, self.skip, self.freely, self.more, self.close_window = (
            self._aside
        )
        step = look.STEP_PX
        self._keys = {each: label("", "key") for each in (self.next, self.stop, self.again)}
        ahead = [part for each in (self.stop, self.again, self.next) for part in (self._keys[each], each)]
        super().__init__(
            row(*self._aside, spacing=step),
            row(*ahead, spacing=step),
        )
        self.next.installEventFilter(self)
        for each in (self.stop, self.lost):
            each.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._name(self.next, self.tr("Start"), self.tr("Start"), "", self.tr("Return"))
        tip = self.tr("Breaks the trial off; nothing of it is kept. Escape does the same.")
        self._name(self.stop, self.tr("Stop"), self.tr("Stop"), tip, self.tr("Esc"))
        tip = self.tr("Plays it once more, with your taps or with your answer. Key H.")
        self._name(self.again, self.tr("Hear it again"), self.tr("Hear it"), tip, self.tr("H"))
        tip = self.tr("Opens Sound and taps, where the delay of the sound is measured.")
        self._name_aside(self.measure, self.tr("Measure the delay"), self.tr("Measure"), tip, self.tr("E"))
        tip = self.tr("Shows what is planned for today.")
        self._name_aside(self.to_plan, self.tr("Today's plan"), self.tr("Plan"), tip, self.tr("P"))
        tip = self.tr("Choose drill, rung, what plays, tempo and mode by hand.")
        self._name_aside(self.freely, self.tr("Choose freely"), self.tr("Choose"), tip, self.tr("F"))
        tip = self.tr("Makes another plan for today, from how the first went.")
        self._name_aside(self.more, self.tr("Another plan"), self.tr("New plan"), tip, self.tr("M"))
        tip = self.tr("Ends the program; everything is kept.")
        self._name_aside(self.close_window, self.tr("Close Tallybar"), self.tr("Close"), tip, self.tr("Q"))
        self._letters: list[tuple[QShortcut, QWidget]] = []
        for code, control in (
            (Qt.Key.Key_H, self.again),
            (Qt.Key.Key_F2, self.lost),
            (Qt.Key.Key_E, self.measure),
            (Qt.Key.Key_X, self.withdraw),
            (Qt.Key.Key_P, self.to_plan),
            (Qt.Key.Key_S, self.skip),
            (Qt.Key.Key_F, self.freely),
            (Qt.Key.Key_M, self.more),
            (Qt.Key.Key_Q, self.close_window),
        ):
            shortcut = QShortcut(QKeySequence(code), self)
            shortcut.setAutoRepeat(False)  # a held S would skip the whole plan
            shortcut.activated.connect(control.click)
            self._letters.append((shortcut, control))

    def _name_aside(self, control: KeyButton, name: str, short: str, description: str, key: str) -> None:
        if self._words.get(control) != (name, short):
            control.show_name(name, description, key)
            self._words[control] = name, short

    def _name(self, control: QPushButton, name: str, short: str, description: str, key: str) -> None:
        self._words[control] = name, short
        control.setText(name)
        control.setAccessibleName(name)
        control.setAccessibleDescription(description)
        control.setToolTip(description)
        self._keys[control].setText(key)

    def on_keys(self, go_on: Callable[[], None], stop: Callable[[], None]) -> None:
        """Bind Return and Escape in the whole window while this screen is shown."""
        for key, then in ((Qt.Key.Key_Return, go_on), (Qt.Key.Key_Enter, go_on), (Qt.Key.Key_Escape, stop)):
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.setAutoRepeat(False)  # a held key would answer the question that it opened
            shortcut.activated.connect(then)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep the space bar for tapping: the next step takes Return instead."""
        return (
            event.type() in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease)
            and isinstance(event, QKeyEvent)
            and event.key() == Qt.Key.Key_Space
        )

    def show_steps(self, practice: Practice, next_step: str, short: str) -> None:
        """Show the actions available; during a placement run no secondary ones.

        The next step is named ``short`` if ``next_step`` does not fit into one line.
        """
        phase, today = practice.phase, practice.today
        idle, over = phase in IDLE, phase in (Phase.MARKED, Phase.VOID)
        self._words[self.next] = next_step, short
        about = self._about_next(practice)
        self.next.setAccessibleName(next_step)
        self.next.setAccessibleDescription(about)
        self.next.setToolTip(about)
        self.next.setEnabled(not practice.at_plan or practice.next_known)
        turn_into(self.next, "plain" if cut_short(practice) else "next")  # to wait is the way
        attempt, by_hand = practice.attempt, practice.course.by_hand
        for control, shown in (
            (self.next, idle or cut_short(practice)),
            (self.stop, not idle or practice.again),
            (self.again, phase is Phase.MARKED and can_be_heard(practice)),
        ):
            control.setVisible(shown)
        self.lost.setVisible(attempt is not None and attempt.can_be_lost)
        counts = practice.drill.counts
        self._name_aside(
            self.lost,
            *(self.tr("I lost the count"), self.tr("Lost it"))
            if counts
            else (self.tr("I can't tell"), self.tr("Can't tell")),
            self.tr("Answers that you have lost the count, so that there is no need to guess.")
            if counts
            else self.tr("Answers that you cannot tell, so that there is no need to guess."),
            self.tr("F2"),
        )
        self.measure.setVisible(practice.result is not None and over and FIGURE in practice.result.figures)
        withdrawn = attempt is not None and attempt.withdrawn
        self.withdraw.setVisible(phase is Phase.MARKED)
        self._name_aside(
            self.withdraw,
            *(self.tr("It counts after all"), self.tr("Count it"))
            if withdrawn
            else (self.tr("That doesn't count"), self.tr("Don't count")),
            self.tr("Lets this trial count again.")
            if withdrawn
            else self.tr("For a trial in which something disturbed you: it stays in the logbook and counts nowhere."),
            self.tr("X"),
        )
        self.to_plan.setVisible(
            practice.day is not None
            and ((over and (by_hand or practice.follows_day)) or (phase is Phase.READY and by_hand))
        )
        leaves = over and today is not None and not today.finished and today.turn_goes_on
        self.skip.setVisible(leaves or (practice.at_plan and today is not None and not today.finished))
        self._name_aside(
            self.skip,
            self.tr("Skip the rest of it") if leaves else self.tr("Skip it"),
            self.tr("Skip"),
            self.tr("Goes on to what comes next in the plan; what is skipped comes back another day."),
            self.tr("S"),
        )
        self.freely.setVisible(practice.at_plan or (over and by_hand))
        closing = practice.at_plan and today is not None and today.finished
        for aside in (self.more, self.close_window):
            aside.setVisible(closing)
        for shortcut, steered in self._letters:
            shortcut.setEnabled(not steered.isHidden())
        self.arrange()

    def _about_next(self, practice: Practice) -> str:
        """Description of the next step."""
        today, ready = practice.today, practice.phase is Phase.READY
        if cut_short(practice):
            return self.tr("Ends the sound and asks. The Return key does the same.")
        if today is None or not today.finished:
            return self.tr("Starts the sound. The Return key does the same.")
        if ready:
            return self.tr("Opens the logbook. The Return key does the same.")
        return self.tr("Goes back to today's plan. The Return key does the same.")

    def arrange(self) -> None:
        """Use one line, if necessary with short names, then without key hints; else two lines."""
        if self._arranging:  # showing a hint resizes the line
            return
        self._arranging = True
        ways = ((True, 0), (True, 1), (False, 1))
        hints, words = next((way for way in ways if self._needed(*way) <= self.width()), ways[-1])
        for each in (self.next, self.stop, self.again):
            self._keys[each].setVisible(hints and not each.isHidden())
            each.setText(self._words[each][words])
        for each in self._aside:
            if each.isHidden():
                continue
            each.words.setText(self._words[each][words])
            each.hint.setVisible(hints)
            each.updateGeometry()  # Qt caches the size
            key = self.tr("Key {key}.").format(key=each.hint.text())
            whole = "" if words == 0 else f"{each.accessibleName()}. "
            each.setToolTip(f"{whole}{each.accessibleDescription()} {key}")
        self._arranging = False
        super().arrange()

    def _needed(self, hints: bool, words: int) -> int:
        """Width of one line, with key hints or without, and with long (0) or short (1) names."""
        step, width, gaps = look.STEP_PX, look.STEP_PX * 2, -2
        for aside in self._aside:
            if not aside.isHidden():
                margins = aside.line.contentsMargins()
                parts = [aside.hint, aside.words] if hints else [aside.words]
                width += margins.left() + margins.right() + sum(part.sizeHint().width() for part in parts)
                width += self._longer(aside, aside.words, words)
                gaps += len(parts)
        for ahead in (self.stop, self.again, self.next):
            if not ahead.isHidden():
                width += ahead.sizeHint().width() + (self._keys[ahead].sizeHint().width() if hints else 0)
                width += self._longer(ahead, ahead, words)
                gaps += 1 + hints
        return width + max(0, gaps) * step

    def _longer(self, control: QPushButton, shown: QLabel | QPushButton, words: int) -> int:
        """By how much a name is longer than the one that is shown."""
        advance = shown.fontMetrics().horizontalAdvance
        return advance(self._words[control][words]) - advance(shown.text())


def can_be_heard(practice: Practice) -> bool:
    """Whether the marked trial can be heard again, and is not."""
    replaying = None if practice.attempt is None else practice.attempt.replaying
    return replaying is not None and replaying.can_be_heard and not replaying.sounding


def cut_short(practice: Practice) -> bool:
    """Whether something sounds whose question may be answered before the end."""
    return practice.attempt is not None and practice.attempt.cut_short
