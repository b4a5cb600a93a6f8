"""The boat as a circuit: its elements with their figures, and what parts do or fail to do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from random import Random
from typing import Any

from assistant.boat.data import boat_data, draw
from assistant.boat.network import Resistor
from assistant.boat.spec import Spec
from assistant.electrics.battery import Chemistry, blocks, rest_volts
from assistant.electrics.conductors import as_bought_per_m
from assistant.electrics.figures import figures

ARMATURE = "armature"


@dataclass
class Element:
    """One resistor of the boat."""

    name: str
    plus: str
    minus: str
    ohms: float | None
    """None: not there, or open."""
    when: str = ""
    """State in which it conducts; always when empty."""
    group: str = ""


@dataclass
class Motor:
    """Ratings of the motor, sound."""

    ohms: float
    rated_volts: float
    rated_current: float
    kind: str

    @property
    def rated_emf(self) -> float:
        """Back-EMF at rated speed and current, V."""
        return self.rated_volts - self.rated_current * self.ohms


@dataclass
class Plant:
    """Everything a boat is made of; faults change it."""

    spec: Spec
    elements: dict[str, Element]
    motor: Motor
    fuse_rating: float
    """A; the one that is really in."""
    charge: float = 95.0
    """Of the bank, percent."""
    insulation: float = 50.0
    """Winding to frame, megohm."""
    flags: dict[str, Any] = field(default_factory=dict)

    def flag(self, name: str, default: Any = False) -> Any:
        """What a part does, or the default when nothing changed it."""
        return self.flags.get(name, default)

    def place(self, name: str) -> str:
        """The node that a name like `@output_port` stands for on this boat's motor."""
        if not name.startswith("@"):
            return name
        what, _, way = name[1:].partition("_")
        kind = boat_data()["motors"][self.spec.motor]
        if what == "output":
            return str(kind["output"][way])
        return str(kind["terminals"][way][0 if what == "plus" else 1])

    def resistors(self, states: set[str], emf: float = 0.0, *, live: bool = True) -> list[Resistor]:
        """The network in these states.

        Args:
            states: Names of what is so; an element whose `when` is not among them is left out.
            emf: Back-EMF of the armature, V.
            live: False takes the battery's voltage away (for the ohmmeter).
        """
        volts = rest_volts(self.charge, _chemistry(self.spec.chemistry)) if live else 0.0
        out = []
        for item in self.elements.values():
            if item.ohms is None or not _holds(item.when, states):
                continue
            source = volts if item.group == "block" else emf if item.name == ARMATURE else 0.0
            out.append(Resistor(item.name, item.plus, item.minus, item.ohms, source))
        return out


def _chemistry(name: str) -> Chemistry:
    known: dict[str, Chemistry] = {"flooded": "flooded", "agm": "agm", "gel": "gel", "lithium": "lithium"}
    return known[name]


def _holds(when: str, states: set[str]) -> bool:
    if not when:
        return True
    return when[4:] not in states if when.startswith("not ") else when in states


def build(spec: Spec, chance: Random) -> Plant:
    """A sound boat of this kind; each figure is drawn from the range of sound parts."""
    data = boat_data()
    rated = spec.nominal_voltage * float(data["motor"]["rated_share"][spec.chemistry])
    share = float(data["motor"]["winding_share"][spec.motor])
    motor = Motor(share * rated / spec.rated_current, rated, spec.rated_current, spec.motor)
    elements = {item.name: item for item in _bank(spec, chance)}
    for table in (
        data["elements"],
        data["isolators"][spec.isolator],
        data["coil_switching"][spec.coil_switching],
        data["motors"][spec.motor]["elements"],
    ):
        for name, row in table.items():
            for item in _elements(name, row, spec, motor, chance):
                elements[item.name] = item
    charge = draw(data["blocks_charge"]["sound"], chance)
    insulation = 10 ** chance.uniform(1.0, 2.5)
    return Plant(spec, elements, motor, spec.rating, charge, insulation)


def _bank(spec: Spec, chance: Random) -> Iterator[Element]:
    """Blocks in series from the negative post up."""
    count = round(blocks(spec.nominal_voltage))
    nodes = ["bat_neg", *(f"bank_{n}" for n in range(1, count)), "bat_pos"]
    for n in range(count):
        ohms = draw(boat_data()["values"]["block"]["ohms"], chance)
        yield Element(f"block_{n + 1}", nodes[n + 1], nodes[n], ohms, group="block")


def _elements(name: str, row: dict[str, Any], spec: Spec, motor: Motor, chance: Random) -> Iterator[Element]:
    """The elements that one row stands for: one for each station and each way it names."""
    text = name + "".join(row["between"])
    stations = range(1, spec.stations + 1) if "{n}" in text else (0,)
    ways = boat_data()["ways"] if "{way}" in text else ("",)
    for n in stations:
        for way in ways:
            plus, minus = (node.format(n=n, way=way) for node in row["between"])
            when = row.get("when", "").format(n=n, way=way)
            yield Element(name.format(n=n, way=way), plus, minus, _ohms(row, spec, motor, chance), when)


def _ohms(row: dict[str, Any], spec: Spec, motor: Motor, chance: Random) -> float | None:
    if "share" in row:
        return float(row["share"]) * motor.ohms
    if "ohms" not in row:
        return None
    if row["ohms"] == "cable":
        laid = figures("conductors")["as_laid"]
        off = [1 + chance.uniform(laid[name]["low"], laid[name]["high"]) for name in ("length", "resistance")]
        return spec.length * as_bought_per_m(spec.cross_section) * off[0] * off[1]
    value = boat_data()["values"][row["ohms"]]
    return float(draw(value["ohms"], chance) * spec.scale ** value.get("scale", 0))
