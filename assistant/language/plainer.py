"""Ways of saying it that are put into plainer ones before a text is cut into clauses."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from assistant.knowledge.model import SIDES
from assistant.language.items import Item, claims, clause_start, is_mark, is_particle, is_side, up_to_sign
from assistant.language.meanings import Claim, Mark, Saying, Scene
from assistant.language.views import names_in

_JOINTS = ("and", "but", "then", "because")
_FEW = 2
"""Words that name a thing of which something is told before it is said which it is (`the one that …`)."""
_REACH = 12
"""Within so many items the verb stands that says which it is."""
_LEADS = ("pronoun", "auxiliary", "now", "also", "then")
"""What may stand before the thing that a contrast puts right (`…, it's starboard`)."""


def plainer(items: Sequence[Item], settings: Mapping[str, Any]) -> list[Item]:
    """The items of a text with `zero thrust` as no thrust, `doesn't go either` as also not, and contrasts resolved.

    Args:
        items: The items of a text.
        settings: The settings of the language.
    """
    items = _no_but(items)
    out = _except(_none(items, *(names_in(settings, n) for n in ("none_before", "before_figure", "negators"))))
    out = _also(out, names_in(settings, "also_behind_no"), names_in(settings, "also_last"))
    out = _presses(out, names_in(settings, "presses"), settings.get("pressing") or {})
    out = _universal(out, names_in(settings, "true_of_all"), names_in(settings, "none_but_all"))
    relatives = names_in(settings, "relatives")
    return _identified(_the_only(_contrast(out, relatives), relatives), relatives)


def _none(
    items: Sequence[Item], words: frozenset[str], measures: frozenset[str], denials: frozenset[str]
) -> list[Item]:
    """`Zero clicks`: before what can be seen or heard, a nought in words denies; `a good 12 V` is 12 V."""
    out = list(items)
    for at, item in enumerate(items[:-1]):
        after = items[at + 1]
        if item.text in measures and after.sort == "number":
            out[at] = replace(item, sort="word", data=item.text)
        states = after.sort == "state" and not is_particle(after) and not any(s.negates for s in after.data)
        if item.sort == "number" and states and not item.data.value and not item.data.digits and item.data.unit is None:
            out[at] = Item("mark", Mark("not"), item.start, item.end, (), None, item.text)
        elif states and is_mark(item, "no") and item.text.split()[-1] in denials:
            out[at] = replace(item, data=Mark("not"))  # `no it won't go`
        elif item.sort == "word" and item.text in words and states:
            out[at] = replace(item, sort="mark", data=Mark("not"))
    return out


def _said(item: Item) -> str:
    """What an item says, in a form that can be compared."""
    return f"{item.data.value:g}" if item.sort == "number" else item.text


def _no_but(items: Sequence[Item]) -> list[Item]:
    """`Motor hot - no, contactor hot`: a no between two that say the same takes the first one back."""
    out = list(items)
    for at, item in enumerate(items[:-1]):
        if not (at and is_mark(item, "no", "not") and items[at - 1].sort == "sign" and items[at + 1].sort == "sign"):
            continue
        before = up_to_sign(items[n] for n in range(at - 2, -1, -1))
        behind = up_to_sign(items[n] for n in range(at + 2, len(items)))
        figures = any(i.sort == "number" for i in before) and _lone_figure(behind)  # `24 volt boat. No, 12`
        if figures or {_said(i) for i in before if claims(i)} & {_said(i) for i in behind if claims(i)}:
            out[at] = replace(item, data=Mark("correction"))
    return out


def _lone_figure(items: Sequence[Item]) -> bool:
    """Whether a clause is a figure without a unit and nothing that it could be of."""
    figures = [i for i in items if i.sort == "number"]
    return (
        len(figures) == 1
        and figures[0].data.unit is None
        and not any(claims(i) or i.sort in ("part", "family", "side", "scene") for i in items if i.sort != "number")
    )


def _except(items: list[Item]) -> list[Item]:
    """`Nothing in the tunnel except some weed`: what is told is the exception."""
    at = next((n for n, i in enumerate(items) if is_mark(i, "except")), -1)
    if at < 1:
        return items
    start = clause_start(items, at, _JOINTS)
    denied = [
        i
        for i in items[start:at]
        if is_mark(i, "not", "no") or (i.sort == "state" and not is_particle(i) and _denies(i))
    ]
    after = [i for i in items[at + 1 :] if i.sort not in ("word", "mark")][:1]
    if after and after[0].sort == "part":
        return _all_but(items, start, at)
    if not denied or not after or after[0].sort != "state":
        return items
    kept = [i for i in items[start:at] if i not in denied]
    return [*items[:start], *kept, *_except(items[at + 1 :])]


def _all_but(items: list[Item], start: int, at: int) -> list[Item]:
    """`All lamps are lit except the panel`: what is told is not so of the exception, and of that alone it is told."""
    place = next(n for n in range(at, len(items)) if items[n].sort == "part")
    part, before = items[place], items[start:at]
    states = [i for i in before if i.sort == "state"]
    named = {a for i in before if i.sort == "part" for a in i.data.about}
    if not states or any(is_mark(i, "not") for i in before) or not _ends(items, place):
        return items
    kept = [*before, Item("sign", None, part.start, part.start, (), None, ",")]
    kept = kept if named and not named & set(part.data.about) else []
    no = Item("mark", Mark("not"), items[at].start, items[at].end, (), None, items[at].text)
    return [*items[:start], *kept, part, no, states[-1], *_except(items[place + 1 :])]


def _universal(items: list[Item], true_of_all: frozenset[str], all_gone: frozenset[str]) -> list[Item]:
    """`Everybody's out of the water except my nephew`: with an exception that the lists do not know it is not so.

    Args:
        items: The items of a text.
        true_of_all: Attributes that are true of all or not true.
        all_gone: Attributes with a value for all, which then says nothing.
    """
    out: list[Item] = []
    for at, item in enumerate(items):
        behind = items[at + 1] if at + 1 < len(items) else None
        excepted = is_mark(behind, "except") and not any(claims(i) for i in up_to_sign(items[at + 1 : at + _REACH]))
        told = [c for s in item.data for c in s.tells] if item.sort == "state" and excepted else []
        if told and all(what in true_of_all and value is True for what, value in told):
            item = replace(item, data=tuple(replace(s, means=_turned(s)) for s in item.data))
        elif told and all(what in all_gone and value == "all" for what, value in told):
            item = replace(item, sort="word", data=item.text)
        out.append(item)
    return out


def _turned(saying: Saying) -> dict[str, tuple[Claim, ...]]:
    return {about: tuple((what, False) for what, _ in claims) for about, claims in saying.means.items()}


def _the_only(items: list[Item], relatives: frozenset[str]) -> list[Item]:
    """`Number 2 is the only panel that stays dark`: it stays dark."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        verb, only, kind, relative = (items[at + n] if at + n < len(items) else None for n in range(4))
        thing = bool(out) and out[-1].sort in ("part", "family", "side")
        named = kind is not None and kind.sort in ("part", "family", "word", "side")
        related = relative is not None and relative.text in relatives
        if thing and is_mark(verb, "auxiliary") and is_side(only, "only") and named and related:
            at += 4
            continue
        out.append(items[at])
        at += 1
    return out


def _identified(items: list[Item], relatives: frozenset[str]) -> list[Item]:
    """`The lug that gets hot is the minus one`: what is told is told of the thing at the end."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        found = _identity(items, at, relatives)
        if found is None:
            out.append(items[at])
            at += 1
            continue
        told, verb, thing = items[at + 1 : found[0]], found[0], found[1]
        head = out[clause_start(out, len(out), _JOINTS) :]
        del out[len(out) - len(head) :]
        if not is_mark(thing[0], "not"):
            if thing[-1].sort == "part" and thing[-1].data.needed:  # `the fuse that blew is the small one`
                out += [*head, Item("sign", None, items[at].start, items[at].start, (), None, ",")]
            out += [*thing, *told]
        at = verb + 1 + len(thing)
    return out


def _identity(items: list[Item], at: int, relatives: frozenset[str]) -> tuple[int, list[Item]] | None:
    """The verb, and the one thing behind it, of a clause that says which thing it is of which something is told."""
    item, before = items[at], items[at - 1] if at else None
    leads = not is_mark(item, "pronoun") or (at + 1 < len(items) and is_mark(items[at + 1], "auxiliary"))  # `that's`
    relative = item.text in relatives and leads
    if not relative or before is None or before.sort not in ("part", "family", "word", "side"):
        return None
    near = items[max(0, at - _FEW - 1) : at]
    head = near[clause_start(near, len(near), _JOINTS) :]
    if len(head) > _FEW or any(claims(i) or is_mark(i, "not", "question") for i in head):
        return None
    for verb in range(at + 1, min(at + _REACH, len(items))):
        if items[verb].sort == "sign":
            return None
        thing = _thing_behind(items, verb)
        if thing:
            return (verb, thing) if any(i.sort == "state" for i in items[at + 1 : verb]) else None
    return None


def _thing_behind(items: list[Item], at: int) -> list[Item]:
    """The one thing behind a verb that ends a clause (`… is the minus one`, `… isn't the port coil`)."""
    if not is_mark(items[at], "auxiliary"):
        return []
    begin = at + 1 + (at + 1 < len(items) and is_mark(items[at + 1], "not"))
    end = begin
    while end < len(items) and items[end].sort in ("part", "side", "family"):
        end += 1
    return items[at + 1 : end] if end > begin and _ends(items, end - 1) else []


def _presses(items: list[Item], verbs: frozenset[str], rule: Mapping[str, str]) -> list[Item]:
    """`Push right: a clunk`: a verb as it stands in the lists, at the head of a clause, is an order and no report.

    So it is however it stands where somebody did so before (`he pushes port and it clacks, pushes starboard and …`).
    """
    out: list[Item] = []
    done = {word for i in items if i.sort == "scene" for word in i.text.split()}
    for at, item in enumerate(items):
        after = items[at + 1] if at + 1 < len(items) else None
        behind = items[at + 2] if at + 2 < len(items) else None
        bare = item.end - item.start == len(item.text) or item.text in done
        head = item.text in verbs and bare and clause_start(items, at, _JOINTS) == at
        goes_on = behind is not None and (behind.sort in ("sign", "number") or is_mark(behind, "and", "then", "same"))
        if head and goes_on and after is not None and after.sort == "side" and after.data.name in SIDES:
            scene = Scene((rule["while"],), rule["way"], None, True)
            out.append(Item("scene", scene, item.start, after.end, (after.data.name,), None, item.text))
        elif not (out and out[-1].sort == "scene" and out[-1].end == item.end):
            out.append(item)
    return out


def _ends(items: Sequence[Item], at: int) -> bool:
    after = items[at + 1] if at + 1 < len(items) else None
    return after is None or after.sort == "sign" or is_mark(after, "or", *_JOINTS)


def _also(items: list[Item], behind_no: frozenset[str], last: frozenset[str]) -> list[Item]:
    """`It doesn't light up either`, `the control unit too`: at the end of a clause these say as much."""
    out = list(items)
    for at, item in enumerate(items):
        if not at or not _ends(items, at):
            continue
        before = items[at - 1]
        if item.sort == "word" and item.text in last:
            out[at] = replace(item, sort="mark", data=Mark("also"))
        elif item.sort == "side" and item.text in behind_no and not (is_particle(before) or is_mark(before, "at")):
            said = items[clause_start(items, at, _JOINTS) : at]
            denied = any(is_mark(i, "not", "no") or (i.sort == "state" and _denies(i)) for i in said)
            verbless = is_mark(before, "not") and any(is_mark(i, "auxiliary") for i in said)  # `… doesn't either`
            if denied and (verbless or any(i.sort == "state" for i in said)):
                out[at] = replace(item, sort="mark", data=Mark("also"))
    return out


def _denies(item: Item) -> bool:
    return any(s.negates or s.firm for s in item.data) or any(
        value in (False, "no") for s in item.data for _, value in s.tells
    )


def _contrast(items: list[Item], relatives: frozenset[str]) -> list[Item]:
    """`It isn't port that is dead, it's starboard` says that starboard is dead, and of port nothing."""
    for at, item in enumerate(items):
        thing = items[at + 1] if at + 1 < len(items) else None
        if not is_mark(item, "not") or thing is None or thing.sort not in ("side", "part"):
            continue
        start = clause_start(items, at, _JOINTS)
        if not all(is_mark(i, *_LEADS) for i in items[start:at]):
            continue
        right = _put_right(items, at + 1, relatives)
        if right is not None:
            claim, place, end = right
            return [*items[:start], items[place], *claim, *_contrast(items[end:], relatives)]
    return items


def _put_right(items: list[Item], at: int, relatives: frozenset[str]) -> tuple[list[Item], int, int] | None:
    """What is said behind a denied thing, the place of the thing that it is said of instead, and where that ends."""
    thing = items[at]
    rest = at + 1
    related = rest < len(items) and items[rest].text in relatives
    claim: list[Item] = []
    rest += related
    while related and rest < len(items) and not (items[rest].sort == "sign" or is_mark(items[rest], "but", "and")):
        claim.append(items[rest])
        rest += 1
    while rest < len(items) and (
        (items[rest].sort == "sign" and items[rest].text in ",;-") or is_mark(items[rest], "but", *_LEADS)
    ):
        rest += 1
    if not any(i.sort == "state" for i in claim) or rest >= len(items):
        return None
    other = items[rest]
    if other.sort != thing.sort or not _ends(items, rest):
        return None
    return claim, rest, rest + 1
