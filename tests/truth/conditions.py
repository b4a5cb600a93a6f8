"""The boat, and what one or two faults together do to her."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, fields, replace
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from .notation import Fact, key, read_fact

HERE = Path(__file__).parent


@dataclass(frozen=True)
class Boat:
    """What she is, as her owner would describe her."""

    nominal_voltage: int = 12
    drive: str = "contactor"
    """`contactor` or `speed_controller`."""
    motor: str = "series_reversed"
    isolator: str = "manual"
    stations: int = 1
    coil_switching: str = "negative_switched"
    fuel: str = "diesel"
    afloat: bool = True
    skill: str = "electrician"
    has_meter: bool = True
    has_clamp_meter: bool = True
    refuses_standing_command: bool = False
    """The control unit refuses when a command is already there at switch-on."""

    @property
    def scale(self) -> float:
        """Volts of this boat for one volt of a 12 V boat."""
        return self.nominal_voltage / 12

    @classmethod
    def of(cls, data: Mapping[str, Any] | Boat | None) -> Boat:
        """A boat from the keys that differ from the default boat.

        Raises:
            TypeError: An unknown key.
        """
        if isinstance(data, Boat):
            return data
        return cls(**{**tables()["healthy"]["boat"], **(data or {})})


@dataclass(frozen=True)
class Conditions:
    """What is wrong with the machine; the defaults are a sound one. `faults.yaml` explains the words."""

    battery_rest: float = 12.7
    extra_milliohm: Mapping[str, float] = field(default_factory=dict)
    open_at: frozenset[str] = frozenset()
    isolator_off: bool = False
    isolator_told: str = "rightly"
    isolator_opens: bool = True
    no_control_feed: bool = False
    broken: frozenset[str] = frozenset()
    crossed: bool = False
    panel: str = "sound"
    panel_never_asks: frozenset[str] = frozenset()
    starts_from: frozenset[str] = frozenset()
    unit_never_drives: frozenset[str] = frozenset()
    coil_open: frozenset[str] = frozenset()
    contact_open: frozenset[str] = frozenset()
    return_open: frozenset[str] = frozenset()
    field_open: frozenset[str] = frozenset()
    both_closed: bool = False
    motor_open: bool = False
    load: str = "normal"
    thermal: str = "sound"
    insulation: float = 200
    seen: Mapping[tuple[str, str], Any] = field(default_factory=dict)
    """What eye, hand and nose find, by part and attribute; sound findings included."""

    @property
    def can_isolate(self) -> bool:
        """Power can be taken away at the isolator."""
        return self.isolator_opens and self.isolator_told != "always"


_WORST_FIRST: dict[str, tuple[str, ...]] = {
    "panel": ("dead", "asleep", "sound"),
    "isolator_told": ("never", "always", "rightly"),
    "thermal": ("open", "open_hot", "never_opens", "sound"),
}


@cache
def tables() -> dict[str, Any]:
    """The two tables, `faults` and `healthy`."""
    return {name: yaml.safe_load((HERE / f"{name}.yaml").read_text(encoding="utf-8")) for name in ("faults", "healthy")}


def as_list(faults: str | Collection[str]) -> tuple[str, ...]:
    """One fault, or several, in a fixed order.

    Raises:
        KeyError: A fault that the table does not hold.
    """
    out = (faults,) if isinstance(faults, str) else tuple(sorted(set(faults)))
    for fault in out:
        if fault not in tables()["faults"]:
            raise KeyError(fault)
    return out


def read_facts(texts: Collection[str], boat: Boat) -> list[Fact]:
    """Facts of the tables, with this boat's volts."""
    return [read_fact(text, boat.scale) for text in texts]


def conditions(faults: str | Collection[str]) -> Conditions:
    """What these faults do to the machine together."""
    return _together(as_list(faults))


@cache
def _together(faults: tuple[str, ...]) -> Conditions:
    merged = Conditions(seen=_seen(tables()["healthy"]["seen"]))
    for fault in faults:
        entry = tables()["faults"][fault]
        merged = _worse(merged, entry["sets"], _seen(entry.get("seen", ())))
    return merged


def _seen(texts: Collection[str]) -> dict[tuple[str, str], Any]:
    return {key(item)[:2]: item["value"] for item in map(read_fact, texts)}


def _worse(now: Conditions, sets: Mapping[str, Any], seen: Mapping[tuple[str, str], Any]) -> Conditions:
    known = {f.name for f in fields(Conditions)}
    changed: dict[str, Any] = {"seen": {**now.seen, **seen}}
    for name, value in sets.items():
        if name not in known:
            raise KeyError(f"no such condition: {name}")
        changed[name] = _merge(name, getattr(now, name), value)
    return replace(now, **changed)


def _merge(name: str, now: Any, new: Any) -> Any:
    if name == "extra_milliohm":
        return {part: now.get(part, 0) + new.get(part, 0) for part in sorted({*now, *new})}
    if isinstance(now, frozenset):
        return now | frozenset(new)
    if name in ("battery_rest", "insulation"):
        return min(now, new)
    if name == "isolator_opens":
        return now and new
    if isinstance(now, bool):
        return now or new
    order = tuple(tables()["healthy"]["figures"]["motor_milliohm"]) if name == "load" else _WORST_FIRST[name]
    return min(now, new, key=order.index)
