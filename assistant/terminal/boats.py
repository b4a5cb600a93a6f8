"""Boat data: what is the same in every case of a boat, and how it is remembered from one to the next.

The name of a boat stays on this machine; the record of a case holds the facts and not the name.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import yaml

from assistant.terminal.port import FactData
from assistant.terminal.settings import case_folder

LONGEST_NAME = 60


@dataclass(frozen=True)
class Field:
    """One row of the form."""

    ask: str
    about: str
    what: str
    unit: str | None = None
    one_of: tuple[str | int, ...] = ()

    def is_in(self, fact: FactData) -> bool:
        """Return whether a fact is what this row holds."""
        return (fact.get("about"), fact.get("what")) == (self.about, self.what)

    def written(self, fact: FactData) -> str:
        """Return the value of a fact as it is typed."""
        value = fact.get("value")
        return f"{value:g}" if isinstance(value, float) else str(value).replace("_", " ")

    def read(self, typed: str) -> FactData:
        """Return what was typed as a fact; the beginning of a choice will do.

        Raises:
            ValueError: it is no such value; the text says what would be.
        """
        wanted = " ".join(typed.lower().replace("_", " ").split())
        if self.one_of:
            near = [one for one in self.one_of if str(one).replace("_", " ").startswith(wanted)]
            exact = [one for one in near if str(one).replace("_", " ") == wanted]
            if len(exact or near) != 1:
                raise ValueError(self.hint)
            return self._fact((exact or near)[0])
        try:
            number = float(wanted.replace(",", ".").removesuffix(str(self.unit).lower()).strip())
        except ValueError:
            raise ValueError(self.hint) from None
        if not 0 < number < 1e6:
            raise ValueError(self.hint)
        return self._fact(int(number) if number.is_integer() else number)

    @property
    def hint(self) -> str:
        """What can be entered."""
        return ", ".join(str(one).replace("_", " ") for one in self.one_of) if self.one_of else "a number"

    def _fact(self, value: str | int | float) -> FactData:
        fact = {"about": self.about, "what": self.what, "value": value}
        return fact | {"unit": self.unit} if self.unit else fact


@lru_cache(maxsize=1)
def fields() -> tuple[Field, ...]:
    """Return the rows of the form, in order."""
    rows = yaml.safe_load(files("assistant.terminal").joinpath("boat_data.yaml").read_text(encoding="utf-8"))
    return tuple(Field(**{**row, "one_of": tuple(row.get("one_of", ()))}) for row in rows)


def boat_facts(standing: Iterable[FactData]) -> list[FactData]:
    """Return those facts that are boat data, bare of when and by whom they were told; doubted ones are not."""
    kept: list[FactData] = []
    for field in fields():
        last = [fact for fact in standing if field.is_in(fact) and fact.get("certain", True)][-1:]
        kept += [{key: fact[key] for key in ("about", "what", "value", "unit") if fact.get(key)} for fact in last]
    return kept


class Boats:
    """The boats of one file, each with its data and its cases; a file that cannot be used counts as empty."""

    def __init__(self, file: Path | None = None) -> None:
        """Keep where the boats are.

        Args:
            file: among the cases in the platform's usual place when not given.
        """
        self._file = file or case_folder() / "boats.json"

    def names(self) -> list[str]:
        """Return the boats, the last used first."""
        return list(reversed(self._read()))

    def facts(self, name: str) -> list[FactData]:
        """Return what is known of a boat."""
        found = self._read().get(name, {}).get("facts", [])
        return [fact for fact in found if isinstance(fact, dict) and any(field.is_in(fact) for field in fields())]

    def by_case(self) -> dict[str, str]:
        """Return each case that has a boat, with her name."""
        return {case: name for name, told in self._read().items() for case in told.get("cases", ())}

    def keep(self, name: str, facts: Sequence[FactData], case: str = "") -> None:
        """Remember what is known of a boat; where the place cannot be written it is not remembered."""
        boats = self._read()
        told = boats.pop(name, {})
        for other in boats.values():
            other["cases"] = [one for one in other.get("cases", ()) if one != case]
        cases = [*(one for one in told.get("cases", ()) if one != case), *([case] if case else ())]
        boats[name] = {"facts": list(facts), "cases": cases}
        try:
            self._file.parent.mkdir(parents=True, exist_ok=True)
            fresh = self._file.with_suffix(".new")
            fresh.write_text(json.dumps(boats, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
            fresh.replace(self._file)
        except OSError:
            return

    def _read(self) -> dict[str, Any]:
        try:
            found = json.loads(self._file.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return {}
        entries: Mapping[str, Any] = found if isinstance(found, dict) else {}
        return {name: told for name, told in entries.items() if isinstance(told, dict)}
