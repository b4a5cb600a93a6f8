"""What kind of boat it is: the fleet, and boats drawn by chance."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import Any

from assistant.boat.data import boat_data


@dataclass(frozen=True)
class Spec:
    """What an owner could tell about the boat."""

    nominal_voltage: float
    """V."""
    isolator: str
    motor: str
    stations: int
    coil_switching: str
    refuses_at_power_on: bool
    """The control unit does nothing while a command that was there at power-on stays."""
    length: float
    """Of the main cable, one way, m."""
    cross_section: float
    """mm²."""
    rated_current: float
    """Of the motor, A."""
    rating: float
    """Of the main fuse, A."""
    chemistry: str
    fuel: str

    @property
    def scale(self) -> float:
        """Nominal voltage over 12 V."""
        return self.nominal_voltage / 12

    def facts(self) -> list[dict[str, Any]]:
        """The description in the words of the vocabulary, as the boat was built."""
        rows = boat_data()["told_about_the_boat"]
        return [{"about": about, "what": what, "value": getattr(self, field)} for about, what, field in rows]

    def suits(self, wanted: dict[str, list[Any]] | None) -> bool:
        """Whether this boat is of a kind asked for (field: allowed values)."""
        return all(getattr(self, field) in allowed for field, allowed in (wanted or {}).items())


def fleet() -> tuple[Spec, ...]:
    """One boat of every kind."""
    return tuple(Spec(**entry) for entry in boat_data()["fleet"])


def draw_spec(chance: Random) -> Spec:
    """A boat with the traits of the fleet mixed anew; cable, motor and fuse stay together."""
    boats = fleet()
    power = chance.choice(boats)
    traits = {name: getattr(chance.choice(boats), name) for name in ("isolator", "motor", "stations", "coil_switching")}
    kept = {
        name: getattr(power, name)
        for name in (
            "nominal_voltage",
            "length",
            "cross_section",
            "rated_current",
            "rating",
            "chemistry",
            "fuel",
        )
    }
    return Spec(**traits, **kept, refuses_at_power_on=chance.random() < 0.5)
