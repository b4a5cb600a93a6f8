"""Answers to a test that asks for several readings, one after the other: `first 12.6, second nothing`, `0 and 12.6`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise, takewhile

from assistant.knowledge.model import SIDES
from assistant.language.items import Item, is_mark
from assistant.language.meanings import PartName, Saying, Scene, Side
from assistant.language.pieces import sentence_ends
from assistant.language.quantities import Quantity

_NAMING = ("part", "family", "side", "scene")
_TELLING = ("number", "range", "change", "state")
REST = -2
"""The ordinal of those that are not named."""
_PAIR = 2
"""Of two, nobody says `all`."""
_ALL = ("both", "either", "each")


def place_in_order(
    items: list[Item], places: Sequence[str], ordinals: Mapping[str, int], figures: bool, zero: bool
) -> list[Item]:
    """Give the readings of an answer the parts of which they are told.

    Args:
        items: The items of the answer.
        places: The parts of which the test asks for a reading, in its order.
        ordinals: Word → which of them it names, from 1; 0 is the one that was not named last, -1 all of them.
        figures: Whether it asks for figures.
        zero: Whether `nothing` is a reading of 0.
    """
    if not any(i.sort in _TELLING for i in items):
        return items  # `neither`, and no more, may be to another question
    out: list[Item] = []
    last = 0
    for item in _as_parts(items, len(places), ordinals, figures):
        named = item.figure if item.sort == "ordinal" else None
        if named is None:
            out.append(item)
            last = next((n for n, p in enumerate(places, 1) if item.sort == "part" and p in item.data.about), last)
            continue
        at = named or (3 - last if last and len(places) == _PAIR else 0)
        chosen = _rest(items, places) if named == REST else tuple(places) if named < 0 else tuple(places[at - 1 : at])
        if chosen:
            name = PartName(chosen, negates=bool(item.data), place=True)
            out.append(replace(item, sort="part", data=name, figure=None))
            last = at
    near = [any(o.sort == "part" for o in out[max(0, n - 2) : n + 3]) for n in range(len(out))]
    return _bare_figures([_as_figure(i) if zero and by else i for i, by in zip(out, near, strict=True)], places)


def place_in_turn(items: Sequence[Item]) -> list[Item]:
    """`11 and open`, where both of a pair are asked for: a figure and none, and no more, are of port and starboard."""
    out: list[Item] = []
    for start, end in pairwise(sentence_ends(items)):
        out += [*_in_turn(items[start + 1 : end]), *items[end : end + 1]]
    return out


def _in_turn(items: Sequence[Item]) -> list[Item]:
    """The same for one sentence."""
    told = [n for n, i in enumerate(items) if i.sort in _TELLING]
    if [items[n].sort for n in told] not in (["number", "state"], ["state", "number"]):
        return list(items)
    first, second = told
    joint = items[first + 1 : second]
    plain = len(joint) == 1 and (is_mark(joint[0], "and") or (joint[0].sort == "sign" and joint[0].text in ",/"))
    denied = any(i.sort in _NAMING or is_mark(i, "not", "no") for i in items)
    state = next(items[n] for n in told if items[n].sort == "state")
    if not plain or denied or not any(s.negates or _broken(s) for s in state.data):
        return list(items)
    one, other = (Item("side", Side(side), items[n].start, items[n].start) for n, side in zip(told, SIDES, strict=True))
    return [*items[:first], one, *items[first:second], other, *items[second:]]


def _broken(saying: Saying) -> bool:
    """Whether it says that nothing conducts."""
    return any(what.rpartition(".")[2] == "continuity" and value is False for what, value in saying.tells)


def _as_figure(item: Item) -> Item:
    """`Nothing on the second`: on a meter that is a figure."""
    if item.sort != "state" or not any(s.negates for s in item.data):
        return item
    return replace(item, sort="number", data=Quantity(0.0, None, item.start, item.end))


def _rest(items: Sequence[Item], places: Sequence[str]) -> tuple[str, ...]:
    """`The negative is green, the rest tight`: all places that are not named."""
    headings = [i for i, after in pairwise(items) if after.sort == "sign" and after.text == ":"]
    told = {a for i in items if i.sort == "part" and i not in headings for a in i.data.about}
    return tuple(p for p in places if p not in told)


def _of_all(item: Item, after: Item | None, words: Sequence[str], ordinals: Mapping[str, int]) -> bool:
    """`All tight`, `nothing green`: said of all of them."""
    if item.sort != "state":
        return False
    none = any(s.negates for s in item.data) and after is not None and after.sort == "state"
    return none or ordinals.get(words[0] if words else "") == -1


def _as_parts(items: Sequence[Item], most: int, ordinals: Mapping[str, int], figures: bool) -> list[Item]:
    """The items with a mark of its own for every word that names one of several, or all of them."""
    sides = {i.data.name for i in items if i.sort == "side"}
    out: list[Item] = []
    for item, after in zip(items, [*items, None][1:], strict=True):
        words = item.text.split()
        bare = after is None or (after.sort not in ("word", "part", "family") and not _is_of_a_thing(after, words))
        sorts = ("word", "part") if figures else ("word", "part", "scene")  # `rest tight` is no circumstance there
        named = next((ordinals[w] for w in words if w in ordinals), None) if item.sort in sorts else None
        if not figures and _of_all(item, after, words, ordinals):
            out.append(Item("ordinal", None, item.start, item.start, figure=-1))
        if (
            named is not None
            and named <= most
            and (named > -1 or most > _PAIR)
            and all(w in ordinals or w == words[-1] for w in words)
        ):
            out.append(Item("ordinal", None, item.start, item.end, figure=named, text=item.text))
        elif _is_all(item, words) and bare and not sides & set(SIDES):
            out.append(Item("ordinal", item.data.name == "neither", item.start, item.end, figure=-1, text=item.text))
        elif not (item.sort == "word" and out and out[-1].sort == "ordinal"):
            out.append(item)
    return out


def _is_all(item: Item, words: Sequence[str]) -> bool:
    """Whether an item says `both` of several things; `both ways` is of the two directions."""
    return item.sort == "side" and item.data.name in (*_ALL, "neither") and len(words) != _PAIR


def _lists(item: Item) -> bool:
    """Whether an item is part of a list of bare figures; amperes behind one say how much flowed meanwhile."""
    return item.sort == "sign" or is_mark(item, "and", "then") or (item.sort == "number" and item.data.unit != "A")


def _ends_here(rest: Sequence[Item], count: int) -> bool:
    """Whether a list of so many figures is over: nothing follows, or after three of them what is no more of these."""
    first = next((i.sort for i in rest if i.sort != "mark"), "")
    return not any(i.sort in (*_NAMING, *_TELLING) for i in rest) or (count > _PAIR and first not in _NAMING)


def place_in_states(items: list[Item], states: Sequence[str]) -> list[Item]:
    """`12.6, 0`, where a switch is read on and off: two bare figures, and nothing else, stand in the order of these."""
    figures = [n for n, i in enumerate(items) if i.sort == "number"]
    plain = all(i.sort in ("number", "sign") or is_mark(i, "and", "then") for i in items)
    if len(figures) != len(states) or not plain:
        return items
    return _each_before(items, figures, "scene", [Scene((state,)) for state in states])


def _each_before(items: Sequence[Item], places: Sequence[int], sort: str, told: Sequence[object]) -> list[Item]:
    """The items with one more before each of these places, in their order."""
    before = dict(zip(places, told, strict=True))
    out: list[Item] = []
    for n, item in enumerate(items):
        if n in before:
            out.append(Item(sort, before[n], item.start, item.start))
        out.append(item)
    return out


def _is_of_a_thing(told: Item, words: Sequence[str]) -> bool:
    """`Both bolts tight`: what is told in several words may name the things of which it is told."""
    return told.sort == "state" and len(words) == 1 and len(told.text.split()) > 1


def _bare_figures(items: list[Item], places: Sequence[str]) -> list[Item]:
    """`12.6 and 0`: as many figures as readings were asked for stand in the order of the test, before all else."""
    listed = list(takewhile(_lists, items))
    figures = [n for n, i in enumerate(listed) if i.sort == "number"]
    if len(figures) != len(places) or not _ends_here(items[len(listed) :], len(places)):
        return items
    return _each_before(items, figures, "part", [PartName((place,), place=True) for place in places])
