"""The helper on a boat with known faults: answers tests, makes safe, repairs what is proved."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Protocol

from assistant.boat import bench
from assistant.boat.boat import Boat
from assistant.boat.data import boat_data
from assistant.boat.saying import ON_OFF, FactDict, told
from assistant.boat.setting_up import switch
from assistant.boat.spec import Spec
from assistant.knowledge import Knowledge

EQUIPPED: tuple[FactDict, ...] = (
    {"about": "helper", "what": "skill", "value": "electrician"},
    {"about": "helper", "what": "has_meter", "value": True},
    {"about": "helper", "what": "has_clamp_meter", "value": True},
    {"about": "boat", "what": "people_clear", "value": True},
    {"about": "boat", "what": "afloat", "value": True},
)
"""Who helps, with what, and that nobody is in the water."""


class Aboard(Protocol):
    """Somebody on a boat, as the measuring needs him."""

    def faults(self) -> tuple[str, ...]:
        """What is wrong now."""

    def report(self) -> list[FactDict]:
        """The boat, the helper and the complaint."""

    def complaint(self) -> list[FactDict]:
        """What is complained of now."""

    def answer(self, test: str, minutes: float) -> list[FactDict] | None:
        """Carry a test out and tell what was found; None when it cannot be done."""

    def make_safe(self) -> list[FactDict]:
        """Take power away."""

    def repair(self, fault: str) -> list[FactDict]:
        """Put a fault right, there or not, and tell it."""


class SimulatedHelper:
    """A helper on the simulated boat, truthful and with ordinary meters."""

    def __init__(self, knowledge: Knowledge, spec: Spec, faults: Sequence[str], seed: int) -> None:
        """Build the boat and give her the faults.

        Args:
            knowledge: The rule base: settings and how they are put right.
            spec: What kind of boat.
            faults: Ids of the vocabulary.
            seed: Everything drawn by chance follows from it.

        Raises:
            ValueError: This kind of boat cannot have one of the faults.
        """
        self.knowledge = knowledge
        self.boat = Boat(spec, faults, seed)

    def faults(self) -> tuple[str, ...]:
        """What is wrong now, damage that came by the way included."""
        return self.boat.faults()

    def report(self) -> list[FactDict]:
        """The boat, the helper and the complaint."""
        return [*self.boat.describe(), *EQUIPPED, *self.boat.complaint()]

    def complaint(self) -> list[FactDict]:
        """What is complained of now."""
        return self.boat.complaint()

    def answer(self, test: str, minutes: float) -> list[FactDict] | None:
        """Carry a test out; a test that only clears the way is answered as the careful person would."""
        if test not in bench.tests():
            clears = self.knowledge.tests[test].settles
            return [dict(f) for f in self.knowledge.tests[test].answers[0].facts] if clears else None
        if not bench.possible(self.boat, test):
            return None
        return self.boat.answer(test, minutes)

    def make_safe(self) -> list[FactDict]:
        """Isolator off and locked, or the fuse drawn where it does not obey."""
        done = list(switch(self.boat, False, locked=True))
        off = told("position", ON_OFF[False])
        return done if off in done else [off, *done]

    def repair(self, fault: str) -> list[FactDict]:
        """Put a setting right, or put in a new part: all that was wrong with the part is gone."""
        entry = self.knowledge.faults[fault]
        part = fault.partition(".")[0]
        if entry.put_right_by:
            for how, cured in boat_data()["cured_by"].items():
                if cured == fault:
                    _CURES[how](self.boat)
            return [dict(f) for f in entry.put_right_by[:1]]
        self.boat.repair(part)
        return [{"about": entry.part, "what": "replaced", "value": True}]


_COOLING_SECONDS = 3600.0
_CURES: dict[str, Callable[[Boat], Any]] = {
    "power_on": Boat.power_on,
    "wake_up": Boat.wake_up,
    "cooled": lambda boat: boat.wait(_COOLING_SECONDS),
}
"""What the helper does to put a mere setting right."""
