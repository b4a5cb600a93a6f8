"""Copper conductors: gauge and section both ways, resistance, loss, allowed current.

Sections are in mm², lengths in m, resistances in ohm, temperatures in degC. Every constant comes from
`rules/figures/conductors.yaml`, where its source stands.
"""

from __future__ import annotations

import math
from typing import Literal

from assistant.electrics.figures import figures, number
from assistant.electrics.refuse import between, not_negative, positive

Basis = Literal["iec_class_5", "iec_class_2", "copper", "metric_small_craft", "marine_k"]
"""Which constant a resistance rests on. They differ by up to 13 %: one sum, one basis."""

Family = Literal["awg", "sae", "metric"]

CIRCULAR_MIL_MM2 = math.pi / 4 * 0.0254**2
"""Area of a circle one thousandth of an inch across, mm² (exact)."""
FOOT_M = 0.3048


def gauge_number(gauge: str) -> int:
    """AWG name to its number: "10" is 10, "1/0" is 0, "4/0" is -3.

    Raises:
        ValueError: The name is no gauge between 4/0 and 40.
    """
    text = gauge.strip()
    if text.endswith("/0") and text[:-2].isdigit():
        number = 1 - int(text[:-2])
        if int(text[:-2]) in (1, 2, 3, 4):
            return number
    elif text and set(text) == {"0"} and len(text) <= 4:
        return 1 - len(text)
    elif text.isdigit() and 1 <= int(text) <= 40:
        return int(text)
    raise ValueError(f"{gauge!r} is no wire gauge: say 4/0 to 1/0, or 1 to 40.")


def awg_diameter_mm(gauge: str) -> float:
    """Diameter of the solid wire of this gauge, mm (ASTM B258)."""
    awg = figures("conductors")["awg"]
    return float(awg["reference_diameter_mm"] * awg["ratio"] ** ((36 - gauge_number(gauge)) / awg["steps"]))


def awg_area_mm2(gauge: str) -> float:
    """Section of this gauge, mm² (ASTM B258)."""
    return math.pi / 4 * awg_diameter_mm(gauge) ** 2


def sae_area_mm2(gauge: str) -> float:
    """Section of SAE-size cable of this name, mm²: smaller than the AWG size of the same name.

    Raises:
        ValueError: No SAE size of that name is known.
    """
    mils = figures("conductors")["sae"]["circular_mils"].get(gauge)
    if mils is None:
        raise ValueError(f"No SAE size {gauge!r} is in the table.")
    return float(mils) * CIRCULAR_MIL_MM2


def stocked_sizes(family: Family) -> tuple[tuple[str, float], ...]:
    """Names and sections (mm²) of the sizes of one family, the thinnest first."""
    table = figures("conductors")
    if family == "metric":
        return tuple((f"{area:g} mm²", float(area)) for area in table["iec_class_5"]["areas"])
    if family == "sae":
        return tuple((name, sae_area_mm2(name)) for name in table["sae"]["circular_mils"])
    return tuple((name, awg_area_mm2(name)) for name in table["awg"]["stocked"])


def nearest_awg(area_mm2: float) -> str:
    """The gauge whose section comes closest (in ratio) to this one.

    Raises:
        ValueError: The section is not above zero.
    """
    positive(area_mm2, "A cable's section")
    return min(stocked_sizes("awg"), key=lambda size: abs(math.log(area_mm2 / size[1])))[0]


def recognised(area_mm2: float, tolerance: float = 0.012) -> tuple[Family, str] | None:
    """The family and name of a standard size of this section, or None.

    Args:
        area_mm2: The section told, mm².
        tolerance: How far it may be off, as a fraction.
    """
    positive(area_mm2, "A cable's section")
    families: tuple[Family, ...] = ("metric", "awg", "sae")
    sizes = [(abs(area_mm2 / area - 1), f, name) for f in families for name, area in stocked_sizes(f)]
    off, family, name = min(sizes, key=lambda size: size[0])
    return (family, name) if off <= tolerance else None


def copper_temperature_ratio(temperature: float) -> float:
    """Resistance of copper at this temperature (degC) over that at 20 degC: (234.5 + t) / 254.5.

    Raises:
        ValueError: Outside -60 to 250 degC.
    """
    between(temperature, -60, 250, "A conductor's temperature in degC")
    zero = number("conductors", "copper", "zero_resistance")
    return (zero + temperature) / (zero + 20)


def iec_factor_to_20(temperature: float) -> float:
    """Factor from a resistance read at this temperature (degC) to that at 20 degC (IEC 60228 annex)."""
    between(temperature, -60, 250, "A conductor's temperature in degC")
    return 1 / (1 + number("conductors", "iec_per_kelvin") * (temperature - 20))


def _tabled(area_mm2: float, basis: str, tinned: bool) -> float:
    table = figures("conductors")[basis]
    if tinned and "tinned" not in table:
        raise ValueError("The table of this class holds plain copper only.")
    areas, values = table["areas"], table["tinned" if tinned else "plain"]
    between(area_mm2, areas[0], areas[-1], "A section for this table, in mm²")
    upper = next(i for i, area in enumerate(areas) if area >= area_mm2 - 1e-9)
    if abs(areas[upper] - area_mm2) < 1e-9:
        return float(values[upper]) / 1000
    part = math.log(area_mm2 / areas[upper - 1]) / math.log(areas[upper] / areas[upper - 1])
    return float(values[upper - 1] * (values[upper] / values[upper - 1]) ** part) / 1000


def resistance_per_m(
    area_mm2: float, *, temperature: float = 20.0, tinned: bool = False, basis: Basis = "iec_class_5"
) -> float:
    """Resistance of one metre of copper conductor, ohm.

    Args:
        area_mm2: Section, mm².
        temperature: Of the conductor, degC. The two drop constants have theirs built in and refuse another.
        tinned: Tinned strands (only where the table has them).
        basis: Which constant or table.

    Raises:
        ValueError: Impossible section or temperature, or a basis that cannot answer.
    """
    positive(area_mm2, "A cable's section")
    table = figures("conductors")
    if basis in ("metric_small_craft", "marine_k"):
        if temperature != 20.0 or tinned:
            raise ValueError("A drop constant has its temperature built in: choose copper or a table instead.")
        constant = float(table["drop_constants"][basis]["value"])
        return (constant if basis == "metric_small_craft" else constant * CIRCULAR_MIL_MM2 / FOOT_M) / area_mm2
    if basis == "copper":
        cold = float(table["copper"]["resistivity_20"]["value"]) / area_mm2
    else:
        cold = _tabled(area_mm2, basis, tinned)
    return cold * copper_temperature_ratio(temperature)


def as_bought_per_m(area_mm2: float, *, temperature: float = 20.0, tinned: bool = False) -> float:
    """The likeliest resistance of one metre of the cable a boat holds, ohm.

    A metric size counts at its class 5 limit, a gauge at its section with the loss by stranding; a section
    that is no size, or beyond the table, counts as copper with the loss by stranding.
    """
    known = recognised(area_mm2)
    if known and known[0] == "metric":
        return resistance_per_m(known_area(known), temperature=temperature, tinned=tinned)
    stranding = number("conductors", "stranding")
    return stranding * resistance_per_m(area_mm2, temperature=temperature, basis="copper")


def known_area(size: tuple[Family, str]) -> float:
    """Section of a standard size, mm²."""
    return dict(stocked_sizes(size[0]))[size[1]]


def resistance(length: float, area_mm2: float, *, temperature: float = 20.0, basis: Basis = "iec_class_5") -> float:
    """Resistance of a conductor of this length (m, out and back where both count), ohm.

    Raises:
        ValueError: Impossible length, section or temperature.
    """
    not_negative(length, "A cable's length")
    return length * resistance_per_m(area_mm2, temperature=temperature, basis=basis)


def drop(
    current: float, length: float, area_mm2: float, *, temperature: float = 20.0, basis: Basis = "copper"
) -> float:
    """Voltage lost along a conductor, V.

    Args:
        current: A.
        length: Of the conductor, m: out and back for a whole circuit.
        area_mm2: Section, mm².
        temperature: Of the conductor, degC.
        basis: Which constant or table.
    """
    not_negative(current, "A current")
    return current * resistance(length, area_mm2, temperature=temperature, basis=basis)


def longest_run_when_warm(length_at_20: float, temperature: float) -> float:
    """Length that costs, warm, what the first one costs at 20 degC (AC 43.13-1B paragraph 11-66), m."""
    return not_negative(length_at_20, "A cable's length") / copper_temperature_ratio(temperature)


def smallest_area_mm2(current: float, length: float, allowed_drop: float, *, basis: Basis = "marine_k") -> float:
    """Section that just keeps within an allowed drop, mm².

    Args:
        current: A.
        length: Conductor out and back, m.
        allowed_drop: V.
        basis: A drop constant or plain copper (tables have no inverse between their sizes).

    Raises:
        ValueError: Impossible input, or a basis that is a table.
    """
    positive(current, "A current")
    positive(length, "A cable's length")
    positive(allowed_drop, "The allowed drop")
    if basis in ("iec_class_5", "iec_class_2"):
        raise ValueError("Choose a size from the table instead: it has no section between its sizes.")
    return current * length * resistance_per_m(1.0, basis=basis) / allowed_drop


def allowed_drop(nominal_voltage: float, circuit: Literal["critical", "other"] | float = "critical") -> float:
    """Drop that a circuit is allowed, V.

    Args:
        nominal_voltage: V.
        circuit: `critical` (3 %), `other` (10 %), or the user's own share of the nominal voltage.

    Raises:
        ValueError: A share outside 0 to 1.
    """
    positive(nominal_voltage, "A nominal voltage")
    if isinstance(circuit, str):
        return nominal_voltage * number("conductors", "drop_limits", circuit)
    return nominal_voltage * between(circuit, 0.0, 1.0, "An allowed share of the voltage")


def size_for_drop(
    current: float,
    length: float,
    allowed_drop: float,
    *,
    family: Family = "metric",
    basis: Basis | None = None,
) -> str | None:
    """The thinnest standard size that keeps within an allowed drop, or None when none does.

    Args:
        current: A.
        length: Conductor out and back, m.
        allowed_drop: V.
        family: Which sizes to choose from.
        basis: Constant or table; by default class 5 for metric sizes, the marine constant for gauges.
    """
    positive(current, "A current")
    positive(length, "A cable's length")
    positive(allowed_drop, "The allowed drop")
    chosen: Basis = basis or ("iec_class_5" if family == "metric" else "marine_k")
    for name, area in stocked_sizes(family):
        if drop(current, length, area, basis=chosen) <= allowed_drop:
            return name
    return None
