"""Single facts beside the thirty-one tests: what the helm shows, single conductors, single places."""

from __future__ import annotations

from .machine import POSITIVE_LEG, rest_volts, standing_signals
from .notation import WAYS, Fact, fact
from .scene import Case, one_way, volts


def as_found(case: Case) -> list[Fact]:
    """What can be told of the boat before anything is tested, at the helm and by looking."""
    by_itself = case.starts()
    out = [fact("panel", "lights", case.lights(woken=False))]
    out.append(fact("thruster", "runs_by_itself", "at_power_on" if by_itself else "no"))
    out += [] if by_itself else _at_the_helm(case)
    out += [fact(about, what, value) for (about, what), value in case.c.seen.items() if about != "propeller"]
    out += case.see(*(f"{a}.{w}" for a, w in case.c.seen if a == "propeller"))
    if case.boat.drive != "contactor":
        out = [item for item in out if item["about"] not in ("contactor", "coil_lead", "sense_lead")]
    # a noise is made by current, and only by it
    current = case.loaded().current
    return [item for item in out if current or item["what"] != "noise" or item["about"] != "thruster"]


def _at_the_helm(case: Case) -> list[Fact]:
    runs = case.runs()
    done = case.loaded()
    tries = {way: case.run(way) for way in WAYS}
    out = [fact("thruster", "runs", runs)]
    clicks = {way: bool(tries[way].pulled) for way in WAYS}
    if len(set(clicks.values())) == 1:
        out.append(fact("contactor", "clicks", clicks["port"]))
    out += [fact("contactor", "clicks", clicks[way], f"{way}_commanded") for way in WAYS]
    if done.turned:
        out.append(fact("thruster", "thrust", done.thrust))
        out.append(fact("thruster", "direction", done.direction))
    return out


def extras(case: Case) -> list[Fact]:
    """Conductors one by one, far sides of switches, and drops across single parts."""
    return [
        *_conductors(case),
        *_places(case),
        *_isolated(case),
        *_drops(case),
        *_each_way(case),
        *_boat(case),
    ]


def _conductors(case: Case) -> list[Fact]:
    c = case.c
    wires = {"control_positive", "port_signal", "starboard_signal"}
    sound = {
        "battery_terminal": True,
        "main_fuse": "main_fuse" not in c.open_at,
        "positive_cable": "positive_cable" not in c.open_at,
        "negative_cable": "negative_cable" not in c.open_at,
        "isolator_command": c.isolator_told != "never",
        "control_fuse": not c.no_control_feed,
        "harness": not wires & c.broken,
        "panel_lead": not {"control_positive", "station_1"} & c.broken,
        "port_signal": not {"port_signal", "station_1"} & c.broken,
        "starboard_signal": not {"starboard_signal", "station_1"} & c.broken,
        "splitter": "station_1" not in c.broken,
        "sense_lead": "sense" not in c.broken,
        "port_coil_lead": "port_coil_lead" not in c.broken,
        "starboard_coil_lead": "starboard_coil_lead" not in c.broken,
        "coil_lead": not {"port_coil_lead", "starboard_coil_lead"} & c.broken,
    }
    if case.boat.stations < 2:
        del sound["splitter"]
    if case.boat.isolator != "remote":
        del sound["isolator_command"]
    return [fact(part, "continuity", state, "isolator_off") for part, state in sound.items()]


def _places(case: Case) -> list[Fact]:
    """Volts at rest along the main circuit, against the battery's far post, and in the control circuit."""
    battery, supply = rest_volts(case.c, case.boat)
    out, live = [], True
    for part in ("main_fuse", "isolator", "positive_cable"):
        live = live and (case.conducts() if part == "isolator" else part not in case.c.open_at)
        out.append(fact(part, "voltage", volts(battery) if live else 0.0, "at_rest"))
    whole = "negative_cable" not in case.c.open_at
    out.append(fact("negative_cable", "voltage", volts(battery) if whole else 0.0, "at_rest"))
    if not case.starts():
        fed = volts(supply) if case.run("port").unit_supply else 0.0
        out += [fact(part, "voltage", fed, "at_rest") for part in ("control_fuse", "control_unit")]
        out.append(fact("motor_output", "voltage", volts(supply) if case.c.both_closed else 0.0, "at_rest"))
        out += [fact(f"{way}_coil", "voltage", 0.0, "at_rest") for way in WAYS]
        standing = standing_signals(case.c, "station")
        out += [fact(f"{way}_signal", "voltage", fed if way in standing else 0.0, "at_rest") for way in WAYS]
    return out


def _isolated(case: Case) -> list[Fact]:
    """At the studs with the isolator put to off."""
    _, supply = rest_volts(case.c, case.boat)
    dead = case.c.can_isolate or not supply
    return [
        fact("supply", "voltage", 0.0 if dead else volts(supply), "isolator_off"),
        fact("supply", "proved_dead", dead, "isolator_off"),
        fact("supply", "proved_dead", dead),
    ]


def _each_way(case: Case) -> list[Fact]:
    """The helm tried one way, as found."""
    if case.starts():
        return []
    return [fact("thruster", "runs", one_way(way, case.run(way).turned), f"{way}_commanded") for way in WAYS]


def _drops(case: Case) -> list[Fact]:
    done = case.loaded()
    if case.starts():
        return []
    parts = {part: done.drops.get(part, 0.0) for part in POSITIVE_LEG if part != "positive_cable"}
    return [fact(part, "drop", round(drop, 3), "under_load") for part, drop in parts.items()]


def _boat(case: Case) -> list[Fact]:
    boat = case.boat
    out = [
        fact("boat", "nominal_voltage", boat.nominal_voltage),
        fact("thruster", "kind", boat.drive),
        fact("motor", "kind", boat.motor),
        fact("isolator", "kind", boat.isolator),
        fact("boat", "stations", boat.stations),
        fact("boat", "fuel", boat.fuel),
        fact("boat", "afloat", boat.afloat),
        fact("boat", "people_clear", True),
        fact("helper", "skill", boat.skill),
        fact("helper", "has_meter", boat.has_meter),
        fact("helper", "has_clamp_meter", boat.has_clamp_meter),
    ]
    if boat.drive == "contactor":
        out.append(fact("control_unit", "coil_switching", boat.coil_switching))
    return out if boat.fuel != "petrol" else [*out, fact("boat", "ventilated", True)]


def boat_facts(case: Case) -> list[Fact]:
    """The boat as her owner describes her when asked."""
    return _boat(case)
