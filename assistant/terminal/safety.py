"""All hazards in full, each with what clears it ready to be told."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widget import Widget
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from assistant.terminal.answers import Choice
from assistant.terminal.banner import MARKS, level_of, since_and_cure, text_of
from assistant.terminal.case import Case
from assistant.terminal.guarded import GuardedScreen
from assistant.terminal.hanging import Hanging
from assistant.terminal.lists import TypedInList, WalkedList

_KEYS = "Enter on “it is so” tells it  ? why  esc back"
_TYPED = f"Nothing is typed here. {_KEYS} to where you can type"
_NONE = "No hazard is known to the case. The usual caution holds: local codes, the unit's manual, licensed practice."


@dataclass(frozen=True)
class Told:
    """What the person chose: a reason to be given for a hazard, or facts that clear it."""

    hazard: str
    name: str
    choice: Choice | None = None
    more: str = ""
    """Since when it stands and what clears it."""


class HazardList(WalkedList):
    """Hazards, and under each the facts that clear it."""

    own_keys = frozenset("wq?")
    BINDINGS: ClassVar[list[BindingType]] = [Binding("w,question_mark", "screen.why", "Why", show=False)]


class SafetyScreen(GuardedScreen[Told | None]):
    """What is dangerous now, in full."""

    AUTO_FOCUS = "#hazards"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,f2,q", "back", "Back")]

    def __init__(self, case: Case) -> None:
        """Keep the case."""
        super().__init__(case)
        self._rows: dict[str, Told] = {}

    def compose_body(self) -> Iterable[Widget]:
        """Yield the list and its keys."""
        yield Static("Safety: every danger that stands now", markup=False, id="reader-title")
        yield HazardList(id="hazards")
        yield Static(_KEYS, markup=False, id="reader-keys")

    def show_case(self) -> None:
        """Draw the hazards of the case."""
        super().show_case()
        self._rows, options = {}, []
        for place, hazard in enumerate(self.case.hazards):
            options += self._options(place, hazard)
        if not options:
            options = [Option(_NONE, disabled=True)]
        self.query_one(HazardList).fill(options)

    def _options(self, place: int, hazard: object) -> list[Option]:
        assert isinstance(hazard, dict)
        level, name = level_of(hazard), str(hazard.get("hazard", ""))
        mark = f" {MARKS[level]} {level.upper()} "
        told = Content.assemble((mark, f"bold ${level}-text on ${level}-back"), (f" {text_of(hazard)}", "bold"))
        head = Hanging([(told, len(mark) + 1), (Content(f"   {since_and_cure(hazard)}"), 3)])
        key = f"h{place}"
        self._rows[key] = Told(name, text_of(hazard), more=since_and_cure(hazard))
        options = [Option(head, id=key)]
        cure = hazard.get("clear_by")
        for number, fact in enumerate(cure.get("facts") or () if isinstance(cure, dict) else ()):
            if isinstance(fact, dict):
                choice = Choice(self.case.wording.fact(fact), (fact,))
                self._rows[f"{key}-{number}"] = Told(name, text_of(hazard), choice)
                options.append(Option(f"     it is so: {choice.text}", id=f"{key}-{number}"))
        return options

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Tell the fact, or ask why for a hazard itself."""
        self.dismiss(self._rows.get(event.option_id or ""))

    def on_typed_in_list(self, event: TypedInList) -> None:
        """Say where typing goes; the Enter behind it tells nothing."""
        if event.sends:
            self.query_one(HazardList).typed_to_nobody()
        self.query_one("#reader-keys", Static).update(_TYPED)

    def action_why(self) -> None:
        """Ask why the highlighted hazard is raised."""
        row = self._rows.get((self.query_one(HazardList).chosen or "").split("-")[0])
        if row:
            self.dismiss(row)

    def action_back(self) -> None:
        """Go back without a word."""
        self.dismiss(None)
