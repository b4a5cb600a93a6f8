"""What a report draws on: the turns of one journal, and what they add up to. Nothing else enters."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from assistant.audit.names import SafeNames
from assistant.audit.record import REPAIRED, REPLACED, gone_by, is_history, sure
from assistant.journal import Checked
from assistant.journal.resume import header_of
from assistant.journal.turn import Data, Turn, items, mapping, texts, turns


@dataclass(frozen=True)
class Told:
    """A fact with the turn it was told in, and the turn that superseded or withdrew it."""

    fact: Data
    turn: Turn
    gone: Turn | None = None

    @property
    def taken_back(self) -> bool:
        """Whether the speaker withdrew it: it never was so."""
        return self.gone is not None and str(self.fact.get("id")) in self.gone.taken_back

    @property
    def is_number(self) -> bool:
        """Whether it is a reading with a number."""
        value = self.fact.get("value")
        return isinstance(value, int | float) and not isinstance(value, bool)


@dataclass(frozen=True)
class Span:
    """A hazard with the turns from and until which it was live."""

    hazard: Data
    since: Turn
    until: Turn | None


@dataclass(frozen=True)
class Case:
    """One recorded case, ready to be reported on."""

    checked: Checked
    header: Mapping[str, Any]
    turns: tuple[Turn, ...]
    names: SafeNames = field(default_factory=SafeNames)
    order: tuple[str, ...] = ()
    """Parts in the order of the path; others follow in the order in which they were told."""

    acts: frozenset[str] = frozenset()
    """Attributes that people change by an act, so that another value later corrects nothing."""

    worded_by: str = ""
    """Fingerprint of the rule base that the names come from; empty when ids are spelt as words."""

    @cached_property
    def told(self) -> tuple[Told, ...]:
        """Every fact, in the order in which it was told."""
        gone: dict[str, Turn] = {}
        for turn in self.turns:
            gone |= {fact_id: turn for fact_id in gone_by(turn) if fact_id not in gone}
        return tuple(Told(fact, turn, gone.get(str(fact.get("id")))) for turn in self.turns for fact in turn.understood)

    @property
    def last(self) -> Turn | None:
        """The last turn."""
        return self.turns[-1] if self.turns else None

    @cached_property
    def verdicts(self) -> tuple[tuple[Turn, str], ...]:
        """Every fault that was ever proved, with the turn in which it first was."""
        found: dict[str, Turn] = {}
        for turn in self.turns:
            for suspect in turn.suspects:
                if suspect.get("state") == "proved":
                    found.setdefault(str(suspect.get("fault")), turn)
            for fault in texts(turn.verdict.get("faults")) if turn.verdict is not None else ():
                found.setdefault(fault, turn)
        return tuple((turn, fault) for fault, turn in found.items())

    @cached_property
    def work(self) -> tuple[Told, ...]:
        """Parts replaced or repaired in this case."""
        return tuple(
            told
            for told in self.told
            if told.fact.get("what") in (REPLACED, REPAIRED)
            and told.fact.get("value") is True
            and sure(told.fact)
            and not is_history(told.fact)
        )

    @property
    def own_names(self) -> tuple[Data, ...]:
        """The person's own names of parts that stood at the end, as far as the case can be believed."""
        told = mapping(self.last.out.get("own_names")) if self.last is not None else None
        return items(told.get("standing")) if told is not None else ()

    def spans(self) -> Iterator[Span]:
        """Every hazard with its turns; one that came back has several."""
        live: dict[str, Span] = {}
        for turn in self.turns:
            now = {str(hazard.get("hazard")): hazard for hazard in turn.hazards}
            for name in [name for name in live if name not in now]:
                span = live.pop(name)
                yield Span(span.hazard, span.since, turn)
            for name, hazard in now.items():
                live.setdefault(name, Span(hazard, turn, None))
        yield from live.values()

    def refused_tests(self) -> Iterator[tuple[Turn, str, str]]:
        """Tests that could not be done, with the reason given."""
        for turn in self.turns:
            answer = mapping(turn.line.get("answer"))
            if answer is not None and "cannot" in answer:
                yield turn, str(answer.get("test")), str(answer.get("cannot") or "")
            elif turn.heard.get("cannot") and turn.heard.get("asked"):
                yield turn, str(turn.heard["asked"]), str(turn.heard["cannot"])

    def place(self, part: str) -> int:
        """Sort key of a part along the path."""
        return self.order.index(part) if part in self.order else len(self.order)


def case_of(checked: Checked) -> Case:
    """The case of a checked journal; where it is broken, only what stands before the break.

    Ids are spelt as words; `dataclasses.replace` gives it the names of a rule base.

    Raises:
        JournalError: It is not the journal of a case.
    """
    header = header_of(checked)
    good = tuple(turn for turn in turns(checked) if turn.entry.line <= checked.good_entries)
    return Case(checked, header, good)
