"""A stop asks for one thing: what people say to it ends it when it is done, and never before."""

from __future__ import annotations

import pytest
from session.talking import hazards, say, session

RUNS = "thruster runs by itself, cant stop it"
SWIMS = "bow thruster dead on both sides, kids swimming off the bow"
OBEYED = {
    RUNS: [
        "off now",
        "off again",
        "it's off",
        "ok its off now, i turned the big red key",
        "switched it off",
        "opened it. stopped dead.",
        "turned it straight off again, it stopped",
        "main switch? she turned it off first thing",
        "yes its off, isolator off. quiet now",
        "it's off now and tagged",
        "off straight away",
        "my husband switched it off",
        "the main switch is off and locked",
        "ok flipped the big red switch. its stopped",
        "I said I turned it off at the isolator",
    ],
    SWIMS: [
        "both feet on deck",
        "kids are out, ladder's up",
        "everybody's out of the water I said",
        "she's out of the water now",
        "out now",
        "he's out",
        "all clear",
        "nobody in the water any more",
    ],
}
NOT_OBEYED = {
    RUNS: [
        "he's run off to switch it off, put the phone down",
        "I'll switch it off",
        "not off yet",
        "panel is off",
        "can't find it",
        "yes",
        "ok",
        "stopped",
        "it won't go off",
        "opened up the motor, brushes worn",
        "had the hatches off",
        "should I turn it off?",
        "the engine is off",
        "turn it off",
        "flip the switch",
        "I'll throw the main switch",
        "turned the key on",
        "went quiet",
    ],
    SWIMS: [
        "he says he's shouted at them to get out",
        "not out yet",
        "he thinks they're all out but can't see the starboard side",
        "she says her foot is back in, wants to finish",
        "one of them is still in",
        "get out!",
        "nearly clear",
        "yes",
        "are they out?",
        "he's going in again",
        "she's given up",
    ],
}


def each(table: dict[str, list[str]]) -> list[tuple[str, str]]:
    return [(first, line) for first, lines in table.items() for line in lines]


@pytest.mark.parametrize(("first", "line"), each(OBEYED))
def test_what_does_what_it_orders_ends_it(first: str, line: str) -> None:
    assert say(session(), first, line)["stop"] is None


@pytest.mark.parametrize(("first", "line"), each(NOT_OBEYED))
def test_what_does_not_leaves_it(first: str, line: str) -> None:
    assert say(session(), first, line)["stop"] is not None


def test_a_bare_yes_to_an_order_is_asked_back() -> None:
    s = session()
    out = say(s, RUNS, "yes")
    assert [u["question"] for u in out["unclear"]] == ["Has that been done, or is it still to be done?"]
    assert say(s, "done")["stop"] is None


def test_a_thruster_that_runs_on_with_the_isolator_off_keeps_its_stop() -> None:
    s = session()
    out = say(s, RUNS, "killed the isolator but its still going")
    assert {"keeps_running", "cannot_isolate"} <= set(hazards(out)) and "upstream switch" in out["stop"]["text"]
    assert say(s, "nope, the isolator is off and it's still turning")["stop"] is not None
    out = say(s, "stopped now")
    assert out["stop"] is None and "cannot_isolate" in hazards(out)
