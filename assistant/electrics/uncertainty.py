"""Readings with what they can be trusted to, carried through every sum.

Limits are taken as rectangular and combined by squares, as in JCGM 100 ("GUM").
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from assistant.electrics.figures import figures
from assistant.electrics.refuse import finite, not_negative


@dataclass(frozen=True)
class Measured:
    """A value with its standard uncertainty, both in the same unit."""

    value: float
    u: float = 0.0

    @property
    def spread(self) -> float:
        """Half of the interval that holds the true value in about 95 of 100 cases."""
        return self.u * float(figures("meters")["coverage"]["interval"])

    @property
    def low(self) -> float:
        """Lower end of that interval."""
        return self.value - self.spread

    @property
    def high(self) -> float:
        """Upper end of that interval."""
        return self.value + self.spread

    @property
    def surely_positive(self) -> bool:
        """True when chance alone will hardly ever make it look above zero."""
        return self.value - self.u * float(figures("meters")["coverage"]["blame"]) > 0


def within(low: float, high: float) -> Measured:
    """A value known only to lie between two limits.

    Raises:
        ValueError: The limits are the wrong way round.
    """
    if not low <= high:
        raise ValueError(f"The lower limit {low:g} lies above the upper one {high:g}.")
    return Measured((low + high) / 2, (high - low) / 2 / math.sqrt(3))


def combine(function: Callable[..., float], *inputs: Measured) -> Measured:
    """A function of independent inputs, with the uncertainty it inherits.

    Each input is moved up and down by its own standard uncertainty; the changes add by squares. An input that
    counts twice in the function is counted once here, so shared causes neither cancel nor double by mistake.
    """
    values = [item.value for item in inputs]
    total = 0.0
    for place, item in enumerate(inputs):
        if item.u:
            up = function(*values[:place], item.value + item.u, *values[place + 1 :])
            down = function(*values[:place], item.value - item.u, *values[place + 1 :])
            total += ((up - down) / 2) ** 2
    return Measured(function(*values), math.sqrt(total))


def display_step(volts: float) -> float:
    """Smallest step a hand-held meter shows at this voltage, in V (it picks its range by itself)."""
    counts = float(figures("meters")["volts"]["display"])
    step = 1e-4
    while abs(volts) > step * counts and step < 1:
        step *= 10
    return step


def reading_volts(volts: float, *, one_moment: bool = True) -> Measured:
    """A voltage as a hand-held meter gave it.

    Args:
        volts: The reading, V.
        one_moment: False when it will be set against a reading from another run.

    Raises:
        ValueError: It is no number.
    """
    finite(volts, "A voltage")
    meter, moment = figures("meters")["volts"], figures("meters")["moment"]
    limit = meter["fraction"] * abs(volts) + meter["counts"] * display_step(volts)
    u = limit / math.sqrt(3)
    if not one_moment:
        u = math.hypot(u, moment["fraction"] * abs(volts) / math.sqrt(3))
    return Measured(volts, u)


def reading_amps(amps: float) -> Measured:
    """A current as a clamp meter gave it, A.

    Raises:
        ValueError: It is below zero.
    """
    not_negative(amps, "A motor current")
    return Measured(amps, figures("meters")["clamp"]["fraction"] * amps / math.sqrt(3))
