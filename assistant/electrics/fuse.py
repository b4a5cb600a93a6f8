"""Main fuses: does the size fit cable and motor, is it near enough, and why may it have opened.

Currents in A, lengths in m, times in s. Limits and their sources: `rules/figures/fuses.yaml`.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from assistant.electrics.ampacity import ampacity_of_area
from assistant.electrics.figures import figures, number
from assistant.electrics.refuse import not_negative, positive

Placing = Literal["bare", "sheathed", "at_battery_sheathed"]
Opening = Literal["carries", "may_open", "must_open"]
Size = Literal["fits", "too_large_for_cable", "too_small_for_motor", "both"]


@dataclass(frozen=True)
class FuseFit:
    """How a fuse fits its cable and its motor."""

    size: Size
    largest: float
    """Largest rating the cable allows, A."""
    smallest: float
    """Smallest rating that carries the motor, A."""


def distance_limit(placing: Placing) -> float:
    """How far along the conductor from its source a fuse may sit, m."""
    return number("fuses", "distance", placing)


def near_enough(distance: float, placing: Placing = "at_battery_sheathed") -> bool:
    """Whether a fuse sits within the limit.

    Raises:
        ValueError: A negative distance.
    """
    return not_negative(distance, "A distance") <= distance_limit(placing) + 1e-3


def largest_for_cable(
    area_mm2: float, *, insulation: int = 105, engine_space: bool = False, voltage: float = 12
) -> float:
    """Largest fuse that a cable allows, A (33 CFR 183.455)."""
    positive(voltage, "A nominal voltage")
    share = figures("fuses")["share_of_ampacity"]["below_50_volts" if voltage < 50 else "from_50_volts"]["value"]
    return float(share) * ampacity_of_area(area_mm2, insulation, engine_space=engine_space)


def smallest_for_motor(motor_current: float) -> float:
    """Smallest fuse that carries a motor of this rated current for its rated time, A."""
    return number("fuses", "running", "rated_share") * positive(motor_current, "A motor's rated current")


def fits(
    rating: float, area_mm2: float, motor_current: float, *, insulation: int = 105, voltage: float = 12
) -> FuseFit:
    """Compare a fuse with what cable and motor ask for.

    Args:
        rating: Of the fuse, A.
        area_mm2: Section of the cable, mm².
        motor_current: Rated current of the motor, A.
        insulation: Temperature class of the cable, degC.
        voltage: Nominal, V.
    """
    positive(rating, "A fuse rating")
    smallest = smallest_for_motor(motor_current)
    largest = largest_for_cable(area_mm2, insulation=insulation, voltage=voltage)
    words: dict[tuple[bool, bool], Size] = {
        (False, False): "fits",
        (True, False): "too_large_for_cable",
        (False, True): "too_small_for_motor",
        (True, True): "both",
    }
    return FuseFit(words[rating > largest, rating < smallest], largest, smallest)


def opening(rating: float, current: float, seconds: float, curve: str = "strip") -> Opening:
    """Whether a fuse carries a current for a time, may open, or must have opened.

    The curve is a shape from memory; a data sheet, where there is one, wins.

    Raises:
        ValueError: Impossible input, or a curve that is not in the figures.
    """
    not_negative(seconds, "A time")
    least, most = opening_times(rating, current, curve)
    return "carries" if seconds < least else "may_open" if seconds < most else "must_open"


def opening_times(rating: float, current: float, curve: str = "strip") -> tuple[float, float]:
    """Shortest and longest time a fuse takes to open at this current, s; infinite when it carries it.

    Raises:
        ValueError: Impossible input, or a curve that is not in the figures.
    """
    share = not_negative(current, "A current") / positive(rating, "A fuse rating")
    curves = figures("fuses")["curves"]
    if curve not in curves:
        raise ValueError(f"No opening curve is called {curve!r}.")
    if share <= float(curves[curve]["carries"]):
        return float("inf"), float("inf")
    return _between_points(curves[curve]["points"], share)


def _between_points(points: list[list[float]], share: float) -> tuple[float, float]:
    """Shortest and longest opening time at this share of the rating, between the points of a curve."""
    if share < points[0][0]:
        return points[0][1], float("inf")
    for (x0, a0, b0), (x1, a1, b1) in pairwise(points):
        if share <= x1:
            part = (share - x0) / (x1 - x0)
            return a0 * (a1 / a0) ** part, b0 * (b1 / b0) ** part
    return points[-1][1], points[-1][2]


Cause = Literal["shorted", "stalled", "long_run", "undersized", "aged"]


def why_blown(
    rating: float,
    running: float,
    stall: float,
    *,
    run_seconds: float | None = None,
    current: float | None = None,
) -> tuple[Cause, ...]:
    """What may have opened a fuse, the likeliest first.

    Args:
        rating: Of the fuse, A.
        running: The motor's rated current, A.
        stall: Current of the standing motor at this supply, A.
        run_seconds: Length of the last run, if told.
        current: Read before it went, if told, A.
    """
    positive(running, "A motor's rated current")
    positive(stall, "A stall current")
    causes: list[Cause] = []
    if current is not None and current > stall * 1.1:
        causes.append("shorted")
    if rating < smallest_for_motor(running):
        causes.append("undersized")
    if opening(rating, stall, 5.0) != "carries":
        causes.append("stalled")
    if run_seconds is not None and opening(rating, current or running, run_seconds) != "carries":
        causes.append("long_run")
    if "shorted" not in causes:
        causes.append("shorted")
    return (*causes, "aged")
