"""The motor on its shaft: which speed it settles at, on what current. Speeds are relative to rated."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from assistant.boat.data import boat_data
from assistant.boat.network import Resistor, current, solve
from assistant.boat.plant import ARMATURE, Plant

FASTEST = 6.0
"""Rated speeds at which even a racing motor is stopped by its own windage."""


@dataclass(frozen=True)
class Turning:
    """A motor that has settled."""

    speed: float
    """Relative to rated, with its sign: positive to port."""
    armature_amps: float
    emf: float
    network: tuple[Resistor, ...]
    volts: dict[str, float]
    """Of every node."""


@dataclass(frozen=True)
class _Supply:
    """The network as the armature sees it: open-circuit voltage and resistance."""

    volts: float
    ohms: float
    field_share: float
    """Net share of the armature's current that makes flux; its sign gives the way on a split field."""


def settle(plant: Plant, states: set[str], *, held: bool = False) -> Turning:
    """Let the motor come to its steady speed in these states.

    Args:
        plant: The boat.
        states: What conducts.
        held: The first instant of a start: the shaft stands still.
    """
    still = tuple(plant.resistors(states))
    standing = solve(still)
    supply = _seen_by_armature(plant, states, standing)
    if held or supply is None or plant.flag("seized"):
        amps = supply.volts / supply.ohms if supply else 0.0
        return Turning(0.0, amps, 0.0, still, standing)
    speed = _balance(lambda w: _torque(plant, supply, w) - _load(plant, w))
    if speed <= 0.0:
        return Turning(0.0, supply.volts / supply.ohms, 0.0, still, standing)
    amps = _amps(plant, supply, speed)
    emf = (abs(supply.volts) - amps * supply.ohms) * (1 if supply.volts > 0 else -1)
    way = (1 if supply.volts > 0 else -1) * (1 if supply.field_share >= 0 else -1)
    way *= -1 if plant.flag("turns_the_wrong_way") else 1
    network = tuple(plant.resistors(states, emf))
    return Turning(speed * way, amps, emf, network, solve(network))


def _seen_by_armature(plant: Plant, states: set[str], standing: dict[str, float]) -> _Supply | None:
    resistors = {item.name: item for item in plant.resistors(states)}
    if ARMATURE not in resistors:
        return None
    at_rest = current(resistors[ARMATURE], standing)
    if abs(at_rest) < 0.01 * plant.motor.rated_current:
        return None
    pushed = {item.name: item for item in plant.resistors(states, 1.0)}
    against = current(pushed[ARMATURE], solve(pushed.values()))
    ohms = 1.0 / (at_rest - against)
    return _Supply(at_rest * ohms, ohms, _field_share(plant, resistors, standing))


def _field_share(plant: Plant, resistors: Mapping[str, object], standing: dict[str, float]) -> float:
    """Port less starboard field current over their sum: 1 or -1 with one field fed, 0 with both alike."""
    fields = boat_data()["motors"][plant.spec.motor].get("fields")
    if not fields:
        return 1.0
    amps = {}
    for way, name in fields.items():
        item = plant.elements[name]
        flows = item.ohms is not None and name in resistors
        amps[way] = (standing[item.plus] - standing[item.minus]) / item.ohms if flows and item.ohms else 0.0
    total = sum(abs(value) for value in amps.values())
    port, starboard = (amps[way] for way in boat_data()["ways"])
    share = (port - starboard) / total if total else 0.0
    return share if abs(share) >= float(boat_data()["motor"]["fields_cancel_below"]) else 0.0


def _flux(plant: Plant, amps: float) -> float:
    """Flux relative to rated: constant on a permanent magnet, saturating on a series motor."""
    kind = boat_data()["motors"][plant.spec.motor]
    if not (kind.get("fields") or kind.get("series_field")):
        return 1.0
    s, i = float(boat_data()["motor"]["saturation"]), amps / plant.motor.rated_current
    return i * (1 + s) / (1 + s * i)


def _amps(plant: Plant, supply: _Supply, speed: float) -> float:
    """Armature current at this speed, A."""
    volts, share = abs(supply.volts), abs(supply.field_share)

    def left(amps: float) -> float:
        return volts - amps * supply.ohms - plant.motor.rated_emf * _flux(plant, amps * share) * speed

    low, high = 0.0, volts / supply.ohms
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if left(middle) > 0 else (low, middle)
    return (low + high) / 2


def _torque(plant: Plant, supply: _Supply, speed: float) -> float:
    """Torque relative to rated."""
    amps = _amps(plant, supply, speed)
    flux = _flux(plant, amps * abs(supply.field_share))
    return float(plant.flag("torque", 1.0)) * flux * amps / plant.motor.rated_current


def _load(plant: Plant, speed: float) -> float:
    friction = float(boat_data()["motor"]["friction"])
    dry = float(plant.flag("friction", friction))
    return dry + (1 - friction) * float(plant.flag("load", 1.0)) * speed**2


def _balance(excess: Callable[[float], float]) -> float:
    """The speed at which torque meets load: 0 when it never gets away."""
    if excess(0.0) <= 0:
        return 0.0
    low, high = 0.0, FASTEST
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if excess(middle) > 0 else (low, middle)
    return (low + high) / 2
