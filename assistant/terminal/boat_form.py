"""The form for boat data: a row for each thing that stays the same from case to case."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.widget import Widget
from textual.widgets import Input, Static

from assistant.terminal.boats import LONGEST_NAME, Field, fields
from assistant.terminal.case import Case
from assistant.terminal.guarded import GuardedScreen
from assistant.terminal.plain import one_line
from assistant.terminal.port import FactData

_KEYS = "Enter and ↑ ↓ go from row to row · Ctrl+D keeps what stands here · esc leaves it as it was"


@dataclass(frozen=True)
class Filled:
    """What was entered."""

    name: str
    facts: Sequence[FactData] = ()
    """New values, and those that changed."""
    gone: Sequence[str] = ()
    """Ids of facts whose row was emptied."""


class BoatForm(GuardedScreen[Filled | None]):
    """The rows, filled with what the case knows."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "Back", priority=True),
        Binding("ctrl+d", "keep", "Keep", priority=True),
        Binding("down", "step(1)", "Next row", priority=True),
        Binding("up", "step(-1)", "Row before", priority=True),
    ]

    def __init__(self, case: Case, name: str) -> None:
        """Keep the case.

        Args:
            case: the case; its facts fill the rows.
            name: of the boat, where she has one.
        """
        super().__init__(case)
        self._boat = name
        self._before = _standing(case)

    def compose_body(self) -> Iterable[Widget]:
        """Yield the title, the rows and the keys."""
        yield Static("Boat data: fill in what is known, leave out the rest", markup=False, id="reader-title")
        with VerticalScroll(id="form", can_focus=False):
            yield from self._row("name", "Name, kept here and not in the record", self._boat, "to remember her by")
            for place, field in enumerate(fields()):
                fact = self._before.get(field)
                yield from self._row(f"f{place}", field.ask, field.written(fact) if fact else "", field.hint)
        yield Static(_KEYS, markup=False, id="reader-keys")

    def _row(self, key: str, ask: str, value: str, hint: str = "") -> Iterable[Widget]:
        with Horizontal(classes="row"):
            yield Static(ask, markup=False, classes="ask")
            yield Input(value, placeholder=hint, id=f"in-{key}", compact=True, max_length=LONGEST_NAME)

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Say what can be entered in this row, in full."""
        place = self._places.index(event.widget) if event.widget in self._places else 0
        told = f"{fields()[place - 1].ask}: {fields()[place - 1].hint}\n" if place else ""
        self.query_one("#reader-keys", Static).update(f"{told}{_KEYS}")

    @property
    def _places(self) -> list[Widget]:
        return list(self.query("#form Input"))

    def on_input_submitted(self) -> None:
        """Go on to the next row; after the last one what was entered is kept."""
        if self.focused is self._places[-1]:
            self.action_keep()
        else:
            self.action_step(1)

    def action_step(self, rows: int) -> None:
        """Go a row on or back."""
        places = self._places
        here = places.index(self.focused) if self.focused in places else 0
        places[max(0, min(len(places) - 1, here + rows))].focus()

    def action_keep(self) -> None:
        """Hand over what was entered, or go to the row that cannot be right and say what would be."""
        told: list[FactData] = []
        gone: list[str] = []
        for place, field in enumerate(fields()):
            row = self.query_one(f"#in-f{place}", Input)
            before, typed = self._before.get(field), row.value.strip()
            if typed == (field.written(before) if before else ""):
                continue
            if not typed:
                gone.append(str(before["id"]) if before else "")
                continue
            try:
                told.append(field.read(typed))
            except ValueError as error:
                self.query_one("#reader-keys", Static).update(f"{field.ask}: enter {error}")
                row.focus()
                return
        name = one_line(self.query_one("#in-name", Input).value).strip()
        self.dismiss(Filled(name, told, gone))

    def action_leave(self) -> None:
        """Go back and leave everything as it was."""
        self.dismiss(None)


def _standing(case: Case) -> Mapping[Field, FactData]:
    facts = [row.data for row in case.known.values()]
    found = {}
    for field in fields():
        for fact in facts:
            if field.is_in(fact):
                found[field] = fact
    return found
