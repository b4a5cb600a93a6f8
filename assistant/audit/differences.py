"""Two outputs of one turn compared: to the byte, and by what they conclude."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from assistant.journal import canonical, normalised
from assistant.journal.shown import one_line
from assistant.journal.turn import items, mapping, texts

Weight = Literal["conclusion", "wording"]
MISSING = "(nothing)"
_IN_FACT = ("about", "what", "value", "unit", "while", "certain", "bound")


@dataclass(frozen=True)
class Difference:
    """One place where the record and the run of today part."""

    turn: int
    key: str
    """Path in the output, for example `suspects[2].state`."""
    recorded: Any
    now: Any
    weight: Weight
    """`conclusion`: facts, states of suspects, hazards, stop, verdict; `wording`: the rest, next test too."""

    def __str__(self) -> str:
        """The difference in a sentence, on one line."""
        return f"turn {self.turn}, {self.key}: recorded {_brief(self.recorded)}, now {_brief(self.now)}"


def differences(turn: int, recorded: Mapping[str, Any], now: Mapping[str, Any]) -> tuple[Difference, ...]:
    """Every key of the output that differs, each with the first place where it does."""
    now = normalised({key: value for key, value in now.items() if key != "head"})
    recorded = {key: value for key, value in recorded.items() if key != "head"}
    if canonical(recorded) == canonical(now):
        return ()
    found = []
    for key in sorted({*recorded, *now}):
        place = first_difference(recorded.get(key, MISSING), now.get(key, MISSING), key)
        if place is not None:
            found.append(Difference(turn, *place, _weight(key, recorded, now)))
    return tuple(found)


def first_difference(old: Any, new: Any, path: str = "") -> tuple[str, Any, Any] | None:
    """Path and both values of the first place where two plain values differ; None where they are the same."""
    if isinstance(old, dict) and isinstance(new, dict):
        for key in sorted({*old, *new}):
            if place := first_difference(old.get(key, MISSING), new.get(key, MISSING), f"{path}.{key}"):
                return place
        return None
    if isinstance(old, list) and isinstance(new, list):
        for index in range(max(len(old), len(new))):
            left, right = (side[index] if index < len(side) else MISSING for side in (old, new))
            if place := first_difference(left, right, f"{path}[{index}]"):
                return place
        return None
    same = old == new and isinstance(old, bool) == isinstance(new, bool)
    return None if same else (path, old, new)


def _weight(key: str, recorded: Mapping[str, Any], now: Mapping[str, Any]) -> Weight:
    conclude = CONCLUDES.get(key)
    if key == "hazards" and _next(recorded) != _next(now):
        conclude = _standing  # those of the next step go with that step
    if conclude is None or conclude(recorded.get(key)) == conclude(now.get(key)):
        return "wording"
    return "conclusion"


def _facts(value: Any) -> Any:
    return sorted(canonical({k: fact.get(k) for k in _IN_FACT}) for fact in items(value))


def understood_alike(old: Any, new: Any) -> bool:
    """Whether two readings of the same words gave the same facts, whatever their ids and exact words."""
    return bool(_facts(old) == _facts(new))


def _suspects(value: Any) -> Any:
    return sorted(canonical([s.get("fault"), s.get("state")]) for s in items(value))


def _hazards(value: Any) -> Any:
    return sorted(canonical([h.get(k) for k in ("hazard", "level", "kind", "certain")]) for h in items(value))


def _standing(value: Any) -> Any:
    return _hazards([h for h in items(value) if h.get("kind") == "standing"])


def _next(out: Mapping[str, Any]) -> Any:
    return (mapping(out.get("next")) or {}).get("test")


def _present(value: Any) -> Any:
    return value is not None


def _verdict(value: Any) -> Any:
    return sorted(texts((mapping(value) or {}).get("faults")))


CONCLUDES: Mapping[str, Callable[[Any], Any]] = {
    "understood": _facts,
    "suspects": _suspects,
    "hazards": _hazards,
    "stop": _present,
    "verdict": _verdict,
    "narrowed_to": _verdict,
    "closed": canonical,
}
"""What a key of the output concludes, put so that two conclusions can be compared."""


def _brief(value: Any) -> str:
    text = one_line(value if isinstance(value, str) else canonical(value).decode("utf-8"))
    return text if len(text) <= 300 else text[:299] + "…"
