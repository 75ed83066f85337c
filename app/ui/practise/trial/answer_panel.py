"""The panel for answers after the sound, in the middle of the screen: choices, a number, or a position in the count.

No answer is there before the learner makes one, and none is taken by a key that was meant for something else.
"""

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.practice.trial.attempt import Attempt
from app.ui.base.words import spoken
from app.ui.practise.choose.offers import Offers
from app.ui.practise.trial.digits import DigitAnswer
from exercises.drills import drill
from exercises.trial.trial import Kind

HIGHEST_NUMBER = 999
# Return is ignored for so long after a question appears, in s: it may have been meant for the sound.
DEAF_S = 0.4
# A choice can be changed for so long, in s; then it is given.
CHANGE_S = 0.4


class AnswerPanel(QWidget):
    """Emits ``answered`` with the answer as text, as ``exercises.trial.answers.parse_value`` reads it.

    ``now`` gives the time in s; ``poll`` is called while a question is open.
    """

    answered = Signal(str)

    def __init__(self, now: Callable[[], float]) -> None:
        super().__init__()
        self._now = now
        self._asked: Attempt | None = None
        self._asked_s = self._picked_s = 0.0
        self._picked: str | None = None
        self.body: Offers | DigitAnswer | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        self._column = column
        self.hide()

    def show_question(self, attempt: Attempt | None) -> None:
        """Show the answers to an attempt's question, or nothing; the same question again keeps what was typed."""
        if attempt is self._asked:
            return
        if self.body is not None:
            self.body.hide()  # gives the focus away
            self._column.removeWidget(self.body)
            self.body.deleteLater()
        self._asked, self._picked, self.body = attempt, None, None
        self.setVisible(attempt is not None)
        if attempt is None:
            return
        self._asked_s, self.body = self._now(), self._made(attempt)
        self._column.addWidget(self.body)
        self.body.show()  # at once: only what is shown takes the focus
        self.take_focus()

    def _made(self, attempt: Attempt) -> Offers | DigitAnswer:
        trial = attempt.trial
        if attempt.asks is Kind.CHOICE:
            offers = Offers([(choice.key, spoken(choice.say)) for choice in trial.choices])
            offers.picked.connect(self.pick)
            return offers
        if attempt.asks is Kind.NUMBER:
            digits = DigitAnswer([(spoken(drill(trial.drill).gives()), HIGHEST_NUMBER)])
        else:
            bars, beats = trial.truth().phrase_bars, int(trial.count.beat_in_bar.max())
            hint = (
                self.tr("Bars 1 to {bars}, beats 1 to {beats}. Tab or a point leads to the beat.")
                if bars > 9
                else self.tr("Bars 1 to {bars}, beats 1 to {beats}. Type two digits.")
            )
            fields = [(self.tr("Bar"), bars), (self.tr("Beat"), beats)]
            digits = DigitAnswer(fields, hint.format(bars=bars, beats=beats))
        digits.given.connect(self.answered)
        return digits

    def take_focus(self) -> None:
        """Give the keyboard to the answers."""
        if self.body is not None:
            self.body.take_focus()

    def give(self) -> None:
        """Take Return: give the number or position that is typed, or pick the focused choice."""
        if self.body is not None and self._now() - self._asked_s >= DEAF_S:
            self.body.give()

    def pick(self, key: str) -> None:
        """Pick a choice; it is given unless another one is picked within ``CHANGE_S``."""
        if key != self._picked:
            self._picked, self._picked_s = key, self._now()
        if isinstance(self.body, Offers):
            self.body.show_picked(key)

    def poll(self) -> None:
        """Give the choice once it can no longer be changed."""
        if self._picked is not None and self._now() - self._picked_s >= CHANGE_S:
            picked, self._picked = self._picked, None
            self.answered.emit(picked)
