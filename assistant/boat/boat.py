"""The simulated boat as a whole: ask it, do things to it, and suffer what follows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from random import Random

from assistant.boat import bench, control, setting_up
from assistant.boat.control import Command, Moment, State
from assistant.boat.data import boat_data
from assistant.boat.faults import Damage, change, inflict
from assistant.boat.meter import Meter
from assistant.boat.network import Resistor, meter_volts, solve
from assistant.boat.plant import Plant, build
from assistant.boat.saying import FactDict, run_facts
from assistant.boat.spec import Spec
from assistant.electrics.fuse import opening_times
from assistant.electrics.heat import temperature_after, usual_duty

MEASURING_VOLT = 0.3
"""An ohmmeter's own voltage, V."""


class Boat:
    """One boat, its faults, and the person aboard with a meter."""

    def __init__(self, spec: Spec, faults: Sequence[str] = (), seed: int = 0, *, perfect_meter: bool = False) -> None:
        """Build a sound boat, then give her the faults.

        Args:
            spec: What kind of boat.
            faults: Ids of the vocabulary, none twice.
            seed: Everything drawn by chance follows from it.
            perfect_meter: Meters without error (they still round).

        Raises:
            ValueError: A fault that this kind of boat cannot have.
        """
        self.spec: Spec = spec
        self.seed = seed
        self.plant, self.damage = _make(spec, faults, seed)
        self.meter: Meter = Meter(Random(f"meter {seed}"), perfect=perfect_meter)
        self.state = State(_all_plugged(spec))
        self.state.temperature = boat_data()["thermal"]["ambient"]
        self.seconds = 0.0
        """Since the story began."""
        self.run_seconds = 0.0
        """The motor has been running."""
        self._tries = 0
        self._start()

    def _start(self) -> None:
        thermal = boat_data()["thermal"]
        if self.plant.flag("starts_hot"):
            self.state.temperature = thermal["tripped_at"]
        self._switch_thermal()
        if self.plant.flag("isolator_left_off"):
            self.state.position = False
        else:
            self.power_on()

    # ------------------------------------------------------------ what is asked of it

    def faults(self) -> tuple[str, ...]:
        """The faults that are there now, those that came by the way included."""
        return tuple(self.damage.faults)

    def describe(self) -> list[FactDict]:
        """The boat in the words of the vocabulary."""
        printed = {("main_fuse", "rating"): float(round(self.plant.fuse_rating))}
        told = self.spec.facts()
        return [fact | {"value": printed.get((fact["about"], fact["what"]), fact["value"])} for fact in told]

    def complaint(self) -> list[FactDict]:
        """What the owner finds and says first; when trying broke something, what he finds after that."""
        before = list(self.damage.faults)
        told = bench.complaint(self)
        return told if self.damage.faults == before else bench.complaint(self)

    def answer(self, test: str, minutes: float = 5.0) -> list[FactDict]:
        """Carry out a test and tell what it brought, set-up included.

        Args:
            test: An id of the vocabulary.
            minutes: How long the person takes; the motor cools meanwhile.

        Raises:
            ValueError: No such test, or none that this boat allows.
        """
        self.wait(minutes * 60)
        return bench.carry_out(self, test)

    def restore(self) -> list[FactDict]:
        """Put back whatever stands changed, and tell it."""
        return setting_up.restore(self)

    # ------------------------------------------------------------ what can be done to it

    def plug(self, name: str, together: bool) -> None:
        """Plug something in or pull it: `control_unit`, `harness`, `sense_lead`, `panel_1` and so on.

        Raises:
            ValueError: Nothing of that name has a plug.
        """
        if name not in self.state.plugged:
            raise ValueError(f"Nothing called {name!r} can be plugged or unplugged on this boat.")
        self.state.plugged[name] = together

    def bridge(self, value: str, fitted: bool = True) -> None:
        """Fit or take off a test wire, by its word in the vocabulary; a wrong one destroys something.

        Raises:
            ValueError: No such bridge.
        """
        if value == "control_positive_to_negative":
            if fitted and self.moment().volts.get("control_pos", 0.0) > 1.0:
                self._suffer("control_supply_bridged")
            return
        names = setting_up.bridge_states()
        if value not in names:
            raise ValueError(f"No test wire called {value!r} is known.")
        (self.state.bridges.add if fitted else self.state.bridges.discard)(names[value])

    def power_on(self) -> Moment:
        """Put the isolator to on."""
        self.state.locked = False
        self.plant.flags.pop("isolator_left_off", None)
        self._cured("power_on")
        return control.power_on(self.plant, self.state)

    def power_off(self, *, locked: bool = False) -> Moment:
        """Put the isolator to off; it need not obey."""
        self.plant.flags.pop("isolator_left_off", None)
        self.state.position, self.state.locked = False, locked
        self.state.refused = False
        return control.rest(self.plant, self.state)

    def wake_up(self) -> None:
        """Switch a station on the right way, whatever kept it asleep."""
        for n in range(1, self.spec.stations + 1):
            if self.plant.flags.pop(f"panel_{n}_asleep", False):
                self._cured("wake_up")

    def repair(self, part: str) -> None:
        """Replace a part, or set it right: everything that was wrong with it is gone.

        Args:
            part: A subject of the vocabulary; its faults are those named after it.
        """
        left = [fault for fault in self.damage.faults if not fault.startswith(f"{part}.")]
        self.plant, self.damage = _make(self.spec, left, self.seed)
        if self.state.position:
            self.power_on()

    def wait(self, seconds: float) -> None:
        """Let time pass: the motor cools."""
        rule, duty = boat_data()["thermal"], usual_duty()
        self.seconds += seconds
        self.state.temperature = temperature_after(
            seconds, self.state.temperature, rule["ambient"], duty.cooling_constant
        )
        self._switch_thermal()

    def moment(self) -> Moment:
        """The boat as she is now, nobody asking for anything."""
        return control.rest(self.plant, self.state)

    def run(self, command: Command, seconds: float | None = None) -> Moment:
        """Ask for a run (or, with None, let bridges do it) and bear what follows: heat, a fuse.

        Args:
            command: Station and way.
            seconds: How long; a short test run by default.
        """
        self._by_chance()
        found = control.attempt(self.plant, self.state, command)
        self._bear(found, boat_data()["attempt_seconds"] if seconds is None else seconds)
        self.state.open_now = frozenset()
        return found

    def long_run(self, command: Command, seconds: float) -> list[FactDict]:
        """A run that is kept up, and when it ended by itself.

        Args:
            command: Station and way.
            seconds: How long it is asked for.
        """
        step = float(boat_data()["attempt_seconds"])
        done, turns = 0.0, True
        while turns and done < seconds:
            turns = bool(self.run(command, min(step, seconds - done)).turning.speed)
            done += step if turns else 0.0
        return run_facts(min(done, seconds), turns)

    def read_volts(self, plus: str, minus: str, moment: Moment | None = None) -> float:
        """What the meter shows between any two nodes, V.

        Args:
            plus: Node of the red tip.
            minus: Node of the black tip.
            moment: When; nobody asking for anything by default.
        """
        network = (moment or self.moment()).turning.network
        return self.meter.volts(meter_volts(network, self.plant.place(plus), self.plant.place(minus)))

    def amps(self, element: str, moment: Moment) -> float:
        """Current in an element just then, A; 0 where it is open."""
        item = self.plant.elements[element]
        if item.ohms is None or item.name in self.state.open_now:
            return 0.0
        return (moment.volts.get(item.plus, 0.0) - moment.volts.get(item.minus, 0.0)) / item.ohms

    def ohms(self, plus: str, minus: str) -> float:
        """What an ideal ohmmeter reads between two nodes, power off, ohm."""
        moment = self.moment()
        network = self.plant.resistors(set(moment.states), live=False)
        probe = Resistor("probe", plus, minus, 100.0, MEASURING_VOLT)
        volts = solve([*network, probe])
        across = volts[plus] - volts[minus]
        flows = (MEASURING_VOLT - across) / probe.ohms
        return math.inf if flows < 1e-9 else across / flows

    # ------------------------------------------------------------ what follows

    def _by_chance(self) -> None:
        """Settle which loose elements are open at this attempt; the first attempt always meets one."""
        self._tries += 1
        chance = Random(f"now and then {self.seed} {self._tries}")
        loose = self.damage.now_and_then
        share = boat_data()["chances"]["open_just_now"]
        open_now = bool(loose) and (self._tries == 1 or chance.random() < share)
        self.state.open_now = frozenset(loose) if open_now else frozenset()

    def _bear(self, found: Moment, seconds: float) -> None:
        duty = usual_duty()
        load = abs(found.turning.armature_amps) / self.spec.rated_current
        final = boat_data()["thermal"]["ambient"] + duty.final_rise * load**2
        self.state.temperature = temperature_after(seconds, self.state.temperature, final, duty.cooling_constant)
        self.seconds += seconds
        self.run_seconds += seconds if found.turning.speed else 0.0
        self._switch_thermal()
        fuse = self.plant.elements["fuse"]
        amps = abs(self.amps("fuse", found))
        if fuse.ohms is not None and amps > 0 and not found.chatters:
            least, most = opening_times(self.plant.fuse_rating, amps)
            if math.isfinite(least) and math.sqrt(least * min(most, 1e6)) <= seconds:
                self._suffer("fuse_opens")

    def _suffer(self, consequence: str) -> None:
        change(boat_data()["consequences"][consequence], self.plant, self.damage, Random(consequence))

    def _cured(self, how: str) -> None:
        cured = boat_data()["cured_by"][how]
        self.damage.faults = [fault for fault in self.damage.faults if fault != cured]

    def _switch_thermal(self) -> None:
        rule, state = boat_data()["thermal"], self.state
        if state.temperature >= rule["trips"]:
            state.thermal_open = True
        elif state.temperature <= rule["closes_again"] and state.thermal_open:
            state.thermal_open = False
            self._cured("cooled")


def _make(spec: Spec, faults: Sequence[str], seed: int) -> tuple[Plant, Damage]:
    """A boat with these faults; each draws its own chances, whatever stands beside it."""
    plant, damage = build(spec, Random(f"boat {seed}")), Damage()
    for fault in faults:
        if fault in damage.faults:
            continue
        inflict(fault, plant, damage, Random(f"fault {fault} {seed}"))
    return plant, damage


def _all_plugged(spec: Spec) -> dict[str, bool]:
    names = [*boat_data()["plugs"], *(f"panel_{n}" for n in range(1, spec.stations + 1))]
    return dict.fromkeys(names, True)
