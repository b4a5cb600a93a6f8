"""Whatever order independent observations come in, the end is the same; and the same bytes every time."""

from __future__ import annotations

import json
import os
import random
import re
from functools import cache
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


TRIES = {key for key in KEYS if KEYS[key]["what"] == "runs"}
"""Told again, these are another try."""
EVERY = bool(os.environ.get("SPRINGLINE_EVERY"))
Keys = list[str]


@cache
def fact_of(key: str) -> Any:
    """The fact as a session takes it."""
    return facts_of([told(KEYS[key])])[0][0]


def idle(keys: Keys) -> set[str]:
    """What tells nothing more when it is told again; where looks disagree, the one taken twice stands."""
    facts = [fact_of(key).model_copy(update={"id": f"f{n}", "turn": n}) for n, key in enumerate(keys)]
    return set() if diagnoser().diagnose(facts).conflicts else set(keys) - TRIES


@settings(max_examples=1000 if EVERY else 300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(st.sampled_from(sorted(KEYS)), min_size=2, max_size=8, unique=True),
    st.lists(st.integers(0, 7), max_size=4),
    st.randoms(use_true_random=False),
)
def test_any_handful_of_independent_facts_in_any_order_and_some_told_again(
    keys: Keys, again: list[int], chance: random.Random
) -> None:
    repeated = [key for n in again if (key := keys[n % len(keys)]) in idle(keys)]
    shuffled = [*keys, *repeated]
    chance.shuffle(shuffled)
    names = {key: f"f{n}" for n, key in enumerate(keys)}
    groups = [[fact_of(key).model_copy(update={"id": f"{names[key]}/{n}"})] for n, key in enumerate(shuffled)]
    once = [[fact_of(key).model_copy(update={"id": names[key]})] for key in keys]
    assert re.sub(r"/\d+", "", concluded(groups)) == concluded(once)


@settings(max_examples=1000 if EVERY else 60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(st.sampled_from(sorted(KEYS)), min_size=2, max_size=5, unique=True),
    st.lists(st.tuples(st.integers(0, 4), st.sampled_from(["again", "withdrawn", "re-entered"])), max_size=4),
)
def test_what_is_told_again_withdrawn_and_re_entered_leaves_what_stands(
    keys: Keys, events: list[tuple[int, str]]
) -> None:
    """Only the facts that stand at the end count, however they came to stand."""
    s = session()
    ids: dict[str, Keys] = {}
    for key in keys:
        ids[key] = taken(s.take({**told(KEYS[key]), "at": AT}))
    for place, event in events:
        key = keys[place % len(keys)]
        if event != "again" and ids[key]:
            s.take({"take_back": ids[key], "at": AT})
            ids[key] = []
        if event != "withdrawn" and (not ids[key] or key in idle(keys)):
            ids[key] += taken(s.take({**told(KEYS[key]), "at": AT}))
    last = s.take({"ask": {"help": True}, "at": AT})
    plain = session()
    for key in keys:
        if ids[key]:
            plain.take({**told(KEYS[key]), "at": AT})
    right = plain.take({"ask": {"help": True}, "at": AT})
    assert json.dumps(last["suspects"]) == json.dumps(right["suspects"])
    assert sorted(last["verdict"] or []) == sorted(right["verdict"] or [])
    standing = [sorted(h["hazard"] for h in x["hazards"] if h["kind"] == "standing") for x in (last, right)]
    assert standing[0] == standing[1]


def taken(out: dict[str, Any]) -> Keys:
    """The ids of the facts that a turn took."""
    return [fact["id"] for fact in out["understood"]]


def test_the_same_lines_give_the_same_bytes() -> None:
    lines = CASES["weak under load"]
    once, twice = json.dumps(played(lines)), json.dumps(played(lines))
    assert once == twice
