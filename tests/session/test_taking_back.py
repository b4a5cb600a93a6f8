"""What a person describes and takes back is taken back, and nothing beside it."""

from __future__ import annotations

from typing import Any

import pytest
from session.talking import look, session, tell


def stands(out: dict[str, Any]) -> set[tuple[str, str, Any]]:
    return {(f["about"], f["what"], f["value"]) for f in out["understood"]}


def told(*lines: str) -> tuple[set[tuple[str, str, Any]], list[dict[str, Any]]]:
    """What the lines before the last left, and what the last one took back."""
    s = session()
    said: set[tuple[str, str, Any]] = set()
    for line in lines[:-1]:
        said |= stands(tell(s, say=line))
    before = s.case.facts
    tell(s, say=lines[-1])
    gone = [f for f in before if f not in s.case.facts]
    return said, [{"about": f.about, "what": f.what, "value": f.value} for f in gone]


@pytest.mark.parametrize(
    "line",
    [
        "forget the wet plug, that was on the neighbour's boat",
        "forget the wet plug, that was another boat",
        "Caller withdraws what she told me about a wet plug.",
        "scrap what I said about a wet plug",
    ],
)
def test_what_is_described_is_taken_back(line: str) -> None:
    said, gone = told("the harness plug is wet and green", "fuse blown", line)
    assert ("harness", "wet", True) in said and ("main_fuse", "blown", True) in said
    assert gone == [{"about": "harness", "what": "wet", "value": True}]


def test_of_figures_only_the_one_that_is_named_goes() -> None:
    lines = ("12.6 at the studs at rest", "5.3 on the studs while it runs", "cancel my 5.3 from the studs, wrong range")
    _, gone = told(*lines)
    assert gone == [{"about": "supply", "what": "voltage", "value": 5.3}]


@pytest.mark.parametrize("line", ["don't forget the fuse is blown", "I forgot my torch", "I forget how long it ran"])
def test_to_forget_takes_nothing_back(line: str) -> None:
    assert told("fuse blown", line)[1] == []


@pytest.mark.parametrize(
    ("first", "again"),
    [
        ("fuse blown", "I forgot to tell you the fuse is blown"),
        ("it goes the wrong way", "it still goes the wrong way"),
    ],
)
def test_what_is_told_once_more_stands(first: str, again: str) -> None:
    s = session()
    tell(s, say=first)
    assert tell(s, say=again)["understood"]


def test_what_was_never_told_changes_nothing() -> None:
    s = session()
    tell(s, say="fuse blown")
    before = look(s)
    out = tell(s, say="forget the wet plug")
    assert out["suspects"] == before["suspects"] and "understood" in out and not out["understood"]
