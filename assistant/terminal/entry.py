"""The line where the person types."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import TextArea

from assistant.terminal.known_words import KnownWords, known_words, rest_of


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
        Binding("ctrl+p", "screen.palette", "All that can be done", show=False),
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

    class Near(Message):
        """The words that may be meant by what is being typed changed."""

        def __init__(self, offers: list[str]) -> None:
            """Keep the words, the likeliest first."""
            super().__init__()
            self.offers = offers

    def __init__(self, language: str) -> None:
        """Start empty, without a history; words are offered in the language."""
        super().__init__(
            "", id="entry", compact=True, highlight_cursor_line=False, placeholder="", show_line_numbers=False
        )
        self._said: list[str] = []
        self._place = 0
        self._draft = ""
        self._language = language
        self._words = KnownWords()
        self._offers: list[str] = []

    def on_mount(self) -> None:
        """Fetch the words once the screen stands."""
        self.call_after_refresh(self._fetch_words)

    def _fetch_words(self) -> None:
        self._words = known_words(self._language)

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

    def update_suggestion(self) -> None:
        """Offer the rest of the word at the end of the line."""
        before = self._before_cursor()
        offers = self._words.near(before) if before else []
        self.suggestion = rest_of(offers[0], before) if offers else ""
        if offers != self._offers:
            self._offers = offers
            self.post_message(self.Near(offers))

    def on_text_area_selection_changed(self) -> None:
        """Offer nothing while the cursor is inside the text."""
        self.update_suggestion()

    def _before_cursor(self) -> str:
        """The line up to the cursor; nothing when the cursor is not at the end of the text."""
        row, column = self.cursor_location
        at_end = self.selection.is_empty and (row, column) == self.document.end
        return self.document.get_line(row) if at_end else ""

    def action_cursor_right(self, select: bool = False) -> None:
        """Take the first word offered, or go right."""
        before = self._before_cursor()
        if select or not self._offers or not before:
            super().action_cursor_right(select)
        elif self.suggestion:
            self.insert(f"{self.suggestion} ")
        else:
            row, column = self.cursor_location
            start = len(before) - len(before.split()[-1]) if before.split() else column
            self.replace(f"{self._offers[0]} ", (row, start), (row, column))

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
