"""The board's choices: groove or MIDI file, drums, length, what is heard, a second record, the voice."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QAbstractButton, QButtonGroup, QHBoxLayout, QLayout, QVBoxLayout, QWidget

from app.practice.board.board_phrase import Beside, BoardPhrase, Hear
from app.ui.base import theme as look
from app.ui.base.words import groove_title, spoken
from app.ui.widgets.controls import Box, KeyButton, button, label, named, quiet, row
from app.ui.widgets.flow import Flow
from synth.recording.teaching import INTROS
from synth.score.grooves import grooves
from synth.sound.kits import TITLES
from synth.sound.loop import PHRASE_BARS

OFF = "off"
Buttons = dict[object, QAbstractButton]


class BoardChoices(QWidget):
    """Shows a ``BoardPhrase``; ``changed`` carries another one.

    ``midi_wanted`` asks for a file to play, ``saving`` for one to write.
    """

    changed = Signal(object)
    midi_wanted = Signal()
    saving = Signal()

    def __init__(self, phrase: BoardPhrase) -> None:
        super().__init__()
        self.phrase = phrase
        self.groove = Box()
        for found in grooves().values():
            self.groove.addItem(groove_title(found.title), found.name)
        named(
            self.groove, self.tr("Groove"), self.tr("Which drum pattern plays. G takes the next, Shift+G the last.")
        )
        self.groove.currentIndexChanged.connect(lambda _: self._tell(self._with_groove()))
        tip = self.tr("Plays the phrase from a MIDI file, its drums and what else is in it.")
        self.midi = KeyButton(self.tr("MIDI file…"), tip, self.tr("O"))
        self.midi.clicked.connect(self.midi_wanted)
        self._save_tips = (
            self.tr("Saves the phrase as a MIDI file: what is heard of your record, without the voice."),
            self.tr("Saves the phrase, once round, as a sound: your record as you hear it here. For your own use."),
        )
        self.save = KeyButton(self.tr("Save…"), self._save_tips[0], self.tr("S"))
        self.save.clicked.connect(self.saving)
        self.kits = Box()
        for family, title in TITLES.items():
            self.kits.addItem(spoken(title()), family)
        named(self.kits, self.tr("Drums"), self.tr("Which kind of drum kit plays. D takes the next."))
        self.kits.currentIndexChanged.connect(
            lambda _: self._tell(replace(self.phrase, kit_family=self.kits.currentData()))
        )
        bars = [(bars, str(bars), self.tr("Phrases of {n} bars.").format(n=bars)) for bars in PHRASE_BARS]
        self.bars, bars_row = self._pick(bars, lambda value: replace(self.phrase, bars=value))
        hear = [
            (Hear.ALL, self.tr("All"), self.tr("All the drums are heard.")),
            (Hear.SONG, self.tr("Song"), self.tr("Drums, bass and chords are heard.")),
            (Hear.KICK, self.tr("Kick"), self.tr("Only the kick is heard.")),
            (Hear.SNARE, self.tr("Snare or clap"), self.tr("Only snare, clap and rim are heard.")),
        ]
        self.hear, hear_row = self._pick(hear, lambda value: replace(self.phrase, hear=value))
        voice = [
            (OFF, self.tr("Off"), self.tr("No voice counts.")),
            ("bars", "1 2 3 4, 2 2 3 4", self.tr("A voice counts one two three four, two two three four.")),
            ("letters", "1 A B C, 2 A B C", self.tr("A voice counts one A B C, two A B C.")),
        ]
        self.voice, voice_row = self._pick(voice, lambda value: _with_voice(self.phrase, value))
        beside: list[tuple[object, str, str]] = [(Beside.NONE, self.tr("None"), self.tr("One record plays."))]
        for each in (Beside.ONE, Beside.TWO, Beside.THREE, Beside.FOUR):
            about = self.tr("A second record plays: its one is on your {n}.").format(n=each.value)
            beside.append((each, self.tr("On {n}").format(n=each.value), about))
        about = self.tr("A second record plays: its phrase begins in the middle of yours.")
        beside.append((Beside.HALF, self.tr("Half a phrase"), about))
        self.beside, beside_row = self._pick(beside, lambda value: replace(self.phrase, beside=value))
        about = self.tr("{n} bars of drums, then the phrase of your record. For own records alone.")
        intro = [
            (0, self.tr("No intro"), self.tr("The phrase of your record begins at once.")),
            *((each, str(each), about.format(n=each)) for each in INTROS),
        ]
        self.intro, intro_row = self._pick(intro, lambda value: replace(self.phrase, intro=value))
        for long in INTROS:  # the bars of the phrase have the same numbers
            self.intro[long].setAccessibleName(self.tr("Drum intro: {n} bars").format(n=long))
        # Grooves need no intro: then the sheet has its room.
        self._intro_part = QWidget()
        self._intro_part.setLayout(_part(self.tr("Drum intro"), "A", intro_row))
        parts = (
            _part(self.tr("Groove"), "G", row(self.groove, self.midi, self.save, spacing=look.STEP_PX)),
            _part(self.tr("Drums"), "D", row(self.kits)),
            _part(self.tr("Bars in the phrase"), "P", bars_row),
            _part(self.tr("Hear"), "H", hear_row),
            _part(self.tr("Voice"), "V", voice_row),
            _part(self.tr("Second record"), "B", beside_row),
            self._intro_part,
        )
        self.setLayout(Flow(*parts, gap_px=look.STEP_PX * 4, line_gap_px=look.STEP_PX * 2, spread=True))

    def _pick(
        self, choices: Sequence[tuple[object, str, str]], chosen: Callable[..., BoardPhrase]
    ) -> tuple[Buttons, QHBoxLayout]:
        """A row of exclusive buttons: by value, and as a layout."""
        group = QButtonGroup(self)
        made: Buttons = {}
        for value, words, description in choices:
            part = button(words, description, "choice", checkable=True)
            part.clicked.connect(lambda _=False, value=value: self._tell(chosen(value)))
            group.addButton(part)
            made[value] = part
        return made, row(*made.values(), None, spacing=look.STEP_PX)

    def next_of(self, parts: Buttons) -> None:
        """Press the button after the one that is down, of those that can be pressed."""
        usable = [part for part in parts.values() if part.isEnabled()]
        down = next(at for at, part in enumerate(usable) if part.isChecked())
        usable[(down + 1) % len(usable)].click()

    def next_kit(self) -> None:
        """Take the next kind of kit."""
        self.kits.setCurrentIndex((self.kits.currentIndex() + 1) % self.kits.count())

    @property
    def title(self) -> str:
        """Name of the groove or file."""
        return self.groove.currentText()

    def _with_groove(self) -> BoardPhrase:
        name = self.groove.currentData()
        return self.phrase if name is None else self.phrase.with_groove(name)

    def _tell(self, phrase: BoardPhrase) -> None:
        self.changed.emit(phrase)

    def show_phrase(self, phrase: BoardPhrase) -> None:
        """Show a phrase without emitting ``changed``."""
        self.phrase = phrase
        self.bars[phrase.bars].setChecked(True)
        self.hear[phrase.hear].setChecked(True)
        self.voice[phrase.way if phrase.aloud else OFF].setChecked(True)
        self.beside[phrase.beside].setChecked(True)
        recorded = phrase.file is not None and phrase.file.recorded
        for each, part in self.beside.items():
            fits = not str(each).isdigit() or int(str(each)) <= phrase.metre.beats_per_bar
            part.setEnabled(fits and not (recorded and each is not Beside.NONE))
        for each, part in self.hear.items():
            part.setEnabled(not recorded or each is Hear.SONG)
        self.save.setAccessibleDescription(self._save_tips[recorded])
        self.intro[phrase.intro].setChecked(True)
        self._intro_part.setVisible(recorded)
        for each, part in self.intro.items():
            part.setEnabled(recorded or not each)
        with quiet(self.groove, self.kits):
            if self.groove.itemData(self.groove.count() - 1) is None:
                self.groove.removeItem(self.groove.count() - 1)
            if phrase.file is not None:
                self.groove.addItem(phrase.file.name, None)
            self.groove.setCurrentIndex(self.groove.findData(phrase.groove if phrase.file is None else None))
            self.kits.setCurrentIndex(self.kits.findData(phrase.kit_family))


def _part(name: str, key: str, choices: QLayout) -> QVBoxLayout:
    """Choices under their name and key."""
    made = QVBoxLayout()
    made.setContentsMargins(0, 0, 0, 0)
    made.setSpacing(look.STEP_PX)
    made.addLayout(row(label(key, "key"), label(name, "soft"), None, spacing=look.STEP_PX))
    made.addLayout(choices)
    return made


def _with_voice(phrase: BoardPhrase, voice: object) -> BoardPhrase:
    """The phrase with this voice, or none; the sheet's way of counting stays."""
    return replace(phrase, aloud=False) if voice == OFF else replace(phrase, aloud=True, way=str(voice))
