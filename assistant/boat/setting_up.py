"""What must stand how before a test: plugs, power, test wires; and putting it all back."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from assistant.boat.control import ways
from assistant.boat.data import boat_data
from assistant.boat.saying import ON_OFF, FactDict, fact_of, told

if TYPE_CHECKING:
    from assistant.boat.boat import Boat


def bridge_states() -> dict[str, str]:
    """Word of each test wire, and the state of the circuit it makes."""
    out = {}
    for entry in boat_data()["bridges"].values():
        for way in ways():
            out[entry["value"].format(way=way)] = entry["state"].format(way=way)
    return out


def prepare(boat: Boat, setup: dict[str, Any]) -> Iterator[FactDict]:
    """Bring the boat into the state a test needs, telling each change."""
    yield from _take_bridges_off(boat)
    wanted = dict(setup)
    if wanted.pop("plugs", False):
        wanted = dict.fromkeys(("panels", *boat_data()["plugs"]), True) | wanted
    power, locked = wanted.pop("power", None), wanted.pop("locked", False)
    if wanted.pop("as_found", False):
        power = True
    changes = list(_changes(boat, wanted))
    if changes:
        yield from switch(boat, False)
    for name, about, together in changes:
        if name is not None:
            boat.plug(name, together)
        if about is not None:
            yield fact_of(about, "plugged", together)
    if power is None:
        power = bool(boat.state.position) or bool(changes)
    yield from switch(boat, power, locked)


def _changes(boat: Boat, wanted: dict[str, Any]) -> Iterator[tuple[str | None, str | None, bool]]:
    """What must be plugged or pulled: its own name, the word for it, and which."""
    for named, together in wanted.items():
        names = [n for n in boat.state.plugged if n.startswith("panel_")] if named == "panels" else [named]
        differing = [name for name in names if boat.state.plugged[name] is not together]
        for place, name in enumerate(differing):
            about = ("panel" if named == "panels" else named) if place == 0 else None
            yield name, about, together


def switch(boat: Boat, power: bool, locked: bool = False) -> Iterator[FactDict]:
    """Put the isolator to on or off; what was switched off is proved dead."""
    if power and boat.state.fuse_drawn:
        boat.state.fuse_drawn = False
        yield told("fuse_in_place", True)
    if power and not boat.state.position and not boat.plant.flag("isolator_left_off"):
        boat.power_on()
        yield told("position", ON_OFF[True])
    elif not power and (boat.state.position or boat.plant.flag("isolator_left_off")):
        boat.power_off(locked=locked)
        yield told("position", ON_OFF[False])
    if not power:
        yield from _prove_dead(boat)
    if locked and not boat.state.locked:
        boat.state.locked = True
    if locked:
        yield told("locked", True)


def _prove_dead(boat: Boat) -> Iterator[FactDict]:
    """What was switched off must be dead; where it is not, the fuse is drawn."""
    rule = boat_data()["dead"]
    plus, minus = rule["between"]
    volts = boat.read_volts(plus, minus)
    if abs(volts) > rule["below"]:
        yield told("supply_when_off", volts)
        boat.state.fuse_drawn = True
        yield told("fuse_in_place", False)


def _take_bridges_off(boat: Boat) -> Iterator[FactDict]:
    for value, state in bridge_states().items():
        if state in boat.state.bridges:
            boat.bridge(value, False)
            yield told("removed", value)


def restore(boat: Boat) -> list[FactDict]:
    """Everything plugged, no test wires, power on."""
    return list(prepare(boat, {"power": True, "plugs": True}))
