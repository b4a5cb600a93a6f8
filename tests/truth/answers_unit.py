"""The truthful answers to the tests of contactor, motor and what is below, and of a runaway."""

from __future__ import annotations

from collections.abc import Callable

from .conditions import tables
from .notation import WAYS, Fact, fact
from .scene import Case, one_way, volts


# ------------------------------------------------------------------ coils fed directly
def coil_direct(case: Case) -> list[Fact]:
    def findings(way: str, scene: tuple[str, str]) -> list[Fact]:
        done = case.run(way, "coil")
        out = [
            fact("thruster", "runs", one_way(way, done.turned), *scene),
            fact("supply", "voltage", volts(done.supply), *scene),
        ]
        # with both armatures in already, a faint click or none: nobody could tell
        return out if case.c.both_closed else [*out, fact(f"{way}_coil", "clicks", bool(done.pulled), *scene)]

    seen = [fact("sense_lead", "continuity", "sense" not in case.c.broken, "isolator_off")]
    return _fed(case, findings, seen + case.see("sense_lead.damaged"))


def motor_output_voltage(case: Case) -> list[Fact]:
    def findings(way: str, scene: tuple[str, str]) -> list[Fact]:
        done = case.run(way, "coil")
        return [
            fact("motor_output", "voltage", volts(done.motor_output), *scene),
            fact("supply", "voltage", volts(done.supply), *scene),
            fact("thruster", "runs", one_way(way, done.turned), *scene),
        ]

    return _fed(case, findings)


def motor_terminal_voltage(case: Case) -> list[Fact]:
    def findings(way: str, scene: tuple[str, str]) -> list[Fact]:
        done = case.run(way, "coil")
        return [
            fact("motor_terminals", "voltage", volts(done.motor_terminals), *scene),
            fact("supply", "voltage", volts(done.supply), *scene),
            fact("thruster", "runs", one_way(way, done.turned), *scene),
            *([fact("motor", "current", round(done.current), *scene)] if case.boat.has_clamp_meter else []),
        ]

    return _fed(case, findings, [fact("motor_terminals", "voltage", 0.0, "at_rest")])


def _fed(
    case: Case, findings: Callable[[str, tuple[str, str]], list[Fact]], before: list[Fact] | None = None
) -> list[Fact]:
    """Each coil fed in turn, sense lead lifted, and the lead put back."""
    out = [fact("sense_lead", "plugged", False), *(before or [])]
    for way in WAYS:
        bridge = case.coil_bridge(way)
        scene = (f"coil_energised_{way}", "sense_lead_lifted")
        out += [fact("bridge", "fitted", bridge), *findings(way, scene), fact("bridge", "removed", bridge)]
    return [*out, fact("sense_lead", "plugged", True)]


def coil_resistance(case: Case) -> list[Fact]:
    ohms = tables()["healthy"]["figures"]["coil_ohms"] * case.boat.scale**2
    out = []
    for way in WAYS:
        whole = way not in case.c.coil_open
        out.append(fact(f"{way}_coil", "continuity", whole, "isolator_off"))
        if whole:
            out.append(fact(f"{way}_coil", "resistance", round(ohms, 1), "isolator_off"))
    return out


def contact_resistance(case: Case) -> list[Fact]:
    closed = case.c.both_closed or "contacts" in case.c.starts_from
    out = [fact("contactor", "continuity", closed, "at_rest", "isolator_off")]
    return [*out, fact("contactor", "resistance", 0.1, "at_rest", "isolator_off")] if closed else out


# ------------------------------------------------------------------ motor and below
def motor_current(case: Case) -> list[Fact]:
    return case.load_facts(case.loaded())


def motor_temperature(case: Case) -> list[Fact]:
    return case.see("motor.hot", "motor.temperature", "motor.burnt_smell")


def thermal_bridge(case: Case) -> list[Fact]:
    done = case.loaded(thermal_bridged=True)
    bridge = "thermal_lead_to_motor_negative"
    return [
        fact("thermal_switch", "plugged", False),
        fact("bridge", "fitted", bridge),
        fact("thruster", "runs", "some" if done.turned else "none", "thermal_bridged"),
        fact("bridge", "removed", bridge),
        fact("thermal_switch", "plugged", True),
    ]


def thermal_continuity(case: Case) -> list[Fact]:
    state = case.c.thermal
    out = [fact("thermal_switch", "continuity", state != "open", "isolator_off", "motor_cold")]
    if state not in ("open_hot", "never_opens"):
        return out
    hot = fact("thermal_switch", "continuity", state == "never_opens", "isolator_off", "motor_hot")
    return [hot, *out]


def motor_insulation(case: Case) -> list[Fact]:
    off = ("control_unit", "sense_lead", "thermal_switch")
    return [
        *(fact(part, "plugged", False) for part in off),
        fact("motor", "insulation", case.c.insulation, "isolator_off"),
        *(fact(part, "plugged", True) for part in off),
    ]


def brushes_inspect(case: Case) -> list[Fact]:
    out = case.see("motor.damaged", "motor.burnt_smell")
    # with one of two fields open it conducts from one terminal and not from the other: no single word
    if not case.c.field_open:
        out.append(fact("motor", "continuity", not case.c.motor_open, "isolator_off"))
    return out


def shaft_by_hand(case: Case) -> list[Fact]:
    """The coupling is parted where the shaft does not turn, so that each side answers for itself."""
    found = case.see(
        "motor.turns_by_hand", "propeller.turns_by_hand", "propeller.spins_free", "gear_leg.turns_by_hand",
        "gear_leg.noise", "coupling.damaged",
    )  # fmt: skip
    return _locked(case, found)


def tunnel_inspect(case: Case) -> list[Fact]:
    found = case.see(
        "propeller.present", "propeller.damaged", "propeller.fouled", "tunnel.fouled", "gear_leg.wet",
    )  # fmt: skip
    return _locked(case, found)


def _locked(case: Case, found: list[Fact]) -> list[Fact]:
    return case.locked_off() + found + case.unlocked()


# ------------------------------------------------------------------ runs by itself
def all_unplugged_power_on(case: Case) -> list[Fact]:
    scene = ("panel_unplugged", "control_unit_unplugged")
    starts = case.starts(panels=False, harness=False, unit=False)
    return [
        *case.panels(False),
        fact("control_unit", "plugged", False),
        fact("thruster", "runs_by_itself", _by_itself(starts), *scene),
        fact("contactor", "clicks", False, *scene),
        *_off(case),
    ]


def control_unit_power_on(case: Case) -> list[Fact]:
    starts = case.starts(panels=False, harness=False)
    return [
        fact("control_unit", "plugged", True),
        fact("harness", "plugged", False),
        fact("thruster", "runs_by_itself", _by_itself(starts), "panel_unplugged", "harness_unplugged"),
        *_off(case),
    ]


def stations_power_on(case: Case) -> list[Fact]:
    out = [fact("harness", "plugged", True)]
    if case.starts(panels=False):
        return [*out, fact("harness", "runs_by_itself", "at_power_on", "panel_unplugged"), *_off(case)]
    out.append(fact("harness", "runs_by_itself", "no", "panel_unplugged"))
    for number in range(1, case.boat.stations + 1):
        starts = number == 1 and case.starts()
        panel = f"panel_{number}"
        out += [fact(panel, "plugged", True), fact(panel, "runs_by_itself", _by_itself(starts))]
        if starts:
            break
    return out + _off(case)


def _by_itself(starts: bool) -> str:
    return "at_power_on" if starts else "no"


def _off(case: Case) -> list[Fact]:
    """Power goes off after every step of the self-running tests."""
    return case.locked_off()[:1]
