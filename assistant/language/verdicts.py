"""Question and answer in one line, and what is said of a wire: which verdict belongs to what."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from assistant.language.items import Item, at_edge, claims, is_mark, is_side, item_at, up_to_sign
from assistant.language.meanings import Mark, Side
from assistant.language.views import names_in

_ASKS = (":", "?", "-", "=")
_STOPS = (".", "!", "?", ";", ",", "\n")


def join_verdicts(items: list[Item], settings: Mapping[str, Any]) -> list[Item]:
    """Put each verdict to what it is said of.

    Args:
        items: The items of a text.
        settings: The settings of the language.
    """
    denying = names_in(settings, "denying")
    out = _not_done(_cleft(items, names_in(settings, "cleft")), names_in(settings, "not_done"))
    out = _answer_own(_wire_verdict(_side_verdict(out), denying), denying, names_in(settings, "deeds"))
    out = _wire_ends(_arrows(_told_of(out, names_in(settings, "relatives"))))
    return _wire_to(out, names_in(settings, "strong_ways"))


def _wire_verdict(items: list[Item], denying: frozenset[str]) -> list[Item]:
    """`bridge between control plus and the port signal: off`: what stands behind the sign is said of the wire."""
    out: list[Item] = []
    wire = False
    for at, item in enumerate(items):
        verdict, after = item_at(items, at + 1), item_at(items, at + 2)
        ends = after is None or (after.sort == "sign" and after.text in _STOPS)
        gone = verdict is not None and verdict.sort == "state" and verdict.text in denying
        asks = item.sort == "sign" and item.text in _ASKS
        if not (wire and asks and gone and ends):
            out.append(item)
        wire = is_mark(item, "join") or (wire and not (item.sort == "sign" and not asks))
    return out


def _wire_to(items: list[Item], ways: frozenset[str]) -> list[Item]:
    """`Is jumpered to the starboard coil`: beside a coil, what else stands for a trial is a wire and its end."""
    out: list[Item] = []
    for at, item in enumerate(items):
        after = item_at(items, at + 1)
        trial = item.sort == "scene" and item.data.way in ways and len(item.sides) == 1 and not item.data.while_
        verb = at > 0 and any(is_mark(i, "auxiliary") for i in items[max(0, at - 2) : at])
        if trial and verb and after is not None and after.sort == "family" and not after.sides:
            name, (side,) = item.text.split()[0], item.sides
            out.append(Item("mark", Mark("join"), item.start, item.end, (), None, name))
            out.append(Item("side", Side(side), item.start, item.end, (), None, side))
        else:
            out.append(item)
    return out


def _arrows(items: list[Item]) -> list[Item]:
    """`Control plus → port signal`: an arrow or a dash between the two ends of a wire says `to`."""
    out = list(items)
    for at, item in enumerate(items):
        before, rest = item_at(items, at - 1), [i for i in items[at + 1 : at + 3] if i.sort != "side"]
        end = rest[0] if rest else None
        ends = before is not None and end is not None and _is_end(before) and (_is_end(end) or end.sort == "family")
        if item.sort == "sign" and item.text in ("→", ">", "-") and ends:
            out[at] = replace(item, sort="mark", data=Mark("to"))
    return out


def _wire_ends(items: list[Item]) -> list[Item]:
    """`Test lead withdrawn, control plus to the port signal`: the ends behind the comma are those of the wire."""
    out: list[Item] = []
    wire = ended = False
    named: set[str] = set()
    for at, item in enumerate(items):
        after = item_at(items, at + 1)
        sign = item.sort == "sign"
        goes_on = sign and item.text in ",:" and wire and not ended and after is not None and _is_end(after)
        goes_on = goes_on and after is not None and not set(after.data.about) & named
        if goes_on and not is_mark(out[-1], "join") and _tells_of_wire(out[-1]):
            out[-1] = replace(out[-1], sort="mark", data=Mark("join"))  # `jumper on, motor plus to the port coil`
        if not goes_on:
            out.append(item)
            begins = is_mark(item, "join") or _tells_of_wire(item)
            named = set(item.data.about) if item.sort == "part" else named  # `thermal jumper out, thermal plug on`
            wire, ended = (wire or begins, ended or _is_end(item)) if not sign else (False, False)
    return out


def _tells_of_wire(item: Item) -> bool:
    """Whether a state says that a test wire is in, and not which (`jumper on`)."""
    return item.sort == "state" and any(c[1] == "other" for s in item.data for c in s.means.get("bridge", ()))


def _is_end(item: Item) -> bool:
    return item.sort == "part" and item.data.end is not None


def _told_of(items: list[Item], relatives: frozenset[str]) -> list[Item]:
    """`The battery, which stood at 12.8, fell to 10`: what is told in between is told of the part, and asks nothing."""
    out: list[Item] = []
    for at, item in enumerate(items):
        before, sign, after = item_at(out, len(out) - 2), item_at(out, len(out) - 1), item_at(items, at + 1)
        part = before is not None and before.sort in ("part", "family") and sign is not None and sign.text == ","
        tells = after is not None and (after.sort in ("word", "state") or is_mark(after, "auxiliary", "takes"))
        if part and tells and is_mark(item, "question") and item.text in relatives:
            out.pop()
            continue
        out.append(item)
    return out


def _side_verdict(items: list[Item]) -> list[Item]:
    """`Port, won't; starboard, does`: a verb that stands alone behind a direction and a comma is its verdict."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        item, sign = items[at], item_at(items, at + 1)
        out.append(item)
        head = is_side(item) and at_edge(item_at(out, len(out) - 2), "and", "but")
        end = at + 2
        if head and sign is not None and sign.sort == "sign" and sign.text in (*_ASKS, ","):
            while end < min(len(items), at + 6) and is_mark(items[end], "auxiliary", "takes", "pronoun", "not"):
                end += 1
        ends = at_edge(item_at(items, end), "and", "but", "then")
        nots = [i for i in items[at + 2 : end] if is_mark(i, "not")]
        if ends and len(nots) == 1:
            out.append(nots[0])
            at = end
        else:
            at += 1
    return out


def _is_deed(item: Item, verdict: Item | None, deeds: frozenset[str]) -> bool:
    """`Panel 1 plugged in: nothing`: what was done, and what came of it."""
    done = item.sort == "state" and any(value is True and what in deeds for s in item.data for what, value in s.tells)
    return done and verdict is not None and verdict.sort == "state"


def _answer_own(items: list[Item], denying: frozenset[str], deeds: frozenset[str]) -> list[Item]:
    """`panel lit: yes. clicks: no. fuse blown? no`: a state and its verdict are one statement."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        item, sign, verdict, after = (item_at(items, at + n) for n in range(4))
        assert item is not None
        numbered = item.sort == "part" and item.figure is not None  # `number 2, no`
        head = is_side(item) and at_edge(item_at(out, len(out) - 1), "and", "but")  # `port, no`
        signs = (*_ASKS, ",") if numbered or (head and is_mark(verdict, "yes", "no", "not")) else _ASKS
        asks = sign is not None and sign.sort == "sign" and sign.text in signs
        asks = asks and (item.sort in ("state", "scene", "family") or is_side(item) or numbered)
        stops = _STOPS if item.sort == "state" else (*_STOPS, "-", "/")
        ends = after is None or (after.sort == "sign" and after.text in stops) or is_mark(after, "and", "but", "then")
        no = verdict is not None and _denies(verdict, denying)
        asks = asks and not _is_deed(item, verdict, deeds)
        asks = asks and not is_mark(item_at(items, at + 4), "swap", "correction")  # `dead - no, the other way round`
        if not asks or verdict is None or not (no or is_mark(verdict, "yes")) or not ends:
            out.append(item)
            at += 1
            continue
        if item.sort in ("side", "scene", "family") and verdict.sort == "state" and verdict.text not in denying:
            out += [item, verdict]  # `starboard: nothing` is as good as `starboard nothing`
        elif item.sort != "state":
            out += [item, replace(verdict, sort="mark", data=Mark("not" if no else "yes"))]
        else:
            out += [Item("mark", Mark("not"), item.start, item.start, (), None, "")] if no else []
            out.append(replace(item, end=verdict.end))
        if after is None or after.sort != "sign":
            out.append(Item("sign", None, verdict.end, verdict.end, (), None, ","))
        at += 3
    return out


def _cleft(items: list[Item], lead: frozenset[str]) -> list[Item]:
    """`What's new is the contactor`: said of the thing named last."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        begins = at_edge(item_at(out, len(out) - 1), "and", "but", "then")
        asks, state, verb = items[at], items[at + 1 : at + 2], items[at + 2 : at + 3]
        thing = up_to_sign(items[at + 3 : at + 9])
        told = bool(thing) and all(i.sort in ("part", "family", "side") for i in thing)
        cleft = begins and is_mark(asks, "question") and asks.text.split()[0] in lead and told
        if cleft and state[0].sort == "state" and is_mark(verb[0], "auxiliary"):
            out += [*thing, *verb, *state]
            at += 3 + len(thing)
        else:
            out.append(asks)
            at += 1
    return out


def _not_done(items: list[Item], last: frozenset[str]) -> list[Item]:
    """`Port turns. Starboard not yet`: where nothing is said that could be denied, it was not done, and is to be."""
    out = list(items)
    start = 0
    for at, item in enumerate(items):
        if item.sort == "sign":
            start = at + 1
        undone = is_mark(item, "not") and item.data.scope == "undone"  # `starboard I haven't got round to`
        ends = (item.text in last or undone) and at_edge(item_at(items, at + 1))
        clause = items[start : at + undone] if ends else []
        if item.text in last and at > start and is_mark(items[at - 1], "not"):  # `not yet from here`
            clause = [*items[max(start, at - 6) : at], *up_to_sign(items[at + 1 : at + 7])]
        nots = [n for n, i in enumerate(clause) if is_mark(i, "not")]
        if len(nots) == 1 and not any(claims(i) for i in clause):
            out[start + nots[0]] = replace(clause[nots[0]], data=Mark("plan"))
    return out


def _denies(item: Item, denying: frozenset[str]) -> bool:
    if item.sort == "state":
        return item.text in denying or any(s.negates for s in item.data)
    return is_mark(item, "not", "no")
