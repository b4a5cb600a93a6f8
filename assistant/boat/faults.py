"""Faults as changes of the boat: which parameter each one moves stands in `rules/boat.yaml`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from random import Random
from typing import Any

from assistant.boat.data import boat_data, draw
from assistant.boat.plant import Plant
from assistant.boat.spec import Spec


@dataclass
class Damage:
    """What the faults of a boat left to be found."""

    faults: list[str] = field(default_factory=list)
    """Present now, consequences included."""
    signs: dict[tuple[str, str], Any] = field(default_factory=dict)
    """What an eye or a hand finds: (about, what) to value."""
    told: list[tuple[Any, ...]] = field(default_factory=list)
    """What the owner has to say besides."""
    now_and_then: list[str] = field(default_factory=list)
    """Elements that open by chance."""


def known_faults() -> tuple[str, ...]:
    """Every fault the boat can have, in the order of the file."""
    return tuple(boat_data()["faults"])


def possible(fault: str, spec: Spec) -> bool:
    """Whether a boat of this kind can have this fault.

    Raises:
        ValueError: No such fault.
    """
    return bool(_forms(fault, spec))


def _forms(fault: str, spec: Spec) -> list[dict[str, Any]]:
    if fault not in boat_data()["faults"]:
        raise ValueError(f"The simulated boat knows no fault {fault!r}.")
    return [form for form in boat_data()["faults"][fault]["ways"] if spec.suits(form.get("for"))]


def inflict(fault: str, plant: Plant, damage: Damage, chance: Random) -> None:
    """Give the boat this fault, in one of the forms that suit it.

    Raises:
        ValueError: No such fault, or not on this kind of boat.
    """
    forms = _forms(fault, plant.spec)
    if not forms:
        raise ValueError(f"A boat of this kind cannot have the fault {fault!r}.")
    entry, form = boat_data()["faults"][fault], chance.choice(forms)
    damage.faults.append(fault)
    change(form, plant, damage, chance)
    for row in (*entry.get("signs", ()), *form.get("signs", ())):
        if chance.random() < float(boat_data()["chances"]["sign"]):
            damage.signs[row[0], row[1]] = row[2]
    for row in entry.get("always", ()):
        damage.signs[row[0], row[1]] = row[2]
    damage.told.extend(tuple(row) for row in entry.get("told", ()))


def change(form: dict[str, Any], plant: Plant, damage: Damage, chance: Random) -> None:
    """Carry out the parameter changes of one form of a fault, or of a consequence."""
    scale = plant.spec.scale if form.get("scaled") else 1.0
    for name, value in form.get("set", {}).items():
        plant.elements[name].ohms = None if value == "open" else float(draw(value, chance)) * scale
    for name, value in form.get("short", {}).items():
        plant.elements[name].ohms = float(draw(value, chance))
    for name, value in form.get("times", {}).items():
        factor = float(draw(value, chance))
        for item in _named(plant, name):
            item.ohms = None if item.ohms is None else item.ohms * factor
    for name, nodes in form.get("move", {}).items():
        plant.elements[name].plus, plant.elements[name].minus = nodes
    for name, value in form.get("flag", {}).items():
        plant.flags[name] = draw(value, chance)
    plant.charge = float(draw(form.get("charge", plant.charge), chance))
    plant.insulation = float(draw(form.get("insulation", plant.insulation), chance))
    plant.fuse_rating *= float(form.get("rating", 1))
    damage.now_and_then.extend(form.get("now_and_then", ()))
    damage.faults.extend(name for name in form.get("brings", ()) if name not in damage.faults)


def _named(plant: Plant, name: str) -> Iterator[Any]:
    return (item for item in plant.elements.values() if name in (item.name, item.group))
