"""What the boat's switches, relays, panels and control unit do, moment by moment, until all agree."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from assistant.boat.data import boat_data
from assistant.boat.plant import Plant
from assistant.boat.turning import Turning, settle

Command = tuple[int, str] | None
"""Station and way that are being asked for."""

LIMIT = 24
"""Steps after which a circuit that never agrees is called chattering."""


@dataclass
class State:
    """How things stand on the boat, apart from what electricity decides."""

    plugged: dict[str, bool]
    position: bool = True
    """The isolator's handle or switch is at on."""
    locked: bool = False
    bridges: set[str] = field(default_factory=set)
    fuse_drawn: bool = False
    """Taken out to have the power off for certain."""
    refused: bool = False
    """The control unit met a command at power-on and waits for it to go."""
    thermal_open: bool = False
    temperature: float = 22.0
    """Of the motor, degC."""
    open_now: frozenset[str] = frozenset()
    """Elements that happen to be open just now."""


@dataclass(frozen=True)
class Logic:
    """What electricity has decided."""

    isolator: bool = False
    lit: frozenset[int] = frozenset()
    asks: frozenset[tuple[int, str]] = frozenset()
    drives: frozenset[str] = frozenset()
    relays: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Moment:
    """A boat that has come to rest, or to a steady run, or keeps chattering."""

    logic: Logic
    turning: Turning
    states: frozenset[str]
    chatters: bool
    clicked: frozenset[str]
    """Relays that pulled in on the way."""
    closed: frozenset[str]
    """Contactors closed while the readings were taken."""
    gone_dark: frozenset[int]
    """Stations that were lit and gave up on the way."""

    @property
    def volts(self) -> dict[str, float]:
        """Of every node."""
        return self.turning.volts


def ways() -> tuple[str, ...]:
    """The two ways to push."""
    return tuple(boat_data()["ways"])


def states_of(plant: Plant, state: State, logic: Logic) -> set[str]:
    """Names of everything that is so, as the elements ask for it."""
    out = {f"{name}_plugged" for name, yes in state.plugged.items() if yes} | set(state.bridges)
    if state.plugged["harness"] and state.plugged["control_unit"]:
        out.add("harness_and_unit_plugged")
    if state.position:
        out.add("isolator_asked")
    if not state.fuse_drawn:
        out.add("fuse_in_place")
    if logic.isolator:
        out.add("isolator_closed")
    if not state.thermal_open or plant.flag("thermal_never_opens"):
        out.add("thermal_closed")
    out |= {f"panel_{n}_asks_{way}" for n, way in logic.asks}
    out |= {f"drive_{way}" for way in logic.drives} | {f"{way}_in" for way in logic.relays}
    return out


class Deciding:
    """One look at the voltages, and what every part makes of them."""

    def __init__(self, plant: Plant, state: State, before: Logic, volts: dict[str, float]) -> None:
        """Take the boat, what was decided before, and the voltages that followed."""
        self.plant, self.state, self.before, self.volts = plant, state, before, volts
        self.limit = {
            k: float(v) * plant.spec.nominal_voltage
            for k, v in boat_data()["limits"].items()
            if k not in ("signal_seen", "thermal_open", "sense_live")
        }
        self.share = boat_data()["limits"]
        self.unit_volts = self.across("control_pos", "control_neg")

    def across(self, plus: str, minus: str) -> float:
        """Voltage between two nodes; 0 where one is not on this boat."""
        return self.volts.get(plus, 0.0) - self.volts.get(minus, 0.0)

    def stations(self) -> range:
        """Numbers of the stations."""
        return range(1, self.plant.spec.stations + 1)

    def decide(self, command: Command, gone_dark: frozenset[int]) -> Logic:
        """What follows from these voltages."""
        lit = frozenset(n for n in range(1, self.plant.spec.stations + 1) if n not in gone_dark and self.lights(n))
        asks = frozenset((n, way) for n in self.stations() for way in ways() if self.asks(n, way, lit, command))
        return Logic(self.isolator(), lit, asks, self.drives(), self.relays())

    def isolator(self) -> bool:
        """Whether the isolator conducts."""
        if self.plant.flag("isolator_stuck_closed"):
            return True
        if self.plant.spec.isolator == "manual":
            return self.state.position
        holds = self.limit["coil_lets_go"] if self.before.isolator else self.limit["isolator_pulls_in"]
        return self.across("isolator_coil_pos", "bat_neg") >= holds

    def lights(self, n: int) -> bool:
        """Whether a station is awake and lit."""
        if not self.state.plugged[f"panel_{n}"] or self.plant.flag(f"panel_{n}_dead"):
            return False
        if self.plant.flag(f"panel_{n}_asleep"):
            return False
        needed = self.limit["panel_gives_up" if n in self.before.lit else "panel_lights"]
        return self.across(f"plug_{n}_pos", f"plug_{n}_neg") >= needed

    def asks(self, n: int, way: str, lit: frozenset[int], command: Command) -> bool:
        """Whether a station puts control positive on a run signal."""
        if not self.state.plugged[f"panel_{n}"]:
            return False
        if self.plant.flag(f"panel_{n}_always_{way}"):
            return self.across(f"plug_{n}_pos", f"plug_{n}_neg") >= self.limit["panel_gives_up"]
        return n in lit and command == (n, way) and not self.plant.flag(f"panel_{n}_never_{way}")

    def unit_alive(self) -> bool:
        """Whether the control unit has what it needs to think."""
        needed = self.limit["unit_gives_up" if self.before.drives else "unit_works"]
        return self.state.plugged["control_unit"] and not self.plant.flag("unit_dead") and self.unit_volts >= needed

    def seen(self) -> set[str]:
        """Run signals that the control unit sees."""
        least = self.share["signal_seen"] * self.unit_volts
        return {way for way in ways() if self.across(f"unit_{way}", "control_neg") >= least > 0}

    def drives(self) -> frozenset[str]:
        """Coils that the control unit feeds."""
        powered = self.state.plugged["control_unit"] and self.unit_volts >= self.limit["unit_gives_up"]
        stuck = {way for way in ways() if self.plant.flag(f"always_drives_{way}") and powered}
        seen = self.seen()
        if stuck or not self.unit_alive() or len(seen) != 1 or self.state.refused or not self.allowed():
            return frozenset(stuck)
        return frozenset(way for way in seen if not self.plant.flag(f"never_drives_{way}"))

    def allowed(self) -> bool:
        """Thermal circuit closed, and the contactor's output dead before a start."""
        thermal = self.across("unit_thermal", "control_neg") <= self.share["thermal_open"] * self.unit_volts
        dead = self.across("unit_sense", "control_neg") <= self.share["sense_live"] * self.unit_volts
        return thermal and (dead or bool(self.before.drives))

    def relays(self) -> frozenset[str]:
        """Contactors that are in."""
        out = {way for way in ways() if self.plant.flag(f"{way}_stuck_in") or self.pulls(way)}
        if out and self.plant.flag("pull_in_together"):
            out = set(ways())
        return frozenset(out)

    def pulls(self, way: str) -> bool:
        """Whether a coil pulls in, or holds what it had."""
        if self.plant.elements[f"coil_{way}"].ohms is None:
            return False
        needed = self.limit["coil_lets_go" if way in self.before.relays else "coil_pulls_in"]
        return abs(self.across("coil_common", f"coil_{way}_end")) >= needed


def rest(plant: Plant, state: State) -> Moment:
    """The boat with nobody asking for anything."""
    moment = _agree(plant, state, None, Logic())
    if state.refused and not Deciding(plant, state, moment.logic, moment.volts).seen():
        state.refused = False
        return _agree(plant, state, None, moment.logic)
    return moment


def attempt(plant: Plant, state: State, command: Command) -> Moment:
    """A run asked for at a station, from rest; with no command, what test wires make of it."""
    before = rest(plant, state)
    return before if command is None else _agree(plant, state, command, before.logic)


def power_on(plant: Plant, state: State) -> Moment:
    """Switch on: a control unit that meets a command there and then may refuse it."""
    state.position = True
    state.refused = plant.spec.refuses_at_power_on
    return rest(plant, state)


def _agree(plant: Plant, state: State, command: Command, logic: Logic) -> Moment:
    """Let every part decide again until nothing changes, first with the shaft standing, then as it turns."""
    met: set[tuple[Logic, bool]] = set()
    clicked: frozenset[str] = frozenset()
    gone_dark: frozenset[int] = frozenset()
    held, at_work = True, None
    for _ in range(LIMIT):
        states = states_of(plant, state, logic)
        turning = settle(_with_gaps(plant, state), states, held=held)
        now = Moment(logic, turning, frozenset(states), False, clicked, logic.relays, gone_dark)
        if logic.relays and clicked:
            at_work = now
        decided = Deciding(plant, state, logic, turning.volts).decide(command, gone_dark)
        gone_dark |= logic.lit - decided.lit
        clicked |= decided.relays - logic.relays - {way for way in ways() if plant.flag(f"{way}_stuck_in")}
        if decided == logic:
            if not held:
                return replace(_shown(now, at_work), clicked=clicked, gone_dark=gone_dark)
            held = False
            continue
        if (decided, held) in met and at_work is not None and logic.relays != decided.relays:
            break
        met.add((decided, held))
        held = held or bool(decided.relays - logic.relays)
        logic = decided
    last = at_work or now
    return replace(last, turning=_standing(last.turning), chatters=True, clicked=clicked, gone_dark=gone_dark)


def _shown(now: Moment, at_work: Moment | None) -> Moment:
    """What the meters show: a supply that lets the relay fall out shows the instant before."""
    if at_work is None or now.logic.relays:
        return now
    return replace(now, turning=_standing(at_work.turning), closed=at_work.closed)


def _standing(turning: Turning) -> Turning:
    """The same electricity with the shaft standing."""
    return replace(turning, speed=0.0)


def _with_gaps(plant: Plant, state: State) -> Plant:
    """The boat with the elements taken out that happen to be open just now."""
    if not state.open_now:
        return plant
    kept = {name: item for name, item in plant.elements.items() if name not in state.open_now}
    return replace(plant, elements=kept)
