"""Which tests may be asked for now: possible on this boat, safe, and within this person's skill and tools."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from assistant.diagnosis.answers import Said
from assistant.knowledge import Knowledge
from assistant.knowledge.model import Test
from assistant.safety.hazards import Live, step_applies
from assistant.safety.states import States

Bar = Literal["", "impossible", "unpowered", "unsafe", "beyond"]
"""Why a test is not offered: nothing bars it, the boat has no such thing, power is not to come back yet, not safe now,
beyond this person."""
LATER = ("unpowered", "unsafe")
"""What bars a test for a while only."""


@dataclass(frozen=True)
class Situation:
    """What decides about tests besides the suspects."""

    knowledge: Knowledge
    answers: Mapping[str, Said]
    states: States
    live: tuple[Live, ...]
    role: str
    searching: bool
    """Whether the cause is still looked for (a verifying run is not a search)."""
    powerless: bool = False
    """Whether the power is gone and is not to come back before the cause is found."""

    known: dict[str, Bar] = field(default_factory=dict, compare=False)
    """What was found once of a test."""

    def bar(self, test: Test) -> Bar:
        """Why this test is not offered now, or an empty word."""
        if test.id not in self.known:
            self.known[test.id] = self._find(test)
        return self.known[test.id]

    def _find(self, test: Test) -> Bar:
        if not self._possible(test):
            return "impossible"
        if self.powerless and (test.powered or test.runs_motor or test.live):
            return "unpowered"
        if not self._within_reach(test):
            return "beyond"
        return "" if self._safe(test) else "unsafe"

    def _possible(self, test: Test) -> bool:
        for question, states in test.only_if.items():
            if question in self.answers and self.answers[question].state not in states:
                return False
        for question, states in test.not_if.items():
            if question in self.answers and self.answers[question].state in states:
                return False
        if not self.searching:
            return True
        for question, states in test.pointless_after.items():
            if question in self.answers and self.answers[question].state in states:
                return False
        wanted = test.only_after.items()
        if not all(q in self.answers and self.answers[q].state in states for q, states in wanted):
            return False
        pairs = [one.split(".") for one in test.only_after_any]
        return not pairs or any(q in self.answers and self.answers[q].state == s for q, s in pairs)

    def _safe(self, test: Test) -> bool:
        limits = self.knowledge.limits
        if self.vapour_bars(test):
            return False
        if self.searching and self._powers_up(test) and self._would_run_by_itself(test):
            return False
        if not test.runs_motor:
            return True
        live = {h.hazard.id for h in self.live if h.kind == "standing"}
        alone = bool(set(limits["self_running"]) & set(test.only_after))
        barring = limits["no_run_with"] if self.searching and not alone else limits["never_run_with"]
        return not live & set(barring)

    def vapour_bars(self, test: Test) -> bool:
        """Whether the test can spark and the space is not known to be free of vapour."""
        vapour = self.knowledge.hazards[self.knowledge.limits["vapour"]]
        return (test.powered or test.runs_motor) and bool(vapour.step_when) and step_applies(vapour, self.states)

    def _would_run_by_itself(self, test: Test) -> bool:
        """Whether she runs by herself once powered, and the test is not one of those that find out why."""
        wanted = self.knowledge.limits["self_running"]
        if set(wanted) & set(test.only_after):
            return False
        return any(q in self.answers and self.answers[q].state in s for q, s in wanted.items())

    def _powers_up(self, test: Test) -> bool:
        """Whether its set-up puts the power on."""
        wanted = self.knowledge.limits["power_on"]
        return test.powered or any(
            (f["about"], f["what"], f["value"]) == tuple(wanted) for s in test.setup for f in s.facts
        )

    def _within_reach(self, test: Test) -> bool:
        limits = self.knowledge.limits
        owner_like = self.skill() <= self._place("owner")
        has_meter = self.states.value(*limits["meter"])
        has_clamp = self.states.value(*limits["clamp"])
        if test.needs_meter and has_meter is False:
            return False
        if test.needs_clamp and (has_clamp is False or (has_clamp is None and owner_like)):
            return False
        need = self._place(limits["needs_skill"][test.skill])
        if not test.live and self.skill() >= need:
            return True
        if self.role == "desk" and all(self.states.value(a, w) == v for a, w, v in limits["desk_live"]):
            return True
        return self.skill() >= max(need, self._place("electrician"))

    def _place(self, skill: str) -> int:
        return list(self.knowledge.limits["skills"]).index(skill)

    def skill(self) -> int:
        """Place on the scale of skills: the more careful of the role and of what was told of the helper."""
        limits = self.knowledge.limits
        told = self.states.value(*limits["skill_of"])
        by_role = self._place(limits["role_skill"][self.role])
        if told is None:
            return by_role
        place = self._place(str(told))
        return place if self.role == "desk" else min(place, by_role)
