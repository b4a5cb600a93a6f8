"""What a figure beside it makes of a word: which end was read, what carried the current, what the boat runs on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any

from assistant.language.items import COMMA, Item, at_edge, is_mark, is_particle, item_at
from assistant.language.meanings import Mark, PartName, Scene
from assistant.language.views import is_cue, names_in

_LABELLED = (":", "=", "-")
_NEAR = 12
"""So many words before a figure are looked at for the part that it is of."""
_ROUND = ("about", "now", "pronoun", "auxiliary", "polite", "then")
_PLACE = ("at", "but", "pronoun", "auxiliary", "now", "polite", "between", "over", "to")


def where_read(items: Sequence[Item], settings: Mapping[str, Any]) -> list[Item]:
    """Put each figure beside the place and the words that say where it was read, whatever stands between.

    Args:
        items: The items of a text.
        settings: The settings of the language.
    """
    that = names_in(settings, "relatives")
    items = _fallen_by(_let_go(items, settings.get("figure_scenes") or {}), names_in(settings, "fallen_by"))
    out = _told_first(_reckoned(_side_late(_labels_apart(items), that), that))
    return _near_and_far(_told_late(_put_right(out), names_in(settings, "meant")), settings)


def load_verbs(items: list[Item], verbs: frozenset[str]) -> list[Item]:
    """`it pulls 300 A` tells of load; `he pulled the plug` does not."""
    for at, item in enumerate(items):
        if item.text not in verbs or (item.sort != "scene" and item.scene is None):
            continue
        near = [i for i in items[at + 1 : at + 4] if not is_mark(i, "about", "over", "under")][:1]
        if not near or near[0].sort not in ("number", "range"):
            plain = replace(item, scene=None)
            items[at] = plain if item.sort == "state" else replace(plain, sort="mark", data=Mark("takes"))
    return items


def _near_and_far(items: list[Item], settings: Mapping[str, Any]) -> list[Item]:
    """`12.6 in, 0 out`: right behind a figure they say at which end; `25 dead`: that it was just that."""
    names = ("near_and_far", "far_end", "figure_tails", "behind_tails", "beyond")
    words, far, tails, behind, beyond = (names_in(settings, n) for n in names)
    of = tuple(str(settings.get("has_ends") or "").split())
    items = _ends_first(items, words, far, of)
    out = list(items)
    for n, i in enumerate(items):
        end = n > 0 and i.sort == "state" and i.text in words and _read_at(items, n)
        part = _ended(items, n, of) if n > 0 and i.sort == "state" and i.text in words else ()
        if part and i.text not in far:
            out[n] = replace(i, sort="part", data=PartName((), upstream=part[0]))
        elif ((end or part) and i.text in far) or (i.text in beyond and n > 0 and _read_beyond(items, n)):
            out[n] = replace(i, sort="part", data=PartName(of[:1], place=True, follows=of, needed=True))
        elif end or (n > 0 and i.sort == "state" and i.text in tails and _tail(items, n, behind)):
            for k in (n, n + 1) if items[n + 1 : n + 2] and items[n + 1].text in behind else (n,):
                out[k] = replace(items[k], sort="word", data=items[k].text)
    return out


def _ends_first(items: Sequence[Item], words: frozenset[str], far: frozenset[str], of: tuple[str, ...]) -> list[Item]:
    """`In 12.6, out 0`: the words for the ends stand before their figures, both of them."""
    out = list(items)
    heads = [n for n, i in enumerate(items[:-1]) if i.sort == "state" and i.text in words]
    heads = [n for n in heads if items[n + 1].sort == "number"]
    for one, other in pairwise(heads):
        apart = other - one <= 4 and (items[one].text in far) != (items[other].text in far)
        before = items[one - 1] if one else COMMA
        other_part = before.sort == "part" and not set(before.data.about) <= set(of)  # `plug out 12.6, plug in 12.5`
        if not apart or other_part or before.sort == "number":
            continue
        owner = next(
            (i.data.about for i in reversed(items[max(0, one - _NEAR) : one]) if i.sort == "part" and i.data.about), ()
        )
        for n in (one, other):
            near = PartName((), upstream=owner[0] if owner and set(owner) <= set(of) else None)
            name = PartName(of[:1], place=True, follows=of, needed=True) if items[n].text in far else near
            out[n] = replace(items[n], sort="part", data=name)
    return out


def _read_beyond(items: list[Item], at: int) -> bool:
    """`12.6 before the fuse, 0 after`: at the end, right behind a figure or a nothing."""
    before = items[at - 1]
    nothing = before.sort == "state" and any(s.negates for s in before.data)
    return (before.sort == "number" or nothing) and at_edge(item_at(items, at + 1))


def _ended(items: list[Item], at: int, of: tuple[str, ...]) -> tuple[str, ...]:
    """`Fuse in 12.6 fuse out 0`: the part of which a word before a figure says the end."""
    before, after = items[at - 1], item_at(items, at + 1)
    told = before.sort == "part" and not before.data.place and after is not None and after.sort == "number"
    return tuple(before.data.about) if told and before.data.about and set(before.data.about) <= set(of) else ()


def _tail(items: list[Item], at: int, behind: frozenset[str]) -> bool:
    """Whether a word ends a statement that ends in a figure."""
    after = item_at(items, at + 1)
    if after is not None and after.sort == "state" and after.text in behind:
        after = item_at(items, at + 2)
    return items[at - 1].sort == "number" and at_edge(after)


def _read_at(items: list[Item], at: int) -> bool:
    """Whether a figure stands before a word for an end, or a figure and the part of which it is the end."""
    before, first = items[at - 1], item_at(items, at - 2)
    ends = at_edge(item_at(items, at + 1))
    return before.sort == "number" or (before.sort == "part" and ends and first is not None and first.sort == "number")


def small_fuse(items: list[Item], rule: Mapping[str, Any] | None) -> list[Item]:
    """`the panel's 5 amp fuse` is no main fuse."""
    for at, item in enumerate(items):
        if not rule or item.sort != "part" or item.data.about != (rule["of"],) or item.data.place:
            continue
        for near in (item_at(items, at - 1), item_at(items, at + 1)):
            rated = near is not None and near.sort == "number" and near.data.unit == rule["unit"]
            if rated and near is not None and 0 < near.data.value < float(rule["below"]):
                items[at] = replace(item, data=replace(item.data, about=(rule["is"],)))
    return items


def system(items: list[Item], nouns: frozenset[str], units: frozenset[str]) -> list[Item]:
    """`A 48 volt bank` says what the boat runs on, and is no reading."""
    for at, item in enumerate(items[1:], 1):
        before = items[at - 1]
        whole = before.sort == "number" and before.data.unit in units and not before.data.decimal
        if whole and item.sort == "part" and not item.data.place and item.text.rpartition(" ")[2] in nouns:
            items[at] = replace(item, sort="mark", data=Mark("cue_system"))
    return items


def _neighbours(items: Sequence[Item], signs: str = "") -> Iterable[tuple[int, int, int]]:
    """For every two clauses: what stands before the first, between them and behind the second; these signs, or any."""
    ends = [n for n, i in enumerate(items) if i.sort == "sign" and (not signs or i.text in signs)]
    ends = [-1, *ends, len(items)]
    return zip(ends, ends[1:], ends[2:], strict=False)


def _is_subject(item: Item) -> bool:
    """Whether an item names what can have been read."""
    return item.sort == "family" or (item.sort == "part" and bool(item.data.about))


def _told_late(items: Sequence[Item], meant: frozenset[str]) -> list[Item]:
    """`11.2 in the end. On the studs I mean.`: where it was read is told behind a figure that stood alone."""
    gone: set[int] = set()
    for begin, sign, end in _neighbours(items, ",.;-\n"):
        read, place = items[begin + 1 : sign], items[sign + 1 : end]
        alone = sum(i.sort == "number" and (i.data.decimal or i.data.unit is not None) for i in read) == 1
        alone = alone and all(i.sort in ("number", "word") or is_particle(i) or is_mark(i, *_ROUND) for i in read)
        said = [i for i in place if not _meant(i, meant)]
        named = [i for i in said if _is_subject(i)]
        plain = all(_places(i) for i in said)
        if not alone or not plain or len(named) != 1 or is_mark(place[0], "not", "no"):
            continue
        gone |= {sign, *(n for n in range(sign + 1, end) if _meant(items[n], meant))}
    return [i for n, i in enumerate(items) if n not in gone]


def _told_first(items: Sequence[Item]) -> list[Item]:
    """`The studs, 24.6`: a place that stands alone before a figure is where it was read, as before a colon."""
    out = list(items)
    for begin, sign, end in _neighbours(items):
        place, read = items[begin + 1 : sign], items[sign + 1 : end]
        named = [i for i in place if _is_subject(i)]
        plain = all(i in named or i.sort == "side" or is_mark(i, "but", "and", "then", "at", "now") for i in place)
        figure = bool(read) and read[0].sort == "number" and (read[0].data.decimal or read[0].data.unit is not None)
        alone = figure and not any(i.sort in ("part", "family", "side", "state") for i in read)
        if len(named) == 1 and plain and alone and items[sign].text == ",":
            out[sign] = replace(items[sign], text=":")
    return out


def _side_late(items: Sequence[Item], that: frozenset[str]) -> list[Item]:
    """`12.4, that is port`: the direction of what was read is told behind it."""
    gone: set[int] = set()
    for at, item in enumerate(items):
        told = item_at(items, at - 1) or COMMA
        read = told.sort == "number" or (told.sort == "state" and any(s.negates for s in told.data))
        alone = at_edge(item_at(items, at - 2), "about", "and", "but")
        if item.sort == "sign" and item.text == "," and read and alone and _says_side(items[at + 1 : at + 5], that):
            gone |= {at, at + 1, at + 2}
    return [i for n, i in enumerate(items) if n not in gone]


def _says_side(items: Sequence[Item], that: frozenset[str]) -> bool:
    """Whether a clause says no more than `that is port`."""
    if len(items) < 3 or not (is_mark(items[0], "pronoun") or items[0].text in that):
        return False
    ends = at_edge(item_at(items, 3), "and", "but") or items[3].sort == "number"
    return is_mark(items[1], "auxiliary") and items[2].sort == "side" and ends


def _fallen_by(items: Sequence[Item], by: frozenset[str]) -> list[Item]:
    """`Sagged by three`: how much a reading fell is no reading, where nothing is named along which it was lost."""
    out = list(items)
    for at, item in enumerate(items[2:], 2):
        fell = item.sort == "number" and items[at - 1].text in by and is_mark(items[at - 2], "fall")
        lost = any(is_mark(i, "cue_lost", "over") or i.sort == "part" for i in items[at + 1 : at + 4])
        if fell and not lost:
            out[at] = replace(item, sort="word", data="")
    return out


def _let_go(items: Sequence[Item], scenes: Mapping[str, str]) -> list[Item]:
    """`12.3 let go`: at the end of a clause that names nothing, this says when the figure was read."""
    out = list(items)
    for at, item in enumerate(items):
        told = item_at(items, at - 1) or COMMA
        alone = told.sort == "number" and at_edge(item_at(items, at - 2)) and at_edge(item_at(items, at + 1))
        if item.sort == "state" and item.text in scenes and alone:
            out[at] = replace(item, sort="scene", data=Scene((scenes[item.text],)), scene=None)
    return out


def _slashed(items: Sequence[Item]) -> list[Item]:
    """`Port bridged: dead / starboard bridged: turns`: between two that are labelled a slash parts as a comma does."""
    out = list(items)
    labelled = False
    for at, item in enumerate(items):
        labelled = labelled or (item.sort == "sign" and item.text == ":")
        if item.sort == "sign" and item.text == "/" and labelled:
            again = any(i.sort == "sign" and i.text == ":" for i in items[at + 1 : at + 5])
            out[at] = replace(item, text=",") if again else item
    return out


def _labels_apart(items: Sequence[Item]) -> list[Item]:
    """`Port: 0 starboard: 12.4`, `port: 0 / starboard: 12.4`: what is labelled in the same way begins anew."""
    out: list[Item] = []
    seen: set[tuple[str, str]] = set()
    for at, item in enumerate(_slashed(items)):
        sign, before = item_at(items, at + 1), out[-1] if out else COMMA
        label = item.sort in ("side", "family", "scene") or (item.sort == "state" and item.scene is not None)
        slash = before.sort == "sign" and before.text == "/"
        if label and sign is not None and sign.sort == "sign":
            told = before.sort in ("number", "state") and sign.text in _LABELLED
            if (item.sort, sign.text) in seen and (slash or told):
                if slash:
                    out.pop()
                out.append(replace(COMMA, start=item.start, end=item.start))
            seen.add((item.sort, sign.text))
        out.append(item)
    return out


def _reckoned(items: Sequence[Item], that: frozenset[str]) -> list[Item]:
    """`Half a volt short of thirteen` is 12.5; what is so much more or less than `that` is no figure of its own."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        item, sign, other = items[at], item_at(items, at + 1), item_at(items, at + 2)
        apart = item.sort == "number" and is_mark(sign, "under", "over")
        if apart and other is not None and other.sort == "word" and other.text in that:
            out.append(replace(item, sort="word", data=item.text))
        elif apart and other is not None and _is_part_of(item, other):
            step = item.data.value if is_mark(sign, "over") else -item.data.value
            unit = other.data.unit or item.data.unit
            whole = replace(other.data, value=round(other.data.value + step, 6), unit=unit, start=item.data.start)
            out.append(replace(other, data=whole, start=item.start))
            at += 2
        else:
            out.append(item)
        at += 1
    return out


def _is_part_of(item: Item, other: Item) -> bool:
    """Whether one figure is a small part of the other, in the same unit."""
    if other.sort != "number":
        return False
    units = {item.data.unit, other.data.unit} - {None}
    return len(units) == 1 and 0 < item.data.value < other.data.value / 4


def _put_right(items: Sequence[Item]) -> list[Item]:
    """`Stops after 20 minutes sorry 20 seconds`: what puts right begins anew, with a comma or without."""
    out: list[Item] = []
    for at, item in enumerate(items):
        if is_mark(item, "correction") and item.data.scope != "soft" and at:
            denied = at > 1 and is_mark(items[at - 1], "not", "no")  # `it clicks no what am I saying it doesn't`
            told, after = items[at - 1 - denied], items[at + 1 : at + 3]
            figure = next((n for n, i in enumerate(after) if i.sort == "number"), None)
            again = figure is not None and all(i.sort == "word" for i in after[:figure])
            if (told.sort == "number" and again) or (told.sort == "state" and denied):
                del out[len(out) - denied :]
                out.append(replace(COMMA, start=item.start, end=item.start))
        out.append(item)
    return out


def _places(item: Item) -> bool:
    """Whether an item says where or in which circumstances something was read."""
    sorts = ("part", "family", "side", "scene")
    return item.sort in sorts or is_particle(item) or is_cue(item) or is_mark(item, *_PLACE)


def _meant(item: Item, words: frozenset[str]) -> bool:
    return is_mark(item, "correction") and set(item.text.split()) <= words
