"""The keys by which the count of a record is heard and set right."""

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from app.practice.records.confirming import Confirming
from app.ui.base.numbers_and_dates import number
from app.ui.widgets.controls import KeyButton

Then = Callable[[Confirming], None]


class RecordKeys(QObject):
    """Buttons by name, each with its key; ``pressed`` brings what one does to a ``Confirming``."""

    pressed = Signal(object)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.buttons: dict[str, KeyButton] = {}
        self.codes: dict[str, str] = {}
        told = self.tr("Key {key}.")
        for name, code, words, about, then in self._all():
            cap = self.tr("Space") if code == "Space" else code
            made = self.buttons[name] = KeyButton(words, f"{about} {told.format(key=cap)}", cap)
            made.setToolTip(about)
            made.setProperty("help", "records")
            made.clicked.connect(lambda _=False, then=then: self.pressed.emit(then))
            self.codes[name] = code

    def _all(self) -> tuple[tuple[str, str, str, str, Then], ...]:
        """Name, key, words and description of each, and what it does."""
        return (
            (
                "hear",
                "Space",
                self.tr("Hear it"),
                self.tr("Eight bars from the marked bar, with the count."),
                Confirming.toggle,
            ),
            (
                "earlier",
                "E",
                self.tr("One a beat earlier"),
                self.tr("The one is on the beat before."),
                Confirming.earlier,
            ),
            ("later", "L", self.tr("One a beat later"), self.tr("The one is on the next beat."), Confirming.later),
            (
                "half_beat",
                "F",
                self.tr("Half a beat later"),
                self.tr("The beats are half-way between the clicks."),
                Confirming.half_beat,
            ),
            ("tap", "T", self.tr("Here is the one"), self.tr("Tap four ones while it sounds."), Confirming.tap),
            ("half", "H", self.tr("Half the tempo"), self.tr("There are half as many beats."), Confirming.half),
            ("double", "D", self.tr("Twice the tempo"), self.tr("There are twice as many beats."), Confirming.double),
            (
                "phrase",
                "P",
                self.tr("A phrase starts here"),
                self.tr("On the marked bar, or on that which sounds."),
                Confirming.phrase_here,
            ),
            ("length", "K", "", self.tr("Other phrases: of 4, 8 or 16 bars."), Confirming.phrase_length),
            (
                "intro",
                "I",
                self.tr("The intro ends here"),
                self.tr("Before the marked bar, or that which sounds; a phrase begins there. On bar 1: no intro."),
                Confirming.intro_ends_here,
            ),
            (
                "next",
                "N",
                self.tr("Next change"),
                self.tr("Hear the next place at which the music changes."),
                lambda now: now.next_change(1),
            ),
            (
                "before",
                "B",
                self.tr("Change before"),
                self.tr("Hear the place before at which the music changes."),
                lambda now: now.next_change(-1),
            ),
            (
                "voice",
                "V",
                "",
                self.tr("The voice counts, or blocks click: a low block on the ones."),
                lambda now: now.say_it(not now.voice),
            ),
            (
                "front",
                "A",
                "",
                self.tr("Drums in front of bar 1, at its tempo and on its beats: 4, 8 or 16 bars, or none."),
                Confirming.put_in_front,
            ),
            ("undo", "U", self.tr("Take back"), self.tr("Takes back what was set last."), Confirming.undo),
        )

    def show(self, confirming: Confirming) -> None:
        """Name the buttons by what they would do now."""
        hear, length, voice = self.buttons["hear"], self.buttons["length"], self.buttons["voice"]
        words = self.tr("Stop") if confirming.sounding or confirming.waiting else self.tr("Hear it")
        hear.show_name(words, hear.accessibleDescription(), self.tr("Space"))
        words = self.tr("Phrases of {n} bars").format(n=number(confirming.grid.phrase_bars))
        length.show_name(words, length.accessibleDescription(), self.codes["length"])
        words = self.tr("Count by clicks") if confirming.voice else self.tr("Count by voice")
        voice.show_name(words, voice.accessibleDescription(), self.codes["voice"])
        front = self.buttons["front"]
        words = (
            self.tr("Drum intro: {n} bars").format(n=number(confirming.intro))
            if confirming.intro
            else self.tr("Drum intro: none")
        )
        front.show_name(words, front.accessibleDescription(), self.codes["front"])
        self.buttons["undo"].setEnabled(confirming.undoable)
