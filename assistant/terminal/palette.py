"""The palette: all that can be done now, narrowed by typing, done with Enter."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from rich.cells import cell_len, set_cell_size
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from assistant.terminal.case import Case
from assistant.terminal.deeds import Deed, deeds, matching
from assistant.terminal.guarded import GuardedScreen
from assistant.terminal.plain import shortened

_WIDEST = 90
"""Farther from its name a key is hard to find."""


class Palette(GuardedScreen[Deed | None]):
    """A line to type in above the list; the banner stays where it is."""

    AUTO_FOCUS = "#wanted"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,ctrl+p", "back", "Back", priority=True),
        Binding("down", "walk(1)", "Down", priority=True),
        Binding("up", "walk(-1)", "Up", priority=True),
        Binding("pagedown", "walk(8)", "Down", priority=True),
        Binding("pageup", "walk(-8)", "Up", priority=True),
    ]

    def __init__(self, case: Case, plays: bool) -> None:
        """Keep the case.

        Args:
            case: the case.
            plays: whether lines of a demo are still to be played.
        """
        super().__init__(case)
        self._plays = plays
        self._found: list[Deed] = []

    def compose_body(self) -> Iterable[Widget]:
        """Yield the line, the list and the keys."""
        yield Input(id="wanted", placeholder="Commands: type a few letters", compact=True)
        deeds_list = OptionList(id="deeds", markup=False, compact=True)
        deeds_list.can_focus = False
        yield deeds_list
        yield Static("↑ ↓ and Enter  esc back", markup=False, id="reader-keys")

    def show_case(self) -> None:
        """Draw banner and list anew, for what can be done may have changed."""
        super().show_case()
        self._fill()

    def on_resize(self) -> None:
        """Fit the rows to the new width."""
        self._fill()

    def on_input_changed(self) -> None:
        """Narrow the list."""
        self._fill()

    def _fill(self) -> None:
        self._found = matching(self.query_one("#wanted", Input).value, deeds(self.case, self._plays))
        rows = self.query_one("#deeds", OptionList)
        room = max(20, min(_WIDEST, self.app.size.width - 6))
        rows.set_options([Option(_row(deed, room)) for deed in self._found])
        rows.highlighted = 0 if self._found else None
        keys = "↑ ↓ and Enter  esc back" if self._found else "Nothing here is like that  esc back"
        self.query_one("#reader-keys", Static).update(keys)

    def action_walk(self, rows: int) -> None:
        """Go up or down in the list."""
        listed = self.query_one("#deeds", OptionList)
        if self._found:
            listed.highlighted = min(len(self._found) - 1, max(0, (listed.highlighted or 0) + rows))

    def on_input_submitted(self) -> None:
        """Do what is marked."""
        place = self.query_one("#deeds", OptionList).highlighted
        if place is not None and place < len(self._found):
            self.dismiss(self._found[place])

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Do what was clicked."""
        self.dismiss(self._found[event.option_index])

    def action_back(self) -> None:
        """Go back without doing anything."""
        self.dismiss(None)


def _row(deed: Deed, width: int) -> Content:
    """Return a deed with its key, or what is typed for it, at the right edge."""
    hint = deed.key or deed.typed.strip()
    name = shortened(deed.name, max(8, width - cell_len(hint) - 2))
    return Content.assemble(set_cell_size(name, max(0, width - cell_len(hint))), (hint, "$quiet"))
