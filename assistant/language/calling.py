"""What bare words stand for where the test just asked has one thing of that name: `the switch`, `plus`, `2 works`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from assistant.language.items import Item, is_mark, is_side, item_at
from assistant.language.meanings import Answer, PartName, Scene
from assistant.language.views import base_of, names_in
from assistant.language.words import Words

_MOST_STATIONS = 4
_BEHIND = ("state", "sign", "side")
"""What may stand behind the number of a station; a figure that counts things stands before their name."""


def call_as_asked(items: Sequence[Item], answer: Answer, words: Words) -> list[Item]:
    """Give the bare words of an answer the parts that they stand for.

    Args:
        items: The items of the answer.
        answer: How the test is answered.
        words: The word lists of the language.
    """
    calling = _Calling(answer, words)
    return [calling.meant(item, item_at(items, n - 1), item_at(items, n + 1)) for n, item in enumerate(items)]


class _Calling:
    """The bare words of one test."""

    def __init__(self, answer: Answer, words: Words) -> None:
        settings: Mapping[str, Any] = words.settings
        self.words, self.light = words, words.light
        self.names: Mapping[str, str] = settings.get("asked_names") or {}
        self.known = {*answer.about, answer.plug, *words.topics.get(answer.test, ())}
        self.ends: Mapping[str, str] = (settings.get("bare_ends") or {}).get(answer.way) or {}
        self.lead = (settings.get("leads_of_pair") or {}).get(answer.family.name) if answer.family else None
        self.tried = answer.way if answer.way in names_in(settings, "strong_ways") else None
        self.station = str(settings.get("numbered_station"))
        other = any(base_of(about) == f"{self.station}_n" for about in answer.about)
        self.stations = answer.number is None and (answer.named is not None or other)

    def meant(self, item: Item, before: Item | None, after: Item | None) -> Item:
        """What one item of the answer stands for."""
        if item.sort == "scene" and item.data.unnamed and self.tried is not None:
            return replace(item, data=Scene((), self.tried, "both"))
        part = self._named(item, before, after)
        about: tuple[str, ...] = item.data.about if item.sort == "part" else ()
        if part is not None:
            return replace(item, sort="part", data=PartName((part,)))
        if self._is_lead(item) and is_side(before):
            return replace(item, sort="family", data=self.words.families[str(self.lead)])
        if len(about) == 1 and about[0] in self.ends and item.text in names_in(self.words.settings, "pole_words"):
            return replace(item, data=PartName((), end=self.ends[about[0]]))
        if self.stations and _numbers_one(item, after) and _begins(before):
            return replace(item, sort="part", data=PartName((f"{self.station}_{item.data.value:g}",)), figure=None)
        return item

    def _named(self, item: Item, before: Item | None, after: Item | None) -> str | None:
        """The part that a bare word names, where it is no part of a longer name."""
        if item.sort not in ("word", "part") or item.text not in self.names:
            return None
        before_it = before is None or before.sort not in ("word", "part", "family") or before.text in self.light
        behind_it = after is None or after.sort not in ("word", "part", "family") or after.text in self.light
        found = next((a for a in self.names[item.text].split() if a in self.known), None)
        return found if before_it and behind_it else None

    def _is_lead(self, item: Item) -> bool:
        """`Starboard lead conducts`, where coils are read: the small wire of one of them."""
        return (
            self.lead is not None
            and (item.sort in ("part", "word") or is_mark(item, "join"))
            and item.text in names_in(self.words.settings, "pair_leads")
        )


def _begins(before: Item | None) -> bool:
    """Whether a clause begins here, or something was done to what follows."""
    return before is None or before.sort in ("sign", "state") or is_mark(before, "and", "but", "then", "with")


def _numbers_one(item: Item, after: Item | None) -> bool:
    """`2 works both ways`: a small whole number that counts nothing."""
    if item.sort != "number" or not (after is None or after.sort in _BEHIND):
        return False
    whole = item.data.unit is None and not item.data.decimal and item.data.digits
    return whole and item.data.value in range(1, _MOST_STATIONS + 1)
