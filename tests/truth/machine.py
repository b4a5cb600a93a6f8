"""The machine: what one attempt to run it does, wire by wire, under given conditions.

Volts in and out are those of the boat at hand; milliohms are those of a 12 V boat and grow with the voltage,
so that the current is the same on every boat.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from .conditions import Boat, Conditions, tables
from .notation import WAYS, Way

POSITIVE_LEG = ("battery_terminal", "main_fuse", "isolator", "positive_cable")
NEGATIVE_LEG = ("negative_cable",)


@dataclass(frozen=True)
class Attempt:
    """One attempt to run one way."""

    way: Way
    by: str = "station"
    """`station`, `bridge` (at its plug, stations unplugged) or `coil` (fed directly, sense lead lifted)."""
    station: int = 1
    woken: bool = False
    """The panel was switched on the right way first, not only used as it was found."""
    thermal_bridged: bool = False


@dataclass(frozen=True)
class Outcome:
    """What the attempt did and what meters read meanwhile (V, A)."""

    turned: bool
    current: float
    battery: float
    supply: float
    drops: dict[str, float]
    """Across each part of the main circuit, and `positive_leg`, `negative_leg`."""
    unit_supply: float
    signals: dict[Way, float]
    coils: dict[Way, float]
    pulled: frozenset[Way]
    """Coils that pulled in."""
    motor_output: float
    motor_terminals: float
    thrust: str
    direction: str


@dataclass(frozen=True)
class _Commanded:
    signals: frozenset[Way] = frozenset()
    fed: frozenset[Way] = frozenset()
    """Coils that have voltage across them."""
    pulled: frozenset[Way] = frozenset()
    closed: frozenset[Way] = field(default=frozenset())
    """Ways in which the contactor's output is live."""


def other(way: Way) -> Way:
    """The opposite way."""
    return "starboard" if way == "port" else "port"


def isolator_closed(c: Conditions) -> bool:
    """The isolator conducts as found."""
    return not c.isolator_off and c.isolator_told != "never" and "isolator" not in c.open_at


def powered(c: Conditions) -> bool:
    """The thruster's studs are live as found."""
    return isolator_closed(c) and not c.open_at


def rest_volts(c: Conditions, boat: Boat) -> tuple[float, float]:
    """Volts at rest at the battery's posts and at the thruster's studs."""
    battery = c.battery_rest
    stud = battery - tables()["healthy"]["figures"]["between_readings"] if powered(c) else 0.0
    return battery * boat.scale, stud * boat.scale


def station_supplied(c: Conditions, station: int) -> bool:
    """Control positive and negative reach this station's plug."""
    return unit_supplied(c) and "control_positive" not in c.broken and f"station_{station}" not in c.broken


def unit_supplied(c: Conditions) -> bool:
    """The control unit has its supply."""
    return powered(c) and not c.no_control_feed


def panel_lights(c: Conditions, station: int, woken: bool) -> bool:
    """This station's panel shows that it is on."""
    sound = station != 1 or c.panel == "sound" or (c.panel == "asleep" and woken)
    return sound and station_supplied(c, station)


def starters(c: Conditions, boat: Boat, *, panels: bool = True, harness: bool = True, unit: bool = True) -> set[str]:
    """Which of the causes of running by itself act, with these things plugged in and power on."""
    if not powered(c):
        return set()
    able = {"contacts"} & c.starts_from
    if unit and unit_supplied(c):
        able |= {"unit"} & c.starts_from
        if not boat.refuses_standing_command and "control_positive" not in c.broken:
            able |= ({"harness"} & c.starts_from) if harness else set()
            able |= ({"panel"} & c.starts_from) if harness and panels and panel_lights(c, 1, True) else set()
    return able


def standing_signals(c: Conditions, by: str) -> frozenset[Way]:
    """Signals that are at the unit without anybody asking."""
    live = unit_supplied(c) and "control_positive" not in c.broken
    stuck = "harness" in c.starts_from or ("panel" in c.starts_from and by == "station")
    return frozenset({"port"}) if live and stuck else frozenset()


def run(c: Conditions, boat: Boat, attempt: Attempt) -> Outcome:
    """Try it."""
    done = _command(c, boat, attempt)
    asked = attempt.way
    way = next(iter(done.closed), None) if len(done.closed) == 1 else None
    path = way is not None and way not in c.return_open | c.field_open and not c.motor_open
    current, drops = _flow(c) if path else (0.0, {})
    battery, supply = rest_volts(c, boat)
    if current:
        battery = (c.battery_rest - drops["battery"]) * boat.scale
        supply = battery - (drops["positive_leg"] + drops["negative_leg"]) * boat.scale
    elif not powered(c):
        drops = _open_circuit(c)
    output = supply - drops.get("contactor", 0.0) * boat.scale if done.closed else 0.0
    # with the return open, or both sides on positive, both terminals of the motor float up together
    terminals = output if way is not None and way not in c.return_open else 0.0
    turned = current > 0 and c.load not in ("stalled", "shorted")
    return Outcome(
        turned=turned,
        current=current,
        battery=battery,
        supply=supply,
        drops={part: volts * boat.scale for part, volts in drops.items()},
        unit_supply=supply if unit_supplied(c) else 0.0,
        signals={w: supply if w in done.signals else 0.0 for w in WAYS},
        coils={w: supply if w in done.fed else 0.0 for w in WAYS},
        pulled=done.pulled,
        motor_output=output,
        motor_terminals=terminals,
        thrust=_thrust(c, current),
        direction="correct" if way in (asked, None) else "reversed",
    )


def _command(c: Conditions, boat: Boat, attempt: Attempt) -> _Commanded:
    """From the hand on the stick to the contactor's output."""
    signals: frozenset[Way] = frozenset()
    if attempt.by == "coil":
        fed = frozenset({attempt.way}) if powered(c) else frozenset()
    else:
        signals = standing_signals(c, attempt.by) | _asked(c, attempt)
        fed = _driven(c, boat, signals, attempt)
    pulled = fed - c.coil_open
    if c.both_closed:
        # both armatures are in already; no click is heard, whatever is fed
        return _Commanded(signals, fed, frozenset(), frozenset(WAYS) if powered(c) else frozenset())
    return _Commanded(signals, fed, pulled, pulled - c.contact_open)


def _asked(c: Conditions, attempt: Attempt) -> frozenset[Way]:
    """Signals that arrive at the unit because of this attempt."""
    if not station_supplied(c, attempt.station):
        return frozenset()
    if attempt.by == "station":
        never = c.panel_never_asks if attempt.station == 1 else frozenset()
        if not panel_lights(c, attempt.station, attempt.woken) or attempt.way in never:
            return frozenset()
    if f"{attempt.way}_signal" in c.broken:
        return frozenset()
    return frozenset({other(attempt.way) if c.crossed else attempt.way})


def _driven(c: Conditions, boat: Boat, signals: frozenset[Way], attempt: Attempt) -> frozenset[Way]:
    """Coils that the control unit feeds."""
    thermal_open = c.thermal in ("open", "open_hot") and not attempt.thermal_bridged
    refuses = boat.refuses_standing_command and bool(standing_signals(c, attempt.by))
    ready = unit_supplied(c) and not thermal_open and "sense" not in c.broken and not c.both_closed and not refuses
    if not ready or len(signals) != 1:
        return frozenset()
    return frozenset(w for w in signals if w not in c.unit_never_drives and f"{w}_coil_lead" not in c.broken)


def _flow(c: Conditions) -> tuple[float, dict[str, float]]:
    """Current (A) and drops (V, 12 V boat) with the motor connected."""
    figures = tables()["healthy"]["figures"]
    milliohm = {part: value + c.extra_milliohm.get(part, 0) for part, value in figures["milliohm"].items()}
    motor = figures["motor_milliohm"][c.load] + c.extra_milliohm.get("motor", 0)
    current = 1000 * c.battery_rest / (sum(milliohm.values()) + motor)
    drops = {part: current * value / 1000 for part, value in milliohm.items()}
    drops["positive_leg"] = sum(drops[part] for part in POSITIVE_LEG)
    drops["negative_leg"] = sum(drops[part] for part in NEGATIVE_LEG)
    return current, drops


def _open_circuit(c: Conditions) -> dict[str, float]:
    """Drops with the main circuit open: the whole battery stands across the gap, if there is but one."""
    gaps = set(c.open_at) | (set() if isolator_closed(c) else {"isolator"})
    legs = {"negative_leg" if gap in NEGATIVE_LEG else "positive_leg" for gap in gaps}
    places = (gaps if len(gaps) == 1 else set()) | (legs if len(legs) == 1 else set())
    return dict.fromkeys(sorted(places), c.battery_rest)


def _thrust(c: Conditions, current: float) -> str:
    if not current or c.load in ("stalled", "shorted", "unloaded"):
        return "none"
    feeble = current < tables()["healthy"]["figures"]["weak_below_amperes"]
    return "weak" if feeble or c.load in ("fouled", "tight", "starved") else "normal"
