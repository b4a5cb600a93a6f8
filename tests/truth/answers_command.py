"""The truthful answers to the tests of supply and command."""

from __future__ import annotations

from .machine import rest_volts
from .notation import WAYS, Fact, fact
from .scene import Case, one_way, volts


# ------------------------------------------------------------------ supply
def battery_voltage_at_rest(case: Case) -> list[Fact]:
    battery, _ = rest_volts(case.c, case.boat)
    return [
        fact("battery", "voltage", volts(battery), "at_rest"),
        *case.see("battery_terminal.loose", "battery_terminal.corroded"),
    ]


def battery_voltage_under_load(case: Case) -> list[Fact]:
    done = case.loaded()
    out = [fact("battery", "voltage", volts(done.battery), "under_load"), *case.load_facts(done)]
    if done.current:
        out.append(fact("battery_terminal", "drop", round(done.drops["battery_terminal"], 3), "under_load"))
    return out + case.see("battery_terminal.hot")


def supply_voltage_at_rest(case: Case) -> list[Fact]:
    _, supply = rest_volts(case.c, case.boat)
    return [fact("supply", "voltage", volts(supply), "at_rest")]


def supply_voltage_under_load(case: Case) -> list[Fact]:
    done = case.loaded()
    return [fact("supply", "voltage", volts(done.supply), "under_load"), *case.load_facts(done)]


def fuse_check(case: Case) -> list[Fact]:
    looks = ("blown", "rating", "loose", "corroded", "hot")
    out = case.see(*(f"main_fuse.{what}" for what in looks), "control_fuse.blown")
    out.append(fact("main_fuse", "continuity", "main_fuse" not in case.c.open_at, "isolator_off"))
    return out + _drop(case, "main_fuse")


def isolator_check(case: Case) -> list[Fact]:
    out = [fact("isolator", "position", case.position())]
    if not case.c.isolator_off:
        out.append(fact("isolator", "continuity", case.conducts(), "isolator_on"))
    out.append(fact("isolator", "continuity", not case.c.can_isolate, "isolator_off"))
    if case.boat.isolator == "remote":
        out.append(fact("isolator", "clicks", case.c.isolator_told == "rightly"))
    return out + case.see("isolator.hot") + _drop(case, "isolator")


def isolator_command_check(case: Case) -> list[Fact]:
    battery, _ = rest_volts(case.c, case.boat)
    told = case.c.isolator_told
    return [
        fact("isolator_command", "voltage", 0.0 if told == "never" else volts(battery), "isolator_on"),
        fact("isolator_command", "voltage", volts(battery) if told == "always" else 0.0, "isolator_off"),
        fact("isolator", "clicks", told == "rightly"),
    ]


def cable_drop_positive(case: Case) -> list[Fact]:
    return _leg(case, "positive")


def cable_drop_negative(case: Case) -> list[Fact]:
    return _leg(case, "negative")


def _leg(case: Case, side: str) -> list[Fact]:
    done = case.loaded()
    drop = round(done.drops.get(f"{side}_leg", 0.0), 2)
    return [fact(f"{side}_cable", "drop", drop, "under_load"), *case.load_facts(done)]


def _drop(case: Case, part: str) -> list[Fact]:
    """Across one part, while current flows; nothing where none can."""
    done = case.loaded()
    if not done.current or case.starts():
        return []
    return [fact(part, "drop", round(done.drops[part], 3), "under_load")]


# ------------------------------------------------------------------ command
def panel_wake_up(case: Case) -> list[Fact]:
    return [fact("panel", "lights", case.lights()), fact("thruster", "runs", case.runs(woken=True))]


def panel_lead_voltage(case: Case) -> list[Fact]:
    _, supply = rest_volts(case.c, case.boat)
    there = case.run("port", "bridge").unit_supply and _plug_fed(case)
    return [
        *case.panels(False),
        fact("panel_lead", "voltage", volts(supply) if there else 0.0, "panel_unplugged"),
        *case.see("harness.loose", "harness.corroded"),
        *case.panels(True),
    ]


def _plug_fed(case: Case) -> bool:
    return not {"control_positive", "station_1"} & case.c.broken


def try_other_station(case: Case) -> list[Fact]:
    return [
        fact("panel_2", "lights", case.lights(2)),
        fact("panel_2", "runs", case.runs(station=2, woken=True)),
    ]


def command_bridge(case: Case) -> list[Fact]:
    out = case.panels(False) + case.see("harness.loose", "harness.corroded")
    turned = None
    for way in WAYS:
        bridge, scene = f"control_positive_to_{way}_signal", ("panel_unplugged", f"command_bridged_{way}")
        done = case.run(way, "bridge")
        turned = done if done.turned else turned
        out += [
            fact("bridge", "fitted", bridge),
            fact("thruster", "runs", one_way(way, done.turned), *scene),
            fact("contactor", "clicks", bool(done.pulled), *scene),
            fact("bridge", "removed", bridge),
        ]
        if done.turned:
            out.append(fact("thruster", "direction", done.direction, *scene))
    return out + case.panels(True)


def signal_voltage(case: Case) -> list[Fact]:
    out = []
    for way in WAYS:
        done, asked = case.run(way), f"{way}_commanded"
        out.append(fact(f"{way}_signal", "voltage", volts(done.signals[way]), asked))
        out += _elsewhere("signal", way, done.signals)
        out.append(fact("control_unit", "voltage", volts(done.unit_supply), asked))
    return out + case.see("harness.loose", "harness.corroded")


def _elsewhere(place: str, way: str, levels: dict[str, float]) -> list[Fact]:
    """What is found at the other side's place, where anything is."""
    return [
        fact(f"{at}_{place}", "voltage", volts(level), f"{way}_commanded")
        for at, level in levels.items()
        if at != way and level
    ]


def coil_voltage(case: Case) -> list[Fact]:
    out = []
    for way in WAYS:
        done, asked = case.run(way), f"{way}_commanded"
        out.append(fact(f"{way}_coil", "voltage", volts(done.coils[way]), asked))
        out += _elsewhere("coil", way, done.coils)
        out.append(fact(f"{way}_coil", "clicks", way in done.pulled, asked))
        if not done.coils[way]:
            sound = f"{way}_coil_lead" not in case.c.broken
            out.append(fact(f"{way}_coil_lead", "continuity", sound, "isolator_off"))
    return out
