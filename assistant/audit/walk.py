"""A recorded case to walk through: what each turn brought, what stood after it, and where it took a turn."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any, Literal

from assistant.audit.bench import desk_for
from assistant.audit.names import SafeNames
from assistant.audit.replay import Session, Step, edition, replay_all, same_day
from assistant.audit.transcript import brief, heading, line_in, taken, warned
from assistant.errors import SpringlineError
from assistant.facts.shares import percent
from assistant.journal import check, read_bytes
from assistant.journal.resume import header_of
from assistant.journal.shown import one_line, visible
from assistant.journal.turn import Data, Turn, number, stretches, texts, turns

Mark = Literal["hazard", "correction", "conclusion"]
MARKS: tuple[Mark, ...] = ("hazard", "correction", "conclusion")
_SHOWN = 8
Section = tuple[str, tuple[str, ...]]
"""A heading and its lines."""


@dataclass(frozen=True)
class Walk:
    """One recorded case, ready to be walked through."""

    title: str
    heading: str
    turns: tuple[Turn, ...]
    names: SafeNames
    problems: tuple[str, ...]
    """What is broken in the record, in sentences."""
    note: str
    """Under what it is run again when not under the program and rules of its day."""
    steps: Callable[[], Iterator[Step]]
    """Runs the case again from its beginning, turn by turn."""

    def known(self, place: int) -> tuple[Data, ...]:
        """The facts that stood after a turn, oldest first."""
        found: dict[str, Data] = {}
        for turn in self.turns[: place + 1]:
            gone = {*turn.taken_back, *(str(fact.get("id")) for fact in turn.replaced)}
            found |= {str(fact.get("id")): fact for fact in turn.understood}
            found = {fact_id: fact for fact_id, fact in found.items() if fact_id not in gone}
        return tuple(found.values())

    def marks(self, place: int) -> tuple[Mark, ...]:
        """What happened in a turn that one looks for."""
        turn, before = self.turns[place], self.turns[place - 1] if place else None
        happened = {
            "hazard": _hazards(turn) != (_hazards(before) if before else set()) or bool(turn.stop),
            "correction": bool(turn.taken_back or turn.conflicts or _changed(turn)),
            "conclusion": _concluded(turn) != (_concluded(before) if before else _concluded(None)),
        }
        return tuple(mark for mark in MARKS if happened[mark])

    def following(self, place: int, mark: Mark, way: int) -> int | None:
        """The next (`way` 1) or previous (-1) turn with a mark; None when there is none."""
        places = range(place + way, len(self.turns) if way > 0 else -1, way)
        return next((one for one in places if mark in self.marks(one)), None)

    @cached_property
    def parted(self) -> tuple[int, str] | None:
        """Place and text of the first difference when the case is run again; None when it is the same.

        A case that cannot be run is different where that shows.
        """
        place = -1
        try:
            for place, step in enumerate(self.steps()):
                if step.differences:
                    return place, str(step.differences[0])
        except SpringlineError as error:
            return place + 1, one_line(str(error))
        return None


def open_walk(path: Path) -> Walk:
    """Open a journal to walk through it; nothing is run yet.

    Raises:
        SpringlineError: It cannot be read, is not the journal of a case, or the rules cannot be read.
    """
    checked = check(read_bytes(path))
    header = header_of(checked)
    desk = desk_for(header, path.parent)
    recorded = turns(checked)
    course = stretches(header, checked.entries)

    def begin(one: Mapping[str, Any]) -> Session:
        return desk_for(one, path.parent).begin(one)

    strange = [edition(s.header()) for one in course if not same_day(one.header, s := begin(one.header))]

    def steps() -> Iterator[Step]:
        return replay_all(course, begin)

    problems = tuple(f"Line {p.line} of the journal: {p.text}." for p in checked.problems)
    note = "; ".join(f"run again under {one}" for one in strange)
    return Walk(one_line(path.name), heading(header), recorded, desk.names, problems, note, steps)


def sections(walk: Walk, place: int) -> tuple[Section, ...]:
    """What a turn brought and what stood after it, under headings."""
    turn, names = walk.turns[place], walk.names
    found: list[Section] = [
        (" · ".join(p for p in (f"Turn {turn.number}", one_line(turn.at), one_line(turn.by)) if p), ()),
        ("Said", tuple(line_in(turn, names))),
        ("Understood", tuple(taken(turn, names))),
        ("Warned of", tuple(_warned(turn, names))),
        ("Concluded", tuple(_conclusions(turn, names))),
        ("Suspected, and why", tuple(_suspected(turn, names))),
        ("Asked for next, and why", tuple(_asked(turn, names))),
        ("Answered", tuple(visible(turn.reply).split("\n")) if turn.reply else ()),
    ]
    return tuple((title, lines) for title, lines in found if lines or title.startswith("Turn"))


def known_lines(walk: Walk, place: int) -> tuple[str, ...]:
    """The facts that stood after a turn, in words, each with its id."""
    return tuple(_fact(walk.names, fact) for fact in walk.known(place))


def _fact(names: SafeNames, fact: Data) -> str:
    doubt = "" if fact.get("certain", True) else " (not sure)"
    return f"{one_line(str(fact.get('id')))}  {names.fact(fact)}{doubt}"


def _warned(turn: Turn, names: SafeNames) -> Iterator[str]:
    yield from warned(turn, names)
    for hazard in turn.hazards:
        clear = hazard.get("clear_by")
        told = brief(clear.get("text")) if isinstance(clear, dict) else ""
        if told:
            yield f"{names.hazard(str(hazard.get('hazard')))}: clear it by: {told}"


def _conclusions(turn: Turn, names: SafeNames) -> Iterator[str]:
    yield from (f"it follows: {names.rule(rule)}" for rule in turn.fired)
    for suspect in turn.suspects:
        if suspect.get("state") == "proved":
            yield f"proved: {names.fault(str(suspect.get('fault')))}. {_reasons(suspect, names)}"
    if turn.verdict is not None:
        yield from (f"repair: {brief(text)}" for text in texts(turn.verdict.get("repair")))
    narrowed = turn.out.get("narrowed_to")
    if isinstance(narrowed, dict):
        yield f"narrowed to: {', '.join(names.fault(f) for f in texts(narrowed.get('faults')))}"
    ruled_out = [s for s in turn.suspects if s.get("state") == "ruled_out"]
    if ruled_out:
        told = (f"{names.fault(str(s.get('fault')))} ({_reasons(s, names)})" for s in ruled_out)
        yield f"ruled out: {'; '.join(told)}"
    if turn.closed is not None:
        to = turn.closed.get("handed_over_to")
        yield f"closed, handed over to {brief(to)}" if to else "closed"


def _suspected(turn: Turn, names: SafeNames) -> Iterator[str]:
    for suspect in [s for s in turn.suspects if s.get("state") == "open"][:_SHOWN]:
        reasons = _reasons(suspect, names)
        share = percent(number(suspect.get("probability")))
        yield f"{share:>5}  {names.fault(str(suspect.get('fault')))}" + (f": {reasons}" if reasons else "")


def _reasons(suspect: Data, names: SafeNames) -> str:
    return "; ".join(names.rule(why) for why in texts(suspect.get("because")))


def _asked(turn: Turn, names: SafeNames) -> Iterator[str]:
    if turn.next is None:
        return
    yield f"{names.test(str(turn.next.get('test')))}: {brief(turn.next.get('text'))}"
    yield from (f"first: {brief(step)}" for step in texts(turn.next.get("setup")))
    if why := turn.next.get("why"):
        yield brief(why)


def _hazards(turn: Turn) -> set[tuple[str, bool]]:
    return {(str(h.get("hazard")), bool(h.get("certain", True))) for h in turn.hazards}


def _changed(turn: Turn) -> bool:
    told = {str(fact.get("id")): fact.get("value") for fact in turn.understood}
    return any(told.get(str(old.get("by"))) != old.get("value") for old in turn.replaced)


def _concluded(turn: Turn | None) -> object:
    if turn is None:
        return (set(), set(), [], [], False)
    states = [(str(s.get("fault")), s.get("state")) for s in turn.suspects]
    narrowed = turn.out.get("narrowed_to")
    return (
        {fault for fault, state in states if state == "proved"},
        {fault for fault, state in states if state == "ruled_out"},
        texts(turn.verdict.get("faults")) if turn.verdict is not None else [],
        texts(narrowed.get("faults")) if isinstance(narrowed, dict) else [],
        turn.closed is not None,
    )
