"""Current without a clamp meter: from the loss along a side whose cable is known."""

from __future__ import annotations

import math

from assistant.electrics.path import Cable, Leg, hardware
from assistant.electrics.refuse import not_negative
from assistant.electrics.uncertainty import Measured, combine, reading_volts


def current_from_drop(drop: float | Measured, cable: Cable, leg: Leg) -> Measured | None:
    """Current that loses this voltage along one side made of sound parts, A; less flows where a part is not sound.

    Args:
        drop: From battery post to thruster stud, V; a plain figure is taken as a meter's reading.
        cable: What is known of it; None in it gives no answer.
        leg: Which side.

    Raises:
        ValueError: A negative drop.
    """
    volts = drop if isinstance(drop, Measured) else reading_volts(not_negative(drop, "A drop along a cable"))
    ohms = cable.ohms_one_way()
    return None if ohms is None else combine(lambda v, *r: v / math.fsum(r), volts, ohms, hardware(leg))
