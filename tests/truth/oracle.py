"""The oracle: what a boat with known faults truly shows, test by test, in protocol facts.

It knows the machine (`machine.py`), the faults (`faults.yaml`) and a sound boat (`healthy.yaml`), and nothing
of how anybody diagnoses them. Every function takes one fault, several, or none (`()`: a sound boat), and a
boat as a `Boat` or as the keys in which she differs from the default boat; None is the boat the faults need.
Same input, same output; nothing is remembered between calls.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from .answers import ANSWERS
from .conditions import Boat, as_list, conditions, read_facts, tables
from .notation import Fact, Value, fact, find, key
from .scene import Case
from .single import as_found, boat_facts, extras

__all__ = [
    "FAULTS", "HEALTHY", "TESTS", "Boat", "Fact", "after_repair", "answer", "as_found_facts", "boat_for",
    "cannot", "dangers", "described", "make_safe", "repair", "reported", "value",
]  # fmt: skip

Faults = str | Collection[str]
BoatLike = Boat | Mapping[str, Any] | None

FAULTS: tuple[str, ...] = tuple(tables()["faults"])
"""Every fault of the vocabulary, in its order."""
TESTS: tuple[str, ...] = tuple(ANSWERS)
"""Every test of the vocabulary, in its order."""
HEALTHY: tuple[str, ...] = ()
"""No fault at all."""

_SWITCHED_INPUTS = frozenset({
    "coil_voltage", "coil_direct", "coil_resistance", "motor_output_voltage", "motor_terminal_voltage",
    "contact_resistance", "command_bridge", "signal_voltage", "thermal_bridge",
})  # fmt: skip
"""Not on a speed-controlled drive."""
_BY_METER = frozenset({"voltage", "drop", "resistance", "insulation", "continuity"})
_BY_EYE = frozenset({
    "fuse_check", "isolator_check", "panel_wake_up", "try_other_station", "motor_temperature",
    "brushes_inspect", "shaft_by_hand", "tunnel_inspect", "all_unplugged_power_on", "control_unit_power_on",
    "stations_power_on",
})  # fmt: skip
"""Something can be said without a meter."""
_POWER_OFF = frozenset({
    "coil_resistance", "contact_resistance", "thermal_continuity", "motor_insulation", "brushes_inspect",
})  # fmt: skip
_ON_A_RUNAWAY = _POWER_OFF | {
    "battery_voltage_at_rest", "fuse_check", "isolator_check", "motor_temperature", "shaft_by_hand",
    "tunnel_inspect", "all_unplugged_power_on", "control_unit_power_on", "stations_power_on",
}  # fmt: skip
"""Can be done on a boat that runs as soon as power is on: with power off, or for that very case."""
_STATIONS_OFF = frozenset({"panel_lead_voltage", "command_bridge"})


def boat_for(faults: Faults, **wishes: Any) -> Boat:
    """The default boat with what these faults need of her, and what the caller wishes besides.

    Raises:
        ValueError: The faults, or a wish, need different boats.
    """
    needs: dict[str, Any] = dict(wishes)
    for fault in as_list(faults):
        for name, wanted in tables()["faults"][fault].get("boat", {}).items():
            if needs.setdefault(name, wanted) != wanted:
                raise ValueError(f"{fault} needs {name} {wanted}, not {needs[name]}")
    return Boat.of(needs)


def described(faults: Faults, boat: BoatLike = None) -> list[Fact]:
    """Boat and helper, as facts; people are clear of the tunnel."""
    return boat_facts(_case(faults, boat))


def reported(faults: Faults, boat: BoatLike = None) -> list[Fact]:
    """What the owner says first, one to four facts for each fault.

    With two faults, what each alone would have brought is told as it shows with both.
    """
    case, named = _case(faults, boat), as_list(faults)
    told: dict[tuple[str, str, tuple[str, ...]], Fact] = {}
    for fault in named:
        entry = tables()["faults"][fault]
        refused = case.boat.refuses_standing_command and "reported_if_refused" in entry
        for item in read_facts(entry["reported_if_refused" if refused else "reported"], case.boat):
            if len(named) == 1 or "before_the_trouble" in item.get("while", ()):
                told[key(item)] = item
                continue
            now = find(_known(case), item["about"], item["what"], item.get("while", ()))
            if now is not None:
                told[key(item)] = {**item, "value": now}
    dead = find(as_found(case), "thruster", "runs", ()) == "none"
    if len(named) > 1 and dead:
        told.setdefault(("thruster", "runs", ()), fact("thruster", "runs", "none"))
    return list(told.values())


def as_found_facts(faults: Faults, boat: BoatLike = None) -> list[Fact]:
    """All that the helm, the eye, the hand and the nose can tell before any test."""
    return as_found(_case(faults, boat))


def cannot(faults: Faults, boat: BoatLike, test: str) -> str | None:
    """Why a test cannot be made on this boat as she is; None when it can.

    Raises:
        KeyError: No such test.
    """
    if test not in ANSWERS:
        raise KeyError(test)
    return _reason(_case(faults, boat), test)


def answer(faults: Faults, boat: BoatLike, test: str) -> list[Fact] | None:
    """The truthful answer to a test: set-up, findings, restoring; None when it cannot be made (see `cannot`).

    Raises:
        KeyError: No such test.
    """
    if cannot(faults, boat, test):
        return None
    case = _case(faults, boat)
    out = ANSWERS[test](case)
    if test in _POWER_OFF and not case.c.can_isolate:
        out = [*case.locked_off(), *out, *case.unlocked()]
    return [item for item in out if case.boat.has_meter or item["what"] not in _BY_METER]


def value(faults: Faults, boat: BoatLike, about: str, what: str, while_: Collection[str] = ()) -> Value | None:
    """A single fact, in its attribute's own unit; None when there is no such thing, or nobody could see it.

    Without circumstances a voltage is the one at rest, a drop or a current the one under load.
    """
    case = _case(faults, boat)
    about = {"panel_1": "panel"}.get(about, about)
    scene = set(while_)
    if not scene and what in ("voltage", "drop", "current"):
        scene = {"at_rest"} if what == "voltage" else {"under_load"}
    return find(_known(case), about, what, scene)


def make_safe(faults: Faults, boat: BoatLike = None) -> list[Fact]:
    """What the person does when told to take power away: isolator off, or the fuse drawn if that fails."""
    return _case(faults, boat).locked_off()[:1]


def repair(fault: str) -> list[Fact]:
    """The facts of the repair: a part replaced or repaired, or the setting put right."""
    entry = tables()["faults"][fault]
    part = fault.partition(".")[0]
    return read_facts(entry.get("repair", [f"{part}.replaced = true"]), Boat.of(None))


def after_repair(repaired: Faults, boat: BoatLike = None, remaining: Faults = HEALTHY) -> list[Fact]:
    """The complaint tried again after the repair: all put back, both ways, supply and current under load.

    Args:
        repaired: The faults that were put right, whose complaint is tried again.
        boat: The boat.
        remaining: Faults that are still there.
    """
    was, now = _case(repaired, boat), _case(remaining, boat)
    known = _known(now)
    out: list[Fact] = []
    if was.c.starts_from:
        out += [*now.panels(True), fact("control_unit", "plugged", True), fact("harness", "plugged", True)]
        out.append(fact("isolator", "position", "on"))
        out.append(fact("thruster", "runs_by_itself", "at_power_on" if now.starts() else "no"))
    if now.starts():
        return out
    helm = {("thruster", "runs"), ("thruster", "thrust"), ("thruster", "direction")}
    out += [item for item in as_found(now) if key(item)[:2] in helm]
    if now.loaded().current:
        out += [item for item in ANSWERS["supply_voltage_under_load"](now) if item["what"] != "runs"]
    done = {key(item) for item in out}
    for item in reported(repaired, was.boat):
        state = find(known, item["about"], item["what"], item.get("while", ()))
        if key(item) not in done and state is not None and "before_the_trouble" not in item.get("while", ()):
            out.append({**item, "value": state})
    return out


def dangers(faults: Faults, boat: BoatLike = None, moment: str = "report") -> list[str]:
    """Hazards that ought to be live, at the least.

    Args:
        faults: The faults.
        boat: The boat.
        moment: `report`, with what the owner said and the boat described; `run`, when a powered run is the
            next step besides; `found`, once the test that shows the fault has been made.
    """
    case = _case(faults, boat)
    out: list[str] = []
    for fault in as_list(faults):
        listed = tables()["faults"][fault].get("dangers", {})
        out += listed.get("report", [])
        out += listed.get(moment, []) if moment != "report" else []
    if case.boat.motor == "permanent_magnet":
        out = [hazard for hazard in out if hazard != "overspeed_unloaded"]
    if case.boat.refuses_standing_command and not case.starts():
        out = [hazard for hazard in out if hazard != "runs_uncontrolled"]
    if moment == "run":
        out.append("thrust_moves_boat" if case.boat.afloat else "dry_run")
        out += ["vapour_spark"] if case.boat.fuel == "petrol" else []
    return sorted(set(out))


def _case(faults: Faults, boat: BoatLike) -> Case:
    return Case(conditions(faults), boat_for(faults) if boat is None else Boat.of(boat))


def _reason(case: Case, test: str) -> str | None:
    boat = case.boat
    if test == "try_other_station" and boat.stations < 2:
        return "there is only one station"
    if test == "isolator_command_check" and boat.isolator != "remote":
        return "the isolator is worked by hand"
    if test in _SWITCHED_INPUTS and boat.drive != "contactor":
        return "it is a speed-controlled drive"
    if test == "motor_current" and not boat.has_clamp_meter:
        return "no clamp meter aboard"
    if test not in _BY_EYE and test != "motor_current" and not boat.has_meter:
        return "no meter aboard"
    if test not in _ON_A_RUNAWAY and case.starts(panels=test not in _STATIONS_OFF):
        return "it runs as soon as power is on"
    return None


def _known(case: Case) -> list[Fact]:
    """All facts of this boat that can be had, the helm's first."""
    out = [*as_found(case), *extras(case)]
    for test, give in ANSWERS.items():
        if _reason(case, test) is None:
            out += give(case)
    return out
