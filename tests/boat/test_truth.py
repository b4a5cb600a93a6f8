"""The rule base against the simulated boat: nothing true is ruled out, no good part is proved bad.

A boat is given one fault or two, her owner reports, and one test is carried out with ordinary meters.
Whatever the diagnosis then says must not contradict what is really wrong. `SPRINGLINE_EVERY=1` tries every
fault with every test on several boats and 300 pairs (some ten minutes); otherwise a fixed sample is tried.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from copy import deepcopy
from functools import cache, lru_cache
from random import Random
from typing import Any

import pytest

from assistant.boat import bench, faults
from assistant.boat.boat import Boat
from assistant.boat.spec import Spec, draw_spec, fleet
from assistant.diagnosis.diagnose import Diagnoser
from assistant.facts.intake import take_fact
from assistant.facts.model import Fact
from assistant.knowledge import load

EVERY = bool(os.environ.get("SPRINGLINE_EVERY"))
BOATS, TESTS, PAIRS = (3, len(bench.tests()), 300) if EVERY else (1, 4, 30)

# Two faults that undo each other's looks, or under which a reading is not what it is told to be: nothing is at rest
# while a welded contactor feeds a motor that is stuck.
MASKED = {
    *(frozenset({"contactor.both_closed", f"contactor.{way}_contact_open"}) for way in ("port", "starboard")),
    frozenset({"contactor.welded", "motor.seized"}),
}


@cache
def _diagnoser() -> Diagnoser:
    return Diagnoser(load())


def _facts(lines: Iterable[list[dict[str, Any]]], nominal: float) -> list[Fact]:
    out: list[Fact] = []
    for turn, told in enumerate(lines, 1):
        taken = [raw for fact in told for raw in take_fact(fact, _diagnoser().knowledge.words, nominal)]
        for index, raw in enumerate(taken):
            place = {"id": f"f{len(out) + 1}", "turn": turn, "index": index}
            out.append(Fact(**raw.model_dump(by_alias=True), **place))
    return out


@lru_cache(maxsize=1)
def _aboard(spec: Spec, wrong: tuple[str, ...], seed: int) -> tuple[Boat, list[dict[str, Any]]]:
    """A boat after her owner has reported, and the report; every test is then done on a copy of her."""
    boat = Boat(spec, wrong, seed)
    return boat, boat.describe() + boat.complaint()


def _contradictions(spec: Spec, wrong: Sequence[str], seed: int, test: str) -> set[tuple[str, str, str]]:
    reported, first = _aboard(spec, tuple(wrong), seed)
    boat = deepcopy(reported)
    if not bench.possible(boat, test):
        return set()
    before = set(boat.faults())
    lines = [first, boat.answer(test)]
    throughout = before & set(boat.faults())
    bad_parts = {fault.partition(".")[0] for fault in {*wrong, *before, *boat.faults()}}
    found = _diagnoser().diagnose(_facts(lines, spec.nominal_voltage))
    ruled = {("ruled out", fault, why) for fault, why in found.ruled_out.items() if fault in throughout}
    proved = {("proved", f, why) for f, why in found.proved.items() if f.partition(".")[0] not in bad_parts}
    return ruled | proved


@pytest.mark.parametrize("fault", faults.known_faults())
def test_one_fault(fault: str) -> None:
    place = list(faults.known_faults()).index(fault)
    suitable = [spec for spec in fleet() if faults.possible(fault, spec)]
    wrong: set[Any] = set()
    for number in range(BOATS):
        seed = place + 100 * number
        for test in Random(f"truth {seed}").sample(bench.tests(), TESTS):
            found = _contradictions(suitable[(place + number) % len(suitable)], [fault], seed, test)
            wrong |= {(*item, test, seed) for item in found}
    assert not wrong


@pytest.mark.parametrize("seed", range(PAIRS))
def test_two_faults(seed: int) -> None:
    chance = Random(f"pair {seed}")
    spec = draw_spec(chance)
    pair = chance.sample([fault for fault in faults.known_faults() if faults.possible(fault, spec)], 2)
    if frozenset(pair) in MASKED:
        pytest.skip("with these two a reading is not what it is told to be")
    tests = bench.tests() if EVERY else chance.sample(bench.tests(), 3)
    wrong = {(*item, test) for test in tests for item in _contradictions(spec, pair, seed, test)}
    assert not wrong, pair
