"""Putting items together before a text is cut: things named in one breath, the other side, run-on lines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any

from assistant.knowledge.model import OTHER_SIDE, SIDES
from assistant.language.beside_figures import load_verbs, small_fuse, system, where_read
from assistant.language.items import CLAIMS, COMMA, Item, at_edge, is_mark, is_particle, is_side, item_at, scene_of
from assistant.language.meanings import Mark, PartName, Side
from assistant.language.plainer import plainer
from assistant.language.run_on import Known, cut_run_ons
from assistant.language.verdicts import join_verdicts
from assistant.language.views import base_of, names_in

_NOTHING = Item("nothing", None, 0, 0)
_BESIDE = (",", "-", ":", "/")
_THAT_IS = ["pronoun", "auxiliary"]


def join(items: Sequence[Item], settings: Mapping[str, Any]) -> list[Item]:
    """Join what belongs together, and put a comma where a run-on line goes to its next statement.

    Args:
        items: The items of a text.
        settings: The settings of the language.
    """
    said = [i for n, i in enumerate(items) if not (is_mark(i, "yes") and is_mark(item_at(items, n + 1), "not"))]
    said = plainer(_cut_at_labels(_station_plugs(said, names_in(settings, "plug_words"))), settings)
    out = where_read(said, settings)
    out = small_fuse(load_verbs(out, names_in(settings, "load_verbs")), settings.get("small_fuse"))
    out = system(out, names_in(settings, "system_nouns"), names_in(settings, "bare_units"))
    out = join_verdicts(out, settings)
    out = _meter_put(out, str(settings.get("meter_put") or "").split())
    out = _set_scene(out, settings)
    out = _join_pairs(_join_neither(_name_other_side(out)))
    out = _pair_scenes(_join_parts(_name_elsewhere(out)))
    told = ("rated", "negators", "follows_press", "meanwhile", "deeds", "clause_verbs")
    return cut_run_ons(out, Known(*(names_in(settings, name) for name in told)))


def _station_plugs(items: Sequence[Item], plugs: frozenset[str]) -> list[Item]:
    """`Panel 2 plug`, `the plug under the flybridge panel`: a plug that is named by its station is that one's."""
    out: list[Item] = []
    for at, item in enumerate(items):
        before, joint = item_at(out, len(out) - 1), item_at(out, len(out) - 2)
        if _is_station(before) and item.sort == "part" and item.text in plugs and not _only_off(items[at + 1 : at + 3]):
            out[-1] = replace(out[-1], end=item.end)
        elif _is_station(item) and is_mark(before, "under", "at", "from") and joint is not None and joint.text in plugs:
            out[-2:] = [replace(item, start=joint.start)]
        else:
            out.append(item)
    return out


def _only_off(behind: Sequence[Item]) -> bool:
    """`Panel 2 plug is off`: said of a plug that is pulled, where of its station it would be that it is dark."""
    told = next((i for i in behind if not is_mark(i, "auxiliary")), None)
    return told is not None and is_particle(told)


def _is_station(item: Item | None) -> bool:
    """Whether an item names one of several stations."""
    return (
        item is not None
        and item.sort == "part"
        and any(base_of(about) != about or about.endswith("_") for about in item.data.about)
    )


def _cut_at_labels(items: Sequence[Item]) -> list[Item]:
    """`Port: 5.1 starboard: 5.3`: a direction before a colon begins anew."""
    out: list[Item] = []
    for at, item in enumerate(items):
        after = item_at(items, at + 1)
        labels = after is not None and after.sort == "sign" and after.text == ":" and is_side(item)
        if labels and at and items[at - 1].sort in ("number", "state"):
            out.append(replace(COMMA, start=item.start, end=item.start))
        out.append(item)
    return out


def _meter_put(items: list[Item], ends: Sequence[str]) -> list[Item]:
    """`12.5 plus to minus in the plug`: beside a figure this only says how the meter was put."""
    read = any(i.sort in ("number", "range") for i in items)
    if not ends or not read or any(is_mark(i, "join", "touch", "from", "between") for i in items):
        return items
    out: list[Item] = []
    at = 0
    while at < len(items):
        one, joint, other, after = (item_at(items, at + n) or _NOTHING for n in range(4))
        put = one.sort == other.sort == "part" and [*one.data.about, *other.data.about] == list(ends)
        if put and is_mark(joint, "to", "at") and after.sort in ("state", "mark", "part", "number", "sign"):
            at += 3
            continue
        out.append(one)
        at += 1
    return out


def _set_by_figure(items: list[Item], scenes: frozenset[str]) -> None:
    """`12.3 at the studs, that's running`: beside a figure, what stands alone says when it was read."""
    ends = [-1, *(n for n, i in enumerate(items) if i.sort == "sign"), len(items)]
    stretches = [items[start + 1 : end] for start, end in pairwise(ends)]
    for n, stretch in enumerate(stretches):
        lead = n and [i.data.name for i in stretch[:-1] if i.sort == "mark"] == _THAT_IS and len(stretch) == 3
        item = stretch[-1] if len(stretch) == 1 or lead else None
        scene = item.scene if item is not None and item.sort == "state" else None
        if item is None or scene is None or scene.if_asked or not set(scene.while_) & scenes:
            continue
        signs = [(n - 1, ends[n]), *([] if lead else [(n + 1, ends[n + 1])])]
        beside = [stretches[m] for m, sign in signs if 0 <= m < len(stretches) and items[sign].text in _BESIDE]
        if any(i.sort == "number" for other in beside for i in other):
            items[ends[n + 1] - 1] = replace(item, sort="scene", data=scene, scene=None)


def _set_scene(items: list[Item], settings: Mapping[str, Any]) -> list[Item]:
    """`Motor cold, 0.2 ohm`: a state without a verb says in which circumstance it was read."""
    scenes, by_figure = names_in(settings, "scene_alone"), names_in(settings, "scene_of_figure")
    places = [n for n, i in enumerate(items) if set(_scene_names(i)) & scenes]
    both = {name for n in places for name in _scene_names(items[n])} & scenes
    if len(both) > 1 and not any(_said_of(items, n) for n in places):  # `works cold, dead hot`
        for n in places:
            items[n] = replace(items[n], sort="scene", data=scene_of(items[n]), scene=None)
    _set_by_figure(items, by_figure)
    for at, item in enumerate(items[:-2]):
        after, scene = items[at + 1], item.scene
        alone = at_edge(item_at(items, at - 1), "and", "but", "then") and after.sort == "sign" and after.text in ",:"
        deed = scene is not None and bool(scene.way or scene.while_)  # `pushing port: 9.8`, `power on: off it goes`
        sets = scene is not None and (set(scene.while_) & scenes or (deed and after.text == ":"))
        if item.sort != "state" or scene is None or not sets or not alone or scene.if_asked:
            continue
        if _may_be_told_in(items[at + 2 :], scene.while_, settings.get("only_with") or {}):
            items[at] = replace(item, sort="scene", data=scene, scene=None)
    return items


def _may_be_told_in(items: Sequence[Item], scenes: Sequence[str], only: Mapping[str, Any]) -> bool:
    """Whether what follows may be found in those circumstances; `motor's cold, no smell` tells two findings."""
    states = [i for i in items if i.sort == "state"]
    free = not scenes or any(name not in only for name in scenes)
    if free or not states or any(i.sort in ("number", "range") for i in items):
        return True
    told = {what.rpartition(".")[2] for i in states for saying in i.data for what, _ in saying.tells}
    return any(told & names_in(only, name) for name in scenes)


def _said_of(items: list[Item], at: int) -> bool:
    """`The motor is hot`: a state that something is told to have."""
    before = item_at(items, at - 1)
    return items[at].sort == "state" and before is not None and (before.sort == "part" or is_mark(before, "auxiliary"))


def _scene_names(item: Item) -> tuple[str, ...]:
    """The circumstances that an item names, or may name."""
    scene = scene_of(item)
    return scene.while_ if scene is not None else ()


# ------------------------------------------------------------------ the other side
def _name_other_side(items: list[Item]) -> list[Item]:
    """`port reads 12, the other 0`: the other is the one of two sides that was not named last."""
    out: list[Item] = []
    last = ""
    pair: Item | None = None
    for at, item in enumerate(items):
        after = item_at(items, at + 1)
        alike = after is not None and after.sort == "part" and pair is not None and after.text in pair.text.split()
        if is_side(item, "other") and last and alike and pair and after:
            items[at + 1] = replace(pair, start=after.start, end=after.end, sides=())  # `… the other lead beeps`
        pair = item if item.sort == "family" else None if item.sort == "part" else pair
        if is_side(item, "other") or (item.sort == "part" and item.data.other and last):
            if not last or not _stands_for_side(items, at):
                out.append(replace(item, sort="word") if item.sort == "side" else item)
                continue
            last = OTHER_SIDE[last]
            item = Item("side", Side(last), item.start, item.end, (), None, item.text)
        elif is_side(item):
            last = item.data.name
        elif item.sort == "part" and item.data.about:
            last = last if out and is_side(out[-1]) else ""
        elif item.sort in ("scene", "state", "family") and len(set(item.sides) & set(SIDES)) == 1:
            last = next(s for s in item.sides if s in SIDES)
        out.append(item)
    return out


def _stands_for_side(items: Sequence[Item], at: int) -> bool:
    """Whether `other` stands for a thing of its own and not before a noun (`the other people`)."""
    item, after = items[at], item_at(items, at + 1)
    if " " in item.text or item.sort == "part":
        return True
    return (
        after is None
        or after.sort in ("number", "range", "state", "family", "sign")
        or is_mark(after, "not", "no", "auxiliary", "about", "same")
    )


# ------------------------------------------------------------------ things named in one breath
def _join_neither(items: list[Item]) -> list[Item]:
    """`neither port nor starboard` is neither."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        item = items[at]
        listed = [item_at(items, at + n) for n in (1, 2, 3)]
        joined = is_mark(listed[1], "or", "and")
        things = [i for i in (listed[0], listed[2]) if i is not None and i.sort == "part" and i.data.about]
        if is_side(item, "neither") and joined and len(things) == 2:
            about = tuple(dict.fromkeys(a for i in things for a in i.data.about))
            out.append(Item("part", PartName(about, True), item.start, things[1].end, (), None, things[0].text))
            at += 4
            continue
        states = listed[0] is not None and listed[0].sort == "state" and listed[2] is not None
        if is_side(item, "neither") and joined and states:
            item = replace(item, sort="mark", data=Mark("not"))
        if is_side(item, "neither") and is_side(listed[0]) and joined and is_side(listed[2]):
            last = listed[2]
            assert last is not None
            out.append(replace(item, end=last.end))
            at += 4
            continue
        out.append(item)
        at += 1
    return out


def _join_pairs(items: list[Item]) -> list[Item]:
    """`the port coil and the starboard coil` are both coils."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        one, noun, joint, other, again = (item_at(items, at + n) or _NOTHING for n in range(5))
        pair = is_side(one) and is_side(other) and is_mark(joint, "and", "or")
        same = noun.sort == "family" and noun.data is again.data
        if pair and same and one.data.name != other.data.name:
            if not (out and is_side(out[-1], "both", "neither")):
                out.append(Item("side", Side("both"), one.start, one.end, (), None, one.text))
            out.append(replace(noun, end=again.end))
            at += 5
            continue
        out.append(items[at])
        at += 1
    return out


def _join_parts(items: list[Item]) -> list[Item]:
    """`the plus and the minus lug are loose`: what is said is said of each part named."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        one, joint, other = (item_at(items, at + n) or _NOTHING for n in range(3))
        listed = joint.sort == "sign" and joint.text == "," and is_mark(item_at(items, at + 3), "and", "or")
        listed = listed and _is_thing(item_at(items, at + 4) or _NOTHING)  # `prop, coupling and leg are sound`
        pair = _is_thing(one) and (is_mark(joint, "and", "or") or listed) and _is_thing(other)
        between = is_mark(item_at(out, len(out) - 1), "between")
        if pair and not between and (not _claimed(out) or (out[-1].sort == "state" and _ends_with(items, at + 2))):
            about = tuple(dict.fromkeys((*one.data.about, *other.data.about)))
            joined = PartName(about, one.data.negates, place=one.data.place or other.data.place)
            items[at + 2] = Item("part", joined, one.start, other.end, (), None, f"{one.text} {other.text}")
            at += 2
            continue
        out.append(one)
        at += 1
    return out


def _ends_with(items: Sequence[Item], at: int) -> bool:
    """Whether the statement ends with this item (`I unplugged the panel and the control unit`)."""
    return at_edge(item_at(items, at + 1), "and", "but", "then", "too", "also")


def _name_elsewhere(items: list[Item]) -> list[Item]:
    """`the anchor winch fuse` is no more the thruster's than the winch, and `the panel screws` not than a screw."""
    out: list[Item] = []
    for item in items:
        before = out[-1] if out else _NOTHING
        parts = item.sort == "part" == before.sort
        if parts and _is_elsewhere(before.data) and not item.data.place:
            out[-1] = replace(before, end=item.end)
            continue
        if parts and _is_elsewhere(item.data) and item.start == before.end + 1:
            out[-1] = replace(item, start=before.start)
            continue
        out.append(item)
    return out


def _is_elsewhere(name: PartName) -> bool:
    return not (name.about or name.end or name.place or name.upstream)


def _pair_scenes(items: list[Item]) -> list[Item]:
    """`25.5 rest 22.8 load`: each figure has the scene that stands beside it in the same order."""
    out: list[Item] = []
    items = _named_after(items)
    for at, item in enumerate(items):
        one, other = (item_at(items, at + n) or _NOTHING for n in (1, 2))
        first = [i for i in (item_at(items, at - 2), item_at(items, at - 1)) if i is not None]
        sorts = [i.sort for i in (*first, item, one)]
        figures = sorts == ["number", "scene", "number", "scene"]
        scenes = sorts == ["scene", "number", "scene", "number"] and other.sort != "scene"
        figures = figures or sorts == ["state", "scene", "state", "scene"]
        sided = sorts in (["number", "side", "number", "side"], ["side", "number", "side", "number"])
        verdicts = is_side(item) and len(first) == 2 and is_side(first[0]) and is_mark(first[1], "yes", "no", "not")
        told = (item_at(items, at - 3) or _NOTHING).sort in CLAIMS  # `goes to port not to starboard`
        verdicts = verdicts and not told
        between = sorts[-3:] == ["number", "scene", "number"] and _is_clause(item) and not figures
        between = between and other.sort != "scene" and one.data.unit in (None, first[-1].data.unit)
        if figures or scenes or sided or verdicts or between:
            out.append(Item("sign", None, item.start, item.start, (), None, "¦"))
        out.append(item)
    return out


def _is_clause(item: Item) -> bool:
    """Whether a scene is a clause of its own, so that a figure behind it is its own (`12.2 when I push 9.8`)."""
    return item.scene is None and item.data.press and len(item.text.split()) > 2


def _named_after(items: list[Item]) -> list[Item]:
    """`12.5/8.4 rest/load`: two figures, and behind them what each of them is, in the same order."""
    for at in range(len(items) - 5):
        sorts = [i.sort for i in items[at : at + 6]]
        signs = all(items[at + n].text == "/" for n in (1, 4))
        if (
            signs
            and sorts == ["number", "sign", "number", sorts[3], "sign", sorts[3]]
            and sorts[3] in ("scene", "side")
        ):
            return _named_after([*items[:at], *(items[at + n] for n in (0, 3, 2, 5)), *items[at + 6 :]])
    return items


def _is_thing(item: Item) -> bool:
    data = item.data
    return item.sort == "part" and bool(data.about) and data.end is None and not data.needed and item.figure is None


def _claimed(before: Sequence[Item]) -> bool:
    """Whether the stretch so far already says something of the first part (`12.4 at the studs and the battery …`)."""
    for item in reversed(before):
        if item.sort == "sign" or is_mark(item, "and", "or", "but", "then", "because"):
            return False
        if item.sort in CLAIMS and not is_particle(item):
            return True
    return False
