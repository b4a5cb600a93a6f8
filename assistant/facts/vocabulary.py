"""The words of a fact: subjects, attributes, circumstances, units; built from the rule base's data."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Literal

Kind = Literal["flag", "choice", "number"]
_STATION = re.compile(r"panel_(\d+)\Z")


@dataclass(frozen=True)
class Attribute:
    """One thing that can be said of a part."""

    id: str
    kind: Kind
    name: str
    negative: str = ""
    unit: str | None = None
    choices: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    nominal_low: float | None = None
    nominal_high: float | None = None
    allowed: tuple[float, ...] = ()
    only: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    gathers: bool = False
    """Several values may hold at once (noises, bridges); a later one does not replace another."""
    adds_up: bool = False
    """Each telling is another event (a run), and takes no other's place."""


@dataclass(frozen=True)
class Vocabulary:
    """Everything that a fact may say, and what goes without saying."""

    parts: Mapping[str, Mapping[str, str]]
    attributes: Mapping[str, Attribute]
    circumstances: Mapping[str, Mapping[str, str]]
    principal_scenes: tuple[str, ...]
    reports: Mapping[str, tuple[str, str, Any]]
    directions: tuple[Mapping[str, str], ...]
    implied: tuple[Mapping[str, Any], ...]
    implied_by_test: Mapping[str, tuple[str, ...]]
    split_by_direction: Mapping[str, Mapping[str, Mapping[str, bool]]]
    units: Mapping[str, Mapping[str, Any]]
    gauge: Mapping[str, Any]
    states: frozenset[str]
    """Attributes that people change by an act; another value is a change, never a contradiction."""
    aliases: tuple[Mapping[str, Any], ...]
    stations: Mapping[str, str]
    from_state: tuple[Mapping[str, Any], ...]
    ended_by: Mapping[str, str]
    """Attribute → the attribute that says its value has ended (`all` ends every one)."""
    opposites: tuple[frozenset[str], ...]
    """Circumstances that cannot both be."""
    changes: frozenset[str]
    """Attributes whose telling may explain that a later reading differs (a run, a charge, wiring)."""
    lasting: Mapping[str, frozenset[str]]
    """What nothing but work on that part changes (`of`), and how that work is told (`changed_by`)."""

    @cached_property
    def asked_for(self) -> frozenset[str]:
        """Circumstances in which a run one way is asked for or made."""
        return frozenset(c for pair in self.directions for c in pair.values())

    def knows_part(self, about: str) -> bool:
        """Whether this is a subject; stations are numbered `panel_1`, `panel_2` …."""
        return about in self.parts or bool(_STATION.match(about))

    def part_name(self, about: str, plain: bool = False) -> str:
        """The trade name of a subject, or its wording for a caller."""
        station = _STATION.match(about)
        if station:
            return f"{self.parts['panel']['plain' if plain else 'name']} {station[1]}"
        return self.parts[about]["plain" if plain else "name"]

    def ordered(self, circumstances: frozenset[str] | set[str]) -> tuple[str, ...]:
        """Circumstances in the order of the vocabulary."""
        return tuple(c for c in self.circumstances if c in circumstances)


def build_vocabulary(parts: Mapping[str, Any], words: Mapping[str, Any]) -> Vocabulary:
    """Make the vocabulary from the plain data of `parts.yaml` and `observations.yaml`."""
    attributes = {name: _attribute(name, data) for name, data in words["attributes"].items()}
    return Vocabulary(
        parts=parts,
        attributes=attributes,
        circumstances=words["circumstances"],
        principal_scenes=tuple(words["principal_scenes"]),
        reports={k: (v["about"], v["what"], v["value"]) for k, v in words["reports"].items()},
        directions=tuple(words["directions"]),
        implied=tuple(words["implied"]),
        implied_by_test={k: tuple(v) for k, v in words["implied_by_test"].items()},
        split_by_direction=words["split_by_direction"],
        units=words["units"],
        gauge=words["gauge"],
        states=frozenset(words["states"]),
        ended_by=words["ended_by"],
        opposites=tuple(frozenset(pair) for pair in words["opposites"]),
        aliases=tuple(words["aliases"]),
        stations=words["stations"],
        from_state=tuple(words["from_state"]),
        changes=frozenset(words["changes"]),
        lasting={key: frozenset(names) for key, names in words["lasting"].items()},
    )


def _attribute(name: str, data: Mapping[str, Any]) -> Attribute:
    kind: Kind = "number" if "number" in data else "choice" if "choice" in data else "flag"
    return Attribute(
        id=name,
        kind=kind,
        name=data["name"],
        negative=data.get("no", ""),
        unit=data.get("number"),
        choices=tuple(data.get("choice", ())),
        low=data.get("from"),
        high=data.get("to"),
        nominal_low=data.get("nominal_from"),
        nominal_high=data.get("nominal_to"),
        allowed=tuple(data.get("allowed", ())),
        only={k: tuple(v) for k, v in data.get("only", {}).items()},
        gathers=bool(data.get("gathers", False)),
        adds_up=bool(data.get("adds_up", False)),
    )
