"""Batteries: charge from rest voltage or gravity, inner resistance, cranking promise, banks.

Voltages are those of the block or bank told (V), charge in percent, temperatures in degC, currents in A.
Tables and their sources: `rules/figures/batteries.yaml`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from assistant.electrics.figures import figures, number
from assistant.electrics.refuse import between, not_negative, positive
from assistant.electrics.uncertainty import Measured

Chemistry = Literal["flooded", "agm", "gel", "lithium"]


def _along(xs: list[float], ys: list[float], x: float) -> float:
    """Straight-line interpolation in an ascending table, level beyond its ends."""
    if x <= xs[0]:
        return float(ys[0])
    for (x0, y0), (x1, y1) in zip(zip(xs, ys, strict=True), zip(xs[1:], ys[1:], strict=True), strict=False):
        if x <= x1:
            return float(y0 + (y1 - y0) * (x - x0) / (x1 - x0))
    return float(ys[-1])


def blocks(nominal_voltage: float) -> float:
    """How many 12 V blocks in series a nominal voltage means.

    Raises:
        ValueError: It is no multiple of six volts.
    """
    positive(nominal_voltage, "A nominal voltage")
    count = nominal_voltage / float(figures("batteries")["nominal_block"])
    if abs(count * 2 - round(count * 2)) > 1e-9:
        raise ValueError(f"No bank of lead-acid or lithium blocks has a nominal voltage of {nominal_voltage:g} V.")
    return count


def corrected_volts(volts: float, temperature: float, nominal_voltage: float = 12) -> float:
    """Rest voltage as the table's temperature would have shown it, V.

    Lead-acid only. A warm battery reads low, so the correction is added above 26.7 degC.
    """
    rule = figures("batteries")["temperature"]
    between(temperature, -40, 80, "A battery's temperature in degC")
    per_block = float(rule["volts_per_kelvin"]["value"]) * (temperature - float(rule["reference"]["value"]))
    return volts + per_block * blocks(nominal_voltage)


def corrected_gravity(gravity: float, temperature: float) -> float:
    """Specific gravity as the table's temperature would have shown it."""
    rule = figures("batteries")["temperature"]
    between(temperature, -40, 80, "A battery's temperature in degC")
    return gravity + float(rule["gravity_per_kelvin"]["value"]) * (temperature - float(rule["reference"]["value"]))


def rest_volts(charge: float, chemistry: Chemistry = "flooded", nominal_voltage: float = 12) -> float:
    """Rest voltage of a bank at this charge, V, at the temperature of the table.

    Raises:
        ValueError: Charge outside 0 to 100 %.
    """
    between(charge, 0, 100, "A state of charge in percent")
    table = figures("batteries")[chemistry]
    return _along(table["charge"], table["volts"], charge) * blocks(nominal_voltage)


def charge_from_volts(
    volts: float,
    chemistry: Chemistry = "flooded",
    *,
    nominal_voltage: float = 12,
    temperature: float | None = None,
) -> Measured:
    """State of charge from rest voltage, percent, with what the tables leave open.

    Args:
        volts: At rest for six hours at least, V.
        chemistry: Which table.
        nominal_voltage: Of the bank, V.
        temperature: Of the battery; None takes that of the table.

    Raises:
        ValueError: A voltage below zero, or beyond anything a resting block of that voltage shows.
    """
    not_negative(volts, "A rest voltage")
    table, count = figures("batteries")[chemistry], blocks(nominal_voltage)
    if temperature is not None and chemistry != "lithium":
        volts = corrected_volts(volts, temperature, nominal_voltage)
    per_block = between(volts / count, 0, 16, "The rest voltage of one 12 V block")
    spread = float(table["spread"]["value"])
    charge, low, high = (
        _along(table["volts"], table["charge"], v) for v in (per_block, per_block - spread, per_block + spread)
    )
    return Measured(charge, (high - low) / 2 / 3**0.5)


def charge_from_gravity(gravity: float, temperature: float | None = None) -> float:
    """State of charge of a flooded cell from the hydrometer, percent.

    Raises:
        ValueError: A gravity no battery acid has.
    """
    between(gravity, 1.0, 1.4, "A specific gravity")
    table = figures("batteries")["flooded"]
    if temperature is not None:
        gravity = corrected_gravity(gravity, temperature)
    return _along(table["gravity"], table["charge"], gravity)


def inner_resistance(rest: float, load: float, current: float) -> float:
    """Inner resistance of a bank from its sag, ohm.

    Args:
        rest: Voltage at the posts before the run, V.
        load: Voltage at the posts during it, V.
        current: A.

    Raises:
        ValueError: No current, or a voltage that rises under load.
    """
    positive(current, "The current of the run")
    if load > rest:
        raise ValueError("A battery does not stand higher under load than at rest: measure both again.")
    return (rest - load) / current


def cranking_resistance(cold_cranking_amps: float, nominal_voltage: float = 12, *, warm: bool = True) -> float:
    """Inner resistance that a cranking rating promises of a sound, full bank, ohm.

    Args:
        cold_cranking_amps: Of the bank, A (batteries in parallel add).
        nominal_voltage: Of the bank, V.
        warm: At about 25 degC; False gives that at -18 degC.
    """
    positive(cold_cranking_amps, "A cranking rating")
    rule = figures("batteries")["cranking"]
    cold = (float(rule["full_volts_cold"]["value"]) - float(rule["end_volts"]["value"])) / cold_cranking_amps
    return cold * blocks(nominal_voltage) * (float(rule["resistance_warm"]["value"]) if warm else 1.0)


@dataclass(frozen=True)
class Bank:
    """Equal blocks joined to a bank."""

    block_volts: float
    """Nominal voltage of one block, V."""
    block_ohms: float
    """Inner resistance of one block, ohm."""
    series: int = 1
    parallel: int = 1

    def __post_init__(self) -> None:
        """Refuse a bank that cannot exist."""
        positive(self.block_volts, "A block's voltage")
        not_negative(self.block_ohms, "An inner resistance")
        if self.series < 1 or self.parallel < 1:
            raise ValueError("A bank holds at least one block in series and one in parallel.")

    @property
    def nominal_voltage(self) -> float:
        """V."""
        return self.block_volts * self.series

    @property
    def ohms(self) -> float:
        """Inner resistance of the whole bank."""
        return self.block_ohms * self.series / self.parallel


@dataclass(frozen=True)
class Feed:
    """What a bank would do for a motor."""

    volts_at_posts: float
    """At this current, V."""
    least_volts: float
    """What it should hold, V."""
    enough: bool


def can_feed(current: float, rest: float, ohms: float, nominal_voltage: float = 12) -> Feed:
    """Whether a bank can feed this current.

    Args:
        current: The motor's, A.
        rest: The bank's rest voltage, V.
        ohms: Its inner resistance.
        nominal_voltage: V.
    """
    positive(current, "The motor's current")
    positive(rest, "A rest voltage")
    not_negative(ohms, "An inner resistance")
    limit = number("batteries", "thruster_feed", "least_volts_per_block") * blocks(nominal_voltage)
    volts = max(rest - current * ohms, 0.0)
    return Feed(volts, limit, volts >= limit)
