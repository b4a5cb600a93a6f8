"""What is counted while a case is worked on, and how it is told at the end."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from assistant.bench.course import Course
from assistant.train.data import listed, training_data


@dataclass
class Score:
    """The course of one trainee."""

    minutes: float = 0.0
    tests: int = 0
    offers: int = 0
    """Tests taken from what the assistant offered."""
    skipped: list[str] = field(default_factory=list)
    """Set-up steps left out, each with the test."""
    ignored: list[str] = field(default_factory=list)
    """Hazards that stood while more was asked for."""
    condemned: list[str] = field(default_factory=list)
    """Faults named on parts that had nothing wrong."""
    unproved: list[str] = field(default_factory=list)
    """Faults named before the findings proved them."""
    found: list[str] = field(default_factory=list)
    """Faults of the boat that were put right."""


def score_lines(score: Score, own: Course, wrong: tuple[str, ...], seed: int, name: Callable[[str], str]) -> list[str]:
    """The score as lines.

    Args:
        score: What was counted.
        own: How the assistant did the same case.
        wrong: Faults of the boat.
        seed: Of the case.
        name: A fault in words.
    """
    texts = training_data()["score"]
    missed = [fault for fault in wrong if fault not in score.found]
    words: dict[str, dict[str, object]] = {
        "title": {"seed": seed},
        "wrong": {"list": listed(map(name, wrong))},
        "found": {"list": listed(map(name, score.found))},
        "not_found": {"list": listed(map(name, missed))},
        "minutes": {
            "minutes": f"{score.minutes:g}",
            "tests": score.tests,
            "own_minutes": f"{own.minutes:g}",
            "own_tests": own.tests,
        },
        "offers": {"offers": score.offers, "tests": score.tests},
        "skipped": {"list": listed(score.skipped)},
        "ignored": {"list": listed(score.ignored)},
        "condemned": {"list": listed(map(name, score.condemned))},
        "unproved": {"list": listed(map(name, score.unproved))},
        "more": {},
    }
    left_out = set() if missed else {"not_found"}
    return [str(texts[key]).format(**given) for key, given in words.items() if key not in left_out]
