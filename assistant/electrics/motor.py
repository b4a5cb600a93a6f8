"""The motor from first principles: back-EMF, stall, speed, and what low voltage costs.

SI units: V, A, ohm, rad/s, N m. In SI the torque constant (N m/A) and the voltage constant (V s/rad) of a
motor are one and the same number; a description in which they differ is refused.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from assistant.electrics.figures import figures, number
from assistant.electrics.refuse import not_negative, positive

State = Literal["open", "stalled", "labouring", "running"]


def back_emf(volts: float, current: float, ohms: float) -> float:
    """Voltage the turning motor sets against its supply, V.

    Args:
        volts: At its terminals.
        current: Through it, A.
        ohms: All windings in series, brushes included.

    Raises:
        ValueError: More current than the resistance lets through: the data do not belong together.
    """
    positive(volts, "A motor's voltage")
    not_negative(current, "A motor's current")
    positive(ohms, "A motor's resistance")
    emf = volts - current * ohms
    if emf < -1e-9 * volts:
        raise ValueError(
            f"{current:g} A through {ohms:g} ohm needs {current * ohms:.3g} V and there are {volts:g} V: "
            "these figures do not belong to one motor."
        )
    return max(emf, 0.0)


def stall_current(volts: float, ohms: float) -> float:
    """Current of the standing motor, A: nothing but its resistance limits it."""
    return positive(volts, "A motor's voltage") / positive(ohms, "A motor's resistance")


def series_ohms_for(volts: float, ohms: float, current: float) -> float:
    """Resistance to put in series to limit the current of the standing motor, ohm."""
    return max(
        positive(volts, "A voltage") / positive(current, "A current") - not_negative(ohms, "A resistance"),
        0.0,
    )


def torque_constant(rpm_per_volt: float) -> float:
    """Torque constant from the speed constant: 60 / (2 pi Kv), N m/A."""
    return 60 / (2 * math.pi * positive(rpm_per_volt, "A speed constant"))


def one_constant(voltage_constant: float, torque_per_amp: float) -> float:
    """The one constant of a motor, from both ways to measure it.

    Args:
        voltage_constant: V s/rad.
        torque_per_amp: N m/A.

    Raises:
        ValueError: They differ by more than rounding.
    """
    positive(voltage_constant, "A voltage constant")
    positive(torque_per_amp, "A torque constant")
    limit = number("motors", "constants_agree_within")
    if abs(voltage_constant / torque_per_amp - 1) > limit:
        raise ValueError(
            f"The voltage constant {voltage_constant:.3g} and the torque constant {torque_per_amp:.3g} of "
            "one motor must be the same number: this description is inconsistent."
        )
    return math.sqrt(voltage_constant * torque_per_amp)


def constant_from_plate(volts: float, free_speed: float, stall_torque: float, stall_amps: float) -> float:
    """The constant of a permanent-magnet motor from free speed (rad/s) and stall data, N m/A.

    Raises:
        ValueError: The two ways to work it out do not agree.
    """
    per_speed = positive(volts, "A voltage") / positive(free_speed, "A free speed")
    per_amp = positive(stall_torque, "A stall torque") / positive(stall_amps, "A stall current")
    return one_constant(per_speed, per_amp)


def torque_ratio(current_ratio: float, *, series: bool) -> float:
    """Torque relative to rated, at this current relative to rated.

    Series motors go with the square of the current (iron not saturated), permanent magnets in proportion.
    """
    not_negative(current_ratio, "A current ratio")
    return current_ratio**2 if series else current_ratio


@dataclass(frozen=True)
class Judged:
    """What current and voltage say about a motor."""

    state: State
    share_of_stall: float
    """Current over that of the standing motor."""
    back_emf: float | None
    """V; None when the motor draws more than its resistance allows (shorted)."""
    shorted: bool


def judge(volts: float, current: float, ohms: float) -> Judged:
    """Tell a standing motor from an open and a running one.

    Args:
        volts: Across its own terminals during the attempt.
        current: A.
        ohms: Its resistance when sound.
    """
    standing, stall = figures("motors")["standing"], stall_current(volts, ohms)
    share = not_negative(current, "A motor's current") / stall
    if share > 1.25:
        return Judged("stalled", share, None, True)
    speed = max(1 - share, 0.0)
    if share < float(standing["open_below_share"]["value"]):
        return Judged("open", share, volts * speed, False)
    if speed < float(standing["stalled_below"]["value"]):
        return Judged("stalled", share, volts * speed, False)
    running = speed >= float(standing["running_above"]["value"])
    return Judged("running" if running else "labouring", share, volts * speed, False)


@dataclass(frozen=True)
class LowVoltage:
    """What a propeller does at less than rated voltage, each relative to rated."""

    speed: float
    thrust: float
    power: float


def at_speed(ratio: float) -> LowVoltage:
    """Thrust goes with the square of speed, power with its cube (from memory; the square in open sources)."""
    not_negative(ratio, "A speed ratio")
    return LowVoltage(ratio, ratio**2, ratio**3)


def at_voltage(ratio: float, rated_drop: float = 0.1, *, series: bool = False) -> LowVoltage:
    """Speed, thrust and power of a thruster at a share of its rated terminal voltage.

    Permanent magnet: k w + r k' w² = v, with r the rated share of voltage lost in the windings and
    load torque as w². Series motor: torque goes as the square of current, so current and flux go as
    w, and with them the back-EMF as w²: (1 - r) w² + r w = v.

    Args:
        ratio: Terminal voltage over rated.
        rated_drop: Share of the rated voltage lost in the windings, 0 to under 1.
        series: Series motor.

    Raises:
        ValueError: A negative ratio, or a drop that leaves no back-EMF.
    """
    not_negative(ratio, "A voltage ratio")
    if not 0 <= rated_drop < 1:
        raise ValueError("The windings cannot lose the whole voltage of a running motor.")
    square, linear = (1 - rated_drop, rated_drop) if series else (rated_drop, 1 - rated_drop)
    root = linear + math.sqrt(linear**2 + 4 * square * ratio)
    speed = 2 * ratio / root if root else 0.0
    return at_speed(speed)
