"""One journal judged: chain, head, run again, findings."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from assistant.audit.conclude import Conclusions, conclude
from assistant.audit.differences import Difference, differences, first_difference, understood_alike
from assistant.audit.finders import find
from assistant.audit.findings import Finding
from assistant.audit.names import SafeNames
from assistant.audit.record import Lore, Record
from assistant.audit.replay import Session, carry_over, replay, same_day
from assistant.errors import JournalError, LineError, SpringlineError
from assistant.journal import Checked, Problem, check, check_seals, normalised, read_bytes
from assistant.journal.resume import header_of
from assistant.journal.signing import Vouched, signatures
from assistant.journal.turn import Stretch, Turn, stretches, turns

Run = Literal["same", "same_conclusions", "differs", "failed", "not_run"]
_GRAVITY: tuple[Run, ...] = ("same", "same_conclusions", "not_run", "differs", "failed")
Status = Literal["sound", "findings", "differs", "broken"]
_MISFITS = (LookupError, AttributeError, TypeError, ValueError, ArithmeticError)
"""How a session fails when a rule base and a program of different days do not fit each other: one journal
that cannot be run must not keep the others from being judged."""


@dataclass(frozen=True)
class Desk:
    """What a journal is judged with: fresh sessions and words, from one rule base."""

    begin: Callable[[Mapping[str, Any]], Session]
    """A fresh session for a recorded header."""
    lore: Lore | None = None
    names: SafeNames = field(default_factory=SafeNames)
    edition: str = "today"
    """`day` when the rule base is the one that the journal was recorded with, else `today`."""
    conclusions: Callable[[], Conclusions] | None = None
    """A fresh case of which only the conclusions are drawn."""


FindDesk = Callable[[Mapping[str, Any], Path], Desk]
"""The desk for a recorded header and the folder that its journal stands in."""


@dataclass(frozen=True)
class Wish:
    """What is asked of an audit."""

    chain_only: bool = False
    conclusions_only: bool = False
    """Whether facts, suspects, hazards and verdict are enough, without next test and wording."""
    head: str | None = None
    gap_minutes: float = 60.0
    trusted: tuple[str, ...] = ()
    """Public keys, in hex, that somebody vouches for."""


@dataclass(frozen=True)
class Audit:
    """What was found out about one journal."""

    path: str
    problems: tuple[Problem, ...] = ()
    header: Mapping[str, Any] = field(default_factory=dict)
    head: str = ""
    turns: int = 0
    unreadable: str = ""
    run: Run = "not_run"
    run_note: str = ""
    """Why nothing was run, or under what it was run when not under the rules of its day."""
    differences: tuple[Difference, ...] = ()
    rereading: tuple[Difference, ...] = ()
    """Where the words are read otherwise; only looked for under another program or other rules."""
    today: tuple[Difference, ...] | None = None
    """What differs under the rules of today, where the journal was run under those of its day."""
    findings: tuple[Finding, ...] = ()
    end_known: bool = False
    """Whether a head given or signed shows that the end was not cut off."""
    signatures: tuple[Vouched, ...] = ()
    signature_note: str = ""

    @property
    def status(self) -> Status:
        """The gravest thing found."""
        if self.problems or self.unreadable or not all(s.sound for s in self.signatures):
            return "broken"
        if any(d.weight == "conclusion" for d in self.differences) or self.run in ("differs", "failed"):
            return "differs"
        return "findings" if any(f.weight == "serious" for f in self.findings) else "sound"


def judge(path: Path, wish: Wish, find_desk: FindDesk | None, find_today: FindDesk | None = None) -> Audit:
    """Judge one journal; nothing in it can make this fail.

    Args:
        path: The journal.
        wish: What is asked.
        find_desk: Where sessions come from; only the chain is checked without it.
        find_today: Where sessions under today's rules come from, for a second column.
    """
    try:
        data = read_bytes(path)
    except JournalError as error:
        return Audit(str(path), unreadable=str(error))
    if wish.chain_only or find_desk is None:
        sealed = check_seals(data, wish.head)
        count = max(sealed.good_entries - 1, 0)
        return _audit(path, sealed, wish, turns=count, run_note="only the chain was checked")
    checked = check(data, wish.head)
    try:
        header = header_of(checked)
    except JournalError as error:
        return _audit(path, checked, wish, unreadable=str(error))
    return _judge_case(path, checked, header, wish, find_desk, find_today)


def _audit(path: Path, checked: Checked, wish: Wish, **more: Any) -> Audit:
    try:
        signed, note = signatures(checked, path, wish.trusted), ""
    except JournalError as error:
        signed, note = (), str(error)
    sure = any(s.state == "good" and s.entries == len(checked.seals) for s in signed)
    known = not checked.problems and (wish.head is not None or sure)
    more |= {"signatures": signed, "signature_note": note, "end_known": known}
    return Audit(str(path), problems=checked.problems, head=checked.head, **more)


def _judge_case(
    path: Path,
    checked: Checked,
    header: Mapping[str, Any],
    wish: Wish,
    find_desk: FindDesk,
    find_today: FindDesk | None,
) -> Audit:
    recorded = turns(checked)
    more: dict[str, Any] = {"header": header, "turns": len(recorded)}
    try:
        desk = find_desk(header, path.parent)
    except SpringlineError as error:
        found = find(Record(header, recorded), wish.gap_minutes)
        return _audit(path, checked, wish, findings=found, run_note=str(error), **more)
    more["findings"] = find(Record(header, recorded, desk.names, desk.lore), wish.gap_minutes)
    if checked.problems:
        more["run_note"] = "a broken record is not run again"
    else:
        course = stretches(header, checked.entries)
        more |= _run_all(course, lambda one: find_desk(one, path.parent), wish)
        if find_today is not None:
            more["today"] = _under_today(course, desk, find_today(header, path.parent), wish)
    return _audit(path, checked, wish, **more)


def _run_all(course: tuple[Stretch, ...], find: Callable[[Mapping[str, Any]], Desk], wish: Wish) -> dict[str, Any]:
    """Run every stretch under the rules that it was recorded with, as far as they are here."""
    before: tuple[Turn, ...] = ()
    runs = []
    for stretch in course:
        try:
            runs.append(_run(stretch, before, find(stretch.header), wish))
        except SpringlineError as error:
            runs.append({"run": "not_run", "run_note": str(error)})
        before += stretch.turns
    notes = list(dict.fromkeys(run["run_note"] for run in runs if run.get("run_note")))
    if len(runs) > 1:
        notes.insert(0, f"carried over {len(runs) - 1} times to other rules")
    return {
        "run": max((run["run"] for run in runs), key=_GRAVITY.index),
        "run_note": "; ".join(notes),
        "differences": tuple(d for run in runs for d in run.get("differences", ())),
        "rereading": tuple(d for run in runs for d in run.get("rereading", ())),
    }


def _run(stretch: Stretch, before: tuple[Turn, ...], desk: Desk, wish: Wish) -> dict[str, Any]:
    def begin() -> Session:
        session = desk.begin(stretch.header)
        carry_over(before, stretch.seal, session)
        return session

    try:
        if wish.conclusions_only and desk.conclusions is not None:
            found = tuple(conclude(before, stretch.turns, desk.conclusions()))
            under = _under(desk, "the rules of its day")
            return {"run": "differs" if found else "same_conclusions", "differences": found, "run_note": under}
        session = begin()
        if same_day(stretch.header, session):
            found = tuple(d for step in replay(stretch.header, stretch.turns, session) for d in step.differences)
            return {"run": "differs" if found else "same", "differences": found}
        return _run_otherwise(stretch.turns, session, begin(), desk)
    except SpringlineError as error:
        return {"run": "not_run", "run_note": str(error)}
    except _MISFITS as error:
        return {"run": "failed", "run_note": f"{type(error).__name__}: {error}"}


def _under(desk: Desk, day: str) -> str:
    return f"run under {day if desk.edition == 'day' else 'the rules of today'}"


def _run_otherwise(recorded: tuple[Turn, ...], one: Session, other: Session, desk: Desk) -> dict[str, Any]:
    found = tuple(_from_facts(recorded, one))
    again = tuple(_words_again(recorded, other))
    graver = any(difference.weight == "conclusion" for difference in found)
    run: Run = "differs" if graver else "same_conclusions"
    note = _under(desk, "the rules of its day under another program")
    return {"run": run, "differences": found, "rereading": again, "run_note": note}


def _under_today(course: tuple[Stretch, ...], desk: Desk, today: Desk, wish: Wish) -> tuple[Difference, ...] | None:
    """What differs when all of it is run under the rules of today; None where it was run so already."""
    if len(course) == 1 and (desk.edition != "day" or today.edition == "day"):
        return None
    header, turns_all = course[0].header, tuple(turn for stretch in course for turn in stretch.turns)
    try:
        if wish.conclusions_only and today.conclusions is not None:
            return tuple(conclude((), turns_all, today.conclusions()))
        run = _run_otherwise(turns_all, today.begin(header), today.begin(header), today)
    except (SpringlineError, *_MISFITS) as error:
        return (Difference(0, "error", "run", f"{type(error).__name__}: {error}", "conclusion"),)
    return (*run["differences"], *run["rereading"])


def _from_facts(recorded: tuple[Turn, ...], session: Session) -> Iterator[Difference]:
    """Compare what follows from the facts as they were understood then."""
    for turn in recorded:
        try:
            now = session.retake(turn.entry.body)
        except LineError as error:
            yield Difference(turn.number, "error", "taken", f"{error.code}: {error.text}", "conclusion")
            return
        yield from differences(turn.number, turn.out, now)


def _words_again(recorded: tuple[Turn, ...], session: Session) -> Iterator[Difference]:
    """Compare how the words are read; each line then counts as it was understood, so that no misread spreads."""
    for turn in recorded:
        if turn.said:
            yield from reread(turn, session)
        try:
            session.retake(turn.entry.body)
        except LineError:
            return


def reread(turn: Turn, session: Session) -> tuple[Difference, ...]:
    """Where the words of one turn are read otherwise by a session that stands before it."""
    try:
        understood = normalised(session.understand(turn.line))
    except LineError as error:
        return (Difference(turn.number, "words", "taken", f"{error.code}: {error.text}", "wording"),)
    if understood_alike(turn.out.get("understood"), understood):
        return ()
    place = first_difference(turn.out.get("understood"), understood, "understood")
    return (Difference(turn.number, *place, "wording"),) if place is not None else ()
