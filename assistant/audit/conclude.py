"""The conclusions of a recorded case drawn again: no word read, no test chosen, no reply written.

What is compared is what follows from the facts as they were understood: the state of every suspect, the
standing hazards, the stop and the verdict. Shares, the next test with its own hazards and all wording are
left to the full run.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from assistant.audit.differences import Difference
from assistant.diagnosis.diagnose import NOTHING_MORE, Diagnoser, Diagnosis
from assistant.diagnosis.table import OTHER
from assistant.errors import EngineError
from assistant.facts.model import Fact
from assistant.journal.turn import Data, Turn, items, mapping, texts
from assistant.knowledge import Knowledge
from assistant.safety.hazards import find_stop, standing_hazards
from assistant.session.present import present
from assistant.session.recorded import facts_in

Conclusion = Mapping[str, Any]


class Conclusions:
    """One recorded case, turn by turn."""

    def __init__(self, knowledge: Knowledge, diagnoser: Diagnoser) -> None:
        """Begin with nothing known."""
        self._knowledge = knowledge
        self._diagnoser = diagnoser
        self._facts: tuple[Fact, ...] = ()
        self._times: dict[int, str] = {}
        self._drawn: tuple[tuple[Fact, ...], Diagnosis] | None = None

    def take(self, turn: Turn) -> tuple[Difference, ...]:
        """Draw the conclusions of one recorded turn, and compare them with the record.

        Raises:
            JournalError: The entry does not hold what one holds.
        """
        gone = frozenset(turn.taken_back)
        told = list(facts_in(turn.entry.body, self._knowledge.words))
        facts = [fact for fact in told if isinstance(fact, Fact)]
        refused = [why for why in told if not isinstance(why, Fact)]
        self._facts = (*(fact for fact in self._facts if fact.id not in gone), *facts)
        self._times[turn.number] = turn.at
        try:
            now = self._conclude(turn)
        except EngineError as error:
            return (Difference(turn.number, "error", "taken", str(error), "conclusion"),)
        found = [Difference(turn.number, "facts", dict(fact), why, "conclusion") for fact, why in refused]
        return (*found, *_compare(turn, now))

    def _conclude(self, turn: Turn) -> Conclusion:
        diagnosis = self._diagnosis()
        states, _, _ = present(self._facts, self._times, turn.number, self._knowledge)
        live = standing_hazards(states, self._knowledge)
        told = [[h.hazard.id, h.hazard.level, h.certain] for h in live]
        return {
            "suspects": _suspects(diagnosis, self._diagnoser.table.faults),
            "hazards": sorted([*told, *self._unconfirmed(turn, {h.hazard.id for h in live})]),
            "stop": find_stop(live) is not None,
            "verdict": sorted(diagnosis.verdict),
        }

    def _diagnosis(self) -> Diagnosis:
        if self._drawn is None or self._drawn[0] != self._facts:
            self._drawn = self._facts, self._diagnoser.conclude(self._facts)
        return self._drawn[1]

    def _unconfirmed(self, turn: Turn, live: set[str]) -> Iterator[list[Any]]:
        """What unclear words pointed to, as they were heard then."""
        step = {h.get("hazard") for h in turn.hazards if h.get("kind") == "step"}
        named = dict.fromkeys(piece.get("hazard") for piece in items(turn.heard.get("unclear")))
        for name in named:
            hazard = self._knowledge.hazards.get(str(name))
            if hazard is not None and hazard.id not in live | step:
                yield [hazard.id, hazard.level, False]


def conclude(before: Iterable[Turn], turns: Iterable[Turn], case: Conclusions) -> Iterator[Difference]:
    """Every difference between the recorded conclusions and those of a rule base.

    Args:
        before: Turns that come first and are not compared.
        turns: The turns.
        case: A fresh case.
    """
    for turn in before:
        case.take(turn)
    for turn in turns:
        yield from case.take(turn)


def _suspects(diagnosis: Diagnosis, faults: tuple[str, ...]) -> dict[str, str]:
    states = dict.fromkeys(faults, "open")
    return states | dict.fromkeys(diagnosis.ruled_out, "ruled_out") | dict.fromkeys(diagnosis.proved, "proved")


def _compare(turn: Turn, now: Conclusion) -> Iterator[Difference]:
    recorded = _recorded(turn)
    for key, old in recorded.items():
        new = now[key]
        if key == "suspects":
            for fault in sorted({*old, *new}):
                if old.get(fault) != new.get(fault):
                    yield Difference(turn.number, f"suspects.{fault}", old.get(fault), new.get(fault), "conclusion")
        elif old != new:
            yield Difference(turn.number, key, old, new, "conclusion")
    if [_plain(fact) for fact in turn.facts] != [_plain(fact) for fact in turn.understood]:
        yield Difference(turn.number, "facts", list(turn.facts), list(turn.understood), "conclusion")


def _recorded(turn: Turn) -> Conclusion:
    suspects = {str(s.get("fault")): s.get("state") for s in turn.suspects}
    standing = [h for h in turn.hazards if h.get("kind") == "standing"]
    return {
        "suspects": {fault: state for fault, state in suspects.items() if fault not in (OTHER, NOTHING_MORE)},
        "hazards": sorted([h.get("hazard"), h.get("level"), h.get("certain")] for h in standing),
        "stop": turn.stop is not None,
        "verdict": sorted(texts((mapping(turn.verdict) or {}).get("faults"))),
    }


def _plain(fact: Data) -> Data:
    return {key: value for key, value in fact.items() if key not in ("asked", "regards", "as_setup")}
