"""Lists walked with the arrow keys, in which typing still reaches the entry."""

from __future__ import annotations

from textual import events
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList
from textual.widgets.option_list import Option

_TYPING = ("enter", "backspace")
"""Keys that belong to what is being typed."""


class TypedInList(Message):
    """A key was pressed in a list that belongs to the entry."""

    def __init__(self, character: str, sends: bool = False) -> None:
        """Keep the character, or that the line is to be sent."""
        super().__init__()
        self.character, self.sends = character, sends


class WalkedList(OptionList):
    """An option list of plain text that keeps its place when it is filled again."""

    own_keys: frozenset[str] = frozenset()
    """Printable keys that mean something in this list."""

    def __init__(self, *, id: str, title: str = "", hint: str = "") -> None:
        """Start empty.

        Args:
            id: of the widget.
            title: shown on its upper edge.
            hint: keys of this list, shown while it has the focus.
        """
        super().__init__(id=id, markup=False, compact=True)
        self._title, self._hint = title, hint
        self.border_title = title
        self._typing = False

    def entitle(self, title: str) -> None:
        """Change the title."""
        self._title = title
        self._show_title(self.has_focus)

    def _show_title(self, focused: bool) -> None:
        self.border_title = f"{self._title} · {self._hint}" if focused and self._hint else self._title

    def on_focus(self) -> None:
        """Show the keys in the title, and stand on a row."""
        self._typing = False
        self._show_title(True)
        if self.highlighted is None and self.option_count:
            self.action_first()

    def on_blur(self) -> None:
        """Hide the keys."""
        self._show_title(False)

    def on_key(self, event: events.Key) -> None:
        """Hand typing on to the entry.

        Keys that were struck before the entry had the focus follow the first one there, so
        that the Enter after a quickly typed word never picks a row. A key that types nothing,
        such as an arrow or escape, is the list's again.
        """
        typed = bool(event.is_printable and event.character and event.character not in self.own_keys)
        follows = self._typing and (event.is_printable or event.key in _TYPING)
        self._typing = typed or follows
        if not self._typing:
            return
        event.stop()
        event.prevent_default()
        if event.is_printable and event.character:
            self.post_message(TypedInList(event.character))
        elif event.key == "enter":
            self.post_message(TypedInList("", sends=True))

    def typed_to_nobody(self) -> None:
        """What was typed here went nowhere, as on a screen without an entry: the keys are the list's again."""
        self._typing = False

    def fill(self, options: list[Option]) -> None:
        """Fill the list anew, staying on the same row where it still exists."""
        old = self.highlighted_option.id if self.highlighted_option else None
        top = self.scroll_offset.y
        self.set_options(options)
        ids = [option.id for option in options]
        if old is not None and old in ids:
            self.highlighted = ids.index(old)
        elif self.has_focus:
            self.action_first()
        self.scroll_to(y=top if self.has_focus else 0, animate=False)

    @property
    def chosen(self) -> str | None:
        """The id of the highlighted row."""
        return self.highlighted_option.id if self.highlighted_option else None


def heading(text: str) -> Option:
    """Return a row that only names what follows."""
    return Option(Content.styled(text, "bold $primary"), disabled=True)
