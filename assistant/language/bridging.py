"""Test wires: which two ends a piece joins, and whether it tells of a wire fitted, taken off, or only sets a scene."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from assistant.knowledge.model import SIDES
from assistant.language.items import Item, is_mark, is_particle
from assistant.language.meanings import Family
from assistant.language.views import names_in
from assistant.language.words import Words


@dataclass(frozen=True, slots=True)
class Bridging:
    """A bridge spoken of in a piece."""

    value: str
    """One of the bridges of the vocabulary."""
    deed: str
    """`fitted`, `removed`, or `scene` when it only says how something was tried."""
    scene: str | None
    start: int
    end: int


def find_bridging(
    items: Sequence[Item], sides: Sequence[tuple[str, ...]], words: Words, spoken_of: Sequence[str] = ()
) -> Bridging | None:
    """The bridge that a piece speaks of.

    Args:
        items: The items of the piece.
        sides: For each item, the sides bound to it when it is a noun that comes in pairs.
        words: The word lists.
        spoken_of: What was last spoken of, which may be the end that is not named again.
    """
    joined = [i for i in items if is_mark(i, "join") or is_mark(i, "touch") or tells_of(i, "fitted", "removed")]
    ends: dict[str, Item] = {}
    for at, (item, bound) in enumerate(zip(items, sides, strict=True)):
        for name in pin_of(items, at, words) or _end_names(item, bound):
            ends.setdefault(words.end_like.get(name, name), item)
    joined += [i for i in items if _puts_together(i)] if len(ends) > 1 else []
    joined += [i for i in items if _takes_off(i)] if _value(frozenset(ends), words, False) is not None else []
    moved = [i for i in items if is_mark(i, "takes")]
    if not joined and moved and _value(frozenset(ends), words, False) is not None:
        joined += moved if any(is_mark(i, "to") or i.sort == "side" for i in items) else []
    if any(i.sort == "number" and i.data.unit in names_in(words.settings, "cable_units") for i in items):
        return None  # `wired in 95 square both legs` tells of the cables
    real = any(i.sort == "family" or i.data.end for i in ends.values())  # two cables named are no wire between them
    if not joined and not real:
        return None
    laid = not joined and _value(frozenset(ends), words, False) is not None
    joined += _laid_on(items, ends) if laid else []
    if not joined and not (any(is_mark(i, "to") for i in items) and any(i.sort == "state" for i in items)):
        return None
    back = str(words.settings.get("restored") or "").split()
    again = any(i.sort == "word" and i.text in back for i in items) and not any(_parts(i) for i in items)
    value = _value(frozenset(ends), words, bool(joined) and not again)
    if set(ends) <= set(words.half_bridges) and value and _joins_two(items, list(ends)):
        value = str(words.settings["some_bridge"]).split()[-1]  # `from the port signal to the starboard signal`
    if value is None and ends and joined:
        value = _value(frozenset((*ends, *spoken_of)), words, not again)
    if value is None and any(tells_of(i, "removed") for i in items):
        value = next((words.half_removed[e] for e in ends if e in words.half_removed), None)
    if value is None:
        return None
    plain = names_in(words.settings, "plain_wires")
    if len(ends) == 1 and not real and all(i.text in plain or _parts(i) or is_mark(i, "unjoin") for i in joined):
        return None  # `the wire came off the thermal switch` is no test wire taken away
    used = [*joined, *ends.values()]
    scene = words.bridge_scenes.get(value)
    deed = _deed(items, scene)
    return Bridging(value, deed, scene, min(i.start for i in used), max(i.end for i in used))


def _joins_two(items: Sequence[Item], halves: Sequence[str]) -> bool:
    """Whether a wire is said to go from one end to another, neither of which is the control plus."""
    return len(halves) > 1 and any(is_mark(i, "to", "between") or (i.sort == "side" and " " in i.text) for i in items)


def _laid_on(items: Sequence[Item], ends: Mapping[str, Item]) -> list[Item]:
    """`control plus on the port signal`: nothing but a preposition stands between the two ends."""
    read = [i for i in items if i.sort in ("range", "change") or (i.sort == "number" and i.data.unit != "s")]
    if read or any(len(_end_names(i, ())) > 1 for i in items if i.sort != "family"):
        return []  # `lugs on both legs` are no two ends
    places = sorted(n for n, i in enumerate(items) if any(i is end for end in ends.values()))
    between = items[places[0] + 1 : places[-1]]
    between = between[1:] if len(between) > 1 and is_mark(between[0], "auxiliary") else between  # `… was on …`
    plain = all(is_mark(i, "at", "to", "cue_lost") or i.sort == "side" or is_particle(i) for i in between)
    return [items[places[0]]] if between and plain else []


def _ended(item: Item) -> bool:
    """Whether it says that something is no longer so."""
    return is_mark(item, "not") and bool(item.data.scope == "ended")


def tells_of(item: Item, *names: str) -> bool:
    """Whether a state tells of test wires in general."""
    return item.sort == "state" and any(what in names for saying in item.data for what, _ in saying.tells)


def _puts_together(item: Item) -> bool:
    """Whether a state says that something was connected."""
    return item.sort == "state" and any(claim == ("connected", True) for saying in item.data for claim in saying.tells)


def _takes_off(item: Item) -> bool:
    """Whether a state can only say that something was taken off (`unclipped the lead between …`)."""
    return _parts(item) and not is_particle(item)


def _parts(item: Item) -> bool:
    """Whether a state says that something was taken off."""
    return item.sort == "state" and any(claim == ("plugged", False) for saying in item.data for claim in saying.tells)


def pin_of(items: Sequence[Item], at: int, words: Words) -> tuple[str, ...]:
    """The end that `the starboard pin` is, where `the pin` alone is none."""
    item, before = items[at], items[at - 1] if at else None
    family = words.sided_ends.get(item.data.about[0]) if item.sort == "part" and item.data.about else None
    if family is None or before is None or before.sort != "side" or before.data.name not in SIDES:
        return ()
    return words.families[family].members((before.data.name,))


def _end_names(item: Item, bound: tuple[str, ...]) -> list[str]:
    if item.sort == "part":
        if item.data.follows:
            return []  # `a fresh crimp on the minus cable` is at no second end
        return item.data.end.split() if item.data.end else list(item.data.about)
    if item.sort == "family":
        family: Family = item.data
        return list(family.members(bound))
    return []


def _value(ends: frozenset[str], words: Words, joined: bool) -> str | None:
    for value, pairs in words.bridges.items():
        if any(pair <= ends for pair in pairs):
            return value
    for end, value in words.half_bridges.items():
        if joined and end in ends:
            return value
    return None


def _deed(items: Sequence[Item], scene: str | None) -> str:
    if any(is_mark(i, "unjoin") or _ended(i) or tells_of(i, "removed") or _parts(i) for i in items):
        return "removed"
    touched = not any(is_mark(i, "join") or tells_of(i, "fitted") or _puts_together(i) for i in items)
    if scene is not None and (touched or any(is_mark(i, "with") or is_mark(i, "when") for i in items[:2])):
        return "scene"
    return "fitted"
