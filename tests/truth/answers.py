"""The truthful answer to each test, in protocol facts: set-up, findings, restoring."""

from __future__ import annotations

from collections.abc import Callable

from . import answers_command as command
from . import answers_unit as unit
from .notation import Fact
from .scene import Case

Answer = Callable[[Case], list[Fact]]

ANSWERS: dict[str, Answer] = {
    answer.__name__: answer
    for answer in (
        command.battery_voltage_at_rest, command.battery_voltage_under_load,
        command.supply_voltage_at_rest, command.supply_voltage_under_load, command.fuse_check,
        command.isolator_check, command.isolator_command_check, command.cable_drop_positive,
        command.cable_drop_negative, command.panel_wake_up, command.panel_lead_voltage,
        command.try_other_station, command.command_bridge, command.signal_voltage,
        command.coil_voltage, unit.coil_direct, unit.coil_resistance, unit.motor_output_voltage,
        unit.motor_terminal_voltage, unit.contact_resistance, unit.motor_current,
        unit.motor_temperature, unit.thermal_bridge, unit.thermal_continuity, unit.motor_insulation,
        unit.brushes_inspect, unit.shaft_by_hand, unit.tunnel_inspect, unit.all_unplugged_power_on,
        unit.control_unit_power_on, unit.stations_power_on,
    )
}  # fmt: skip
"""Every test of the vocabulary, in its order."""
