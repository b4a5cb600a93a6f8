"""Check a journal without the program that wrote it: form, seals, links, order, head.

This path shares nothing with the writing of files, needs no rule base, and never changes a byte.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from assistant.errors import JournalError
from assistant.journal.canonical import canonical_value
from assistant.journal.chain import START, Parts, take_apart

Claim = Literal["empty", "form", "seal", "link", "order", "unfinished", "head"]
"""What is broken; `CLAIMS` says each in a sentence."""

CLAIMS: dict[Claim, str] = {
    "empty": "the file holds no entry",
    "form": "the line is not an entry in its one permitted form",
    "seal": "the entry was changed after it was sealed",
    "link": "the entry does not follow the one before it: something was removed, added, moved or sealed anew",
    "order": "the entry does not stand where its kind or its turn number belongs",
    "unfinished": "the last line has no line end: a crash, or something was cut off",
    "head": "the last entry is not the one with the head that was given: entries were cut off or added",
}


@dataclass(frozen=True)
class Problem:
    """One broken claim and where."""

    claim: Claim
    line: int
    """Line of the file, from 1; the header is line 1, so turn n stands in line n + 1."""
    text: str


@dataclass(frozen=True)
class Entry:
    """One entry of a journal."""

    line: int
    seal: str
    body: dict[str, Any]


@dataclass(frozen=True)
class Checked:
    """What was found in a file."""

    entries: tuple[Entry, ...]
    """Every entry that could be read, in the order of the file, also those with a problem."""
    problems: tuple[Problem, ...]
    head: str
    """Seal of the last entry before the first problem; 64 zeros when there is none."""
    good_bytes: int
    """Length of the file up to the first problem, line ends included."""
    good_entries: int
    seals: tuple[str, ...]
    """The seal of each line as it stands, empty where the line has not the form of one."""


@dataclass(frozen=True)
class _Line:
    number: int
    raw: bytes
    parts: Parts | None


def check(data: bytes, head: str | None = None) -> Checked:
    """Check the bytes of a journal in full.

    Args:
        data: The whole file.
        head: The head that is known from elsewhere (a report, a signature), in hex.
    """
    lines, rest = _lines(data)
    problems = _link_problems(lines)
    entries: list[Entry] = []
    turn = 0
    for line in lines:
        body = _body(line)
        if body is None:
            if line.parts is not None and line.parts.right:
                problems.append(_problem("form", line.number))
            continue
        turn = _check_order(line.number, body, turn, problems)
        entries.append(Entry(line.number, line.parts.seal if line.parts else "", body))
    return _checked(lines, rest, entries, problems, head)


def check_seals(data: bytes, head: str | None = None) -> Checked:
    """Check seals and links only, without a look into the entries: for many journals at once.

    Every changed byte, and every entry removed, added or moved, is found; `entries` stays empty.
    """
    lines, rest = _lines(data)
    return _checked(lines, rest, [], _link_problems(lines), head)


def _lines(data: bytes) -> tuple[list[_Line], bytes]:
    *whole, rest = data.split(b"\n")
    return [_Line(n, raw, take_apart(raw)) for n, raw in enumerate(whole, 1)], rest


def _link_problems(lines: list[_Line]) -> list[Problem]:
    problems: list[Problem] = []
    before = START
    for line in lines:
        if line.parts is None:
            problems.append(_problem("form", line.number))
            continue
        if not line.parts.right:
            problems.append(_problem("seal", line.number))
        if line.parts.after != before:
            problems.append(_problem("link", line.number))
        before = line.parts.seal
    return problems


def _body(line: _Line) -> dict[str, Any] | None:
    if line.parts is None:
        return None
    try:
        body = canonical_value(line.parts.entry)
    except JournalError:
        return None
    return body if isinstance(body, dict) else None


def _check_order(number: int, body: dict[str, Any], turn: int, problems: list[Problem]) -> int:
    kind = body.get("kind")
    if (kind == "case") != (number == 1):
        problems.append(_problem("order", number))
    if kind != "turn":
        return turn
    if body.get("turn") != turn + 1:
        problems.append(_problem("order", number))
    told = body.get("turn")
    return told if isinstance(told, int) else turn + 1


def _checked(
    lines: list[_Line], rest: bytes, entries: list[Entry], problems: list[Problem], head: str | None
) -> Checked:
    if not lines and not rest:
        problems.append(_problem("empty", 1))
    if rest:
        problems.append(_problem("unfinished", len(lines) + 1))
    first = min((p.line for p in problems), default=len(lines) + 1)
    good = lines[: first - 1]
    last = good[-1].parts if good else None
    reached = last.seal if last else START
    if head is not None and head.lower() != reached:
        problems.append(_problem("head", max(len(lines), 1)))
    problems.sort(key=lambda p: p.line)
    size = sum(len(line.raw) + 1 for line in good)
    seals = tuple(line.parts.seal if line.parts is not None else "" for line in lines)
    return Checked(tuple(entries), tuple(problems), reached, size, len(good), seals)


def _problem(claim: Claim, line: int) -> Problem:
    return Problem(claim, line, CLAIMS[claim])
