"""What the terminal needs of a session, and how it puts ids into words.

The terminal is a client of the session object: it sends the lines of the conversation
contract and draws the objects that come back. Everything beyond `take` and `names` is
optional, and asked for through the functions here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Protocol

from assistant.errors import LineError
from assistant.terminal.plain import one_line

Line = Mapping[str, Any]
"""One line in: `say`, `facts`, `answer`, `take_back`, `ask`."""

Out = Mapping[str, Any]
"""One object out, one for each accepted line."""

FactData = Mapping[str, Any]
"""A fact as the contract writes it."""


class Names(Protocol):
    """Ids in the words of the trade."""

    def fault(self, fault_id: str) -> str:
        """Return a fault as a person would name it."""

    def fact(self, fact: FactData) -> str:
        """Return a fact as a short phrase, for example 'supply voltage 12.4 V, at rest'."""

    def part(self, part_id: str) -> str:
        """Return the name of a part or measuring place."""

    def hazard(self, hazard_id: str) -> str:
        """Return a hazard's short name."""

    def test(self, test_id: str) -> str:
        """Return a test's short name."""


class Session(Protocol):
    """The one object behind every front end."""

    @property
    def names(self) -> Names:
        """The names for display."""

    def take(self, line: Line) -> dict[str, Any]:
        """Take one line in and return the object out.

        Raises:
            LineError: the line cannot be taken; nothing has changed.
        """


class Wording:
    """Names for display that never fail: an id without a name is shown in plain letters."""

    def __init__(self, names: Names) -> None:
        """Keep the session's names."""
        self._names = names

    def _named(self, kind: str, key: Any, otherwise: str) -> str:
        try:
            return one_line(str(getattr(self._names, kind)(key)))
        except (LookupError, AttributeError, TypeError, ValueError):
            return one_line(otherwise.replace("_", " ").replace(".", ": "))

    def fault(self, fault_id: str) -> str:
        """Return a fault's name."""
        return self._named("fault", fault_id, fault_id)

    def part(self, part_id: str) -> str:
        """Return a part's name."""
        return self._named("part", part_id, part_id)

    def hazard(self, hazard_id: str) -> str:
        """Return a hazard's name."""
        return self._named("hazard", hazard_id, hazard_id)

    def test(self, test_id: str) -> str:
        """Return a test's name."""
        return self._named("test", test_id, test_id)

    def reason(self, key: str) -> str:
        """Return what proved a cause or ruled it out; nothing where the session has no words for it."""
        return self._named("reason", key, "")

    def fact(self, fact: FactData) -> str:
        """Return a fact as a phrase; whether it is doubted is shown beside it."""
        fact = {**fact, "certain": True}
        pieces = (fact.get("about"), fact.get("what"), fact.get("value"), fact.get("unit"))
        return self._named("fact", fact, " ".join(str(piece) for piece in pieces if piece is not None))


def role_of(session: Session) -> str:
    """Return who the session talks to: technician, desk or owner."""
    return str(getattr(session, "role", "technician"))


def language_of(session: Session) -> str:
    """Return the language of the case."""
    return str(getattr(session, "language", "en"))


def history_of(session: Session) -> Sequence[tuple[Line, Out]]:
    """Return the lines and outputs of a case that is gone on with; empty for a new one."""
    return tuple(getattr(session, "history", ()) or ())


def reasons_of(session: Session, subject: str) -> Mapping[str, Any] | None:
    """Return all there is to say about a thing, or None when the session cannot look it up."""
    look_up = getattr(session, "reasons", None)
    if not callable(look_up):
        return None
    try:
        return dict(look_up(subject))
    except LineError:
        return None


def standing_of(session: Session) -> list[FactData] | None:
    """Return the facts that stand now, or None when the session does not tell."""
    told = getattr(session, "standing", None)
    return list(told()) if callable(told) else None


def restoring_of(session: Session) -> tuple[str, ...]:
    """Return what was opened or locked for a step and is not told to be back."""
    told = getattr(session, "restoring", None)
    return tuple(one_line(str(text)) for text in told()) if callable(told) else ()
