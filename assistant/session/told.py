"""What the sums shown to the person may lean on: the facts that stand now, taken apart once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from assistant.diagnosis.answers import MEASURED
from assistant.diagnosis.compute import nominal_voltage
from assistant.diagnosis.described import Boat
from assistant.diagnosis.seen import HISTORY, take_apart
from assistant.electrics.figures import figures
from assistant.facts.model import Fact
from assistant.journal.times import seconds_between
from assistant.knowledge import Knowledge


@dataclass(frozen=True)
class Told:
    """The boat as told, and the runs with the rest after each."""

    boat: Boat
    runs: tuple[tuple[float, float], ...]
    """Seconds run, and seconds rested until the next run or until now."""
    blown: bool
    """Whether the main fuse is told to be blown now."""
    words: Mapping[str, Any]
    """The phrases of the sums."""

    def say(self, phrase: str, **shown: Any) -> str:
        """One phrase of the sums with its figures.

        Raises:
            ValueError: A figure came out beyond all measure.
        """
        if any(str(one).lstrip("-") in ("inf", "nan") for one in shown.values()):
            raise ValueError("A figure of this sum is beyond all measure.")
        return str(self.words[phrase]).format(**shown)

    def word(self, table: str, name: str) -> str:
        """One word out of a table of the sums."""
        return str(self.words[table][name])


def told(facts: Iterable[Fact], knowledge: Knowledge, times: Mapping[int, str], turn: int) -> Told:
    """Take the facts that stand now apart; what was measured before the last repair no longer counts."""
    standing = since_work(facts, knowledge)
    seen = take_apart(standing, knowledge.words)
    boat = Boat(seen, knowledge.scales["defaults"], *nominal_voltage(seen))
    blown = [s.value for s in boat.of("fuse", "blown")]
    runs = _runs(standing, times, turn)
    return Told(boat, runs, bool(blown) and blown[-1] is True, knowledge.replies["sum_words"])


def since_work(facts: Iterable[Fact], knowledge: Knowledge) -> list[Fact]:
    """Facts without those that a later repair made old: readings, but not what describes the boat."""
    listed = sorted((f for f in facts if HISTORY not in f.while_), key=lambda f: f.order)
    work = [f.order for f in listed if f.what in knowledge.replies["asks_done"] and f.value is True]
    return [f for f in listed if not work or f.order > work[-1] or f.what not in MEASURED]


def _runs(facts: list[Fact], times: Mapping[int, str], turn: int) -> tuple[tuple[float, float], ...]:
    ran = [f for f in facts if f.what in figures("motors")["runs_told_by"] and f.certain]
    turns = {f.turn: float(f.value) for f in ran}
    ends = [*turns, turn][1:] if turns else []
    rests = [_between(times, a, b) for a, b in zip(turns, ends, strict=True)]
    return tuple((seconds, max(rest, 0.0)) for seconds, rest in zip(turns.values(), rests, strict=True))


def _between(times: Mapping[int, str], first: int, second: int) -> float:
    return seconds_between(times[first], times[second]) if first in times and second in times else 0.0
