"""A person's own words for the parts of their boat, found in a text: marks of a diagram, colours, names of stations."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from assistant.language.patterns import Pattern, compile_pattern
from assistant.language.tokens import Token, tokenise

if TYPE_CHECKING:
    from assistant.language.items import Item

OWN = "own"
"""Sort of a token that is a person's own word; its text is the part."""
Key = tuple[tuple[str, bool], ...]


@dataclass(frozen=True, slots=True)
class Giving:
    """A sentence that gives a name."""

    takes: str
    """`any`, `colour` or `code`: what the name may be in this sentence."""
    about: frozenset[str]
    """The parts that it may be about; none means every part."""
    say: Pattern


@dataclass(frozen=True, slots=True)
class OwnLists:
    """How names are given, taken back and used in a language."""

    nouns: Mapping[str, frozenset[str]]
    joints: frozenset[str]
    """Words that join two such sentences."""
    colours: frozenset[str]
    shades: frozenset[str]
    leads: frozenset[str]
    not_before: frozenset[str]
    before: Pattern
    after: Pattern
    given: tuple[Giving, ...]
    gone: tuple[Pattern, ...]
    needs: tuple[tuple[frozenset[str], ...], ...]
    """For each of these sentences, sets of words of which one each must be there."""

    def may_name(self, words: Set[str]) -> bool:
        """Whether some sentence that names, or takes back, could be made of these words."""
        return any(not any(words.isdisjoint(need) for need in row) for row in self.needs)

    def nouns_of(self, about: str, base: str) -> frozenset[str]:
        """What may follow the name of a part and belongs to it."""
        nothing: frozenset[str] = frozenset()
        return self.nouns.get(about, nothing) | self.nouns.get(base, nothing) | self.nouns.get("any", nothing)

    def all_nouns(self) -> frozenset[str]:
        """What may follow the name of some part."""
        return frozenset(w for said in self.nouns.values() for w in said)


def compile_own_names(raw: Mapping[str, Any], groups: Mapping[str, Sequence[str]]) -> OwnLists | None:
    """The lists of a language, or none where it has no such sentences."""
    if not raw:
        return None
    nouns: dict[str, frozenset[str]] = {}
    for entry in raw["nouns"]:
        for about in _parts(entry["about"], groups):
            nouns[about] = nouns.get(about, frozenset()) | frozenset(entry["say"].split())
    given = tuple(
        Giving(g["takes"], frozenset(_parts(g.get("about") or "", groups)), compile_pattern(g["say"]))
        for g in raw["given"]
    )
    gone = tuple(compile_pattern(say) for say in raw["gone"])
    needs = dict.fromkeys(row for pattern in (*(g.say for g in given), *gone) for row in pattern.needs())
    sets = {name: frozenset(raw[name].split()) for name in ("joints", "colours", "shades", "leads", "not_before")}
    return OwnLists(
        nouns=nouns,
        before=compile_pattern(raw["before"]),
        after=compile_pattern(raw["after"]),
        given=given,
        gone=gone,
        needs=tuple(needs),
        **sets,
    )


def _parts(text: str, groups: Mapping[str, Sequence[str]]) -> list[str]:
    return [part for name in text.split() for part in groups.get(name, (name,))]


def key_of(name: str, letters: Mapping[int, str]) -> Key:
    """A name as it is compared: folded, with where its pieces touch; `letters` are those written as others."""
    tokens = tokenise(name)
    return tuple(
        (t.text.translate(dict(letters)), t.glued and at > 0) for at, t in enumerate(tokens) if t.text not in "'\""
    )


@dataclass(frozen=True, slots=True)
class OwnWord:
    """One name that stands."""

    name: str
    about: str
    key: Key
    nouns: frozenset[str]
    ordinary: bool
    """Whether it is an ordinary word, so that what stands beside it must tell."""


def mark_own(
    tokens: Sequence[Token], own: Sequence[OwnWord], plain: Sequence[Item], lists: OwnLists, units: frozenset[str]
) -> list[Token]:
    """The tokens with every name made one token; where the lists know more words together, theirs is the meaning.

    Args:
        tokens: Tokens of the text.
        own: The names that stand.
        plain: The items of the same text without names.
        lists: The lists of the language.
        units: Words that are units.
    """
    longest_first = sorted(own, key=lambda o: (-len(o.key), o.key))
    out: list[Token] = []
    at = 0
    while at < len(tokens):
        for word in longest_first:
            span = _span(tokens, at, word, plain, lists, units)
            if span is None:
                continue
            start, end = span
            while out and out[-1].start >= start:
                out.pop()
            out.append(Token(OWN, word.about, start, tokens[end - 1].end))
            at = end
            break
        else:
            out.append(tokens[at])
            at += 1
    return out


def _span(
    tokens: Sequence[Token], at: int, word: OwnWord, plain: Sequence[Item], lists: OwnLists, units: frozenset[str]
) -> tuple[int, int] | None:
    """Where the name begins in the text, and the token after it; none where it does not stand here."""
    end = at + len(word.key)
    if not _stands(tokens, at, word.key):
        return None
    name_end = end
    if end < len(tokens) and tokens[end].text in word.nouns:
        end += 1
    start, stop = tokens[at].start, tokens[end - 1].end
    wider = _wider(plain, start, stop)
    if wider is not None:
        inside = [t for t in tokens if wider.start <= t.start < wider.end and not start <= t.start < stop]
        if wider.sort not in ("part", "family") or not all(t.text in word.nouns for t in inside):
            return None
        start = min(start, wider.start)
        end += sum(t.start >= stop for t in inside)
    elif word.ordinary and end == name_end and not _is_meant(tokens, at, end, plain, lists, units):
        return None
    return start, end


def _stands(tokens: Sequence[Token], at: int, key: Key) -> bool:
    """Whether the pieces of a name stand at a token, and no letter or figure touches them."""
    if at + len(key) > len(tokens):
        return False
    for place, (text, glued) in enumerate(key):
        token = tokens[at + place]
        if token.text != text or (place and token.glued != glued):
            return False
    before, after = tokens[at - 1] if at else None, tokens[at + len(key)] if at + len(key) < len(tokens) else None
    touched = tokens[at].glued and before is not None and before.sort != "mark"
    return not touched and not (after is not None and after.glued and after.sort != "mark")


def _wider(plain: Sequence[Item], start: int, stop: int) -> Item | None:
    """What the lists read over a stretch and beyond it."""
    over = (i for i in plain if i.sort not in ("word", "sign") and i.start <= start and i.end >= stop)
    return next((i for i in over if (i.start, i.end) != (start, stop)), None)


def _is_meant(
    tokens: Sequence[Token], at: int, end: int, plain: Sequence[Item], lists: OwnLists, units: frozenset[str]
) -> bool:
    """Whether what stands beside an ordinary word makes it a name (`12.3 on the green`)."""
    before = tokens[at - 1] if at else None
    after = tokens[end] if end < len(tokens) else None
    if after is not None and after.text in lists.not_before:
        return False
    if after is not None and any(i.start == after.start and i.sort in ("part", "family") for i in plain):
        return False
    if before is not None and before.text in lists.leads:
        return True
    opens, closes = before is None or before.sort == "mark", after is None or after.sort == "mark"
    figure_before = before is not None and (before.sort == "number" or before.text in units)
    figure_after = after is not None and after.sort == "number"
    return (opens and figure_after) or (closes and figure_before)
