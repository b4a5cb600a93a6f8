"""The boat of a case: her data told once at its beginning, and remembered after every turn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from assistant.terminal.boat_form import Filled
from assistant.terminal.boats import Boats, boat_facts
from assistant.terminal.case import Case
from assistant.terminal.port import Line


@dataclass
class BoatKeeping:
    """What ties a case to a boat; without `boats` nothing is remembered."""

    boats: Boats | None = None
    case: str = ""
    """Id of the case."""
    name: str = ""
    """Of the boat; empty while nobody has named her."""

    def __post_init__(self) -> None:
        """Find the boat of a case that is gone on with."""
        if self.boats is not None and self.case and not self.name:
            self.name = self.boats.by_case().get(self.case, "")

    def first_line(self) -> Line | None:
        """Return what is known of the boat, as the first line of a new case."""
        facts = self.boats.facts(self.name) if self.boats is not None and self.name else []
        return {"facts": facts} if facts else None

    def remember(self, case: Case) -> None:
        """Keep what the case knows of the boat."""
        if self.boats is not None and self.name:
            self.boats.keep(self.name, boat_facts([row.data for row in case.known.values()]), self.case)

    def fill(self, filled: Filled) -> Line | None:
        """Take over the name from the form, and return the line that tells the rest; None when nothing changed."""
        self.name = filled.name or self.name
        line: dict[str, Any] = {}
        if filled.gone:
            line["take_back"] = list(filled.gone)
        if filled.facts:
            line["facts"] = list(filled.facts)
        return line or None
