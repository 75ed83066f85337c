"""The window's heading: the program's name, the tabs, and the volume."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QAbstractButton, QButtonGroup, QSlider, QWidget

from app import theme as look
from app.widgets.controls import button, label, named, row

# The tabs' places in the order in which they stand. The place of the settings is beyond all the others.
PRACTISE, BOARD, LOGBOOK, BENCH, HELP = range(5)
SETTINGS = 99


class Heading(QWidget):
    """``tabs`` know each tab by its place; ``chosen`` is emitted with the place of one that was clicked.

    ``volume`` is the slider, from 0 to 100.
    """

    chosen = Signal(int)

    def __init__(self, volume: int) -> None:
        super().__init__()
        self.setObjectName("screen")
        self.tabs = QButtonGroup(self)
        self.tabs.setExclusive(True)
        self.tabs.idClicked.connect(self.chosen)
        screens = [
            self._tab(place, name, description)
            for place, name, description in (
                (PRACTISE, self.tr("Practise"), self.tr("Listen, tap, and see how it went.")),
                (
                    BOARD,
                    self.tr("Count along"),
                    self.tr("The tutor's board: count with the drums; nothing is marked."),
                ),
                (LOGBOOK, self.tr("Logbook"), self.tr("What you have practised so far.")),
                (
                    BENCH,
                    self.tr("Bench"),
                    self.tr("Sound, microphone and MIDI; what your figures are good for; calibration."),
                ),
                (
                    HELP,
                    self.tr("Help"),
                    self.tr("The words of the trade and your figures, with sound and picture. Key F1."),
                ),
            )
        ]
        settings = self._tab(
            SETTINGS,
            self.tr("Settings"),
            self.tr("Colours, text size, language, way of counting, your name. Control and comma."),
        )
        self.tabs.button(PRACTISE).setChecked(True)
        self.volume = QSlider(Qt.Orientation.Horizontal)
        self.volume.setRange(0, 100)
        self.volume.setFixedWidth(160)
        self.volume.setValue(volume)
        named(
            self.volume,
            self.tr("Volume"),
            self.tr("Starts low. Turn it up only as far as you need; the program cannot know the level at your ear."),
        )
        self.volume.setToolTip(self.volume.accessibleDescription())
        self._loudness = label(self.tr("Volume"), "soft")
        step = look.STEP_PX
        line = row(label("Tallybar", "name"), step * 3, *screens, None, settings, self._loudness, self.volume)
        line.setContentsMargins(step * 5, step, step * 5, step)
        self.setLayout(line)
        self.name_volume()

    def _tab(self, place: int, name: str, description: str) -> QAbstractButton:
        made = button(name, description, "tab")
        made.setCheckable(True)
        self.tabs.addButton(made, place)
        return made

    def name_volume(self) -> None:
        """With large type the slider's name would push the tabs out of a small window; its tool tip says it still."""
        self._loudness.setVisible(look.px(100) <= 150)
