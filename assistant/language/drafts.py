"""Facts in the making: what was claimed, where it stands in the text, and in which circumstances."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from assistant.facts.model import Bound, RawFact, Value
from assistant.knowledge.model import OTHER_SIDE
from assistant.language.items import Item
from assistant.language.meanings import Trial

_SAME = 1e-9
"""Figures that differ by less are one figure."""
_LONG = 10_000
"""From here on nobody reads tenths off a meter."""


@dataclass(slots=True)
class Draft:
    """One claim before it becomes a fact."""

    about: str
    what: str
    value: Value
    start: int
    end: int
    sides: tuple[str, ...] = ()
    """Directions named with it: `port`, `starboard`."""
    only: bool = False
    way: str = ""
    scene: set[str] = field(default_factory=set)
    certain: bool = True
    bound: Bound | None = None
    weak: bool = False
    spread: bool = False
    """True when no direction was named and it speaks of all that were tried."""
    answers: bool = False
    denied: bool = False
    """True when it was said with a negation."""
    tame: bool = False
    """True when it says nothing beside a run that obeyed."""
    setup: set[str] = field(default_factory=set)
    """Circumstances that earlier statements of the same text set up."""
    one_of: Item | None = None
    """The name of a pair by which one of it was spoken of, and nobody said which."""
    guessed: bool = False
    """True when nothing was named that it could be of, so that a later name is what was meant."""

    def again(self, **changes: Any) -> Draft:
        """The same claim once more, with changes, in circumstances of its own."""
        return replace(self, **{"scene": set(self.scene), "setup": set(self.setup), **changes})


def fold_runs(drafts: Sequence[Draft], trial: Trial, strong: frozenset[str]) -> list[Draft]:
    """Join what was said of each direction into one claim, by subject and by scene.

    Args:
        drafts: The claims of a text.
        trial: What the vocabulary says of directions.
        strong: The ways of making it run that are scenes of their own.
    """
    groups: dict[tuple[str, str, frozenset[str], str], list[Draft]] = {}
    out: list[Draft] = []
    for draft in drafts:
        if draft.what not in trial.split or not isinstance(draft.value, bool):
            out.append(draft)
            continue
        way = draft.way if draft.way in strong else ""
        key = (draft.about, draft.what, frozenset(draft.scene | draft.setup), way)
        if key not in groups:
            groups[key] = []
            out.append(draft)
        groups[key].append(draft)
    first = {id(group[0]): group for group in groups.values()}
    return [_summary(first[id(d)], trial) if id(d) in first else d for d in out]


def _summary(group: Sequence[Draft], trial: Trial) -> Draft:
    ran: dict[str, bool] = {}
    loose: bool | None = None
    for draft in group:
        for side in draft.sides:
            ran[side] = bool(draft.value)
        if draft.only and len(draft.sides) == 1:
            ran.setdefault(OTHER_SIDE[draft.sides[0]], not draft.value)
        if not draft.sides:
            loose = bool(draft.value)
    spread = any(d.spread for d in group)
    if loose is False:
        ran = {"port": ran.get("port", False), "starboard": ran.get("starboard", False)}
    head = group[0]
    first = head
    return Draft(
        first.about, first.what, _choice(ran, loose, trial, first.what), min(d.start for d in group),
        max(d.end for d in group), tuple(ran), False, first.way, set(first.scene),
        all(d.certain for d in group), None, not ran and loose is True and all(d.weak for d in group),
        spread or loose is False, any(d.answers for d in group), False, False, set(first.setup),
    )  # fmt: skip


def _choice(ran: dict[str, bool], loose: bool | None, trial: Trial, what: str) -> str:
    if not ran and loose:
        return next((name for name, ways in trial.split[what].items() if not ways), "")
    full = {"port": ran.get("port", False), "starboard": ran.get("starboard", False)}
    return next((name for name, ways in trial.split[what].items() if ways == full), "")


def to_facts(drafts: Iterable[Draft], text: str, trial: Trial) -> tuple[RawFact, ...]:
    """Facts in the person's own order, each once."""
    seen: set[tuple[str, str, Value, tuple[str, ...]]] = set()
    out: list[RawFact] = []
    for draft in drafts:
        value = _rounded(draft.value)
        scene = tuple(c for c in trial.order if c in draft.scene)
        key = (draft.about, draft.what, value, scene)
        if key in seen:
            continue
        seen.add(key)
        unit = trial.attributes.get(draft.what, {}).get("number")
        out.append(
            RawFact(
                about=draft.about,
                what=draft.what,
                value=value,
                unit=unit,
                **{"while": scene},
                certain=draft.certain,
                bound=draft.bound,
                words=text[draft.start : draft.end],
            )
        )
    return tuple(out)


def _rounded(value: Value) -> Value:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    told = round(value, 2)  # as somebody read it off a meter; what was converted has three digits that mean anything
    short = told if abs(told - value) < _SAME and abs(value) < _LONG else float(f"{value:.3g}")
    return int(short) if short == int(short) else short
