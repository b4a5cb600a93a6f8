"""Whatever order independent observations come in, the end is the same; and the same bytes every time."""

from __future__ import annotations

import json
import random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from session.talking import AT, diagnoser, end, f, session

from assistant.knowledge import load
from assistant.safety.hazards import standing_hazards
from assistant.safety.states import States

Line = dict[str, Any]


def asked(test: str, *facts: dict[str, Any]) -> Line:
    return {"answer": {"test": test, "facts": list(facts)}}


def told(*facts: dict[str, Any]) -> Line:
    return {"facts": list(facts)}


BRIDGED = ("command_bridged_port", "command_bridged_starboard", "panel_unplugged")
BOAT = [
    told(f("boat.fuel", "petrol")),
    told(f("boat.afloat", True)),
    told(f("boat.stations", 1)),
    told(f("isolator.kind", "manual")),
]
CASES: dict[str, list[Line]] = {
    "a dead panel": [
        *BOAT,
        told(f("boat.nominal_voltage", 12)),
        asked("panel_wake_up", f("panel.lights", False), f("thruster.runs", "none")),
        told(f("panel_lead.voltage", 12.5, "panel_unplugged")),
        told(f("supply.voltage", 12.6, "at_rest")),
        told(f("thruster.runs", "both", *BRIDGED)),
        told(f("harness.corroded", False)),
    ],
    "one coil open and a hot lug": [
        *BOAT,
        told(f("thruster.runs", "starboard_only")),
        told(f("port_coil.continuity", False, "isolator_off")),
        told(f("starboard_coil.continuity", True, "isolator_off")),
        told(f("positive_cable.hot", True)),
        told(f("port_signal.voltage", 12.2, "port_commanded")),
        told(f("port_coil.voltage", 12.2, "port_commanded")),
        told(f("motor.hot", False)),
    ],
    "weak under load": [
        *BOAT,
        told(f("thruster.thrust", "weak")),
        told(f("thruster.noise", "hum")),
        told(f("battery.voltage", 12.7, "at_rest")),
        told(f("battery.voltage", 9.9, "under_load")),
        told(f("motor.current", 310, "under_load")),
        told(f("battery.uneven", False, "under_load")),
        told(f("contactor.drop", 1.9, "under_load")),
        told(f("propeller.fouled", False)),
    ],
    "runs by itself": [
        *BOAT,
        told(f("thruster.runs_by_itself", "at_power_on"), f("isolator.position", "off")),
        told(f("contactor.continuity", False, "at_rest", "isolator_off")),
        told(f("thruster.runs_by_itself", "no", "panel_unplugged", "control_unit_unplugged")),
        told(
            f("thruster.runs_by_itself", "at_power_on", "panel_unplugged", "harness_unplugged"),
            f("isolator.position", "off"),
        ),
        told(f("coil_lead.damaged", False)),
    ],
    "hot cut-out": [
        *BOAT,
        told(f("thruster.stops_after", 120)),
        told(f("thruster.works_again_after_rest", True)),
        told(f("thermal_switch.continuity", False, "isolator_off", "motor_hot")),
        told(f("thermal_switch.continuity", True, "isolator_off", "motor_cold")),
        told(f("motor.current", 700, "under_load")),
        told(f("propeller.fouled", True)),
        told(f("main_fuse.distance", 3.0)),
    ],
    "doubt and contradiction": [
        *BOAT,
        told(f("panel.lights", False)),
        told(f("main_fuse.blown", True)),
        told(f("main_fuse.continuity", True, "isolator_off")),
        told(f("supply.voltage", 12.4, "at_rest", certain=False)),
        told(f("bridge.fitted", "other", certain=False)),
        told(f("battery.replaced", True, "before_the_trouble")),
    ],
}


def played(lines: list[Line]) -> dict[str, Any]:
    s = session()
    out: dict[str, Any] = {}
    for line in lines:
        out = s.take({**line, "at": AT})
    return out


def facts_of(lines: list[Line]) -> list[list[Any]]:
    """The facts of each line as the session took them."""
    s = session()
    for line in lines:
        s.take({**line, "at": AT})
    turns = sorted({x.turn for x in s.case.facts})
    return [[x for x in s.case.facts if x.turn == t] for t in turns]


def concluded(groups: list[list[Any]]) -> str:
    """Suspects, verdict and standing hazards of facts told in this order."""
    facts = [x.model_copy(update={"turn": turn}) for turn, group in enumerate(groups, 1) for x in group]
    diagnosis = diagnoser().diagnose(facts)
    live = standing_hazards(States(facts, load().words, 12.0), load())
    shown = [(h.hazard.id, h.certain, sorted(map(str, h.clear_facts))) for h in live]
    conflicts = sorted(sorted(c.facts) for c in diagnosis.conflicts)
    return repr((diagnosis.suspects, sorted(diagnosis.verdict), sorted(shown), conflicts))


@pytest.mark.parametrize("name", CASES)
def test_two_hundred_orders_of_the_same_facts_have_one_end(name: str) -> None:
    groups = facts_of(CASES[name])
    chance = random.Random(name)
    ends = {concluded(groups)}
    for _ in range(200):
        order = groups[:]
        chance.shuffle(order)
        ends.add(concluded(order))
    assert len(ends) == 1


@pytest.mark.parametrize("name", CASES)
def test_whole_conversations_in_any_order_have_one_end(name: str) -> None:
    lines = [*CASES[name], {"ask": {"help": True}}]
    chance = random.Random(name)
    right = end(played(lines))
    for _ in range(5):
        order = lines[:-1]
        chance.shuffle(order)
        got = end(played([*order, lines[-1]]))
        assert got["verdict"] == right["verdict"]
        assert json.dumps(got["suspects"]) == json.dumps(right["suspects"])
        standing = [[h for h in x["hazards"] if h["kind"] == "standing"] for x in (got, right)]
        assert standing[0] == standing[1]


@pytest.mark.parametrize("name", CASES)
def test_one_line_or_many_have_one_end(name: str) -> None:
    plain = [line for line in CASES[name] if "facts" in line]
    many = end(played([*plain, {"ask": {"help": True}}]))
    one = end(played([told(*[x for line in plain for x in line["facts"]]), {"ask": {"help": True}}]))
    assert json.dumps(one["suspects"]) == json.dumps(many["suspects"])
    assert one["verdict"] == many["verdict"]


FACTS = [
    x
    for lines in CASES.values()
    for line in lines
    if "facts" in line
    for x in line["facts"]
    if x["what"] not in ("position", "runs_by_itself", "hot")
]
KEYS = {json.dumps([x["about"], x["what"], x.get("while")]): x for x in FACTS}


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.sampled_from(sorted(KEYS)), min_size=2, max_size=8, unique=True), st.randoms(use_true_random=False))
def test_any_handful_of_independent_facts_in_any_order(keys: list[str], chance: random.Random) -> None:
    groups = facts_of([told(KEYS[k]) for k in keys])
    shuffled = groups[:]
    chance.shuffle(shuffled)
    assert concluded(groups) == concluded(shuffled)


@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.sampled_from(sorted(KEYS)), min_size=1, max_size=4, unique=True), st.sampled_from(sorted(KEYS)))
def test_what_is_told_and_taken_back_leaves_the_case_as_it_was(keys: list[str], more: str) -> None:
    keys = [k for k in keys if k != more] or [k for k in sorted(KEYS) if k != more][:1]
    s = session()
    before = s.take({**told(*[KEYS[k] for k in keys]), "at": AT})
    extra = s.take({**told(KEYS[more]), "at": AT})
    after = s.take({"take_back": [u["id"] for u in extra["understood"]], "at": AT})
    assert json.dumps(after["suspects"]) == json.dumps(before["suspects"])
    assert after["verdict"] == before["verdict"] and after["may_close"] == before["may_close"]


def test_the_same_lines_give_the_same_bytes() -> None:
    lines = CASES["weak under load"]
    once, twice = json.dumps(played(lines)), json.dumps(played(lines))
    assert once == twice
