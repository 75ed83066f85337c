"""The row that chooses rung, groove, drums, record, tempo and mode of a drill, and its place in the plan."""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace

from PySide6.QtCore import QCoreApplication, QLocale, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.practice.records.own_records import ANY
from app.practice.trial.next_trial import Wish
from app.ui.base import theme as look
from app.ui.base.words import groove_title, spoken
from app.ui.widgets.controls import Box, NumberField, label, named, quiet
from app.ui.widgets.grid import Grid
from exercises.drills import drills
from exercises.learner.chosen import NOTHING_CHOSEN, Chosen
from exercises.trial.modes import Mode
from exercises.trial.trial import Kind
from synth.base.errors import Trouble
from synth.score.grooves import groove, grooves
from synth.score.metre import TEMPO_RANGE_BPM
from synth.sound.kits import TITLES

# One below the slowest tempo means "any".
ANY_TEMPO = int(TEMPO_RANGE_BPM[0]) - 1


class WishRow(QWidget):
    """Shows a ``Wish``; ``changed`` carries a new one when a control changes.

    ``planned`` carries a drill and its place in the plan: "always", "never" or "" (as it comes).
    """

    changed = Signal(object)
    planned = Signal(str, str)

    def __init__(self, wish: Wish, title_of: Callable[[str], str] = str) -> None:
        """``title_of`` gives the title of an own record by its id."""
        super().__init__()
        self.wish = wish
        self._title_of = title_of
        self._rung = NumberField()
        self._rung.setSpecialValueText(self.tr("Fitting rung"))
        self._groove = Box()
        self._groove.addItem(self.tr("Any groove"), None)
        for each in grooves().values():
            self._groove.addItem(groove_title(each.title), each.name)
        self._kits = Box()
        self._kits.addItem(self.tr("Any drums"), None)
        for family, title in TITLES.items():
            self._kits.addItem(spoken(title()), family)
        self.record = Box()
        self.record.addItem(self.tr("Own drums"), "")
        self.record.addItem(self.tr("Any of my records"), ANY)
        self._tempo = NumberField()
        self._tempo.setRange(ANY_TEMPO, int(TEMPO_RANGE_BPM[1]))
        self._tempo.setSpecialValueText(self.tr("Any tempo"))
        self._tempo.setSuffix(self.tr(" BPM"))
        named(
            self._rung, self.tr("Rung"), self.tr("How hard: 1 is the easiest. The fitting rung follows your answers.")
        )
        named(self._groove, self.tr("Groove"), self.tr("Which drum pattern plays; any, unless you choose."))
        named(self._kits, self.tr("Drums"), self.tr("Which kind of drum kit plays; any, unless you choose."))
        named(
            self.record,
            self.tr("Plays"),
            self.tr("The program's own drums, or your own records. The page Records chooses a single record."),
        )
        named(self._tempo, self.tr("Tempo"), self.tr("Beats a minute; any that fits the rung, unless you choose."))
        self.mode = Box()
        for mode in Mode:
            self.mode.addItem(_name(mode), mode)
        named(
            self.mode,
            self.tr("Mode"),
            self.tr("With a side task: a small task goes on beside the count. Bare: no help on the screen."),
        )
        self._chosen = NOTHING_CHOSEN
        self.place = Box()
        for place, name in (
            ("", self.tr("When it is due")),
            ("always", self.tr("Every day")),
            ("never", self.tr("Never")),
        ):
            self.place.addItem(name, place)
        named(self.place, self.tr("In today's plan"), self.tr("When this drill is in the plan of a day."))
        step = look.STEP_PX
        controls = (self._rung, self.record, self._groove, self._kits, self._tempo, self.mode)
        self.mode_words = label("", "soft", wrap=True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(step)
        fields = [_under_its_name(control, self) for control in (*controls, self.place)]
        column.addLayout(Grid(*fields))
        column.addWidget(self.mode_words)
        self.show_wish(wish)
        for box in (self.record, self._groove, self._kits, self.mode):
            box.currentIndexChanged.connect(self._tell)
        for spin in (self._rung, self._tempo):
            spin.valueChanged.connect(self._tell)
        self.place.currentIndexChanged.connect(self._tell_place)

    def show_chosen(self, chosen: Chosen) -> None:
        """Show which drills are in every plan and in none."""
        self._chosen = chosen
        self._show_place()

    def _show_place(self) -> None:
        drill = self.wish.drill
        place = "always" if drill in self._chosen.always else "never" if drill in self._chosen.never else ""
        with quiet(self.place):
            self.place.setCurrentIndex(self.place.findData(place))
            self.place.setEnabled(drills()[drill].kind is not Kind.NONE)

    def _tell_place(self) -> None:
        self.planned.emit(self.wish.drill, self.place.currentData())

    def show_wish(self, wish: Wish) -> None:
        """Show a wish without emitting ``changed``."""
        self.wish = wish
        with quiet(self._rung, self.record, self._groove, self._kits, self._tempo, self.mode):
            self._show_record(wish)
            self._rung.setRange(0, len(drills()[wish.drill].rungs))
            self._rung.setValue(wish.rung or 0)
            self._groove.setCurrentIndex(max(0, self._groove.findData(wish.groove)))
            self._kits.setCurrentIndex(max(0, self._kits.findData(wish.kit_family)))
            self._tempo.setValue(ANY_TEMPO if wish.tempo_bpm is None else round(wish.tempo_bpm))
            self.mode.setCurrentIndex(self.mode.findData(wish.mode))
        self.mode_words.setText(" ".join(filter(None, (self._about(wish.mode), self._about_record(wish)))))
        self._show_place()

    def _show_record(self, wish: Wish) -> None:
        """Show which record plays; a single one is offered from when it was first chosen."""
        if wish.record not in ("", ANY) and self.record.findData(wish.record) < 0:
            self.record.removeItem(2)
            self.record.addItem(_title(wish.record, self._title_of), wish.record)
        self.record.setCurrentIndex(max(0, self.record.findData(wish.record)))
        self.record.setEnabled(drills()[wish.drill].records > 0)
        for drums in (self._groove, self._kits, self._tempo):
            drums.setEnabled(not wish.on_record)

    def _about_record(self, wish: Wish) -> str:
        """Why this drill takes no record, or that it takes two."""
        one = drills()[wish.drill]
        if not one.records:
            return spoken(one.not_on_records(drill=one.title()))
        if one.records > 1 and wish.record:
            return self.tr("This drill takes two of your records, whose tempos differ by 6 % at most.")
        return ""

    def _about(self, mode: Mode) -> str:
        """Label of a mode."""
        return {
            Mode.PLAIN: self.tr("Plain: you listen and answer, with the help that the rung gives."),
            Mode.BUSY: self.tr(
                "With a side task: a small task goes on beside the count. It shows how much attention the "
                "count takes."
            ),
            Mode.BARE: self.tr("Bare: the same sound and the same question, without sheet and voice."),
        }[mode]

    def _tell(self) -> None:
        tempo = self._tempo.value()
        wish = replace(
            self.wish,
            rung=self._rung.value() or None,
            tempo_bpm=None if tempo == ANY_TEMPO else float(tempo),
            groove=self._groove.currentData(),
            kit_family=self._kits.currentData(),
            record=self.record.currentData(),
            mode=Mode(self.mode.currentData()),  # Qt returns a plain string
        )
        self.show_wish(wish)
        self.changed.emit(wish)


def _under_its_name(control: QWidget, parent: QWidget) -> QWidget:
    """A control below its label."""
    field, name = QWidget(parent), label(control.accessibleName(), "small")
    name.setBuddy(control)
    column = QVBoxLayout(field)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(look.STEP_PX // 2)
    column.addWidget(name)
    column.addWidget(control)
    return field


def summary(wish: Wish, title_of: Callable[[str], str]) -> str:
    """What a wish chooses, in short."""
    words = [QCoreApplication.translate("WishRow", "rung {n}").format(n=wish.rung)] if wish.rung else []
    if wish.on_record:
        any_of_mine = _within(QCoreApplication.translate("WishRow", "Any of my records"))
        words.append(any_of_mine if wish.record == ANY else _title(wish.record, title_of))
    else:
        if wish.groove:
            with suppress(Trouble):  # said when a trial is started
                words.append(groove_title(groove(wish.groove).title))
        if wish.kit_family:
            words.append(_within(spoken(TITLES[wish.kit_family]())))
        if wish.tempo_bpm:
            words.append(QLocale().toString(round(wish.tempo_bpm)) + QCoreApplication.translate("WishRow", " BPM"))
    if wish.mode is not Mode.PLAIN:
        words.append(_within(_name(wish.mode)))
    if not words:
        return QCoreApplication.translate("WishRow", "Rung, groove, tempo and drums as they come.")
    return QCoreApplication.translate("WishRow", "Chosen: {list}.").format(list=", ".join(words))


def _name(mode: Mode) -> str:
    """Name of a mode."""
    return {
        Mode.PLAIN: QCoreApplication.translate("WishRow", "Plain"),
        Mode.BUSY: QCoreApplication.translate("WishRow", "With a side task"),
        Mode.BARE: QCoreApplication.translate("WishRow", "Bare"),
    }[mode]


def _title(record: str, title_of: Callable[[str], str]) -> str:
    return title_of(record) or QCoreApplication.translate("WishRow", "A record that is not there")


def _within(words: str) -> str:
    """The words of a choice within a sentence."""
    return words[:1].lower() + words[1:]
