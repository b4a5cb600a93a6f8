"""The line where the person types."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import TextArea


class Entry(TextArea):
    """Typed input of one or several lines; Enter sends, a paste of many lines stays one thing said."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("pageup", "screen.scroll_log(-1)", "Earlier", show=False),
        Binding("pagedown", "screen.scroll_log(1)", "Later", show=False),
        Binding("tab", "screen.into_answers", "Answers", show=False),
        Binding("f6", "screen.order('open')", "To do", show=False),
        Binding("f7", "screen.order('plain')", "Plain wording", show=False),
        Binding("alt+enter", "new_line", "New line", show=False),
        Binding("ctrl+z", "take_back", "Take back", show=False),
        Binding("ctrl+y", "tell_again", "Tell again", show=False),
    ]

    class Sent(Message):
        """The person pressed Enter."""

        def __init__(self, text: str) -> None:
            """Keep what was typed."""
            super().__init__()
            self.text = text

    class Order(Message):
        """A key stood for a typed word."""

        def __init__(self, word: str) -> None:
            """Keep the word."""
            super().__init__()
            self.word = word

    def __init__(self) -> None:
        """Start empty, without a history."""
        super().__init__(
            "", id="entry", compact=True, highlight_cursor_line=False, placeholder="", show_line_numbers=False
        )
        self._said: list[str] = []
        self._place = 0
        self._draft = ""

    async def _on_key(self, event: events.Key) -> None:
        if event.key == "enter":
            event.stop()
            event.prevent_default()
            self.send()

    def send(self) -> None:
        """Send what is typed."""
        text = self.text
        self.post_message(self.Sent(text))
        if text.strip():
            self.remember(text)
            self.load_text("")

    def remember(self, text: str) -> None:
        """Add a line to the history."""
        if not self._said or self._said[-1] != text:
            self._said.append(text)
        self._place = len(self._said)

    def fill(self, text: str) -> None:
        """Put text into the entry, the cursor behind it."""
        self.text = text
        self.move_cursor(self.document.end)
        self.focus()

    @property
    def _row(self) -> int:
        """The cursor's row as drawn, long lines wrapped."""
        return self.wrapped_document.location_to_offset(self.cursor_location).y

    def action_new_line(self) -> None:
        """Begin a new line without sending."""
        self.insert("\n")

    def action_cursor_up(self, select: bool = False) -> None:
        """Go up in the text, or from its first line to the line said before."""
        if select or self._row > 0:
            super().action_cursor_up(select)
        elif self._place > 0:
            if self._place == len(self._said):
                self._draft = self.text
            self._recall(self._place - 1)

    def action_cursor_down(self, select: bool = False) -> None:
        """Go down in the text, or from its last line to the line said after."""
        if select or self._row < self.wrapped_document.height - 1:
            super().action_cursor_down(select)
        elif self._place < len(self._said):
            self._recall(self._place + 1)

    def _recall(self, place: int) -> None:
        self._place = place
        self.fill(self._said[place] if place < len(self._said) else self._draft)

    def action_take_back(self) -> None:
        """Undo typing; with nothing typed, take back what was said last."""
        if self.text:
            self.undo()
        else:
            self.post_message(self.Order("undo"))

    def action_tell_again(self) -> None:
        """Redo typing; with nothing typed, tell again what was taken back."""
        if self.text:
            self.redo()
        else:
            self.post_message(self.Order("redo"))
