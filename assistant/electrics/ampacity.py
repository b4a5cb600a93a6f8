"""How much current a conductor may carry for good (33 CFR 183.425)."""

from __future__ import annotations

from assistant.electrics.conductors import gauge_number, stocked_sizes
from assistant.electrics.figures import figures
from assistant.electrics.refuse import positive


def ampacity(
    gauge: str,
    insulation: int,
    *,
    engine_space: bool = False,
    conductors: int = 1,
    voltage: float = 12.0,
) -> float:
    """Allowed continuous current of a conductor, A.

    Args:
        gauge: AWG name, "18" to "4/0".
        insulation: Temperature class of the insulation, degC.
        engine_space: It runs through an engine space.
        conductors: Current-carrying conductors bundled together; counts only from 50 V on.
        voltage: Nominal voltage of the circuit, V.

    Raises:
        ValueError: The gauge or the insulation class is not in the table.
    """
    gauge_number(gauge)
    positive(voltage, "A nominal voltage")
    table = figures("conductors")["ampacity"]
    if gauge not in table["by_gauge"]:
        raise ValueError(f"The table holds no gauge {gauge}: it goes from 18 to 4/0.")
    if str(insulation) not in table["insulation"]:
        raise ValueError(f"No insulation class of {insulation} degC: the table has {', '.join(table['insulation'])}.")
    amps = float(table["by_gauge"][gauge][table["insulation"].index(str(insulation))])
    if engine_space:
        amps *= float(figures("conductors")["engine_space"]["factor"][str(insulation)])
    return amps * bundling_factor(conductors, voltage)


def bundling_factor(conductors: int, voltage: float) -> float:
    """Share of the allowed current left when conductors lie in a bundle; 1 below 50 V.

    Raises:
        ValueError: Fewer than one conductor.
    """
    if conductors < 1:
        raise ValueError("A bundle holds at least one conductor.")
    rule = figures("conductors")["bundling"]
    factor = 1.0
    if voltage >= rule["from_voltage"]:
        for least, share in rule["steps"]:
            factor = float(share) if conductors >= least else factor
    return factor


def ampacity_of_area(area_mm2: float, insulation: int = 105, *, engine_space: bool = False) -> float:
    """Allowed current of a section that may lie between two gauges: that of the next thinner gauge, A.

    Raises:
        ValueError: The section is below the thinnest gauge of the table.
    """
    positive(area_mm2, "A cable's section")
    fitting = [name for name, area in stocked_sizes("awg") if area <= area_mm2 * 1.012]
    if not fitting:
        raise ValueError(f"{area_mm2:g} mm² is thinner than the thinnest size of the table.")
    return ampacity(fitting[-1], insulation, engine_space=engine_space)
