"""A recorded case run again, line by line, through a fresh session."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from assistant.audit.differences import Difference, differences
from assistant.errors import JournalError, LineError
from assistant.journal import START, Chain
from assistant.journal.chain import seal_entry
from assistant.journal.turn import Stretch, Turn


class Session(Protocol):
    """What a replay needs of a session."""

    def take(self, line: Mapping[str, Any]) -> dict[str, Any]:
        """Take one line in and return the object out, `head` included.

        Raises:
            LineError: The line cannot be taken.
        """

    def retake(self, entry: Mapping[str, Any]) -> dict[str, Any]:
        """Take a recorded turn again as it was understood then; return the object out, without `head`.

        Raises:
            LineError: The line cannot be taken.
        """

    def understand(self, line: Mapping[str, Any]) -> list[dict[str, Any]]:
        """The facts that a line would bring now; nothing changes.

        Raises:
            LineError: The line cannot be taken.
        """

    def header(self) -> Mapping[str, Any]:
        """The header entry of the session's own chain."""

    def keep_in(self, sink: Any) -> None:
        """Send turns from now on elsewhere."""


@dataclass(frozen=True)
class Step:
    """One recorded turn beside its run of today."""

    turn: Turn
    now: Mapping[str, Any]
    """The output of today; empty when the line was refused or nothing was run."""
    differences: tuple[Difference, ...] = ()


def same_day(header: Mapping[str, Any], session: Session) -> bool:
    """Whether a session runs under the program and the rules of a recorded header."""
    today = session.header()
    return all(header.get(key) == today.get(key) for key in ("program", "rules"))


def replay(header: Mapping[str, Any], turns: Iterable[Turn], session: Session) -> Iterator[Step]:
    """Run every recorded line again and compare each output with the record.

    Under the program and rules of its day the heads must agree too, which holds the whole entry together;
    under others they differ of necessity and are left out.

    Args:
        header: The recorded header.
        turns: The recorded turns.
        session: A fresh session that nothing was told yet.

    Raises:
        JournalError: The session is of the same day, yet begins with another header.
    """
    strict = same_day(header, session)
    if strict:
        _check_header(header, session.header())
    for turn in turns:
        yield _step(turn, session, strict)


def replay_all(stretches: Iterable[Stretch], begin: Callable[[Mapping[str, Any]], Session]) -> Iterator[Step]:
    """Run a case again, each stretch under the rules that it was recorded with, as far as they are here.

    Args:
        stretches: The stretches of the case.
        begin: A fresh session for the header of a stretch.

    Raises:
        JournalError: See `replay`.
    """
    before: list[Turn] = []
    for stretch in stretches:
        session = begin(stretch.header)
        carry_over(before, stretch.seal, session)
        yield from replay(stretch.header, stretch.turns, session)
        before += stretch.turns


def carry_over(turns: Iterable[Turn], seal: str, session: Session) -> Mapping[str, Any] | None:
    """Bring a fresh session to where a case stood when it was carried over, from what was understood until then.

    Args:
        turns: The turns until then; with none nothing is done.
        seal: Of the entry that carried it over, which the next turn follows.
        session: A fresh session.

    Returns:
        The last of its outputs.

    Raises:
        JournalError: A turn cannot be taken under these rules.
    """
    out: Mapping[str, Any] | None = None
    for turn in turns:
        try:
            out = session.retake(turn.entry.body)
        except LineError as error:
            raise JournalError(f"turn {turn.number} cannot be taken under these rules: {error.text}") from error
    if out is not None:
        session.keep_in(Chain.after(seal))
    return out


def refeed(header: Mapping[str, Any], turns: Iterable[Turn], session: Session) -> int:
    """Bring a fresh session to the end of a recorded case, or of its last stretch; return the number of turns.

    Raises:
        JournalError: The session does not come to the same outputs and heads: another program, other rules.
    """
    if not same_day(header, session):
        today = session.header()
        raise JournalError(
            f"this case was recorded by {edition(header)}; here is {edition(today)}. It can be replayed "
            "and audited here, but gone on with only under the program and rules of its day"
        )
    count = 0
    for step in replay(header, turns, session):
        if step.differences:
            raise JournalError(f"this case does not run again as it was recorded: {step.differences[0]}")
        count += 1
    return count


def _step(turn: Turn, session: Session, strict: bool) -> Step:
    try:
        now = session.take(turn.line)
    except LineError as error:
        refused = Difference(turn.number, "error", "taken", f"{error.code}: {error.text}", "conclusion")
        return Step(turn, {}, (refused,))
    if strict and now.get("head") == turn.seal:
        return Step(turn, now)
    found = differences(turn.number, turn.out, now)
    if strict and not found:
        found = (Difference(turn.number, "head", turn.seal, now.get("head"), "conclusion"),)
    return Step(turn, now, found)


def _check_header(header: Mapping[str, Any], today: Mapping[str, Any]) -> None:
    if seal_entry(START, header).seal == seal_entry(START, today).seal:
        return
    keys = sorted(key for key in {*header, *today} if header.get(key) != today.get(key))
    raise JournalError(f"the header of the journal differs from that of a session of today: {', '.join(keys)}")


def edition(header: Mapping[str, Any]) -> str:
    """Program and rules of a header, in words."""
    return f"program {header.get('program')} with rules {str(header.get('rules'))[:12]}"
