"""The oracle holds together: complete, in the words of the rule base, consistent, and never telling."""

from __future__ import annotations

import re
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from . import oracle
from .conditions import tables
from .expectations import EXPECTED, MAY_REVEAL
from .notation import ORDER, PRINCIPAL, UNITS, key, read_fact, write_fact
from .oracle import FAULTS, HEALTHY, TESTS, Boat, Fact, answer, boat_for, value

ROOT = Path(__file__).parents[2]
SHARED = ROOT.parent / "shared" / "vocabulary.yaml"
OBSERVATIONS = yaml.safe_load((ROOT / "rules" / "observations.yaml").read_text(encoding="utf-8"))
PARTS = yaml.safe_load((ROOT / "rules" / "parts.yaml").read_text(encoding="utf-8"))["parts"]

WISHES: tuple[dict[str, Any], ...] = (
    {},
    {"nominal_voltage": 24, "coil_switching": "positive_switched"},
    {"nominal_voltage": 48, "fuel": "petrol", "afloat": False},
    {"has_clamp_meter": False},
    {"has_meter": False, "has_clamp_meter": False, "skill": "owner"},
    {"drive": "speed_controller"},
    {"refuses_standing_command": True},
)


def everything(faults: oracle.Faults, boat: Boat) -> dict[str, list[Fact]]:
    """All facts the oracle gives, by where they come from."""
    out = {test: answer(faults, boat, test) or [] for test in TESTS}
    out["reported"] = oracle.reported(faults, boat)
    out["described"] = oracle.described(faults, boat)
    out["as found"] = oracle.as_found_facts(faults, boat)
    out["after repair"] = oracle.after_repair(faults, boat)
    return out


def assert_valid(item: Fact, nominal: int) -> None:
    """The fact is one the rule base takes."""
    assert set(item) <= {"about", "what", "value", "unit", "while"}, item
    assert item["about"] in PARTS or re.fullmatch(r"panel_[1-6]", item["about"]), item
    attribute = OBSERVATIONS["attributes"][item["what"]]
    while_ = item.get("while", [])
    assert while_ == sorted(while_, key=list(OBSERVATIONS["circumstances"]).index)
    if attribute.get("flag"):
        assert isinstance(item["value"], bool), item
    elif "choice" in attribute:
        assert item["value"] in attribute["choice"], item
        assert item["value"] in attribute.get("only", {}).get(item["about"], [item["value"]]), item
    else:
        number = item["value"]
        assert isinstance(number, int | float) and not isinstance(number, bool), item
        assert item.get("unit") == attribute["number"], item
        assert attribute.get("from", number) <= number <= attribute.get("to", number), item
        assert attribute.get("nominal_from", -99) * nominal <= number <= attribute.get("nominal_to", 99) * nominal


def read(facts: list[Fact] | None, about: str, what: str) -> list[Any]:
    """The values that an answer gives."""
    return [item["value"] for item in facts or [] if (item["about"], item["what"]) == (about, what)]


# ------------------------------------------------------------------ complete, and in the right words
def test_all_sixty_faults_and_thirty_one_tests_are_there() -> None:
    assert (len(FAULTS), len(TESTS)) == (60, 31)
    assert set(MAY_REVEAL) == set(TESTS)


@pytest.mark.skipif(not SHARED.exists(), reason="the shared vocabulary is not beside the repository")
def test_ids_are_those_of_the_vocabulary() -> None:
    vocabulary = yaml.safe_load(SHARED.read_text(encoding="utf-8"))
    assert set(FAULTS) == set(vocabulary["faults"])
    assert tuple(vocabulary["tests"]) == TESTS
    for fault in FAULTS:
        for moment in ("report", "run", "found"):
            assert set(oracle.dangers(fault, None, moment)) <= set(vocabulary["hazards"])


def test_notation_uses_the_words_of_the_rule_base() -> None:
    assert list(ORDER) == list(OBSERVATIONS["circumstances"])
    assert list(PRINCIPAL) == OBSERVATIONS["principal_scenes"]
    assert all(OBSERVATIONS["attributes"][what]["number"] == unit for what, unit in UNITS.items())


@pytest.mark.parametrize("fault", [*FAULTS, ""])
@pytest.mark.parametrize("wishes", WISHES, ids=str)
def test_every_fact_is_valid(fault: str, wishes: dict[str, Any]) -> None:
    faults = fault or HEALTHY
    try:
        boat = boat_for(faults, **wishes)
    except ValueError:
        assert fault.startswith(("contactor.", "coil_lead.", "sense_lead.")) and "drive" in wishes
        return
    for facts in everything(faults, boat).values():
        for item in facts:
            assert_valid(item, boat.nominal_voltage)
    for item in oracle.repair(fault) if fault else []:
        assert_valid(item, 12)


@pytest.mark.parametrize("fault", FAULTS)
def test_an_answer_reveals_only_what_its_test_can_show(fault: str) -> None:
    for test in TESTS:
        for item in answer(fault, None, test) or []:
            assert re.fullmatch(MAY_REVEAL[test], f"{item['about']}.{item['what']}"), (test, item)


@pytest.mark.parametrize("fault", FAULTS)
def test_a_report_is_short_true_and_not_the_diagnosis(fault: str) -> None:
    boat = boat_for(fault)
    told = oracle.reported(fault, boat)
    assert 1 <= len(told) <= 4
    for item in told:
        if "before_the_trouble" in item.get("while", ()):
            continue
        assert value(fault, boat, item["about"], item["what"], item.get("while", ())) == item["value"], item
    assert {item["what"] for item in told if item["about"] != "main_fuse"}.isdisjoint({"replaced", "repaired"})


# ------------------------------------------------------------------ a sound boat
@pytest.mark.parametrize("test", TESTS)
def test_a_sound_boat_answers_as_the_table_says(test: str) -> None:
    table = tables()["healthy"]
    given_facts = answer(HEALTHY, table["answers_with"], test)
    assert [write_fact(item) for item in given_facts or []] == table["answers"][test]


def test_the_notation_reads_what_it_writes() -> None:
    for texts in tables()["healthy"]["answers"].values():
        assert [write_fact(read_fact(text)) for text in texts] == texts


@pytest.mark.parametrize("text", ["supply.voltage = 12.6", "supply voltage", "main_fuse.blown = true V"])
def test_the_notation_refuses_slips(text: str) -> None:
    with pytest.raises(ValueError, match=re.escape(text)):
        read_fact(text)


@pytest.mark.parametrize("nominal", [24, 36, 48])
@pytest.mark.parametrize("fault", ["", "battery.weak", "positive_cable.poor_contact", "contactor.poor_contact"])
def test_volts_grow_with_the_boat_and_amperes_do_not(fault: str, nominal: int) -> None:
    faults = fault or HEALTHY
    for test in TESTS:
        small = answer(faults, {}, test) or []
        large = answer(faults, {"nominal_voltage": nominal}, test) or []
        assert [key(item) for item in small] == [key(item) for item in large]
        for one, other in zip(small, large, strict=True):
            factor = {"V": nominal / 12, "ohm": (nominal / 12) ** 2}.get(one.get("unit", ""), 1)
            if factor == 1:
                assert one["value"] == other["value"]
            else:
                assert other["value"] == pytest.approx(one["value"] * factor, abs=0.06 * factor)


# ------------------------------------------------------------------ what an electrician expects
@pytest.mark.parametrize(("fault", "about", "what", "scene", "expected"), EXPECTED)
def test_the_meter_shows_what_the_trade_expects(fault: str, about: str, what: str, scene: str, expected: Any) -> None:
    while_ = [word for word in scene.split(", ") if word]
    if any("coil_energised" in word for word in while_):
        while_.append("sense_lead_lifted")
    if any("command_bridged" in word for word in while_):
        while_.append("panel_unplugged")
    assert value(fault, None, about, what, while_) == expected


@pytest.mark.parametrize("fault", FAULTS)
def test_a_voltage_is_what_is_left_of_the_battery(fault: str) -> None:
    battery, supply, drops, current = (
        read(answer(fault, None, "battery_voltage_under_load"), "battery", "voltage"),
        read(answer(fault, None, "supply_voltage_under_load"), "supply", "voltage"),
        read(answer(fault, None, "cable_drop_positive"), "positive_cable", "drop")
        + read(answer(fault, None, "cable_drop_negative"), "negative_cable", "drop"),
        read(answer(fault, None, "motor_current"), "motor", "current"),
    )
    if battery and current[0]:
        assert battery[0] - sum(drops) == pytest.approx(supply[0], abs=0.12)


DEAD = [f for f in FAULTS if value(f, None, "supply", "voltage", ["at_rest"]) == 0]


def test_which_faults_leave_the_studs_dead() -> None:
    assert DEAD == ["main_fuse.blown", "isolator.left_off", "isolator.failed_open", "isolator_command.failed",
                    "positive_cable.open", "negative_cable.open"]  # fmt: skip


@pytest.mark.parametrize("fault", [f for f in FAULTS if f not in DEAD])
@pytest.mark.parametrize("dead", ["main_fuse.blown", "negative_cable.open"])
def test_behind_a_dead_supply_every_live_test_is_dead(dead: str, fault: str) -> None:
    both, boat = (dead, fault), boat_for((dead, fault))
    for test in TESTS:
        facts = answer(both, boat, test)
        assert facts is not None or answer(HEALTHY, boat, test) is None
        live = [item for item in facts or [] if item["about"] not in ("battery", "isolator_command")]
        assert not any(item["value"] for item in live if item["what"] in ("voltage", "current"))
        assert all(item["value"] == "none" for item in live if item["what"] == "runs")
        assert all(item["value"] == "no" for item in live if item["what"] == "runs_by_itself")
    assert value(both, boat, "panel", "lights") is False


def test_a_weak_supply_hides_behind_burnt_contacts() -> None:
    alone = value("battery.weak", None, "battery", "voltage", ["under_load"])
    behind = value(("battery.weak", "contactor.poor_contact"), None, "battery", "voltage", ["under_load"])
    assert isinstance(alone, float) and isinstance(behind, float) and behind > alone


def test_bare_coil_resistance_does_not_tell_a_dead_unit_from_a_sound_one() -> None:
    assert answer("control_unit.dead", None, "coil_resistance") == answer(HEALTHY, None, "coil_resistance")


# ------------------------------------------------------------------ runs by itself
RUNAWAYS = {
    "contactor.welded": "all_unplugged_power_on",
    "control_unit.output_stuck": "control_unit_power_on",
    "harness.signal_shorted": "stations_power_on",
    "panel.output_stuck": "stations_power_on",
}


@pytest.mark.parametrize(("fault", "shown_by"), RUNAWAYS.items())
def test_a_runaway_shows_first_at_its_own_step(fault: str, shown_by: str) -> None:
    steps = ("all_unplugged_power_on", "control_unit_power_on", "stations_power_on")
    runs = {test: "at_power_on" in [item["value"] for item in answer(fault, None, test) or []] for test in steps}
    assert next(test for test in steps if runs[test]) == shown_by
    assert oracle.dangers(fault) == ["runs_uncontrolled"]
    assert oracle.make_safe(fault) == [{"about": "isolator", "what": "position", "value": "off"}]


@pytest.mark.parametrize("fault", RUNAWAYS)
def test_nobody_powers_a_runaway_for_another_test(fault: str) -> None:
    for test in ("supply_voltage_at_rest", "panel_wake_up", "coil_direct", "motor_current"):
        assert answer(fault, None, test) is None
        assert oracle.cannot(fault, None, test)
    for test in TESTS:
        for item in answer(fault, None, test) or []:
            assert (item["about"], item["what"], item["value"]) != ("isolator", "position", "on")


def test_the_harness_and_the_panel_part_at_the_last_step() -> None:
    short = answer("harness.signal_shorted", None, "stations_power_on")
    stuck = answer("panel.output_stuck", None, "stations_power_on")
    assert read(short, "harness", "runs_by_itself") == ["at_power_on"]
    assert (read(stuck, "harness", "runs_by_itself"), read(stuck, "panel_1", "runs_by_itself")) == (
        ["no"],
        ["at_power_on"],
    )


def test_a_stuck_command_can_look_dead() -> None:
    boat = boat_for("panel.output_stuck", refuses_standing_command=True)
    assert ("thruster", "runs", ()) in [key(item) for item in oracle.reported("panel.output_stuck", boat)]
    assert value("panel.output_stuck", boat, "thruster", "runs_by_itself") == "no"
    assert value("panel.output_stuck", boat, "port_signal", "voltage", ["at_rest"]) == 12.6
    assert oracle.dangers("panel.output_stuck", boat) == []
    bridged = answer("panel.output_stuck", boat, "command_bridge")
    assert read(bridged, "thruster", "runs") == ["port_only", "starboard_only"]


# ------------------------------------------------------------------ what cannot be done
@pytest.mark.parametrize(
    ("boat", "test"),
    [
        ({}, "try_other_station"),
        ({}, "isolator_command_check"),
        ({"drive": "speed_controller"}, "coil_direct"),
        ({"drive": "speed_controller"}, "command_bridge"),
        ({"has_clamp_meter": False}, "motor_current"),
        ({"has_meter": False}, "supply_voltage_at_rest"),
    ],
)
def test_an_impossible_test_brings_a_reason(boat: dict[str, Any], test: str) -> None:
    assert answer(HEALTHY, boat, test) is None
    assert oracle.cannot(HEALTHY, boat, test)


def test_every_test_can_be_done_on_some_boat() -> None:
    boat = Boat.of({"stations": 2, "isolator": "remote"})
    assert all(answer(HEALTHY, boat, test) for test in TESTS)


def test_unknown_words_are_errors() -> None:
    with pytest.raises(KeyError):
        answer("motor.tired", None, "fuse_check")
    with pytest.raises(KeyError):
        answer(HEALTHY, None, "kick_it")
    with pytest.raises(TypeError):
        answer(HEALTHY, {"masts": 2}, "fuse_check")
    with pytest.raises(ValueError, match="needs motor"):
        boat_for(("motor.one_field_open", "contactor.both_closed"))


# ------------------------------------------------------------------ set-up and restoring
@pytest.mark.parametrize("fault", FAULTS)
def test_what_a_test_takes_apart_it_puts_back(fault: str) -> None:
    for test in TESTS:
        if test.endswith("power_on"):
            continue  # these go from one to the next, power off between
        facts = answer(fault, None, test) or []
        fitted, removed = read(facts, "bridge", "fitted"), read(facts, "bridge", "removed")
        assert fitted == removed
        last = {(item["about"], item["what"]): item["value"] for item in facts}
        assert all(state for (_, what), state in last.items() if what in ("plugged", "connected"))
        assert last.get(("isolator", "locked")) is not True


def test_the_bridge_fits_the_switched_side() -> None:
    positive = answer(HEALTHY, {"coil_switching": "positive_switched"}, "coil_direct")
    assert read(positive, "bridge", "fitted") == [
        "motor_positive_to_port_coil",
        "motor_positive_to_starboard_coil",
    ]


def test_where_the_isolator_fails_the_fuse_is_drawn() -> None:
    facts = answer("isolator.stuck_closed", None, "coil_resistance")
    assert read(facts, "main_fuse", "connected") == [False, True]
    assert oracle.make_safe("isolator.stuck_closed") == [{"about": "main_fuse", "what": "connected", "value": False}]


# ------------------------------------------------------------------ repairs
@pytest.mark.parametrize("fault", FAULTS)
def test_after_the_repair_the_complaint_is_gone(fault: str) -> None:
    boat = boat_for(fault)
    facts = oracle.after_repair(fault, boat)
    assert read(facts, "thruster", "runs") == ["both"]
    assert read(facts, "thruster", "thrust") == ["normal"]
    assert read(facts, "supply", "voltage") == [10.9]
    assert read(facts, "motor", "current") == [300]
    told = {key(item): item["value"] for item in facts}
    for item in oracle.reported(fault, boat):
        sound = value(HEALTHY, boat, item["about"], item["what"], item.get("while", ()))
        if key(item) in told and sound != item["value"]:
            assert told[key(item)] == sound
    assert oracle.repair(fault)


def test_after_one_of_two_repairs_the_other_still_shows() -> None:
    facts = oracle.after_repair("main_fuse.blown", None, remaining="contactor.no_output")
    assert read(facts, "thruster", "runs") == ["none"]
    assert read(facts, "panel", "lights") == [True]


def test_a_setting_is_put_right_by_its_state() -> None:
    assert oracle.repair("isolator.left_off") == [{"about": "isolator", "what": "position", "value": "on"}]
    for fault in ("isolator.left_off", "panel.not_switched_on", "thermal_switch.tripped_hot"):
        assert {item["what"] for item in oracle.repair(fault)}.isdisjoint({"replaced", "repaired"})


# ------------------------------------------------------------------ telling faults apart
def test_any_two_faults_differ_somewhere() -> None:
    shown: dict[tuple[str, Boat], str] = {}
    for pair in combinations(FAULTS, 2):
        try:
            boat = boat_for(pair)
        except ValueError:
            continue  # no boat can have both
        for fault in pair:
            if (fault, boat) not in shown:
                shown[fault, boat] = repr([answer(fault, boat, test) for test in TESTS])
        assert shown[pair[0], boat] != shown[pair[1], boat], pair


def test_a_danger_of_racing_belongs_to_series_motors() -> None:
    assert "overspeed_unloaded" in oracle.dangers("propeller.lost", None, "run")
    assert "overspeed_unloaded" not in oracle.dangers("propeller.lost", {"motor": "permanent_magnet"}, "run")
    assert oracle.dangers(HEALTHY) == []


# ------------------------------------------------------------------ any two faults
def test_two_faults_are_told_as_they_show_together() -> None:
    masked = oracle.reported(("main_fuse.blown", "contactor.no_output"))
    assert [write_fact(item) for item in masked] == [
        "panel.lights = false",
        "thruster.runs = none",
        "contactor.clicks = false",
    ]
    hot = oracle.reported(("battery.weak", "thermal_switch.tripped_hot"))
    assert read(hot, "thruster", "runs") == ["none"]
    assert read(hot, "thruster", "thrust") == []
    two_ways = oracle.reported(("contactor.port_coil_open", "panel.starboard_output_dead"))
    assert read(two_ways, "thruster", "runs") == ["none"]


@given(st.sets(st.sampled_from(FAULTS), max_size=2), st.sampled_from((12, 24, 36, 48)))
@settings(max_examples=60, deadline=None)
def test_any_two_faults_make_one_consistent_boat(faults: set[str], nominal: int) -> None:
    try:
        boat = boat_for(faults, nominal_voltage=nominal)
    except ValueError:
        return
    ordered = sorted(faults)
    for test in TESTS:
        facts = answer(ordered, boat, test)
        assert facts == answer(ordered[::-1], boat, test)
        for item in facts or []:
            assert_valid(item, nominal)
        states: dict[tuple[str, str, tuple[str, ...]], Any] = {}
        for item in facts or []:
            if item["what"] not in ("fitted", "removed", "plugged", "position", "locked", "connected"):
                assert states.setdefault(key(item), item["value"]) == item["value"], (test, item)
    told = oracle.reported(ordered, boat)
    assert len({key(item) for item in told}) == len(told)
    for item in told:
        assert_valid(item, nominal)
    battery = value(ordered, boat, "battery", "voltage", ["under_load"])
    supply = value(ordered, boat, "supply", "voltage", ["under_load"])
    if battery is not None and supply is not None:
        assert float(supply) <= float(battery)
