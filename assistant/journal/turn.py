"""A recorded turn through one pair of eyes: whatever a file holds, the shapes that come out are right."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from assistant.journal.resume import line_of
from assistant.journal.verify import Checked, Entry

Data = Mapping[str, Any]
CARRIED = "carried"
"""Kind of the entry that carries a case over to another program or other rules."""


@dataclass(frozen=True)
class Turn:
    """One turn of a journal."""

    number: int
    at: str
    by: str
    line: Data
    """What came in."""
    out: Data
    """What went out, without the head."""
    seal: str
    entry: Entry

    @property
    def understood(self) -> tuple[Data, ...]:
        """The facts taken from the line."""
        return items(self.out.get("understood"))

    @property
    def hazards(self) -> tuple[Data, ...]:
        """The hazards that were live after the turn."""
        return items(self.out.get("hazards"))

    @property
    def suspects(self) -> tuple[Data, ...]:
        """Every fault with its state."""
        return items(self.out.get("suspects"))

    @property
    def conflicts(self) -> tuple[Data, ...]:
        """Facts that cannot both be right."""
        return items(self.out.get("conflicts"))

    @property
    def replaced(self) -> tuple[Data, ...]:
        """Earlier facts that the line superseded."""
        return items(self.out.get("replaced"))

    @property
    def next(self) -> Data | None:
        """The test asked for."""
        return mapping(self.out.get("next"))

    @property
    def stop(self) -> Data | None:
        """What had to be done before anything else."""
        return mapping(self.out.get("stop"))

    @property
    def verdict(self) -> Data | None:
        """The proved faults with their repair."""
        return mapping(self.out.get("verdict"))

    @property
    def closed(self) -> Data | None:
        """How the case was closed."""
        return mapping(self.out.get("closed"))

    @property
    def taken_back(self) -> tuple[str, ...]:
        """Ids of the facts withdrawn, in the line or by its words."""
        return tuple(dict.fromkeys((*texts(self.line.get("take_back")), *texts(self.heard.get("withdrawn")))))

    @property
    def answered(self) -> str | None:
        """The test that the line says it answers, or cannot."""
        answer = mapping(self.line.get("answer"))
        test = answer.get("test") if answer is not None else self.line.get("asked")
        return test if isinstance(test, str) else None

    @property
    def heard(self) -> Data:
        """What the words brought besides facts."""
        return mapping(self.entry.body.get("heard")) or {}

    @property
    def fired(self) -> tuple[str, ...]:
        """Ids of the rules that came to hold in this turn."""
        return texts(self.entry.body.get("fired"))

    @property
    def facts(self) -> tuple[Data, ...]:
        """The facts taken, each with its place in the case."""
        return items(self.entry.body.get("facts"))

    @property
    def said(self) -> str:
        """The free text of the line."""
        say = self.line.get("say")
        return say if isinstance(say, str) else ""

    @property
    def reply(self) -> str:
        """The text that the person read."""
        return str(self.out.get("reply") or "")


def turns(checked: Checked) -> tuple[Turn, ...]:
    """The turns of a journal, in their order."""
    return tuple(turn_of(entry) for entry in checked.entries if entry.body.get("kind") == "turn")


@dataclass(frozen=True)
class Stretch:
    """The turns of a case that were recorded under one program and one rule base."""

    header: Data
    """The header of the case, with the program and rules of this stretch."""
    turns: tuple[Turn, ...]
    seal: str
    """Of the entry that begins it: the header, or the entry that carried the case over."""


def stretches(header: Data, entries: Iterable[Entry]) -> tuple[Stretch, ...]:
    """The stretches of a case, in their order; one, unless it was carried over to other rules.

    Args:
        header: The recorded header.
        entries: Every entry, the header included.
    """
    found: list[Stretch] = []
    under, since, some = header, "", list[Turn]()
    for entry in entries:
        if entry.body.get("kind") == "turn":
            some.append(turn_of(entry))
        elif entry.body.get("kind") == CARRIED:
            found.append(Stretch(under, tuple(some), since))
            under, since, some = {**under, **{k: entry.body.get(k) for k in ("program", "rules")}}, entry.seal, []
        elif not found and not some:
            since = entry.seal
    return (*found, Stretch(under, tuple(some), since))


def turn_of(entry: Entry) -> Turn:
    """One entry as a turn."""
    number = entry.body.get("turn")
    return Turn(
        number=number if isinstance(number, int) else entry.line - 1,
        at=str(entry.body.get("at") or ""),
        by=str(entry.body.get("by") or ""),
        line=line_of(entry),
        out=mapping(entry.body.get("out")) or {},
        seal=entry.seal,
        entry=entry,
    )


def mapping(value: Any) -> Data | None:
    """The value where it is a mapping."""
    return value if isinstance(value, Mapping) else None


def items(value: Any) -> tuple[Data, ...]:
    """The mappings of a list."""
    return tuple(item for item in value if isinstance(item, Mapping)) if isinstance(value, list) else ()


def texts(value: Any) -> tuple[str, ...]:
    """The texts of a list; a text alone is a list of one."""
    if isinstance(value, str):
        return (value,)
    return tuple(item for item in value if isinstance(item, str)) if isinstance(value, list) else ()


def number(value: Any) -> float:
    """A number, 0 where there is none."""
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else 0.0
