"""Contactor coils and contacts: does it pull in, does it hold, what do the contacts cost. V, A, ohm, W."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from assistant.electrics.figures import figures
from assistant.electrics.refuse import not_negative, positive

Pull = Literal["pulls_in", "may_pull_in", "does_not_hold"]
Contact = Literal["sound", "worn", "burnt"]


@dataclass(frozen=True)
class CoilLimits:
    """Voltages of a coil of this rating, V."""

    pick_up: float
    """It must close from here."""
    upper: float
    """And up to here for good."""
    drop_out_high: float
    """It may not let go above this."""
    drop_out_low: float
    """It must have let go here."""


def coil_limits(rated: float) -> CoilLimits:
    """The limits of a coil rated for this voltage, V."""
    positive(rated, "A coil's rated voltage")
    table = figures("coils")
    names = ("pick_up", "upper", "drop_out_high", "drop_out_low")
    return CoilLimits(*(float(table[name]["value"]) * rated for name in names))


def pulls(volts: float, rated: float) -> Pull:
    """What a sound coil does at this voltage: pulls in, may or may not, or cannot hold what it had."""
    limits = coil_limits(rated)
    if not_negative(volts, "A coil's voltage") >= limits.pick_up:
        return "pulls_in"
    return "may_pull_in" if volts > limits.drop_out_low else "does_not_hold"


def coil_current(volts: float, ohms: float) -> float:
    """Current through a coil, A."""
    return not_negative(volts, "A coil's voltage") / positive(ohms, "A coil's resistance")


def contact_ohms(drop: float, current: float) -> float:
    """Resistance of a closed contact, ohm."""
    return not_negative(drop, "A drop across a contact") / positive(current, "The current through it")


def contact_heat(ohms: float, current: float) -> float:
    """Heat in a contact or joint, W."""
    return not_negative(ohms, "A resistance") * not_negative(current, "A current") ** 2


def contact_state(ohms: float) -> Contact:
    """Sound, worn or burnt, by resistance."""
    rule = figures("coils")["contact"]
    if not_negative(ohms, "A contact's resistance") <= float(rule["sound_ohms"]["value"]):
        return "sound"
    return "worn" if ohms < float(rule["burnt_ohms"]["value"]) else "burnt"
