"""Warming and cooling of a motor on short-time duty. Temperatures degC, times s, heat W."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from assistant.electrics.figures import figures, number
from assistant.electrics.refuse import not_negative, positive


def temperature_after(seconds: float, start: float, final: float, time_constant: float) -> float:
    """Temperature after a time on the way to a final one: final - (final - start) exp(-t / tau), degC."""
    not_negative(seconds, "A time")
    positive(time_constant, "A time constant")
    return final - (final - start) * math.exp(-seconds / time_constant)


def time_to_reach(temperature: float, start: float, final: float, time_constant: float) -> float:
    """Time until this *temperature* is reached, s; not to be mixed up with that share of the *rise*.

    Raises:
        ValueError: It is never reached on that way.
    """
    positive(time_constant, "A time constant")
    if final == start or not 0 < (final - temperature) / (final - start) <= 1:
        raise ValueError(f"{temperature:g} degC is never reached between {start:g} and {final:g} degC.")
    return -time_constant * math.log((final - temperature) / (final - start))


def time_to_share_of_rise(share: float, time_constant: float) -> float:
    """Time until this share of the whole rise is done, s (0.95 after about three time constants)."""
    if not 0 <= share < 1:
        raise ValueError("A share of the rise lies between 0 and less than 1.")
    return -positive(time_constant, "A time constant") * math.log(1 - share)


def time_constant(kelvin_per_watt: float, joule_per_kelvin: float) -> float:
    """Thermal resistance times heat capacity, s."""
    return positive(kelvin_per_watt, "A thermal resistance") * positive(joule_per_kelvin, "A heat capacity")


def class_limit(insulation_class: str) -> float:
    """Highest temperature of an insulation class, degC (IEC 60034-1).

    Raises:
        ValueError: No such class in the table.
    """
    classes = figures("motors")["insulation"]["classes"]
    if insulation_class not in classes:
        raise ValueError(f"No insulation class {insulation_class!r}: the table has {', '.join(classes)}.")
    return float(classes[insulation_class]["highest"])


def rise_limit(insulation_class: str) -> float:
    """Rise by the resistance method that a class allows above 40 degC, K."""
    class_limit(insulation_class)
    return float(figures("motors")["insulation"]["classes"][insulation_class]["rise"])


def life_share(kelvin_above: float) -> float:
    """Insulation life left at this much above the class, as a share: halves for each 10 K."""
    return float(0.5 ** (kelvin_above / number("motors", "life_halving")))


@dataclass(frozen=True)
class Duty:
    """A short-time rating: from cold, the allowed rise is just reached after its seconds at rated load."""

    run_seconds: float
    cooling_constant: float
    """s; warming and cooling share it."""
    rise: float
    """Allowed, K."""

    def __post_init__(self) -> None:
        """Refuse a rating that cannot exist."""
        positive(self.run_seconds, "A rated running time")
        positive(self.cooling_constant, "A time constant")
        positive(self.rise, "An allowed rise")

    @property
    def final_rise(self) -> float:
        """Rise that rated load would end at if nobody stopped it, K."""
        return self.rise / -math.expm1(-self.run_seconds / self.cooling_constant)


def usual_duty(run_seconds: float | None = None) -> Duty:
    """The rating assumed until the unit's plate is read.

    Args:
        run_seconds: What the plate or the manual allows in one go from cold, s; None where it was not read.
    """
    rule = figures("motors")["defaults"]
    return Duty(
        float(rule["run_seconds"]["value"]) if run_seconds is None else run_seconds,
        float(rule["cooling_seconds"]["value"]),
        rise_limit(rule["class"]["value"]),
    )


def rise_after(runs: Sequence[tuple[float, float]], duty: Duty, load: float = 1.0) -> float:
    """Rise over the surroundings after a history of runs and rests, K.

    Args:
        runs: Pairs of seconds run and seconds rested after it, in order.
        duty: The motor's rating.
        load: Current relative to rated; heat goes with its square.
    """
    final, rise = duty.final_rise * not_negative(load, "A load ratio") ** 2, 0.0
    for run, rest in runs:
        rise = temperature_after(run, rise, final, duty.cooling_constant)
        rise = temperature_after(rest, rise, 0.0, duty.cooling_constant)
    return rise


def seconds_left(runs: Sequence[tuple[float, float]], duty: Duty, load: float = 1.0) -> float:
    """Seconds of run left before the allowed rise is reached; infinite when it never is.

    Args:
        runs: Pairs of seconds run and seconds rested after it, in order.
        duty: The motor's rating.
        load: Current relative to rated, both in the history and now.
    """
    rise, final = rise_after(runs, duty, load), duty.final_rise * load**2
    if final <= duty.rise:
        return math.inf
    return 0.0 if rise >= duty.rise else time_to_reach(duty.rise, rise, final, duty.cooling_constant)


def rest_until_cool(rise: float, duty: Duty, within: float | None = None) -> float:
    """Rest until the motor is within so many K of its surroundings, s (2 K by the duty standard)."""
    limit = number("motors", "rested_within") if within is None else positive(within, "A margin")
    return 0.0 if not_negative(rise, "A rise") <= limit else duty.cooling_constant * math.log(rise / limit)
