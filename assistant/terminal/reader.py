"""A screen to read long text: the whole conversation, the report, the help."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.geometry import Size
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Input, Static

from assistant.terminal.case import Case
from assistant.terminal.guarded import GuardedScreen
from assistant.terminal.hanging import wrapped
from assistant.terminal.turns import Piece, indent_of

_WIDEST = 120
"""Longer lines are hard to follow with the eye."""
_COMPONENTS = ("who", "me", "noted", "ask", "error", "found")


class Lines(ScrollView, can_focus=True):
    """Many lines of text, wrapped once for a width and drawn only where they show."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {f"lines--{name}" for name in _COMPONENTS}

    def __init__(self, pieces: Sequence[Piece], *, at_end: bool, id: str = "lines") -> None:
        """Keep the text and where to begin reading."""
        super().__init__(id=id)
        self._pieces = pieces
        self._wrapped: list[Piece] = []
        self._at_end = at_end
        self._width = 0
        self.found = -1

    def show(self, pieces: Sequence[Piece]) -> None:
        """Show another text, from its beginning."""
        self._pieces, self._width, self.found = pieces, 0, -1
        self.scroll_home(animate=False)
        self.on_resize()

    def on_resize(self) -> None:
        """Wrap for the new width."""
        width = min(_WIDEST, self.scrollable_content_region.width - 1)
        if width == self._width or width <= 0:
            return
        self._width = width
        self._wrapped = [row for text, role in self._pieces for row in _wrapped(text, role, width)]
        self.virtual_size = Size(width, len(self._wrapped))
        self.refresh()
        if self._at_end:
            self.call_after_refresh(self.scroll_end, animate=False)
            self._at_end = False

    def render_line(self, y: int) -> Strip:
        """Draw one line."""
        place = y + self.scroll_offset.y
        style = self.rich_style
        if place >= len(self._wrapped):
            return Strip.blank(self.size.width, style)
        text, role = self._wrapped[place]
        name = "found" if place == self.found else role
        if name in _COMPONENTS:
            style = self.get_component_rich_style(f"lines--{name}")
        return Strip([Segment(text, Style.combine([self.rich_style, style]))]).extend_cell_length(
            self.size.width, self.rich_style
        )

    def seek(self, wanted: str, step: int) -> bool:
        """Go to the next (`step` 1) or previous (-1) line that holds the wanted words."""
        total, wanted = len(self._wrapped), wanted.casefold()
        start = self.found if self.found >= 0 else self.scroll_offset.y - step
        for distance in range(1, total + 1):
            place = (start + step * distance) % total
            if wanted in self._wrapped[place][0].casefold():
                self.found = place
                self.scroll_to(y=max(0, place - self.size.height // 2), animate=False)
                self.refresh()
                return True
        return False


def _wrapped(text: str, role: str, width: int) -> Iterable[Piece]:
    if len(text) <= width and text.isascii():
        return [(text, role)]
    return [(line.plain, role) for line in wrapped((Content(text), indent_of(text)), width)]


class Reader(GuardedScreen[None]):
    """Long text with search; escape goes back to the conversation."""

    AUTO_FOCUS = "#lines"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,f8,q", "back", "Back"),
        Binding("slash,ctrl+f", "search", "Search"),
        Binding("n", "seek(1)", "Next"),
        Binding("N,p", "seek(-1)", "Previous"),
        Binding("s", "save", "Save"),
    ]

    def __init__(
        self,
        case: Case,
        title: str,
        pieces: Sequence[Piece],
        *,
        at_end: bool = False,
        save: Callable[[], Path] | None = None,
    ) -> None:
        """Keep the text and, where it can be saved, how."""
        super().__init__(case)
        self._title, self._lines, self._save = title, Lines(pieces, at_end=at_end), save
        self._wanted = ""

    def compose_body(self) -> Iterable[Widget]:
        """Yield title, text, search line and keys."""
        yield Static(self._title, markup=False, id="reader-title")
        yield self._lines
        search = Input(id="search", placeholder="words to look for, then Enter", compact=True)
        search.display = False
        yield Horizontal(search, id="search-row")
        save = "  s saves it" if self._save else ""
        keys = f"esc back  ↑ ↓ page keys  / search  n next  p previous{save}"
        yield Static(keys, markup=False, id="reader-keys")

    def _tell(self, text: str) -> None:
        self.query_one("#reader-keys", Static).update(text)

    def action_back(self) -> None:
        """Leave the search line, or the screen."""
        search = self.query_one("#search", Input)
        if search.display:
            search.display = False
            self._lines.focus()
        else:
            self.dismiss(None)

    def action_search(self) -> None:
        """Open the search line."""
        search = self.query_one("#search", Input)
        search.display = True
        search.focus()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Look for the words typed."""
        self._wanted = event.value.strip()
        self.query_one("#search", Input).display = False
        self._lines.focus()
        self._lines.found = -1
        self.action_seek(1)

    def action_seek(self, step: int) -> None:
        """Go to the next or previous place."""
        if self._wanted:
            found = self._lines.seek(self._wanted, step)
            rest = ": n next, p previous, esc back" if found else " is not there"
            self._tell(f"“{self._wanted}”{rest}")

    def action_save(self) -> None:
        """Save the text to a file."""
        if self._save is None:
            return
        try:
            self._tell(f"Saved as {self._save()}")
        except OSError as error:
            self._tell(f"Could not be saved: {error}")
