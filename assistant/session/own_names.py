"""The person's own names for parts of their boat: given, replaced, refused, taken back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from assistant.diagnosis.seen import own_station
from assistant.errors import JournalError
from assistant.knowledge import Knowledge
from assistant.language import Reading

if TYPE_CHECKING:
    from assistant.session.case import Case


@dataclass(frozen=True)
class OwnName:
    """One name, with who gave it and when."""

    id: str
    """`n1`, `n2` …, counted over the case."""
    about: str
    name: str
    words: str
    turn: int
    by: str

    def shown(self) -> dict[str, Any]:
        """As the object out lists it."""
        return {
            "id": self.id, "about": self.about, "name": self.name, "words": self.words,
            "turn": self.turn, "by": self.by,
        }  # fmt: skip


@dataclass(frozen=True)
class OwnNames:
    """The names of a case."""

    standing: tuple[OwnName, ...] = ()
    given: int = 0
    """How many were ever given: the next id."""
    past: tuple[tuple[int, tuple[OwnName, ...]], ...] = ()
    """Each turn that gave a name and was not undone, with what stood before it."""

    def by_part(self) -> dict[str, str]:
        """Part → name."""
        return {n.about: n.name for n in self.standing}


class NameTaker:
    """Takes what one line says of names; works on one line only."""

    def __init__(self, case: Case, knowledge: Knowledge, by: str) -> None:
        """Start from the names as they stand."""
        self._texts, self._words = knowledge.replies, knowledge.words
        self._before, self._turn, self._by = case.own_names, case.turn + 1, by
        self._past = list(case.own_names.past)
        self._undone = False
        self._last_told = max((f.turn for f in case.facts), default=0)
        self._standing = list(case.own_names.standing)
        self._count = case.own_names.given
        self.given: list[OwnName] = []
        self.gone: list[OwnName] = []
        self.replaced: list[OwnName] = []
        self.refused: list[dict[str, Any]] = []

    @property
    def undoes(self) -> bool:
        """Whether the last line that changed anything changed names alone."""
        return self._last_given > self._last_told

    @property
    def _last_given(self) -> int:
        return self._before.past[-1][0] if self._before.past else 0

    @property
    def heard(self) -> tuple[tuple[str, str], ...]:
        """The standing names as the reader wants them."""
        return tuple((n.name, n.about) for n in self._standing)

    def withdraw(self, ids: Iterable[str]) -> None:
        """Take names back by their ids."""
        wanted = set(ids)
        self._forget([n for n in self._standing if n.id in wanted])

    def take(self, reading: Reading) -> None:
        """Take what was read, in the person's own order."""
        if reading.undo and self._last_given and self._last_given >= self._last_told:
            self._undo()
        parts = {own_station(about, self._words) for about in reading.unnamed}
        self._forget([n for n in self._standing if n.about in parts])
        for naming in reading.named:
            if naming.refused is not None:
                why = str(self._texts[f"name_{naming.refused}"]).format(
                    name=naming.name, part=self._part(naming.other or naming.about)
                )
                self.refused.append({"name": naming.name, "about": naming.about or None, "why": why})
                continue
            about = own_station(naming.about, self._words)
            self._drop([n for n in self._standing if n.about == about], self.replaced)
            self._count += 1
            new = OwnName(f"n{self._count}", about, naming.name, naming.words, self._turn, self._by)
            self._standing.append(new)
            self.given.append(new)

    def _part(self, about: str) -> str:
        return self._words.part_name(about) if about else ""

    def _undo(self) -> None:
        """Undo the last line that gave names."""
        _, before = self._past.pop()
        self.gone += [n for n in self._standing if n not in before]
        self._standing, self._undone = list(before), True

    def _forget(self, names: list[OwnName]) -> None:
        """Take names back: they never were given, so no undoing brings them back."""
        self._drop(names, self.gone)
        self._past = [(turn, tuple(n for n in stood if n not in names)) for turn, stood in self._past]

    def _drop(self, names: list[OwnName], into: list[OwnName]) -> None:
        into += names
        self._standing = [n for n in self._standing if n not in names]

    def names(self) -> OwnNames:
        """The names after the line."""
        given = [(self._turn, self._before.standing)] if self.given else []
        return OwnNames(tuple(self._standing), self._count, (*self._past, *given))

    def out(self) -> dict[str, Any]:
        """What the object out says of names; empty where nobody named anything."""
        if not (self._standing or self.given or self.gone or self.refused):
            return {}
        return {
            "own_names": {
                "standing": [n.shown() for n in self._standing],
                "given": [n.id for n in self.given],
                "replaced": [n.shown() for n in self.replaced],
                "taken_back": [n.shown() for n in self.gone],
                "refused": self.refused,
            }
        }

    def changed(self) -> dict[str, Any]:
        """The same for the entry, where the line said something of names."""
        if not (self.given or self.gone or self.refused):
            return {}
        told = self.out()["own_names"]
        return {"own_names": {**told, "undone": True} if self._undone else told}

    def take_again(self, told: Mapping[str, Any]) -> None:
        """Take what an entry kept of a line that said something of names.

        Raises:
            JournalError: The entry does not hold what one holds.
        """
        if not told:
            return
        try:
            self._standing, self.replaced, self.gone = (
                [OwnName(**n) for n in told[key]] for key in ("standing", "replaced", "taken_back")
            )
            self.given = [n for n in self._standing if n.id in told["given"]]
            self.refused = list(told["refused"])
        except (KeyError, TypeError) as error:
            raise JournalError(f"this entry cannot be taken again: {error}") from error
        self._count += len(self.given)
        self._undone = bool(told.get("undone"))
        if self._undone:
            self._past = self._past[:-1]
        else:
            self._past = [(turn, tuple(n for n in stood if n not in self.gone)) for turn, stood in self._past]

    def said(self) -> list[str]:
        """The sentences of the reply."""
        lines = [self._say("name_gone", name) for name in self.gone]
        for name in self.given:
            old = next((o for o in self.replaced if o.about == name.about), None)
            lines.append(self._say("name_given" if old is None else "name_instead", name, old))
        return [*lines, *(str(r["why"]) for r in self.refused)]

    def _say(self, key: str, name: OwnName, old: OwnName | None = None) -> str:
        return str(self._texts[key]).format(
            part=self._part(name.about), name=name.name, old=old.name if old is not None else ""
        )


def named_parts(abouts: Iterable[str], own: Mapping[str, str], knowledge: Knowledge) -> list[str]:
    """One sentence for each of these parts that has a name of the person's own."""
    parts = dict.fromkeys(own_station(a, knowledge.words) for a in abouts)
    return [
        str(knowledge.replies["name_of_step"]).format(part=knowledge.words.part_name(p), name=own[p])
        for p in parts if p in own
    ]  # fmt: skip
