"""One trial of the logbook: its verdict, its sheet and strip, and its sound."""

from datetime import datetime
from typing import cast

from PySide6.QtCore import QDateTime, QLocale, Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.practice.records.own_records import OwnRecords, by_whom
from app.practice.trial.looking_back import LookingBack
from app.ui.base import theme as look
from app.ui.base.numbers_and_dates import moment_words
from app.ui.base.words import spoken, spoken_all
from app.ui.logbook.logbook_words import played_words
from app.ui.result.legend import SheetLegend
from app.ui.result.marked_sheet import draw_marked, tells_nothing
from app.ui.result.verdict_sign import VerdictSign
from app.ui.result.versions_row import VersionsRow
from app.ui.widgets.controls import KeyButton, fit_heading, label, row, show
from app.ui.widgets.screens import Scrolled, ScrollPage
from app.ui.widgets.sheet.count_sheet import CountSheet
from app.ui.widgets.sheet.timing_strip import TimingStrip
from exercises.drills import drill, rung_now
from exercises.trial.kept.record import TrialRecord
from exercises.trial.result import said
from synth.base.errors import Trouble
from synth.device.faults import from_kept

TICK_MS, SHEET_PX = 15, 208


class TrialPage(QWidget):
    """Shows a ``LookingBack``. ``closed`` is emitted as the learner goes back."""

    closed = Signal()

    def __init__(self, records: OwnRecords | None = None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("screen")
        self._records = records
        self.looking: LookingBack | None = None
        self.sign, self.heading = VerdictSign(), label("", "verdict", wrap=True)
        self.lead, self.about = label("", "lead", wrap=True), label("", "soft", wrap=True)
        self.notice, self.legend = label("", "body", wrap=True), label("", "small", wrap=True)
        self.versions, self.sheet, self.strip = VersionsRow(), CountSheet(), TimingStrip()
        self._legend = SheetLegend(self)
        self.sheet.setMinimumHeight(SHEET_PX)
        self.back, self.hear, self.silence = (KeyButton("", "", "") for _ in range(3))
        tip = self.tr("Goes back to the logbook. Escape does the same.")
        self.back.show_name(self.tr("Back"), tip, self.tr("Esc"))
        tip = self.tr("Plays this trial, with the taps in it. Key H.")
        self.hear.show_name(self.tr("Hear it"), tip, self.tr("H"))
        self.silence.show_name(self.tr("Stop"), self.tr("Ends the sound. Key H."), self.tr("H"))
        self._build()
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.timeout.connect(self.tick)

    def _build(self) -> None:
        step = look.STEP_PX
        page = ScrollPage()
        column = QVBoxLayout(page)
        column.setContentsMargins(0, 0, 0, step)
        column.setSpacing(step)
        line = row(self.sign, self.heading)
        line.setAlignment(self.sign, Qt.AlignmentFlag.AlignTop)
        line.setStretch(1, 1)
        column.addLayout(line)
        for part in (self.lead, self.about, self.notice, self.versions):
            column.addWidget(part)
        column.addWidget(self.sheet, 1)
        column.addWidget(self.legend)
        column.addWidget(self.strip)
        column.addStretch(0)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(step * 5, step * 2, step * 5, step * 2)
        whole.addWidget(Scrolled(page), 1)
        whole.addLayout(row(self.back, None, self.silence, self.hear))
        for control, then in ((self.back, self.go_back), (self.hear, self.play), (self.silence, self.stop)):
            control.clicked.connect(then)
        for key, action in ((Qt.Key.Key_Escape, self.go_back), (Qt.Key.Key_H, self._turn)):
            shortcut = QShortcut(QKeySequence(key), self)
            shortcut.setAutoRepeat(False)
            shortcut.activated.connect(action)

    # -- what is shown --------------------------------------------------------------------------------------------

    def open(self, looking: LookingBack) -> None:
        """Show a trial."""
        self.stop()
        self.looking = looking
        self._redraw()
        self._timer.start(TICK_MS)
        self.tick()
        self.hear.setFocus()

    def _redraw(self) -> None:
        looking = self.looking
        assert looking is not None
        record, marked = looking.record, looking.marked
        if marked is None:
            self.heading.setText(self.tr("Void: {why}").format(why=spoken(from_kept(record.void or ""))))
            show(self.lead, "")
        else:
            right, verdict = marked.result.right, marked.result.verdict
            self.heading.setText(spoken_all(said(right, verdict[:1])))
            show(self.lead, spoken_all(verdict[1:]))
        self.about.setText(self._about(record))
        self.sign.show_verdict(None if marked is None else marked.result.right, self.heading)
        replaying = looking.replaying
        result = None if marked is None else marked.result
        self.versions.show_result(result, looking.trial, () if replaying is None else replaying.versions)
        self.sheet.show_count(looking.trial.count, way=looking.way)
        if marked is not None:
            draw_marked(self.sheet, self.strip, marked)
        self.sheet.setHidden(marked is not None and tells_nothing(marked))
        self.strip.setVisible(marked is not None and marked.tells_shift)
        show(self.notice, "" if looking.notice is None else spoken(looking.notice))
        self._fit()
        self._show_buttons()

    def _about(self, record: TrialRecord) -> str:
        """Whose trial it is, when it was practised, and what was played."""
        when = QDateTime.fromString(record.when, Qt.DateFormat.ISODate).toLocalTime()
        words = self.tr("{learner}, {when}. {drill}, rung {rung}: {groove}, {tempo} BPM.").format(
            learner=record.learner,
            when=moment_words(cast(datetime, when.toPython())),
            drill=spoken(drill(record.drill).title()),
            rung=QLocale().toString(rung_now(record.drill, record.rung_id) or record.rung),
            groove=played_words(record),
            tempo=QLocale().toString(float(record.tempo_bpm), "f", 0),
        )
        heard = None if record.truth is None else record.truth.recorded
        if heard is not None:
            words = f"{words} {spoken(by_whom(self._records, heard.recorded()))}"
        simulated = self.tr("Simulated learner.")
        return f"{words} {simulated}" if record.simulated else words

    def _fit(self) -> None:
        room = self.width() - look.STEP_PX * 10 - self.sign.taken_px
        fit_heading(self.heading, "title", room, shrink=look.px(100) > look.LARGE)
        # With larger text the sheet may fill most of the page, which scrolls.
        most = max(SHEET_PX, self.height() * 2 // 3)
        wide = self.width() - look.STEP_PX * 10
        self.sheet.setMinimumHeight(self.sheet.readable_px(wide, SHEET_PX, most))

    def _show_buttons(self) -> None:
        replaying = None if self.looking is None else self.looking.replaying
        on = replaying is not None and replaying.goes_on
        marked = None if self.looking is None else self.looking.marked
        if marked is not None and replaying is not None and replaying.sounding and replaying.follows_count:
            show(self.legend, self._legend.heard(marked))
        else:
            show(self.legend, "" if marked is None else self._legend.words(marked))
        self.silence.setVisible(on)
        self.hear.setVisible(not on)
        self.hear.setEnabled(replaying is not None)

    # -- what is heard --------------------------------------------------------------------------------------------

    def _turn(self) -> None:
        replaying = None if self.looking is None else self.looking.replaying
        if replaying is not None:
            (self.stop if replaying.goes_on else self.play)()

    def play(self) -> None:
        """Play the trial, or both versions after a wrong answer."""
        if self.looking is not None and self.looking.replaying is not None:
            self.looking.replaying.hear()
            self.tick()
            self._show_buttons()

    def stop(self) -> None:
        """Stop the sound."""
        if self.looking is not None:
            self.looking.stop()
            self.sheet.show_sounding(None)
            self.versions.show_sounding(None)
            self._show_buttons()

    def go_back(self) -> None:
        """Leave the trial."""
        self.stop()
        self._timer.stop()
        self.closed.emit()

    def tick(self) -> None:
        """Follow the sound."""
        looking = self.looking
        if looking is None:
            return
        looking.player.poll()
        made = looking.replaying is not None
        try:
            news = looking.poll()
        except Trouble as trouble:
            looking.notice, news = trouble.says, True
            made = False
        if looking.replaying is not None and looking.replaying.sounding and looking.player.faults:
            self.stop()
        if news and not made:
            self._redraw()
        elif news:
            self._show_buttons()
        self.sheet.show_sounding(looking.sounding_beat())
        self.versions.show_sounding(None if looking.replaying is None else looking.replaying.version)

    def hideEvent(self, event: QHideEvent) -> None:
        """Stop what sounds."""
        self.stop()
        super().hideEvent(event)
