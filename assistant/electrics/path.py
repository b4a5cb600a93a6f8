"""What a person can read along the supply path, and what sound parts of it cost."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from typing import Any, Literal

from assistant.electrics.conductors import as_bought_per_m
from assistant.electrics.figures import figures
from assistant.electrics.refuse import finite, not_negative, positive
from assistant.electrics.uncertainty import Measured, within

Leg = Literal["positive", "negative"]
LEGS: tuple[Leg, Leg] = ("positive", "negative")


@dataclass(frozen=True)
class Readings:
    """Voltages in V and one current in A along the path; None is not read."""

    battery_rest: float | None = None
    battery_load: float | None = None
    studs_rest: float | None = None
    studs_load: float | None = None
    fuse_far_rest: float | None = None
    fuse_far_load: float | None = None
    isolator_far_rest: float | None = None
    isolator_far_load: float | None = None
    motor_rest: float | None = None
    motor_load: float | None = None
    positive_drop: float | None = None
    negative_drop: float | None = None
    terminal_drop: float | None = None
    fuse_drop: float | None = None
    isolator_drop: float | None = None
    positive_joint_drop: float | None = None
    negative_joint_drop: float | None = None
    current: float | None = None
    one_moment: bool = False
    """True when the readings under load were taken in one and the same run."""

    def __post_init__(self) -> None:
        """Refuse what no meter shows."""
        for item in fields(self):
            value = getattr(self, item.name)
            if value is None or item.name == "one_moment":
                continue
            finite(value, f"The reading {item.name}")
            if item.name == "current":
                not_negative(value, "A motor current")

    @classmethod
    def of(cls, values: Mapping[str, float | None], *, one_moment: bool = False) -> Readings:
        """Readings by name; unknown names are refused.

        Raises:
            ValueError: A name is no reading of the path.
        """
        known = {item.name for item in fields(cls)} - {"one_moment"}
        unknown = sorted(set(values) - known)
        if unknown:
            raise ValueError(f"No reading of the path is called {unknown[0]!r}.")
        return cls(one_moment=one_moment, **values)

    def get(self, name: str) -> float | None:
        """One reading by name."""
        value: float | None = getattr(self, name)
        return value


@dataclass(frozen=True)
class Cable:
    """What is known about the thruster's main cable."""

    length: float | None = None
    """One way, m."""
    cross_section: float | None = None
    """mm²."""
    temperature: float = 20.0
    """Of the copper, degC."""
    tinned: bool = False

    def __post_init__(self) -> None:
        """Refuse a cable that cannot exist."""
        if self.length is not None:
            positive(self.length, "A cable's length")
        if self.cross_section is not None:
            positive(self.cross_section, "A cable's section")

    def ohms_one_way(self) -> Measured | None:
        """Resistance of one leg of bare cable, with what length and maker leave open; None when unknown."""
        if self.length is None or self.cross_section is None:
            return None
        per_m = as_bought_per_m(self.cross_section, temperature=self.temperature, tinned=self.tinned)
        limits = figures("conductors")["as_laid"]
        return spread_by(self.length * per_m, limits["length"], limits["resistance"])


def spread_by(value: float, *limits: Mapping[str, float]) -> Measured:
    """A value that may lie off by each of these fractions, low to high; lopsided limits count in full."""
    square = 0.0
    for limit in limits:
        share = within(limit["low"], limit["high"])
        square += share.u**2 + share.value**2
    return Measured(value, abs(value) * square**0.5)


def path_data() -> Any:
    """The ledger's own file of figures."""
    return figures("path")


@cache
def allowance(part: str) -> Measured:
    """Resistance of one sound part, ohm."""
    low, high = path_data()["parts"][part]["ohms"]
    return within(low, high)


def hardware(leg: Leg, leave_out: tuple[str, ...] = ()) -> Measured:
    """Resistance of all sound hardware of one leg without its cable, ohm.

    Args:
        leg: Which side.
        leave_out: Parts measured apart: one piece of each is not counted.
    """
    value = square = 0.0
    for name, part in path_data()["parts"].items():
        pieces = part["count"][leg] - (1 if name in leave_out else 0)
        value += max(pieces, 0) * allowance(name).value
        square += max(pieces, 0) * allowance(name).u ** 2
    return Measured(value, square**0.5)
