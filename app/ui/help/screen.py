"""The help screen: a list of pages, and one page with picture and example sound."""

from collections.abc import Callable
from concurrent.futures import Executor, Future

from PySide6.QtCore import QEvent, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QFrame,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.practice.trial.attempt import Phase
from app.practice.trial.void_messages import broke
from app.ui.base import theme as look
from app.ui.base.words import spoken
from app.ui.help.chapters import CHAPTERS, PAGES
from app.ui.help.help_page import translated
from app.ui.help.page_view import PageView
from app.ui.help.sounds import example
from app.ui.widgets.controls import KeyButton, button, label, named, row
from app.ui.widgets.screens import Scrolled
from synth.base.arrays import Samples
from synth.base.errors import Trouble, near
from synth.base.working import submitted
from synth.device.playback import Player

TICK_MS = 15
LIST_PX = 256


class HelpScreen(QWidget):
    """A list of pages at the left, one page at the right.

    ``sound_asked`` is emitted by a page whose button opens Sound and taps, ``lesson_asked`` by the button below the
    list, ``back_asked`` by the one that leads back to a trial.
    """

    sound_asked = Signal()
    lesson_asked = Signal()
    back_asked = Signal()

    def __init__(
        self,
        player: Player,
        workers: Executor | None,
        language: Callable[[], str] = lambda: "en",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("screen")
        self.player, self._workers = player, workers
        self.page = next(iter(PAGES.values()))
        self.playing = False
        self._coming: Future[Samples] | None = None
        self._language = language  # of the voice
        self._rendered: tuple[str, int, str, Samples] | None = None

        self.page_list = QListWidget()
        self.page_list.setObjectName("pages")
        named(self.page_list, self.tr("Pages"), self.tr("The arrow keys go from page to page."))
        self.page_list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.page_list.setFrameShape(QFrame.Shape.NoFrame)
        self._items: dict[str, QListWidgetItem] = {}
        self._fill_list()
        self.open(self.page.id)
        self.page_list.currentItemChanged.connect(self._chosen)

        self.body = PageView(self.page, example(self.page.id))
        self.view = Scrolled(self.body)

        self.hear_button = button(self.tr("Hear it"), "", "next")
        self.hear_button.clicked.connect(self.toggle)
        self._hear_key = label(self.tr("H"), "key")
        self.notice = label(translated(self.page.note), "soft", wrap=True)
        step = look.STEP_PX
        right = QVBoxLayout()
        right.setContentsMargins(0, 0, 0, step * 2)
        right.setSpacing(step * 2)
        right.addWidget(self.view, 1)
        ahead = row(self._hear_key, self.hear_button, step, spacing=step)
        ahead.addWidget(self.notice, 1)
        self.back = KeyButton("", "", "")
        self.back.clicked.connect(self.back_asked)
        self.back.hide()
        self._foot = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._foot.setSpacing(step)
        self._foot.addLayout(ahead, 1)
        self._foot.addWidget(self.back, 0, Qt.AlignmentFlag.AlignRight)
        right.addLayout(self._foot)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(step * 5, step * 2, step * 5, 0)
        whole.setSpacing(step * 5)
        self.lesson = KeyButton(
            self.tr("Tap along: first words"),
            self.tr("The lesson of the first day: beat, bar, the one and the phrase, in two minutes."),
            self.tr("T"),
        )
        self.lesson.clicked.connect(self.lesson_asked)
        left = QVBoxLayout()
        left.setContentsMargins(0, 0, 0, step * 2)
        left.setSpacing(step)
        left.addWidget(self.page_list, 1)
        left.addWidget(self.lesson)
        whole.addLayout(left)
        whole.addLayout(right, 1)

        window, own = Qt.ShortcutContext.WindowShortcut, Qt.ShortcutContext.WidgetWithChildrenShortcut
        for key, context, then in (
            (Qt.Key.Key_H, window, self.toggle),
            (Qt.Key.Key_T, window, self.lesson_asked.emit),
            (Qt.Key.Key_Return, own, self.toggle),
            (Qt.Key.Key_Enter, own, self.toggle),
            (Qt.Key.Key_Escape, window, self._escape),
        ):
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.setContext(context)
            shortcut.setAutoRepeat(False)  # a held key would toggle the sound repeatedly
            shortcut.activated.connect(then)
        self.timer = QTimer(self)
        self.timer.setTimerType(Qt.TimerType.PreciseTimer)
        self.timer.setInterval(TICK_MS)
        self.timer.timeout.connect(self.tick)
        self._size_list()
        self._redraw()

    def _fill_list(self) -> None:
        for name, pages in CHAPTERS:
            head = QListWidgetItem(translated(name))
            head.setFlags(Qt.ItemFlag.NoItemFlags)
            self.page_list.addItem(head)
            for page in pages:
                item = QListWidgetItem(translated(page.title))
                item.setData(Qt.ItemDataRole.UserRole, page.id)
                self.page_list.addItem(item)
                self._items[page.id] = item

    # -- pages ----------------------------------------------------------------------------------------------------

    def open(self, page_id: str) -> None:
        """Show a page by its id; ``ValueError`` for an unknown id."""
        if page_id not in PAGES:
            raise ValueError(f"help page {page_id!r} is unknown.{near(page_id, PAGES)}")
        self.page_list.setCurrentItem(self._items[page_id])

    def _chosen(self, item: QListWidgetItem | None) -> None:
        page_id = None if item is None else item.data(Qt.ItemDataRole.UserRole)
        if page_id is None:
            return
        self.page = PAGES[page_id]
        self.stop()
        self.body = PageView(self.page, example(page_id))
        self.view.setWidget(self.body)

    def offer_back(self, phase: Phase) -> None:
        """Offer the way back to a question or a result that waits."""
        words = {Phase.ASKING: self.tr("Back to the question"), Phase.MARKED: self.tr("Back to the result")}
        self.back.setVisible(phase in words)
        directions = QBoxLayout.Direction
        self._foot.setDirection(directions.TopToBottom if look.px(100) > look.LARGE else directions.LeftToRight)
        if phase in words:
            tip = self.tr("The trial is as you left it. Escape does the same.")
            self.back.show_name(words[phase], tip, self.tr("Esc"))

    def _escape(self) -> None:
        """Stop the sound, or go back where that is offered."""
        if self.playing or self._coming is not None or self.back.isHidden():
            self.stop()
        else:
            self.back_asked.emit()

    # -- sound ----------------------------------------------------------------------------------------------------

    def toggle(self) -> None:
        """Play or stop the page's example, or open Sound and taps where the page's button does."""
        if self.page.to_sound:
            self.sound_asked.emit()
        elif self.playing or self._coming is not None:
            self.stop()
        else:
            self.hear()

    def hear(self) -> None:
        """Have the example rendered by the worker; ``tick`` plays it."""
        heard, rate, language = example(self.page.id), self.player.sample_rate_hz, self._language()
        if heard is None:
            return
        self.notice.setText(translated(self.page.note))
        if self._rendered is not None and self._rendered[:3] == (self.page.id, rate, language):
            kept = self._rendered[3]
            self._coming = submitted(None, lambda: kept)
        else:
            self._coming = submitted(self._workers, heard.samples, rate, language)
        self.timer.start()
        self.tick()

    def stop(self) -> None:
        """Stop the sound."""
        if self._coming is not None:
            self._coming.cancel()
            self._coming = None
        if self.playing:
            self.player.stop()
            self.playing = False
        self.timer.stop()
        self.notice.setText(translated(self.page.note))
        self._redraw()

    def tick(self) -> None:
        if self._coming is not None and self._coming.done():
            coming, self._coming = self._coming, None
            self._play(coming.result())
        elif self.playing:
            self.player.poll()
            if self.player.faults:
                faults = self.player.faults
                self.stop()
                self.notice.setText(spoken(broke(faults)))
            elif not self.player.playing:
                self.stop()
        self._redraw()
        if not self.playing and self._coming is None:
            self.timer.stop()

    def _play(self, samples: Samples) -> None:
        self._rendered = (self.page.id, self.player.sample_rate_hz, self._language(), samples)
        try:
            self.player.open()
            self.player.play(samples)
        except Trouble as trouble:
            self.notice.setText(spoken(trouble.says))
        else:
            self.playing = True

    def _redraw(self) -> None:
        """Show what sounds and what the button does."""
        heard = example(self.page.id)
        busy = self.playing or self._coming is not None
        words = self.tr("Stop") if busy else self.tr("Hear it")
        if self.page.to_sound:
            words = self.tr("Sound and taps")
        if self.hear_button.text() != words:
            self.hear_button.setText(words)
            self.hear_button.setAccessibleName(words)
        about = self.tr("Plays the page's example. H or Return does the same.")
        if self.page.to_sound:
            about = self.tr("Where it is measured. Return does the same.")
        elif busy:
            about = self.tr("Stops the sound. H or Escape does the same.")
        self.hear_button.setAccessibleDescription(about)
        self.hear_button.setVisible(heard is not None or self.page.to_sound)
        self._hear_key.setVisible(heard is not None)
        self.body.show_sounding(self.player.position_s() if self.playing else None)

    # -- events ---------------------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Focus the list of pages."""
        super().showEvent(event)
        self.page_list.setFocus()

    def hideEvent(self, event: QHideEvent) -> None:
        self.stop()
        super().hideEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Arrange for the text size of a new style sheet."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.StyleChange:
            self._size_list()
            self.body.arrange()

    def _size_list(self) -> None:
        """Rows of at least 24 px (WCAG 2.2, 2.5.8) at any text size, and wide enough for every name."""
        self.page_list.ensurePolished()
        metrics = self.page_list.fontMetrics()
        height = max(24, metrics.height() + 2)
        for at in range(self.page_list.count()):
            self.page_list.item(at).setSizeHint(QSize(0, height))
        widest = max(
            metrics.horizontalAdvance(self.page_list.item(at).text()) for at in range(self.page_list.count())
        )
        bar = self.page_list.verticalScrollBar().sizeHint().width()
        self.page_list.setFixedWidth(max(LIST_PX, widest + bar + look.STEP_PX * 5))
