"""Insulation resistance, winding to frame: at one temperature, against its minimum. Megohm, degC, V."""

from __future__ import annotations

from typing import Literal

from assistant.electrics.figures import figures
from assistant.electrics.refuse import between, not_negative, positive

Winding = Literal["before_1970", "form_wound", "random_wound"]


def at_base(megohm: float, temperature: float, base: float | None = None) -> float:
    """Insulation as it would read at the base temperature, megohm: it halves for each 10 K.

    Args:
        megohm: As read.
        temperature: Of the winding, degC.
        base: 40 degC unless another is wanted.
    """
    not_negative(megohm, "An insulation resistance")
    between(temperature, -40, 200, "A winding's temperature in degC")
    table = figures("insulation")
    base = float(table["base_temperature"]["value"]) if base is None else base
    return float(megohm * 0.5 ** ((base - temperature) / float(table["halving"]["value"])))


def minimum(voltage: float, winding: Winding = "random_wound") -> float:
    """Least insulation at 40 degC that IEEE 43 asks of a winding, megohm."""
    positive(voltage, "A rated voltage")
    rule = figures("insulation")["minimum"][winding]
    return float(rule["megohm"]) if "megohm" in rule else voltage / 1000 + float(rule["add_to_kilovolts"])


def installation_minimum(voltage: float) -> tuple[float, float]:
    """Least insulation of wiring of this nominal voltage (DC), megohm, and the voltage to test it with, V."""
    positive(voltage, "A nominal voltage")
    steps = figures("insulation")["low_voltage"]["steps"]
    least, test = next((m, t) for limit, m, t in steps if voltage <= limit)
    return float(least), float(test)


def absolute_minimum(voltage: float) -> float:
    """Rule of thumb: half a megohm for each kilovolt."""
    return positive(voltage, "A rated voltage") / 1000 * float(figures("insulation")["absolute"]["per_kilovolt"])


def in_a_word(megohm: float) -> str:
    """The rule-of-thumb word for a motor's insulation: `bad`, `critical`, `abnormal` and better."""
    rule = figures("insulation")["rule_of_thumb"]
    not_negative(megohm, "An insulation resistance")
    return str(next((word for limit, word in rule["steps"] if megohm < limit), rule["above"]))


def polarization_index(one_minute: float, ten_minutes: float) -> float | None:
    """Ten-minute over one-minute reading, or None where it means nothing (very good insulation)."""
    positive(one_minute, "A reading")
    if one_minute > float(figures("insulation")["polarization_index"]["meaningless_above"]):
        return None
    return not_negative(ten_minutes, "A reading") / one_minute
