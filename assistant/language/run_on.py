"""Lines without a comma: where one statement ends and the next begins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from assistant.knowledge.model import SIDES
from assistant.language.items import CLAIMS, Item, claims, is_mark, is_particle, is_side, pressed, up_to_sign

_CLAUSES = ("when", "if", "join", "touch", "unjoin", "from", "fall", "compare", "between", "question", "why", "plan")
"""Marks of clauses and of test wires: where they stand, a line without a comma is no list of short statements."""
_MOST = 60
"""More words in one breath are no list of short statements, and would take long to look over."""
_NEAR = 12
"""So many words beside one are looked at, where more would be of something else."""
_DIRECTIONS = (*SIDES, "both", "neither")
_LEADS = ("to", "at", "pronoun", "auxiliary")
"""Marks that stand before the side or the denial that they belong to."""


@dataclass(frozen=True, slots=True)
class Known:
    """What the settings of a language tell of words and attributes."""

    rated: frozenset[str]
    """Parts that the figure right before them may be of (`the 5 amp fuse`)."""
    denying: frozenset[str]
    """Words that deny."""
    pressed: frozenset[str]
    """Attributes that go with a direction asked for."""
    meanwhile: frozenset[str]
    """Words that set one direction against the other (`port works while starboard does nothing`)."""
    deeds: frozenset[str]
    """Attributes that tell what somebody did."""
    verbs: frozenset[str]
    """Verbs that make a phrase with a thing before them a clause."""


def cut_run_ons(items: list[Item], known: Known) -> list[Item]:
    """`batt 12.7 fuse ok iso on studs 12.6 no click`: each thing with what is said of it is a piece of its own.

    Args:
        items: The items of a text.
        known: What the settings of the language tell of words and attributes.
    """
    items = _set_against(items, known.meanwhile)
    out: list[Item] = []
    stretch: list[Item] = []
    for item in items:
        if item.sort == "sign" or is_mark(item, "and", "or", "but", "then", "because"):
            out += [*_cut_all(stretch, known), item]
            stretch = []
        else:
            stretch.append(item)
    return out + _cut_all(stretch, known)


def _set_against(items: list[Item], meanwhile: frozenset[str]) -> list[Item]:
    """`Starboard is dead while port works`: such a word between two directions ends what is said of the first."""
    out = list(items)
    for at, item in enumerate(items[:-2]):
        if not (is_mark(item, "when") and item.text in meanwhile):
            continue
        before, behind = up_to_sign(items[max(0, at - _NEAR) : at][::-1]), up_to_sign(items[at + 1 : at + 1 + _NEAR])
        sides = [_side_of(i) for i in before if _side_of(i)][:1], [_side_of(i) for i in behind if _side_of(i)][:1]
        told = any(claims(i) for i in before) and any(_states(i) for i in behind)
        if all(sides) and sides[0] != sides[1] and told:
            out[at] = _sign(item)
    return out


def _cut_all(stretch: list[Item], known: Known) -> list[Item]:
    again = _read_again(stretch)
    if again is not None:
        return [*_cut_all(stretch[:again], known), _sign(stretch[again]), *_cut_all(stretch[again:], known)]
    if any(is_mark(i, *_CLAUSES) or i.sort == "ask" for i in stretch):
        return stretch
    out: list[Item] = []
    at = _next_statement(stretch, known) if len(stretch) <= _MOST else None
    while at is not None:
        out += [*_cut(stretch[:at], known), _sign(stretch[at])]
        stretch = stretch[at:]
        at = _next_statement(stretch, known)
    return out + _cut(stretch, known)


def _sign(item: Item) -> Item:
    return Item("sign", None, item.start, item.start, (), None, "¦")


def _denied_before(stretch: Sequence[Item], verbs: frozenset[str]) -> int | None:
    """`(You said all clear) it's not my arm is in there`: a clause with a thing and a verb of its own is not denied."""
    for at in range(2, min(len(stretch), _NEAR)):
        item, head = stretch[at], [i for i in stretch[:at] if not is_mark(i, "now")]
        if item.sort == "state" and len(head) == 3 and is_mark(head[0], "pronoun") and is_mark(head[1], "auxiliary"):
            return at if is_mark(head[2], "not") and set(item.text.split()[1:]) & verbs else None
    return None


def _next_statement(stretch: Sequence[Item], known: Known) -> int | None:
    return (
        _between_sides(stretch)
        or _denied_twice(stretch, known.denying)
        or _contrast(stretch)
        or _only_there(stretch)
        or _begins_with_side(stretch, known.pressed)
        or _then_runs(stretch, known)
        or _new_clause(stretch)
        or _denied_before(stretch, known.verbs)
    )


def _cut(stretch: list[Item], known: Known) -> list[Item]:
    things = [n for n, i in enumerate(stretch) if _names(i)]
    if not things:
        return stretch
    cuts = set()
    start = things[0]
    ahead = [n for n, i in enumerate(stretch[:start]) if i.sort in CLAIMS]
    if ahead:
        state = stretch[ahead[-1]]
        sided = any(is_side(i, *_DIRECTIONS) for i in stretch[ahead[-1] + 1 : start])  # `runs both ways panel dark`
        own = state.sort == "state" and all(s.default and not s.particle and (sided or not s.weak) for s in state.data)
        following = things[1] if len(things) > 1 else len(stretch)
        if state.sort != "state":
            return stretch
        if own and _says(stretch, start, following):
            cuts.add(start)
    for at, place in enumerate(things[1:], 1):
        following = things[at + 1] if at + 1 < len(things) else len(stretch)
        own = stretch[place - 1].sort == "number" and _is_rated(stretch[place], known.rated)
        if _says(stretch, start, place - own) and (_says(stretch, place, following) or _verdict(stretch, place)):
            before = stretch[place - 1]
            cut = place - 1 if own or is_mark(before, "not", "no") or is_side(before) else place
            cuts.add(cut)
            start = place
    cuts |= _denials(stretch, start, known.denying) | _nothing_after(stretch)
    out: list[Item] = []
    for n, item in enumerate(stretch):
        if n in cuts:
            out.append(_sign(item))
        out.append(item)
    return out


def _is_rated(item: Item, rated: frozenset[str]) -> bool:
    """Whether the figure right before it may be its own (`the 5 amp fuse`)."""
    return item.sort == "part" and bool(set(item.data.about) <= rated)


def _names(item: Item) -> bool:
    return item.sort == "family" or (item.sort == "part" and bool(item.data.about) and not item.data.end)


def _says(stretch: Sequence[Item], start: int, end: int) -> bool:
    """Whether something is said of the part at `start` before `end`; a preposition says nothing."""
    thing = stretch[start]
    for item in stretch[start + 1 : end]:
        if item.sort in ("number", "range", "change"):
            return True
        if item.sort == "state" and (not is_particle(item) or _can_be(thing, item)):
            return True
    return False


def _verdict(stretch: Sequence[Item], place: int) -> bool:
    """Whether the stretch ends in a verdict on this thing (`… isolator doesn't`)."""
    if len(stretch) - place > _NEAR:
        return False
    rest = stretch[place + 1 :]
    return bool(rest) and is_mark(rest[-1], "not", "no", "yes") and all(i.sort == "mark" for i in rest)


def _can_be(thing: Item, state: Item) -> bool:
    """Whether a particle (`on`, `off`) tells the state of this part (`isolator on`, not `relay on the motor`)."""
    about = thing.data.about if thing.sort == "part" else (thing.data.port,)
    return any(s.means.get(a) for s in state.data for a in about)


def _nothing_after(stretch: Sequence[Item]) -> set[int]:
    """`Panel lit still nothing`: behind another state these words say what it does."""
    last = len(stretch) - 1
    item, before = stretch[last], stretch[last - 1]
    alone = item.sort == "state" and any(s.negates and s.default for s in item.data)
    return {last} if last and alone and before.sort in ("state", "number") else set()


def _denials(stretch: Sequence[Item], start: int, denying: frozenset[str]) -> set[int]:
    """A denied state behind one that the last part already has (`studs 12.6 no click`)."""
    for at in range(start + 1, len(stretch) - 1):
        denies = is_mark(stretch[at], "not", "no") and stretch[at + 1].sort == "state"
        denied = stretch[at].sort == "state" and stretch[at].text.split()[0] in denying and len(stretch) > at + 1
        own = denied and all(s.default and not s.weak for s in stretch[at].data)
        if (denies or own or (denied and _names(stretch[-1]))) and _says(stretch, start, at):
            return {at}
    return set()


def _denied_twice(stretch: Sequence[Item], denying: frozenset[str]) -> int | None:
    """`It does nothing no lights no click`: a denial right behind one that is a statement of its own."""
    for at, item in enumerate(stretch[1:], 1):
        before = stretch[at - 2] if at > 1 and is_side(stretch[at - 1], *_DIRECTIONS) else stretch[at - 1]
        own = before.sort == "state" and any(s.negates and s.default for s in before.data)
        again = is_mark(item, "not", "no") or (item.sort == "state" and item.text.split()[0] in denying)
        if own and again and at + is_mark(item, "not", "no") < len(stretch):
            return at
    return None


def _contrast(stretch: Sequence[Item]) -> int | None:
    """`Works at the helm not on the flybridge`: at the end, a place of which what was just said is not so."""
    nots = [n for n, i in enumerate(stretch) if is_mark(i, "not")]
    at = nots[-1] if nots else 0
    end = [i for i in stretch[at + 1 :] if not (is_mark(i, *_LEADS) or is_particle(i))]
    said = any(claims(i) for i in stretch[:at])
    return at if said and len(end) == 1 and _names(end[0]) else None


def _only_there(stretch: Sequence[Item]) -> int | None:
    """`No click on port only on starboard`: at the end, the one direction of which it is so."""
    onlys = [n for n, i in enumerate(stretch) if is_side(i, "only")]
    at = onlys[-1] if onlys else 0
    end = [i for i in stretch[at + 1 :] if not (is_mark(i, *_LEADS) or is_particle(i))]
    before = stretch[:at]
    sided = any(is_side(i) for i in before) and any(claims(i) for i in before)
    denied = any(is_mark(i, "not", "no") for i in before)
    return at if sided and denied and len(end) == 1 and is_side(end[0]) else None


def _read_again(stretch: Sequence[Item]) -> int | None:
    """`Studs 12.6 at rest 9.1 on load`: a figure behind the circumstance of another, with one of its own."""
    figures = [n for n, i in enumerate(stretch) if i.sort == "number"]
    for one, other in pairwise(figures):
        scene = any(i.sort == "scene" for i in stretch[one + 1 : other])
        if scene and any(i.sort == "scene" for i in stretch[other + 1 : other + 4]):
            return other
    return None


def _then_runs(stretch: Sequence[Item], known: Known) -> int | None:
    """`Thermal switch unplugged runs now`: what it does, right behind what was done to a part."""
    for at in range(2, len(stretch)):
        part, before, item = stretch[at - 2 : at + 1]
        if not (_names(part) and before.sort == "state" == item.sort and not is_particle(item)):
            continue
        whats = {what for s in before.data for what, _ in s.tells}
        told = {what for s in item.data if not s.own for what, _ in s.means.get(s.default or "", ())}
        if told & known.pressed and whats & known.deeds and not item.scene:
            return at
    return None


def _new_clause(stretch: Sequence[Item]) -> int | None:
    """`It's on I've just checked`: a pronoun and a verb behind what was said begin a statement of their own."""
    for at in range(1, len(stretch) - 1):
        item, before, after = stretch[at], stretch[at - 1], stretch[at + 1]
        leads = is_mark(before, *_LEADS, "with", "from", "when", "takes", "then") or is_particle(before)
        verb = is_mark(after, "auxiliary", "takes") or (after.sort == "state" and not is_particle(after))
        told = any(claims(i) and i.scene is None for i in stretch[:at])
        if is_mark(item, "pronoun") and not leads and verb and told and any(claims(i) for i in stretch[at + 1 :]):
            return at
    return None


# ------------------------------------------------------------------ one direction, then the other
def _begins_with_side(stretch: Sequence[Item], pressed: frozenset[str]) -> int | None:
    """`Panel lights both directions dead`: a direction of which the claim before it cannot tell begins the next."""
    sides = [n for n, i in enumerate(stretch) if is_side(i, *_DIRECTIONS)]
    if len(sides) != 1:
        return None
    at = sides[0]
    before = [s for i in stretch[:at] if i.sort == "state" and not is_particle(i) for s in i.data]
    whats = {what for s in before for what, _ in s.tells}
    if before and not whats & pressed and _claims_next(stretch, at):
        return _from(stretch, at, 0)
    return None


def _claims_next(stretch: Sequence[Item], at: int) -> bool:
    return any(i.sort == "state" and not is_particle(i) for i in stretch[at + 1 : at + 3])


def _between_sides(stretch: Sequence[Item]) -> int | None:
    """Where what is said of one direction ends (`works to port nothing to starboard`: before `nothing`).

    Args:
        stretch: Items without a sign or a joining word between them.

    Returns:
        None where the two directions are not spoken of one after the other.
    """
    sides = [n for n, i in enumerate(stretch) if _side_of(i)]
    if len(sides) != 2 or _side_of(stretch[sides[0]]) == _side_of(stretch[sides[1]]):
        return None
    first, second = sides
    before = any(claims(i) for i in stretch[:first])
    middle = [n for n in range(first + 1, second) if _states(stretch[n])]
    after = any(_states(i) for i in stretch[second + 1 :])
    if before and middle and not after:
        return _from(stretch, middle[0], first)
    if after and (before or any(claims(stretch[n]) for n in middle)) and not (before and middle):
        return _from(stretch, second, first)
    return None


def _from(stretch: Sequence[Item], place: int, after: int) -> int:
    """Back over the small words that lead to a place."""
    while place - 1 > after and (is_mark(stretch[place - 1], *_LEADS) or is_particle(stretch[place - 1])):
        place -= 1
    return place


def _side_of(item: Item) -> str:
    """The direction that an item names, alone or with what is done to get it (`when I press port`)."""
    if item.sort == "side":
        return str(item.data.name) if is_side(item, *_DIRECTIONS) else ""
    sides = [s for s in SIDES if s in item.sides]
    return sides[0] if len(sides) == 1 and pressed(item) else ""


def _states(item: Item) -> bool:
    """Whether an item says something of what it stands beside; a bare yes or no does."""
    return claims(item) or is_mark(item, "not", "no", "yes")
