"""The person's meters: they round, they err, and the error is the same for the same seed."""

from __future__ import annotations

from random import Random

from assistant.boat.data import boat_data
from assistant.electrics.uncertainty import display_step


class Meter:
    """A hand-held meter and a clamp, with seeded errors."""

    def __init__(self, chance: Random, *, perfect: bool = False) -> None:
        """Take the source of errors; a perfect meter only rounds."""
        self.chance, self.perfect = chance, perfect

    def volts(self, true: float) -> float:
        """A voltage as displayed, V."""
        step, rule = display_step(true), boat_data()["meter"]
        limit = 0.0 if self.perfect else rule["volts"] * abs(true) + rule["counts"] * step
        shown = round((true + self.chance.uniform(-limit, limit)) / step) * step
        return round(shown, 4) + 0.0

    def amps(self, true: float) -> float:
        """A current as the clamp shows it, A: whole amperes, without its sign."""
        off = 0.0 if self.perfect else boat_data()["meter"]["clamp"]
        return float(round(abs(true) * (1 + self.chance.uniform(-off, off))))

    def ohms(self, true: float) -> float:
        """A resistance as displayed, ohm: to a tenth."""
        off = 0.0 if self.perfect else boat_data()["meter"]["ohms"]
        return round(true * (1 + self.chance.uniform(-off, off)), 1)
