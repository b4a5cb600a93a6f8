"""One journal judged: chain, head, run again, findings."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from assistant.audit.differences import Difference, differences
from assistant.audit.finders import find
from assistant.audit.findings import Finding
from assistant.audit.names import SafeNames
from assistant.audit.record import Lore, Record
from assistant.audit.replay import Session, replay, same_day
from assistant.errors import JournalError, LineError, SpringlineError
from assistant.journal import Checked, Problem, check, check_seals, read_bytes
from assistant.journal.resume import header_of
from assistant.journal.signing import Vouched, signatures
from assistant.journal.turn import Turn, mapping, turns

Run = Literal["same", "same_conclusions", "differs", "failed", "not_run"]
Status = Literal["sound", "findings", "differs", "broken"]
_MISFITS = (LookupError, AttributeError, TypeError, ValueError, ArithmeticError)
"""How a session fails when a rule base and a program of different days do not fit each other: one journal
that cannot be run must not keep the others from being judged."""
_FACT_KEYS = ("about", "what", "value", "unit", "while", "certain", "bound", "words")


@dataclass(frozen=True)
class Desk:
    """What a journal is judged with: fresh sessions and words, from one rule base."""

    begin: Callable[[Mapping[str, Any]], Session]
    """A fresh session for a recorded header."""
    lore: Lore | None = None
    names: SafeNames = field(default_factory=SafeNames)
    edition: str = "today"
    """`day` when the rule base is the one that the journal was recorded with, else `today`."""


FindDesk = Callable[[Mapping[str, Any], Path], Desk]
"""The desk for a recorded header and the folder that its journal stands in."""


@dataclass(frozen=True)
class Wish:
    """What is asked of an audit."""

    chain_only: bool = False
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
    """Where the words are read otherwise today; only looked for under other rules."""
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


def judge(path: Path, wish: Wish, find_desk: FindDesk | None) -> Audit:
    """Judge one journal; nothing in it can make this fail."""
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
    return _judge_case(path, checked, header, wish, find_desk)


def _audit(path: Path, checked: Checked, wish: Wish, **more: Any) -> Audit:
    try:
        signed, note = signatures(checked, path, wish.trusted), ""
    except JournalError as error:
        signed, note = (), str(error)
    sure = any(s.state == "good" and s.entries == len(checked.seals) for s in signed)
    known = not checked.problems and (wish.head is not None or sure)
    more |= {"signatures": signed, "signature_note": note, "end_known": known}
    return Audit(str(path), problems=checked.problems, head=checked.head, **more)


def _judge_case(path: Path, checked: Checked, header: Mapping[str, Any], wish: Wish, find_desk: FindDesk) -> Audit:
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
        more |= _run(header, recorded, desk)
    return _audit(path, checked, wish, **more)


def _run(header: Mapping[str, Any], recorded: tuple[Turn, ...], desk: Desk) -> dict[str, Any]:
    try:
        session = desk.begin(header)
        if same_day(header, session):
            found = tuple(d for step in replay(header, recorded, session) for d in step.differences)
            return {"run": "differs" if found else "same", "differences": found}
        return _run_otherwise(header, recorded, desk)
    except SpringlineError as error:
        return {"run": "not_run", "run_note": str(error)}
    except _MISFITS as error:
        return {"run": "failed", "run_note": f"{type(error).__name__}: {error}"}


def _run_otherwise(header: Mapping[str, Any], recorded: tuple[Turn, ...], desk: Desk) -> dict[str, Any]:
    found = tuple(_from_facts(recorded, desk.begin(header)))
    again = tuple(_words_again(recorded, desk.begin(header)))
    graver = any(difference.weight == "conclusion" for difference in found)
    under = "the rules of its day under another program" if desk.edition == "day" else "the rules of today"
    run: Run = "differs" if graver else "same_conclusions"
    return {"run": run, "differences": found, "rereading": again, "run_note": f"run under {under}"}


def _from_facts(recorded: tuple[Turn, ...], session: Session) -> Iterator[Difference]:
    """Compare what follows from the facts as they were understood then."""
    for turn in recorded:
        try:
            now = session.take(facts_line(turn))
        except LineError as error:
            yield Difference(turn.number, "error", "taken", f"{error.code}: {error.text}", "conclusion")
            return
        skipped = ("understood", "unclear")
        yield from (d for d in differences(turn.number, turn.out, now) if d.key.split("[")[0] not in skipped)


def _words_again(recorded: tuple[Turn, ...], session: Session) -> Iterator[Difference]:
    """Compare how the words are read."""
    for turn in recorded:
        try:
            now = session.take(turn.line)
        except LineError:
            return
        if turn.said:
            yield from (
                d
                for d in differences(turn.number, turn.out, now)
                if d.key.startswith("understood") and d.weight == "conclusion"
            )


def facts_line(turn: Turn) -> dict[str, Any]:
    """The line of a turn with the facts as they were understood in place of the words."""
    line = {key: value for key, value in turn.line.items() if key not in ("say", "asked", "facts")}
    facts = [{key: fact[key] for key in _FACT_KEYS if key in fact} for fact in turn.understood]
    answer = mapping(turn.line.get("answer"))
    if answer is not None and "cannot" not in answer:
        line["answer"] = {**answer, "facts": facts}
    elif turn.answered is not None and facts:
        line["answer"] = {"test": turn.answered, "facts": facts}
    elif facts or not any(key in line for key in ("take_back", "answer", "ask")):
        line["facts"] = facts
    return line
