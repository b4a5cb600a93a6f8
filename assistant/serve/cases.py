"""The cases of a folder by their ids, and those that a visitor was promised but has not begun."""

from __future__ import annotations

import re
from collections import OrderedDict
from dataclasses import dataclass, field
from pathlib import Path

from assistant.terminal.boats import Boats
from assistant.terminal.case_files import OpenCase, cases_in, new_id

ROLES = {
    "technician": "I am aboard, with the meter",
    "desk": "I am on the phone with somebody aboard",
    "owner": "She is mine, and I am no electrician",
}
_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,79}\Z")
_MOST_PROMISED = 500
_MOST_LISTED = 50


@dataclass
class Cases:
    """One folder of journals; the id of a case is the name of its file."""

    folder: Path
    _promised: OrderedDict[str, tuple[str, str]] = field(default_factory=OrderedDict)
    """Case → who is to work on it, and on which boat."""

    @property
    def boats(self) -> Boats:
        """The boats whose data is remembered in this folder."""
        return Boats(self.folder / "boats.json")

    def promise(self, role: str, boat: str = "") -> str:
        """Return the id of a new case; its journal is begun when its screen opens."""
        case = new_id()
        known = boat if boat in self.boats.names() else ""
        self._promised[case] = (role if role in ROLES else "technician", known)
        if len(self._promised) > _MOST_PROMISED:
            self._promised.popitem(last=False)
        return case

    def knows(self, case: str) -> bool:
        """Return whether there is such a case here, begun or promised."""
        return bool(_ID.match(case)) and (case in self._promised or self.path(case).is_file())

    def role(self, case: str) -> str:
        """Return who was to work on a promised case; a begun one has it in its journal."""
        return self._promised.get(case, ("technician", ""))[0]

    def boat(self, case: str) -> str:
        """Return the boat of a case; nothing when it has none."""
        return self._promised.get(case, ("", ""))[1] or self.boats.by_case().get(case, "")

    def path(self, case: str) -> Path:
        """Return the journal of a case."""
        return self.folder / f"{case}.jsonl"

    def looks(self, case: str) -> Path:
        """Return where the colours chosen for a case are kept, apart from everybody else's."""
        return self.folder / "looks" / f"{case}.json"

    def listed(self) -> list[OpenCase]:
        """Return the cases that can be gone on with, the last used first."""
        found = cases_in(self.folder, self.boats.by_case())
        return [case for case in found if _ID.match(case.path.stem)][:_MOST_LISTED]
