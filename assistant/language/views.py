"""Small things that every part of the reader needs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from assistant.knowledge.model import SIDES
from assistant.language.items import Item
from assistant.language.meanings import Family
from assistant.language.pieces import Piece

Group = tuple[str, ...]


@dataclass(slots=True)
class Named:
    """A subject group named in a piece, with its place among the items."""

    at: int
    about: Group
    item: Item
    one: bool = False
    """True when one of a pair was spoken of, and nobody said which."""


@dataclass(slots=True)
class View:
    """One piece taken apart."""

    piece: Piece
    named: list[Named] = field(default_factory=list)
    sides: list[tuple[int, str]] = field(default_factory=list)
    only: bool = False
    scene: set[str] = field(default_factory=set)
    way: str = ""
    scene_sides: tuple[str, ...] = ()
    scene_first: bool = False
    has_scene: bool = False
    cues: set[str] = field(default_factory=set)
    bridged: int = -1
    """Up to where a piece speaks of a test wire."""
    end_at: int = -1
    """The item that names an end of one and is no subject."""


def plain_sides(sides: Iterable[str]) -> tuple[str, ...]:
    """The directions that words for sides name, each once."""
    out: list[str] = []
    for side in sides:
        out += SIDES if side == "both" else [side]
    return tuple(dict.fromkeys(s for s in out if s in SIDES))


def base_of(about: str) -> str:
    """The id under which the lists know a numbered part."""
    head, _, tail = about.rpartition("_")
    return head + "_n" if tail.isdigit() else about


def is_ordinary(about: str, settings: Any) -> bool:
    """Whether it is a part that can be hot, loose and so on."""
    return about not in names_in(settings, "no_things")


def is_sided(about: str, families: dict[str, Family]) -> bool:
    """Whether a subject belongs to one side."""
    return family_of(about, families) is not None


def family_of(about: str, families: Mapping[str, Family]) -> Family | None:
    """The pair that a subject belongs to."""
    return next((f for f in families.values() if about in (f.port, f.starboard)), None)


def on_side(about: str, side: str, families: Mapping[str, Family]) -> str:
    """The member of a pair that belongs to a side; a subject of no pair stays as it is."""
    pair = family_of(about, families)
    return pair.members((side,))[0] if pair else about


def names_in(settings: Any, name: str) -> frozenset[str]:
    """The names that a setting lists."""
    return _listed(str(settings.get(name) or ""))


@cache
def _listed(names: str) -> frozenset[str]:
    """The names of one list; asked for at every clause, and there are no more of them than settings."""
    return frozenset(names.split())


def is_cue(item: Item) -> bool:
    """Whether a mark helps to read a figure."""
    return item.sort == "mark" and item.data.name.startswith("cue_")


def is_place(named: Named) -> bool:
    """Whether a name says where rather than what."""
    return named.item.sort == "part" and bool(named.item.data.place)
