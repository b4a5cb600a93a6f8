"""Sentences and their pieces: where one statement ends and the next begins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from assistant.knowledge.model import SIDES
from assistant.language.items import Item, claims, clause_start, is_mark, is_particle, pressed, scene_of
from assistant.language.meanings import Mark, Side
from assistant.language.quantities import Quantity

_ENDS = {".": ".", "!": ".", "?": "?", "\n": ".", ";": ";"}
_OPENERS = {",": "comma", ":": "colon", "-": "dash", "(": "comma", ")": "comma", "/": "slash", "¦": "cut",
            ">": "dash", "→": "dash", "&": "and", "+": "and"}  # fmt: skip
_MOST_ITEMS = 80
"""Nobody says more in one breath: a longer stretch is cut, so that its time grows with its length and no faster."""
_JOINTS = ("and", "or", "but", "then", "because")


@dataclass(slots=True)
class Piece:
    """A stretch of a sentence between commas and joining words."""

    opener: str
    items: list[Item] = field(default_factory=list)
    silent: bool = False
    """A plan, an if, a question: it gives no fact."""
    doubted: bool = False
    label: bool = False
    """It only names what the next piece speaks of (`port: nothing`)."""
    past: bool = False
    """It tells of the past: only work done stays a fact."""
    fixes: bool = False
    """It corrects what was said before."""
    anew: bool = False
    """What was going on before it is over (`since then …`)."""

    def marks(self, name: str) -> list[Item]:
        """The marks of one name in this piece."""
        return [i for i in self.items if i.sort == "mark" and i.data.name == name]

    @property
    def bare_no(self) -> bool:
        """Whether it says `no` or `not`, and that is all."""
        return len(self.items) == 1 and is_mark(self.items[0], "no", "not")

    def has(self, *sorts: str) -> bool:
        """Whether an item of one of these sorts is in the piece."""
        return any(i.sort in sorts for i in self.items)


@dataclass(slots=True)
class Sentence:
    """Pieces up to a full stop."""

    pieces: list[Piece]
    question: bool = False


def split(items: Sequence[Item]) -> list[Sentence]:
    """Cut items into sentences and pieces."""
    sentences: list[Sentence] = []
    pieces = [Piece("start")]
    items = _run_together(_join_ends(_join_sides(_join_figures(list(items)))))
    for item in items:
        if item.sort == "sign" and item.text in _ENDS:
            _close(sentences, pieces, _ENDS[item.text] == "?")
            pieces = [Piece("start")]
        elif item.sort == "sign" and item.text in _OPENERS:
            pieces.append(Piece(_OPENERS[item.text]))
        elif item.sort == "mark" and item.data.name in _JOINTS:
            _open(pieces, item.data.name)
            pieces[-1].anew = item.data.scope == "anew"
            if item.data.scope == "denying":
                pieces[-1].items.append(replace(item, data=Mark("not")))
        elif is_mark(item, "plan") and item.data.scope == "cut" and pieces[-1].items:
            pieces.append(Piece("comma", [item]))  # `switched it off before I opened anything`
        elif is_mark(item, "instead"):
            _open(pieces, "but")
            pieces[-1].items.append(item)
        elif is_mark(item, "pronoun") and is_mark(pieces[-1].items[0] if pieces[-1].items else None, "instead"):
            pieces.append(Piece("comma", [item]))
        elif item.sort != "sign":
            if len(pieces[-1].items) >= _MOST_ITEMS:
                pieces.append(Piece("cut"))
            pieces[-1].items.append(item)
    _close(sentences, pieces, False)
    return sentences


def sentence_ends(items: Sequence[Item]) -> list[int]:
    """The places of the signs that end a sentence, with the one before all items and the one behind them."""
    return [-1, *(n for n, i in enumerate(items) if i.sort == "sign" and i.text in _ENDS), len(items)]


def _run_together(items: list[Item]) -> list[Item]:
    """`Pulls 540 A to port. 260 to starboard.`: a sentence that leans on the one before goes on with it."""
    ends = sentence_ends(items)
    out = list(items)
    for start, end, after in zip(ends, ends[1:], ends[2:], strict=False):
        before, behind = items[start + 1 : end], items[end + 1 : after]
        if items[end].text in ".;\n" and any(claims(i) for i in before) and _leans(behind):
            out[end] = replace(items[end], text=",")
    return out


def _leans(items: Sequence[Item]) -> bool:
    """Whether a sentence says no more than a figure without a unit, or that it is the same, of another side or part."""
    if any(i.sort in ("ask", "scene", "sign", "range", "change") for i in items):
        return False
    if any(i.sort == "state" and not is_particle(i) for i in items):
        return False
    named = [i for i in items if i.sort in ("part", "family", "side")]
    figures = [i for i in items if i.sort == "number"]
    same = any(is_mark(i, "same", "also") for i in items)
    if any(is_mark(i, "question", "why", "plan", "if", "correction", "no", "not") for i in items) or len(items) > 5:
        return False
    if same:
        return len(named) == 1 and not figures
    sided = len(named) == 1 and named[0].sort == "side" and named[0].data.name in SIDES
    return sided and len(figures) == 1 and figures[0].data.unit is None


def _open(pieces: list[Piece], joint: str) -> None:
    if not pieces[-1].items:
        pieces[-1].opener = joint
    else:
        pieces.append(Piece(joint))


def _close(sentences: list[Sentence], pieces: list[Piece], question: bool) -> None:
    kept = [p for p in pieces if p.items]
    for piece, following in pairwise(kept):
        piece.label = following.opener in ("colon", "dash") or (
            following.has("state", "number", "range", "change") and not following.has("side")
        )
    if kept:
        sentences.append(Sentence(kept, question))


def _join_sides(items: list[Item]) -> list[Item]:
    """`port and starboard` is both."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        item = items[at]
        if item.sort == "side" and _repeats_place(items, at):
            items = [*items[: at + 2], *items[at + 3 :]]  # `on port and on starboard`
        if item.sort == "side" and (counted := _how_often(items, at)):
            items = [*items[: at + 1], *items[at + 1 + counted :]]  # `to port twice and to starboard twice`
        joint = items[at + 1] if at + 1 < len(items) else None
        other = items[at + 2] if at + 2 < len(items) else None
        joined = is_mark(joint, "and", "or") or (joint is not None and joint.sort == "sign" and joint.text in "/&+")
        pair = joined and other is not None and item.sort == "side" == other.sort and _opposite(item, other)
        if joined and other is not None and _pressed_to(items, at, other):
            out.append(replace(item, sort="scene", data=scene_of(item), scene=None, sides=SIDES, end=other.end))
            at += 3
        elif pair and other is not None and not _begins_anew(items, at):
            out.append(Item("side", Side("both"), item.start, other.end, (), None, item.text))
            at += 3
        elif (
            item.sort == "side"
            and item.data.name == "both"
            and joint is not None
            and joint.sort == "side"
            and (joint.data.name in SIDES and at + 3 < len(items) and items[at + 3].sort == "side")
        ):
            at += 1
        else:
            out.append(item)
            at += 1
    return out


def _how_often(items: Sequence[Item], at: int) -> int:
    """How many items between a side and a joining word before the other side only tell how often it was."""
    end = next((n for n in range(at + 1, min(at + 5, len(items))) if is_mark(items[n], "and")), at + 1)
    between, rest = items[at + 1 : end], items[end + 1 : end + 2]
    plain = all(i.sort == "word" or is_mark(i, "often") for i in between)
    other = bool(rest) and rest[0].sort == "side" and _opposite(items[at], rest[0])
    return len(between) if between and plain and other and is_mark(between[-1], "often") else 0


def _repeats_place(items: Sequence[Item], at: int) -> bool:
    """Whether the small word before a side is said once more before another."""
    before = items[at - 1] if at else None
    rest = items[at + 1 : at + 4]
    if before is None or len(rest) < 3 or not is_mark(rest[0], "and", "or") or rest[2].sort != "side":
        return False
    small = is_particle(before) or is_mark(before, "to", "at")
    return small and rest[1].text == before.text and _opposite(items[at], rest[2])


def _pressed_to(items: Sequence[Item], at: int, other: Item) -> bool:
    """`Stick to port and starboard gives nothing`: one direction asked for after the other."""
    item = items[at]
    head = item.sort == "scene" or not at or items[at - 1].sort == "sign"
    if not (pressed(item) and head and len(item.sides) == 1 and other.sort == "side"):
        return False
    follows = at + 3 < len(items) and claims(items[at + 3])
    return other.data.name in SIDES and other.data.name != item.sides[0] and follows


def _begins_anew(items: Sequence[Item], at: int) -> bool:
    """`Runs to port and starboard stays dead`: each of two directions has what is said of it."""
    small = ("auxiliary", "now", "at", "merely", "pronoun")
    rest = [i for i in items[at + 3 : at + 6] if not (i.sort == "word" or is_mark(i, *small))]
    after = next((i for i in rest if not (i.sort == "side" and i.data.name == "only")), None)
    if is_mark(after, "not", "no"):
        after = rest[1] if len(rest) > 1 else None
    joins = is_mark(items[at + 1], "and") or items[at + 1].sort == "sign"
    if after is None or not joins or not claims(after):
        return False
    if after.sort == "state" and all((s.weak and s.with_side) or s.particle for s in after.data):
        return False
    return any(claims(i) for i in items[clause_start(items, at, _JOINTS) : at])


def _join_ends(items: list[Item]) -> list[Item]:
    """`control plus and the port signal`: the two ends of a wire stay in one piece."""
    out: list[Item] = []
    for at, item in enumerate(items):
        if is_mark(item, "and") and 0 < at < len(items) - 1 and _is_end(items[at - 1]):
            rest = [i for i in items[at + 1 : at + 3] if i.sort != "side"]
            sided = items[at + 1].sort == "side" and bool(rest) and rest[0].sort == "part"  # `and the port pin`
            if rest and (_is_end(rest[0]) or rest[0].sort == "family" or sided):
                continue
        out.append(item)
    return out


def _is_end(item: Item) -> bool:
    return item.sort == "part" and item.data.end is not None


def _opposite(one: Item, other: Item) -> bool:
    return {one.data.name, other.data.name} == {"port", "starboard"}


def _join_figures(items: list[Item]) -> list[Item]:
    """Ranges and changes become one item: `9 to 10`, `between 9 and 10`, `from 12.6 to 9`, `12.6 falling to 9`."""
    out: list[Item] = []
    at = 0
    while at < len(items):
        item = items[at]
        if item.sort == "number":
            joined = _figures(items, at, out)
            if joined is not None:
                new, at = joined
                out.append(new)
                continue
        out.append(item)
        at += 1
    return out


def _figures(items: list[Item], at: int, before: list[Item]) -> tuple[Item, int] | None:
    place = at + 1
    fell = _fell_before(before)
    joint = ""
    kept: list[Item] = []
    while place < len(items) and place <= at + 6:
        item = items[place]
        if item.sort == "number":
            break
        if not joint and (item.sort == "part" or is_mark(item, "at") or _comes_to_fall(items, place)):
            kept += [item] if item.sort != "sign" else []
            fell = fell or _goes_to(items, place)
            place += 1
            continue
        if fell and not joint and item.sort == "scene":
            place += 1
            continue  # `from 12.7 at rest to 11.9`
        if is_mark(item, "fall"):
            fell = True
            joint = "fall"
        elif is_mark(item, "to") or (is_mark(item, "under") and _fell_before(before)):  # `from 150 up to 300`
            joint = joint or "to"
        elif _ranges(item, _last(before), place == at + 1):
            joint = joint or "range"
        elif item.sort == "sign" and item.text in ("→", ">"):
            fell, joint = True, "fall"
        elif fell and (is_mark(item, "pronoun") or item.sort == "state"):
            joint = joint or "fall"
        elif not is_mark(item, "about") and item.sort != "word":
            return None
        place += 1
    else:
        return None
    if place >= len(items) or not joint:
        return None
    if kept and joint != "fall":
        return None
    paired = _pair(items[at], items[place], place + 1, fell and joint in ("to", "fall"), joint == "to")
    if paired is None or (kept and paired[0].sort != "change"):
        return None
    before += kept
    return paired


def _comes_to_fall(items: list[Item], place: int) -> bool:
    """A comma, or a joining word, right before a fall (`12.6 at the studs, drops to 9`)."""
    joint = items[place].sort == "sign" and items[place].text == ","
    after = [i for i in items[place + 1 : place + 3] if not is_mark(i, "pronoun", "then", "and")]
    if not (joint or is_mark(items[place], "and", "but", "then")):
        return False
    return (bool(after) and is_mark(after[0], "fall")) or _goes_to(items, place)


def _goes_to(items: list[Item], place: int) -> bool:
    """A joining word before a verb and the figure to which it comes (`12.6 and goes to 9`)."""
    after = [i for i in items[place + 1 : place + 6] if not is_mark(i, "pronoun", "then", "and", "about")][:3]
    return len(after) == 3 and after[0].sort == "state" and is_mark(after[1], "to") and after[2].sort == "number"


def _ranges(item: Item, before: Item | None, next_to: bool) -> bool:
    """Whether what stands between two figures makes them a range."""
    if item.sort == "sign":
        return item.text == "-" and next_to
    return is_mark(item, "or") or (is_mark(item, "and") and is_mark(before, "between"))


def _last(before: list[Item]) -> Item | None:
    return before[-1] if before else None


def _fell_before(before: list[Item]) -> bool:
    return any(is_mark(i, "from") for i in before[-2:])


def _pair(first: Item, second: Item, after: int, change: bool, falls: bool = False) -> tuple[Item, int] | None:
    low: Quantity = first.data
    high: Quantity = second.data
    if low.unit is None and high.spelled is not None:
        low = replace(low, value=low.value * high.spelled.factor + high.spelled.offset, unit=high.unit)
    elif high.unit is None and low.spelled is not None:
        high = replace(high, value=high.value * low.spelled.factor + low.spelled.offset, unit=low.unit)
    if low.unit != high.unit:
        return None
    change = high.value < low.value if change or falls else False
    both = replace(low, high=high.value, end=high.end, decimal=low.decimal or high.decimal)
    return Item("change" if change else "range", both, first.start, second.end), after
