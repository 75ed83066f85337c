"""The window's heading: the program's name, the tabs, and the volume."""

from PySide6.QtCore import QSize, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QButtonGroup, QWidget

from app.ui.base import theme as look
from app.ui.widgets.controls import Slider, button, label, named, row, widgets_in

# Indices of the tabs; the settings come last.
PRACTISE, BOARD, LOGBOOK, RECORDS, SOUND, HELP = range(6)
SETTINGS = 99
# Preferred and least length of the slider.
SLIDER_PX, SHORTEST_PX = 160, 96


class Heading(QWidget):
    """``tabs`` is the button group of tabs by index, ``volume`` the slider, 0 to 100.

    ``chosen`` carries the index of a clicked tab.
    """

    chosen = Signal(int)

    def __init__(self, volume: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
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
                    self.tr("Board"),
                    self.tr("The tutor's board: count aloud with a phrase; nothing is marked."),
                ),
                (LOGBOOK, self.tr("Logbook"), self.tr("What you have practised so far.")),
                (RECORDS, self.tr("Records"), self.tr("Your own records: the count in them, confirmed by ear.")),
                (
                    SOUND,
                    self.tr("Sound and taps"),
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
        self.volume = Slider()
        self.volume.setRange(0, 100)
        self.volume.setValue(volume)
        named(
            self.volume,
            self.tr("Volume"),
            self.tr("Starts low. Turn it up only as far as you need; the program cannot know the level at your ear."),
        )
        self.volume.setToolTip(self.volume.accessibleDescription())
        self._loudness, self._sign = label(self.tr("Volume"), "soft"), label()
        self._sign.setObjectName("speaker")
        named(self._sign, self._loudness.text())
        step = look.STEP_PX
        self._name = label("Tallybar", "name")
        self._line = row(self._name, step * 3, *screens, None, settings, self._loudness, self._sign, self.volume)
        self.setLayout(self._line)
        self.arrange()

    def _tab(self, place: int, name: str, description: str) -> QAbstractButton:
        made = button(name, description, "tab", checkable=True)
        self.tabs.addButton(made, place)
        return made

    def arrange(self) -> None:
        """Show the slider's name as a word if it fits, else as a symbol; give the slider the remaining width."""
        for part in self.findChildren(QWidget):
            part.ensurePolished()
        line, step = self._line, look.STEP_PX
        side = step * (2 if look.px(100) > look.LARGE else 5)
        line.setContentsMargins(side, step, side, step)
        volume = (self._loudness, self._sign, self.volume)
        others_px = [part.sizeHint().width() for part in widgets_in(line) if part not in (*volume, self._name)]
        gaps_px = line.spacing() * (len(others_px) + 2) + look.STEP_PX * 3
        margins = line.contentsMargins()
        free_px = self.width() - margins.left() - margins.right() - gaps_px - sum(others_px)
        named_px = self._name.sizeHint().width() + line.spacing()
        # Large text in a narrow window leaves no room for the program's name, which the window's frame has, too.
        shown = free_px - named_px >= self._sign.sizeHint().width() + SHORTEST_PX
        self._name.setVisible(shown)
        free_px -= named_px if shown else 0
        word = free_px >= self._loudness.sizeHint().width() + SLIDER_PX
        self._loudness.setVisible(word)
        self._sign.setVisible(not word)
        name = self._loudness if word else self._sign
        self.volume.setFixedWidth(max(SHORTEST_PX, min(SLIDER_PX, free_px - name.sizeHint().width())))

    def minimumSizeHint(self) -> QSize:
        """Width with the symbol and the shortest slider, so that the window can become narrower."""
        least = super().minimumSizeHint()
        name = self._loudness if self._sign.isHidden() else self._sign
        more = name.minimumSizeHint().width() - self._sign.minimumSizeHint().width()
        if not self._name.isHidden():
            more += self._name.minimumSizeHint().width() + self._line.spacing()
        return QSize(least.width() - more - self.volume.minimumWidth() + SHORTEST_PX, least.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.arrange()
