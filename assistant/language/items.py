"""From tokens to the items that carry meaning: parts, states, sides, figures, scenes and marks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile
from typing import Any

from assistant.knowledge.model import SIDES
from assistant.language.meanings import PartName, Scene, Side
from assistant.language.own_words import OWN, OwnWord, mark_own
from assistant.language.phrases import Entry, Match
from assistant.language.quantities import Quantity
from assistant.language.separable import Written, joined
from assistant.language.spelling import guess
from assistant.language.tokens import (
    Token,
    as_a_whole,
    bounds_for_words,
    is_label,
    letters_for_words,
    said_plainly,
    tokenise,
    without_clitics,
    without_closer,
    without_idle,
    without_opener,
    without_row_numbers,
)
from assistant.language.units import NumberReader
from assistant.language.words import Words

CLAIMS = ("state", "number", "range", "change")
"""Sorts of items that say something."""
_FULL_STOPS = frozenset(".!?;\n")
_COMMAS = (",", "-", ":", ".")
_MOST_GUESSES = 60
"""More strange words than this are no typing errors."""


@dataclass(frozen=True, slots=True)
class Item:
    """A piece of meaning with its place in the text."""

    sort: str
    """`part`, `family`, `side`, `scene`, `state`, `mark`, `ask`, `number`, `sign` or `word`."""
    data: Any
    start: int
    end: int
    sides: tuple[str, ...] = ()
    figure: int | None = None
    text: str = ""
    scene: Scene | None = None
    """What it means as a circumstance, when it can be read both ways."""
    bare: bool = False
    """True when its first word stands as in the lists, as an order or an infinitive does (`lift`, not `lifted`)."""


def is_mark(item: Item | None, *names: str) -> bool:
    """Whether this is one of these marks."""
    return item is not None and item.sort == "mark" and item.data.name in names


def is_side(item: Item | None, *names: str) -> bool:
    """Whether this is one of these sides; port or starboard, where none is named."""
    return item is not None and item.sort == "side" and item.data.name in (names or SIDES)


def is_particle(item: Item) -> bool:
    """Whether this is a state that may as well be part of another saying (`off` of `switched off`)."""
    return item.sort == "state" and all(s.particle for s in item.data)


def scene_of(item: Item) -> Scene | None:
    """The circumstance that an item is, or may be."""
    return item.data if item.sort == "scene" else item.scene


def pressed(item: Item) -> bool:
    """Whether an item tells of a direction asked for."""
    scene = scene_of(item)
    return scene is not None and bool(scene.press)


COMMA = Item("sign", None, 0, 0, (), None, ",")


def item_at(items: Sequence[Item], place: int) -> Item | None:
    """The item at a place; none before the first and behind the last."""
    return items[place] if 0 <= place < len(items) else None


def at_edge(item: Item | None, *joints: str) -> bool:
    """Whether a clause begins behind this item, or ends before it: it is none, a sign, or one of these marks."""
    return item is None or item.sort == "sign" or is_mark(item, *joints)


def up_to_sign(items: Iterable[Item]) -> list[Item]:
    """The items before the next sign."""
    return list(takewhile(lambda i: i.sort != "sign", items))


def clause_start(items: Sequence[Item], at: int, joints: Sequence[str]) -> int:
    """Where the clause begins in which an item stands: behind a sign, or one of these joining words."""
    while at and not (items[at - 1].sort == "sign" or is_mark(items[at - 1], *joints)):
        at -= 1
    return at


def claims(item: Item) -> bool:
    """Whether an item says something; a preposition and what is pressed say nothing."""
    state = item.sort == "state" and not is_particle(item) and not pressed(item)
    return state or item.sort in CLAIMS[1:]


def write_words(text: str, words: Words, figures: bool = False, tokens: list[Token] | None = None) -> list[Written]:
    """The text as canonical words; fillers are gone, figures are one word each.

    With `figures`, small numbers in words are figures even without a unit. `tokens` are those of the text when
    names of the person's own are marked among them.
    """
    tokens = _tokens(text, words) if tokens is None else tokens
    numbers = NumberReader(tokens, text, words.units)
    guessing = _is_language(tokens, words)
    out: list[Written] = []
    at = 0
    while at < len(tokens):
        found = None if is_label(tokens, at) else numbers.at(at)
        if found is not None and found[0].soft and not _is_figure(tokens, at, found[1], words, figures):
            found = None
        if found is not None:
            start = at
            quantity, at = found
            if at + 1 < len(tokens) and tokens[at].text in words.units.times_sign and tokens[at + 1].sort == "number":
                after = numbers.at(at + 1)
                at = after[1] if after else at + 2
                continue
            names = ["<n>", *_counts(quantity), _whole(quantity), *_spans(quantity)]
            names += [tokens[start].text] if at == start + 1 and tokens[start].sort == "word" else []
            out.append(Written("#", tuple(names), quantity.start, quantity.end, quantity))
            continue
        out.extend(_write(tokens, at, words, guessing))
        at += 1
    return joined(out, words)


def _tokens(text: str, words: Words) -> list[Token]:
    tokens = without_row_numbers(tokenise(text))
    tokens = [replace(t, text=t.text.translate(words.letters)) for t in tokens]
    tokens = letters_for_words(without_clitics(tokens, words.clitics), words.label_letters)
    tokens = bounds_for_words(tokens, words.bounds)
    tokens = without_idle(as_a_whole(tokens, words.whole), words.idle, _FULL_STOPS)
    tokens = without_opener(tokens, words.openers, words.begins, words.stays, _labelled(tokens, words), words.always)
    tokens = as_a_whole(without_closer(tokens, words.closers, words.not_closing), words.whole)
    tokens = _slashed(tokens, words)
    return said_plainly(tokens, words.plain) if words.plain else tokens


def _labelled(tokens: list[Token], words: Words) -> bool:
    """`Right no click, left clicks`: a side that labels what follows, where another is named in the same way."""
    sides = [n for n, t in enumerate(tokens) if "<side>" in words.classes.get(t.text, ())]
    if sides[:1] != [0] or len(sides) < 2:
        return False
    comma = tokens[1].text in _COMMAS
    return not comma or any(tokens[n - 1].text in _FULL_STOPS and _is_comma(tokens, n + 1) for n in sides[1:])


def _is_comma(tokens: list[Token], at: int) -> bool:
    return at < len(tokens) and tokens[at].text in _COMMAS


def _slashed(tokens: list[Token], words: Words) -> list[Token]:
    """`w/` and `u/s` are one word where the lists know them so."""
    if not any(t.text == "/" for t in tokens):
        return tokens
    out: list[Token] = []
    at = 0
    while at < len(tokens):
        found = next((n for n in (3, 2) if _as_one(tokens[at : at + n], n) in words.forms), 0)
        if found:
            part = tokens[at : at + found]
            out.append(replace(part[0], text=_as_one(part, found), end=part[-1].end))
        else:
            out.append(tokens[at])
        at += found or 1
    return out


def _as_one(tokens: list[Token], count: int) -> str:
    """What stands without a space between, or nothing."""
    one = len(tokens) == count and tokens[1].text == "/" and all(t.glued for t in tokens[1:])
    return "".join(t.text for t in tokens) if one else ""


def _is_language(tokens: list[Token], words: Words) -> bool:
    """Whether enough of a text is known that the rest may be misspelt; in noise nothing is guessed."""
    spelled = {t.text for t in tokens if t.sort == "word"}
    strange = sum(not _is_known(word, words) for word in spelled)
    return strange <= 3 or (2 * strange <= len(spelled) and strange <= _MOST_GUESSES)


def _is_known(word: str, words: Words) -> bool:
    return word in words.known or words.canonical(word) != (word,)


def _is_figure(tokens: list[Token], at: int, after: int, words: Words, figures: bool) -> bool:
    """Whether a small number in words is a figure: figures are asked for, or a fall ends at it (`drops to nine`)."""
    fall, behind, before = words.units.reached
    reached = at > 1 and tokens[at - 1].text in behind and fall.intersection(words.canonical(tokens[at - 2].text))
    ends = after >= len(tokens) or tokens[after].sort == "mark" or tokens[after].text in before
    return bool(reached and ends) or (figures and _stands_alone(tokens, at, after, words))


def _stands_alone(tokens: list[Token], at: int, after: int, words: Words) -> bool:
    """Whether nothing follows that a small number could count, and no article says that it counts (`the two`)."""
    if at and tokens[at - 1].text in words.units.definite:
        return False
    if after >= len(tokens) or tokens[after].sort == "mark":
        return True
    if tokens[after].text in words.units.link | words.units.choice | words.units.range and after + 1 < len(tokens):
        return tokens[after + 1].text in words.units.ones  # `between nine and twelve`
    return "<who>" in words.classes.get(tokens[after].text, ())


def _spans(quantity: Quantity) -> tuple[str, ...]:
    """Whether a figure is a year, years, or a time within a day (`ten minutes ago` is as good as now)."""
    if quantity.unit == "s":
        return ("<span>",) if quantity.value < 86_400 else ()
    if quantity.unit == "years":
        return ("<years>",)
    year = quantity.unit is None and not quantity.decimal and 1950 <= quantity.value <= 2100
    return ("<year>",) if year else ()


def _counts(quantity: Quantity) -> tuple[str, ...]:
    plain = quantity.unit is None and not quantity.decimal and 0 < quantity.value < 10
    return ("<nth>",) if plain else ()


def _whole(quantity: Quantity) -> str:
    return f"#{quantity.value:g}" if quantity.unit is None else "#"


def _write(tokens: list[Token], at: int, words: Words, guessing: bool) -> Iterable[Written]:
    token = tokens[at]
    if token.sort == OWN:
        yield Written(token.text, (f"<{OWN}>",), token.start, token.end, own=token.text)
        return
    if token.text in words.spoken_signs:
        sign = words.spoken_signs[token.text]
        yield Written(sign, (sign,), token.start, token.end, None, True)
        return
    if token.sort != "word":
        if token.sort == "mark" and not _silent(tokens, at, words):
            yield Written(token.text, (token.text,), token.start, token.end, None, True)
        return
    spelled = token.text
    last = at + 1 == len(tokens) or tokens[at + 1].sort == "mark"
    if spelled in words.final and last and not (at and tokens[at - 1].text in words.final_not_after):
        spelled = words.final[spelled]
    meant = _canonical(spelled, words) if guessing else words.canonical(spelled)
    guessed = words.canonical(token.text) == (token.text,)
    literal = (f"={meant[0] if guessed else token.text}",) if len(meant) == 1 else ()
    for canonical in meant:
        if canonical not in words.filler:
            names = (canonical, *literal, *words.also.get(canonical, ()), *words.classes.get(canonical, ()))
            yield Written(canonical, names, token.start, token.end, finite=_is_finite(token.text, words))


def _is_finite(word: str, words: Words) -> bool:
    return word.endswith(words.finite) and not word.endswith(words.not_finite)


def _silent(tokens: list[Token], at: int, words: Words) -> bool:
    """A hyphen inside a word, or the dot of an abbreviation, is no sign."""
    token = tokens[at]
    if token.text in "'\"`*_~^":
        return True
    before = tokens[at - 1] if at else None
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    if before is None or before.sort != "word" or not token.glued:
        return False
    if token.text == "-":
        return after is not None and after.glued and after.sort == "word"
    if token.text != "." or after is None:
        return False
    if after.text in words.begins:
        return False  # `click to stbd. no run`
    counts = (
        after.sort == "number" and after.text.isdigit() and len(after.text) == 1
    )  # `no. 2`, and not `click no. 12.4`
    return before.text in words.dotted or (before.text in words.dotted_figure and counts)


def _canonical(word: str, words: Words) -> tuple[str, ...]:
    found = words.cache.get(word)
    if found is None:
        found = _look_up(word, words)
        if len(words.cache) < 50_000:
            words.cache[word] = found
    return found


def _look_up(word: str, words: Words) -> tuple[str, ...]:
    if len(word) > 40:
        return (word,)
    plain = words.canonical(word)
    if plain != (word,) or word in words.known:
        return plain
    if words.genitive and word.endswith(words.genitive):
        return _look_up(word.removesuffix(words.genitive), words)
    for ending in words.denying:
        if word.endswith(ending) and len(word) > len(ending):
            return (*_look_up(word[: -len(ending)], words), *words.canonical(words.negation))
    for spoken, whole in words.clipped:
        full = word.removesuffix(spoken) + whole
        if word.endswith(spoken) and (full in words.known or words.canonical(full) != (full,)):
            return words.canonical(full)
    bare = word.replace("'", "")
    if bare != word:
        return _look_up(bare, words) if bare else (word,)
    meant = guess(word, words.targets)
    for ending, instead in words.endings:
        if meant is None and word.endswith(ending) and len(word) - len(ending) >= 4:
            meant = guess(word[: len(word) - len(ending)] + instead, words.targets)
    return words.canonical(meant) if meant else (word,)


def find_items(text: str, words: Words, figures: bool = False, own: Sequence[OwnWord] = ()) -> list[Item]:
    """All items of a text in order; what carries no meaning stays as plain words.

    Args:
        text: What was said.
        words: The word lists.
        figures: Whether small numbers in words are figures even without a unit.
        own: The person's own names of parts that stand.
    """
    items = _items(write_words(text, words, figures), words)
    if not own or words.own_names is None:
        return items
    tokens = mark_own(_tokens(text, words), own, items, words.own_names, words.units.words)
    return _items(write_words(text, words, figures, tokens), words)


def _items(written: list[Written], words: Words) -> list[Item]:
    items: list[Item] = []
    at = 0
    names = [w.names for w in written]
    light = [w.text in words.light for w in written]
    while at < len(written):
        found = _find(written, words, names, light, at)
        if found is None:
            items.append(_plain(written[at]))
            at += 1
            continue
        items.append(_item(written, at, found.end, found.entries))
        at = found.end
    return items


def _guarded(written: list[Written], words: Words, at: int, found: Match) -> bool:
    """Whether a word for a side stands where it is an ordinary word (`left on`, `all right`)."""
    side = found.entries[0].data
    before = written[at - 1].text if at else ""
    if not isinstance(side, Side):
        guard = words.side_guards.get(written[at].text)
        return guard is not None and found.end > at + 1 and before in guard.not_after
    if not (side.not_after or side.not_before):
        return False
    others = {f"<{s}>" for s in SIDES} - set(written[at].names)
    after = written[found.end].text if found.end < len(written) else ""
    if after in side.chat_before and (not before or before in _FULL_STOPS):
        then = written[found.end + 1] if found.end + 1 < len(written) else None
        chat = after in _COMMAS and then is not None and (then.text in side.chat_then or "<side>" in then.names)
        return chat or not any(others & set(w.names) and _leads(written, n) for n, w in enumerate(written))
    if at > 1 and others & set(written[at - 2].names):
        return False  # `turns left and right now`
    if _paired_with(written, words, found.end, others):
        return False  # `ran it left and right`
    verb = found.end + 1 < len(written) and written[found.end + 1].finite
    runs = verb and "<it>" in written[found.end].names
    return before in side.not_after or (after in side.not_before and not runs)


def _paired_with(written: list[Written], words: Words, at: int, others: set[str]) -> bool:
    """Whether a joining word and the other side stand at a place, which is a side there."""
    joint, other, after = (written[n] if n < len(written) else None for n in (at, at + 1, at + 2))
    if (
        joint is None
        or other is None
        or joint.text not in words.units.link | words.units.choice
        or not others & set(other.names)
    ):
        return False
    guard = words.side_guards.get(other.text)
    return guard is None or after is None or after.text not in guard.not_before


def _only_begins(
    written: list[Written], words: Words, lists: tuple[list[tuple[str, ...]], list[bool]], at: int, found: Match
) -> bool:
    """`Right, figures in the order I took them`: a side before a clause that claims nothing opens the talk."""
    side, begin = found.entries[0].data, found.end + 1
    if at or not isinstance(side, Side) or not side.chat_before or begin >= len(written) or written[at + 1].text != ",":
        return False
    clause = list(takewhile(lambda w: not w.sign, written[begin:]))
    found_in = (_longest(words, *lists, n) for n in range(begin, begin + len(clause)))
    entries = [e for m in found_in if m is not None for e in m.entries]
    tells = any(e.sort == "side" or (e.sort == "state" and not e.data.particle) for e in entries)
    return not tells and not any(w.quantity for w in clause)


def _leads(written: list[Written], at: int) -> bool:
    """Whether a word for a side may label what follows (`right, nothing; left, a click`)."""
    before = written[at - 1] if at else None
    after = written[at + 1].text if at + 1 < len(written) else ""
    return (before is None or before.sign) and (after in _COMMAS or at + 2 < len(written))


def _find(
    written: list[Written], words: Words, names: list[tuple[str, ...]], light: list[bool], at: int
) -> Match | None:
    """The phrase at a word, cut back where a longer one starts inside it and goes beyond."""
    found = _longest(words, names, light, at)
    while found is not None:
        if _guarded(written, words, at, found) or _only_begins(written, words, (names, light), at, found):
            return None
        start = _overtaken(words, names, light, at, found)
        if start is None:
            return found
        found = _longest(words, names, light, at, start - at)
    return None


def _longest(words: Words, names: list[tuple[str, ...]], light: list[bool], at: int, reach: int = 24) -> Match | None:
    """The better of the names and the other phrases that start at a word; `be loose` also means what `loose` means."""
    best = _best(words, names, light, at, reach)
    if best is None or best.used < 2 or not set(names[at]) & words.carriers:
        return best
    inner = _best(words, names, light, at + 1, reach - 1)
    if inner is None or inner.end != best.end:
        return best
    both = (*best.entries, *(e for e in inner.entries if e not in best.entries))
    return Match(best.end, best.used, tuple(sorted(both, key=lambda e: -e.rank)))


def _best(words: Words, names: list[tuple[str, ...]], light: list[bool], at: int, reach: int) -> Match | None:
    name = words.names.longest(names, [], at, reach)
    other = words.net.longest(names, light, at, reach)
    if name is None or other is None:
        return name or other
    if name.end == other.end and name.used == other.used:
        entries = sorted((*name.entries, *other.entries), key=lambda e: -e.rank)
        return Match(name.end, name.used, tuple(entries))
    return max(name, other, key=lambda m: (m.used, m.entries[0].rank))


def _overtaken(words: Words, names: list[tuple[str, ...]], light: list[bool], at: int, found: Match) -> int | None:
    """Where a longer phrase starts inside this one and goes beyond it."""
    data = found.entries[0].data
    if isinstance(data, PartName) and not (data.about or data.end or data.upstream):
        return None  # `the anchor light is on` is not `light is on`
    for place in range(at + 1, found.end):
        other = _longest(words, names, light, place)
        if other is not None and other.end > found.end and other.used > found.used:
            scene = other.entries[0].sort == "scene" and isinstance(data, PartName) and data.place
            return None if scene else place  # `12.3 at the thruster at rest`
    return None


def _plain(word: Written) -> Item:
    if word.own:
        return Item("part", PartName((word.own,)), word.start, word.end, (), None, word.own)
    if word.quantity is not None:
        return Item("range" if word.quantity.high is not None else "number", word.quantity, word.start, word.end)
    return Item("sign" if word.sign else "word", word.text, word.start, word.end, (), None, word.text)


def _item(written: list[Written], at: int, end: int, entries: tuple[Entry, ...]) -> Item:
    inside = written[at:end]
    sides = tuple(n[1:-1] for w in inside for n in w.names if n in ("<port>", "<starboard>", "<both>"))
    figure = next((int(w.quantity.value) for w in inside if w.quantity), None)
    text = " ".join(w.text for w in inside)
    sort, data = entries[0].sort, entries[0].data
    if isinstance(data, Side):
        sides = ()
    scene = next((e.data for e in entries if e.sort == "scene"), None)
    sayings = tuple(e.data for e in entries if e.sort == "state")
    if sort in ("state", "scene") and sayings:
        bare = f"={inside[0].text}" in inside[0].names
        return Item("state", sayings, inside[0].start, inside[-1].end, sides, figure, text, scene, bare)
    return Item(sort, data, inside[0].start, inside[-1].end, sides, figure, text)
