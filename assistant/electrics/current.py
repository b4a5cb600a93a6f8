"""Current without a clamp meter: from the loss along a stretch of cable that is known."""

from __future__ import annotations

from assistant.electrics.path import Cable
from assistant.electrics.refuse import not_negative
from assistant.electrics.uncertainty import Measured, combine, reading_volts


def current_from_drop(drop: float, cable: Cable) -> Measured | None:
    """Current that loses this voltage along one leg of sound, bare cable, A.

    Args:
        drop: Read from lug to lug on the copper of one leg, joints left out, V.
        cable: Its length is that of the stretch measured; None in it gives no answer.

    Raises:
        ValueError: A negative drop.
    """
    not_negative(drop, "A drop along a cable")
    ohms = cable.ohms_one_way()
    return None if ohms is None else combine(lambda v, r: v / r, reading_volts(drop), ohms)
