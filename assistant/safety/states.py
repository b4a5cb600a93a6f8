"""How things stand now: the newest told of each part and attribute, doubt kept apart."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from assistant.diagnosis.epochs import is_work
from assistant.diagnosis.seen import HISTORY, own_station, principal
from assistant.facts.model import Fact
from assistant.facts.vocabulary import Vocabulary

_PLAIN_KEYS = frozenset({"about", "what", "value", "while"})


class States:
    """The present of a case, for conditions on facts."""

    def __init__(self, facts: Iterable[Fact], words: Vocabulary, nominal: float, fuse_fit: str | None = None) -> None:
        """Sort the facts once.

        Args:
            facts: The whole case.
            words: The vocabulary.
            nominal: Nominal voltage in volts, told or judged.
            fuse_fit: What the fuse's rating is against its cable: fits, too_large, too_small or None.
        """
        self.words = words
        self.nominal = nominal
        self.fuse_fit = fuse_fit
        self.facts = [f for f in sorted(facts, key=lambda f: f.order) if HISTORY not in f.while_]
        self._told: dict[tuple[str, str], list[Fact]] = {}
        for fact in self.facts:
            own = own_station(fact.about, words)
            self._told.setdefault((own, fact.what), []).append(fact)
            if own == words.stations["part"] or re.fullmatch(rf"{words.stations['part']}_\d+", own):
                self._told.setdefault((words.stations["any"], fact.what), []).append(fact)

    def told(self, about: str, what: str, scene: Sequence[str] = ()) -> list[Fact]:
        """Everything told of this, oldest first; `any_…` of the stations means all of them."""
        told = self._told.get((about, what), [])
        return [f for f in told if set(scene) <= set(f.while_)] if scene else told

    def newest(self, about: str, what: str, *, certain: bool = True) -> Fact | None:
        """The newest told, the newest certain one by default."""
        told = [f for f in self.told(about, what) if f.certain or not certain]
        return told[-1] if told else None

    def value(self, about: str, what: str) -> Any:
        """The newest certain value, or None."""
        fact = self.newest(about, what)
        return fact.value if fact else None

    def works(self) -> list[Fact]:
        """The replacements and repairs told with certainty, oldest first."""
        return [f for f in self.facts if is_work(f)]

    def bridges(self) -> list[Fact]:
        """Bridges told to be fitted and not told (with certainty) to be removed since."""
        removed = [f for f in self.facts if f.about == "bridge" and f.what == "removed" and f.certain]
        return [
            f
            for f in self.facts
            if f.about == "bridge"
            and f.what == "fitted"
            and not any(r.order > f.order and r.value in (f.value, "all") for r in removed)
        ]

    def holding(self, condition: Mapping[str, Any], *, doubtful: bool) -> list[Fact]:
        """The facts that make a condition true now; empty when it is not.

        Args:
            condition: A fact with a value, a list of values, or a limit.
            doubtful: Whether a doubtful fact may do; it never hides a certain one.
        """
        about, what, wanted = condition["about"], condition["what"], condition["value"]
        scene = condition.get("while", ())
        if (about, what) == ("bridge", "fitted"):
            return [f for f in self.bridges() if self._matches(f.value, wanted) and (f.certain or doubtful)]
        if isinstance(wanted, Mapping) and "sum_above" in wanted:
            return self._sum(about, what, self._limit(wanted))
        told = self.told(about, what, scene)
        # what was seen in a test scene takes nothing away from how it was found, nor the other way round
        per_part: dict[tuple[str, str | None], list[Fact]] = {}
        for fact in told:
            key = own_station(fact.about, self.words), principal(frozenset(fact.while_), self.words)
            per_part.setdefault(key, []).append(fact)
        out = []
        for facts in per_part.values():
            candidates = facts if self.words.attributes[what].gathers else self._present(facts, doubtful)
            out += [f for f in candidates if self._matches(f.value, wanted) and (f.certain or doubtful)]
        return out

    @staticmethod
    def _present(facts: list[Fact], doubtful: bool) -> list[Fact]:
        certain = [f for f in facts if f.certain]
        newest = certain[-1:]
        return [*newest, facts[-1]] if doubtful and facts[-1] not in newest else newest

    def _limit(self, wanted: Mapping[str, Any]) -> float:
        """The limit told of this boat, else the stated default."""
        about, _, what = str(wanted.get("told_limit", "")).partition(".")
        told = self.value(about, what)
        return float(wanted["sum_above"] if told is None else told)

    def _sum(self, about: str, what: str, limit: float) -> list[Fact]:
        cooled = self.newest("motor", "hot")
        since = cooled.order if cooled and cooled.value is False else (0, 0)
        told = [f for f in self.told(about, what) if f.order > since and f.certain]
        return told if sum(float(f.value) for f in told) > limit else []

    def _matches(self, value: Any, wanted: Any) -> bool:
        if isinstance(wanted, list | tuple):
            return value in wanted
        if not isinstance(wanted, Mapping):
            return bool(value == wanted)
        checks = {
            "above": lambda w: float(value) > w,
            "above_nominal": lambda w: abs(float(value)) > w * self.nominal,
            "below_nominal": lambda w: abs(float(value)) < w * self.nominal,
            "fuse_fit": lambda w: self.fuse_fit == w,
        }
        return all(checks[name](limit) for name, limit in wanted.items())
