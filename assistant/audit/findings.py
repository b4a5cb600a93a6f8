"""What an auditor would mark in a record, by kind, each with its turn, the words and the rule."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Kind = Literal[
    "safety_step_skipped",
    "test_with_danger_open",
    "replaced_without_proof",
    "contradiction_not_settled",
    "verification_missing",
    "bridge_not_removed",
    "corrected_after_verdict",
    "clock_backwards",
    "time_unreadable",
    "time_gap",
]
Weight = Literal["serious", "note"]

RULES: Mapping[Kind, str] = {
    "safety_step_skipped": "What makes a step safe is done, and reported, before the step.",
    "test_with_danger_open": "No test is done while a danger is live.",
    "replaced_without_proof": "A part is replaced only once a test has proved that it failed.",
    "contradiction_not_settled": "Two readings that cannot both be true are settled by a measurement.",
    "verification_missing": "A repair counts only when the complaint was tried again and is gone.",
    "bridge_not_removed": "Every temporary bridge is removed, and reported removed, before the case ends.",
    "corrected_after_verdict": "What a verdict may rest on is not changed after it.",
    "clock_backwards": "Each turn is later than the one before it.",
    "time_unreadable": "Each turn carries a time with its offset.",
    "time_gap": "A long pause is explained: the boat may have changed meanwhile.",
}
"""The rule that each kind of finding goes by."""


@dataclass(frozen=True)
class Finding:
    """One thing marked in a record."""

    kind: Kind
    turn: int
    words: str
    """What was said, or the fact as a phrase."""
    detail: str
    """What is wrong with it, in a sentence."""
    weight: Weight = "serious"

    @property
    def rule(self) -> str:
        """The rule it goes by."""
        return RULES[self.kind]
