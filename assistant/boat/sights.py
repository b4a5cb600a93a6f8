"""What can be read, seen or heard on the simulated boat at one moment."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from assistant.boat.control import Moment, ways
from assistant.boat.data import boat_data

if TYPE_CHECKING:
    from assistant.boat.boat import Boat


class Sights:
    """One moment, and the attempts it stands for."""

    def __init__(
        self,
        boat: Boat,
        moment: Moment,
        tried: dict[str, Moment] | None = None,
        *,
        station: int = 1,
        closed_before: bool = False,
    ) -> None:
        """Take the boat, the moment that is read, and the attempts by way."""
        self.boat, self.moment, self.tried = boat, moment, tried or {}
        self.station, self.closed_before = station, closed_before

    # ------------------------------------------------------------ sights

    def turns(self, moment: Moment) -> bool:
        """Whether the motor runs."""
        return abs(moment.turning.speed) > float(boat_data()["motor"]["turns_above"])

    def runs(self) -> str:
        """Which of the ways tried ran."""
        ran = [way for way, moment in self.tried.items() if self.turns(moment)]
        if len(ran) == len(ways()):
            return "both"
        return f"{ran[0]}_only" if ran else "none"

    def clicks(self) -> bool:
        """Whether a contactor was heard."""
        return any(moment.clicked for moment in self.tried.values())

    def direction(self) -> str | None:
        """Whether it pushes the way it was asked; None when nothing turned."""
        wrong = [
            way
            for way, moment in self.tried.items()
            if self.turns(moment) and (moment.turning.speed > 0) != (way == ways()[0])
        ]
        if not any(self.turns(moment) for moment in self.tried.values()):
            return None
        return "reversed" if wrong else "correct"

    def thrust(self) -> str | None:
        """Push of the better way; None when nothing turned."""
        pushes = [
            moment.turning.speed**2 * float(self.boat.plant.flag("thrust", 1.0))
            for moment in self.tried.values()
            if self.turns(moment)
        ]
        if not pushes:
            return None
        best, weak = max(pushes), float(boat_data()["motor"]["weak_below"])
        return "none" if best < 0.1 else "weak" if min(pushes) < weak else "normal"

    def noise(self) -> str:
        """What is heard besides the click."""
        rule, rated = boat_data()["motor"], self.boat.spec.rated_current
        heard = list(self.tried.values())
        if any(moment.chatters for moment in heard):
            return "chatter"
        if any(self.turns(m) and abs(m.turning.armature_amps) < 0.35 * rated for m in heard):
            return "free_spinning"
        stalled = [m for m in heard if not self.turns(m) and m.logic.relays]
        if any(abs(m.turning.armature_amps) > rule["stall_hum_above"] * rated for m in stalled):
            return "hum"
        rough = float(self.boat.plant.flag("friction", 0.0)) > 0.3
        return "grinding" if rough and any(self.turns(m) for m in heard) else "none"

    def lights(self) -> bool:
        """Whether the station is lit."""
        return self.station in self.moment.logic.lit

    def goes_dark(self) -> bool:
        """Whether the station gave up during an attempt."""
        return any(self.station in moment.gone_dark for moment in self.tried.values())

    def runs_by_itself(self) -> str:
        """Whether it runs with nobody asking, from power-on."""
        return "at_power_on" if self.turns(self.moment) else "no"

    def position(self) -> str:
        """Where the isolator's handle or switch stands."""
        return "on" if self.boat.state.position else "off"

    def isolator_clicks(self) -> bool | None:
        """Whether a remote isolator is heard; None on a manual one, which has nothing to hear."""
        if self.boat.spec.isolator == "manual":
            return None
        return self.moment.logic.isolator and not self.closed_before

    def hot(self) -> bool:
        """Whether a hand finds the motor hot."""
        return self.boat.state.temperature > float(boat_data()["thermal"]["hot_above"])

    def temperature(self) -> float:
        """Of the motor's body, degC."""
        return float(round(self.boat.state.temperature))

    def insulation(self) -> float:
        """What the insulation tester shows, megohm."""
        return float(f"{self.boat.plant.insulation:.2g}")

    def fuse_rating(self) -> float:
        """What is printed on the main fuse, A."""
        return float(round(self.boat.plant.fuse_rating))

    def uneven(self) -> bool:
        """Whether one block of the bank falls far below its neighbours."""
        blocks = [item for item in self.boat.plant.elements.values() if item.group == "block"]
        volts = [self.moment.volts[item.plus] - self.moment.volts[item.minus] for item in blocks]
        return max(volts) - min(volts) > float(boat_data()["meter"]["uneven_above"])

    # ------------------------------------------------------------ readings

    def volts(self, nodes: list[str], way: str) -> float:
        """A voltage between two nodes as the meter shows it, V."""
        plus, minus = self._nodes(nodes, way)
        return self.boat.read_volts(plus, minus, self.moment)

    def ohms(self, nodes: list[str], way: str) -> float:
        """True resistance between two nodes, power off, ohm."""
        return self.boat.ohms(*self._nodes(nodes, way))

    def conducts(self, nodes: list[str], way: str) -> bool:
        """Whether the continuity tester sounds."""
        return self.ohms(nodes, way) < float(boat_data()["meter"]["conducts_below"]) * self.boat.spec.scale**2

    def closed(self, element: str) -> bool:
        """Whether an element lets current through."""
        return any(item.name == element for item in self.moment.turning.network)

    def sound(self, element: str) -> bool:
        """Whether an element conducts, taken out and tried by itself."""
        return self.boat.plant.elements[element].ohms is not None

    def _nodes(self, nodes: list[str], way: str) -> tuple[str, str]:
        plus, minus = (self.boat.plant.place(node.format(way=way)) for node in nodes)
        return plus, minus


def sight(sights: Sights, read: dict[str, Any], way: str = "") -> Any:
    """The value of one `reads` entry, or None when there is nothing to tell."""
    for kind, take in _TAKES.items():
        if kind in read:
            value = take(sights, read, way)
            return abs(value) if read.get("magnitude") and isinstance(value, float) else value
    raise ValueError(f"The entry {read} says nothing about what is read.")


def _resistance(sights: Sights, read: dict[str, Any], way: str) -> float | None:
    ohms = sights.ohms(read["ohms"], way)
    return None if math.isinf(ohms) or ohms > 1e5 else sights.boat.meter.ohms(ohms)


def _megohms(sights: Sights, read: dict[str, Any], way: str) -> float:
    """The least between pairs of wires, as a meter shows it: no more than its range, where no current flows."""
    least = min(sights.ohms(pair, way) for pair in read["megohms"]) / 1e6
    return float(f"{min(least, float(boat_data()['meter']['most_megohms'])):.2g}")


def _any_conducts(sights: Sights, read: dict[str, Any], _: str) -> bool:
    pairs = boat_data()["motors"][sights.boat.spec.motor][read["any_conducts"]]
    return any(sights.ohms(pair, "") < 1.0 for pair in pairs.values())


_TAKES: dict[str, Callable[[Sights, dict[str, Any], str], Any]] = {
    "volts": lambda s, read, way: s.volts(read["volts"], way),
    "amps": lambda s, read, _: s.boat.meter.amps(s.boat.amps(read["amps"], s.moment)),
    "most_volts": lambda s, read, way: max((s.volts(pair, way) for pair in read["most_volts"]), key=abs),
    "ohms": _resistance,
    "megohms": _megohms,
    "conducts": lambda s, read, way: s.conducts(read["conducts"], way),
    "all_conduct": lambda s, read, way: all(s.conducts(pair, way) for pair in read["all_conduct"]),
    "closed": lambda s, read, _: s.closed(read["closed"]),
    "sound": lambda s, read, _: s.sound(read["sound"]),
    "broken": lambda s, read, _: not s.sound(read["broken"]),
    "any_conducts": _any_conducts,
    "spec": lambda s, read, _: getattr(s.boat.spec, read["spec"]),
    "is": lambda s, read, _: read["is"],
    "see": lambda s, read, _: getattr(s, read["see"])(),
}
