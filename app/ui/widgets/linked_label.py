"""A text whose trade words are links to the pages of the help that explain them."""

from html import escape

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QLabel

from app.ui.base import theme as look
from app.ui.base.trade_words import found
from app.ui.widgets.controls import turn_into

OPENS = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_F1)


class LinkedLabel(QLabel):
    """Emits ``help_asked`` with the page of a word: by a click, or by Return or F1 on a word reached with Tab.

    ``text`` is the plain text. Without ``linking`` no word is a link.
    """

    help_asked = Signal(str)

    def __init__(self, kind: str) -> None:
        super().__init__()
        self.linking = True
        self._shown = "", True, ""  # text, linking, colour of the links
        self.setWordWrap(True)
        self.linkActivated.connect(self.help_asked)
        turn_into(self, kind)

    def text(self) -> str:
        return self._shown[0]

    def setText(self, text: str) -> None:
        """Show a text, with its trade words as links in the theme's present colour."""
        colour = look.colour("ink").name()
        if (text, self.linking, colour) == self._shown:
            return
        self._shown = text, self.linking, colour
        words, html, end = list(found(text)) if self.linking else [], "", 0
        for first, last, page in words:
            html += f'{escape(text[end:first])}<a href="{page}" style="color:{colour}">{escape(text[first:last])}</a>'
            end = last
        ways, none = Qt.TextInteractionFlag, Qt.TextInteractionFlag.NoTextInteraction
        self.setTextInteractionFlags(ways.LinksAccessibleByMouse | ways.LinksAccessibleByKeyboard if words else none)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus if words else Qt.FocusPolicy.NoFocus)
        self.setTextFormat(Qt.TextFormat.RichText if words else Qt.TextFormat.PlainText)
        super().setText(html + escape(text[end:]) if words else text)
        self.setAccessibleName(text)
        self.setAccessibleDescription(self.tr("Underlined words open the help: Return or F1.") if words else "")

    def event(self, event: QEvent) -> bool:
        """Take the keys that open a word before the window's own."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and event.key() in OPENS:
            event.accept()
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in OPENS:
            event = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Return, Qt.KeyboardModifier.NoModifier)
        super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Go to the first word, or backwards to the last one."""
        super().focusInEvent(event)
        if event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason):
            self.focusNextPrevChild(event.reason() == Qt.FocusReason.TabFocusReason)
