"""Sentences in which a person names parts of their boat, or takes such a name back."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from assistant.language.items import Item, find_items
from assistant.language.own_words import Giving, Key, OwnLists, OwnWord, key_of
from assistant.language.patterns import Places
from assistant.language.reading import Naming, Unclear
from assistant.language.views import base_of
from assistant.language.words import Words

LONGEST = 40
"""Characters of a name."""
_MOST_WORDS = 24
"""A clause of more words names nothing."""
_QUOTES = {"“": '"', "”": '"', "„": '"', "«": '"', "»": '"', "‘": "'", "’": "'", "ʼ": "'"}
_CLAUSE = re.compile(r"""(?:(?<![^\s(=:])(?P<q>["'])(?:(?!(?P=q)|\n).){1,80}(?P=q)(?!\w)|[^,;:.!?()\n]|[.,:](?=\d))+""")
_WORD = re.compile(r"""(?<!\S)(?P<q>["']).{1,80}?(?P=q)(?!\w)|=|[^\s=]+""")
_CODE = re.compile(r"[A-Za-z]{1,3}[-./ ]?\d{1,3}[A-Za-z]?\Z")


@dataclass
class Named:
    """What one text said about names."""

    text: str
    """The text without the clauses that only name; every place is where it was."""
    given: list[Naming] = field(default_factory=list)
    gone: list[str] = field(default_factory=list)
    """Parts whose name was taken back."""
    unclear: list[Unclear] = field(default_factory=list)
    own: list[OwnWord] = field(default_factory=list)
    """The names that stand after it."""


def own_word(name: str, about: str, words: Words) -> OwnWord:
    """A standing name as the reader looks for it."""
    lists = words.own_names
    key = key_of(name, words.letters)
    if lists is None:
        return OwnWord(name, about, key, frozenset(), False)
    ordinary = all(text in lists.colours | lists.shades or not text.isalnum() for text, _ in key)
    return OwnWord(name, about, key, lists.nouns_of(about, base_of(about)), ordinary)


def hear_names(text: str, standing: Sequence[tuple[str, str]], words: Words) -> Named:
    """Find the clauses that give names or take them back.

    Args:
        text: What was said.
        standing: The names that stand: name and part.
        words: The word lists.
    """
    named = Named(text, own=[own_word(name, about, words) for name, about in standing])
    lists = words.own_names
    if lists is None:
        return named
    plain = "".join(_QUOTES.get(c, c) for c in text)
    for start, end in _clauses(plain, lists.joints):
        if _Clause(plain[start:end], text[start:end], named, words, lists).take():
            named.text = named.text[:start] + " " * (end - start) + named.text[end:]
    return named


def _clauses(text: str, joints: frozenset[str]) -> Iterator[tuple[int, int]]:
    for clause in _CLAUSE.finditer(text):
        if clause[0].strip():
            yield from _halves(text, clause.start(), clause.end(), joints)


def _halves(text: str, start: int, end: int, joints: frozenset[str]) -> Iterator[tuple[int, int]]:
    """A clause cut at every joining word outside quotes; the joint goes with what follows."""
    at = start
    for word in _WORD.finditer(text, start, end):
        if word[0].lower() in joints and word.start() > start:
            yield at, word.start()
            at = word.start()
    yield at, end


class _Clause:
    """One clause held against the sentences of naming."""

    def __init__(self, plain: str, written: str, named: Named, words: Words, lists: OwnLists) -> None:
        self.written, self.named, self.words, self.lists = written.strip(), named, words, lists
        spans = [(m.start(), m.end()) for m in _WORD.finditer(plain)]
        said = [self._fold(plain[a:b]) for a, b in spans]
        may = len(said) <= _MOST_WORDS and lists.may_name(set(said))
        first, last = self._bare(said) if may else (0, 0)
        self.plain, self.spans, self.said = plain, spans[first:last], said[first:last]

    def _bare(self, said: list[str]) -> tuple[int, int]:
        """The clause without what may stand in front of it and behind it."""
        first, last = 0, len(said)
        while step := self.lists.before.starts(said[first:last]):
            first += step
        while end := next((at for at in range(first + 1, last) if self.lists.after.is_all(said[at:last])), 0):
            last = end
        return first, last

    def take(self) -> bool:
        """Take in what the clause says of names; False when it says nothing of them."""
        return len(self.said) > 2 and (self._goes() or self._gives())

    def _fold(self, word: str) -> str:
        return word.lower().translate(self.words.letters)

    def _key(self, name: str) -> Key:
        return key_of(name, self.words.letters)

    # ------------------------------------------------------------ taking back
    def _goes(self) -> bool:
        for pattern in self.lists.gone:
            for places in pattern.matches(self.said):
                about = self._parts_of(places.get("part"))
                word = self._standing(places)
                if "name" in places and word is None:
                    continue
                if "part" in places and (about is None or (word is not None and word.about != about)):
                    continue
                gone = [w for w in self.named.own if w is word or (word is None and w.about == about)]
                if gone:
                    self.named.gone += [w.about for w in gone]
                    self.named.own = [w for w in self.named.own if w not in gone]
                    return True
        return False

    def _standing(self, places: Places) -> OwnWord | None:
        if "name" not in places:
            return None
        key = self._key(self._name(places["name"]))
        bare = self._key(self._short(self._name(places["name"]), ""))
        return next((w for w in self.named.own if w.key in (key, bare)), None)

    # ------------------------------------------------------------ giving
    def _gives(self) -> bool:
        for giving in self.lists.given:
            found = [p for p in giving.say.matches(self.said) if self._fits(giving, p["name"])]
            found = [p for p in found if self._is_quoted(p["name"])] or found
            for places in sorted(found, key=lambda p: p["part"][0] - p["part"][1]):
                about = self._parts_of(places["part"])
                if about is not None and (not giving.about or about in giving.about):
                    if self._give(about, places["name"]):
                        return True
                elif about is None and giving.takes == "any" and self._asks_back(places):
                    return True
        return False

    def _fits(self, giving: Giving, place: tuple[int, int]) -> bool:
        """Whether a name is what this sentence takes."""
        if giving.takes == "any" or self._is_quoted(place):
            return True
        if giving.takes == "code":
            return _CODE.match(self._name(place)) is not None
        texts = [text for text, _ in self._key(self._name(place)) if text.isalnum()]
        return bool(self.lists.colours & set(texts)) and set(texts) <= self.lists.colours | self.lists.shades

    def _give(self, about: str, place: tuple[int, int]) -> bool:
        name = self._short(self._name(place), about)
        refused, other = self._wrong(name, about)
        if refused == "ordinary" and not self._is_quoted(place):
            return False
        self.named.given.append(Naming(about=about, name=name, words=self.written, refused=refused, other=other))
        if refused is None:
            self.named.own = [w for w in self.named.own if w.about != about]
            self.named.own.append(own_word(name, about, self.words))
        return True

    def _wrong(self, name: str, about: str) -> tuple[str | None, str | None]:
        """Why a name cannot be given, and what part it is the name of; `ordinary` where it names nothing else."""
        key = self._key(name)
        if len(name) > LONGEST:
            return "too_long", None
        if not name.isprintable():
            return "unreadable", None
        for word in self.named.own:
            if word.key == key and word.about != about:
                return "taken", word.about
        items = [i for i in self._items(self._uncoloured(name)) if i.sort not in ("word", "sign")]
        if not any(c.isalpha() for c in name):
            return "ordinary", None
        meant = [i for i in items if i.sort in ("part", "family")]
        if meant and self._resolve(items) != about:
            return "means_part", self._resolve(items)
        if any(i.sort == "side" for i in items) and not meant:
            return "means_side", None
        if any(i.sort == "number" and i.data.unit is None and len(items) == 1 for i in items) or meant or not items:
            return (None, None) if self._tells(name) else ("ordinary", None)
        return "ordinary", None

    def _tells(self, name: str) -> bool:
        """Whether something is left of a name without the words that say nothing."""
        words = [text for text, _ in self._key(name) if text.isalpha()]
        return any(w not in self.words.filler | self.words.light or len(w) == 1 for w in words)

    def _uncoloured(self, name: str) -> str:
        """The name without its colours, which are words of the lists as well; a shade alone (`light`) is no colour."""
        words = re.split(r"[\s/-]+", name)
        free = self.lists.colours | self.lists.shades
        if not any(self._fold(w) in self.lists.colours for w in words):
            free = frozenset()
        return " ".join(w for w in words if self._fold(w) not in free)

    def _asks_back(self, places: Places) -> bool:
        """A name in quotes for what is no part of the lists, or could be either of two, is asked back."""
        items = self._items(self._text(places["part"]))
        family = next((i for i in items if i.sort == "family"), None)
        known = any(i.sort in ("part", "family", "side") for i in items)
        if any(i.sort in ("state", "number", "ask", "scene") for i in items):
            return False
        if not (self._is_quoted(places["name"]) and known) and not (family is not None and len(items) < 3):
            return False
        refused, other = self._wrong(self._name(places["name"]), "")
        if refused is not None and refused != "taken":
            name = self._name(places["name"])
            self.named.given.append(Naming(about="", name=name, words=self.written, refused=refused, other=other))
            return True
        question = self.words.questions.get("own_name_side" if family is not None else "own_name_part")
        if question:
            self.named.unclear.append(Unclear(words=self.written, question=question))
        return bool(question)

    # ------------------------------------------------------------ places
    def _text(self, place: tuple[int, int]) -> str:
        return self.plain[self.spans[place[0]][0] : self.spans[place[1] - 1][1]]

    def _is_quoted(self, place: tuple[int, int]) -> bool:
        text = self._text(place)
        return len(text) > 2 and text[0] == text[-1] and text[0] in "\"'"

    def _name(self, place: tuple[int, int]) -> str:
        text = self._text(place)
        if self._is_quoted(place):
            text = text[1:-1]
        return " ".join(text.strip(" -–\t").split(" "))

    def _short(self, name: str, about: str) -> str:
        """The name without articles in front of it and without a noun of the part behind it."""
        pieces = name.split(" ")
        nouns = self.lists.nouns_of(about, base_of(about)) if about else self.lists.all_nouns()
        while len(pieces) > 1 and self._fold(pieces[0]) in self.words.filler and len(pieces[0]) > 1:
            pieces = pieces[1:]
        if len(pieces) > 1 and self._fold(pieces[-1]) in nouns:
            pieces = pieces[:-1]
        return " ".join(pieces)

    def _items(self, text: str) -> list[Item]:
        return find_items(text, self.words)

    @cached_property
    def _seen(self) -> dict[tuple[int, int], str | None]:
        return {}

    def _parts_of(self, place: tuple[int, int] | None) -> str | None:
        """The one part that a place of the clause speaks of."""
        if place is None:
            return None
        if place not in self._seen:
            self._seen[place] = self._resolve(find_items(self._text(place), self.words, False, self.named.own))
        return self._seen[place]

    def _resolve(self, items: Sequence[Item]) -> str | None:
        nouns = self.lists.all_nouns()
        if any(i.sort not in ("part", "family", "side") and not (i.sort == "word" and i.text in nouns) for i in items):
            return None
        meant = [i for i in items if i.sort in ("part", "family")]
        if len(meant) != 1:
            return None
        item = meant[0]
        sides = {i.data.name for i in items if i.sort == "side"} | set(item.sides)
        if item.sort == "family":
            if not sides:
                return str(item.data.alone) if item.data.alone else None
            members = item.data.members(sorted(sides))
            return str(members[0]) if len(members) == 1 and sides < {"port", "starboard"} else None
        about = item.data.about
        if sides or len(about) != 1 or item.data.needed or item.data.negates:
            return None
        if about[0].endswith("_"):
            return f"{about[0]}{item.figure}" if item.figure is not None else None
        return str(about[0])
