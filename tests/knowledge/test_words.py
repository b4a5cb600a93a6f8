"""Form of the faults, repairs and tests: complete, valid in the words of the vocabulary, all links whole."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml

from assistant.facts.intake import take_fact
from assistant.facts.vocabulary import Vocabulary, build_vocabulary
from assistant.knowledge.model import Answer, Fault, Repair, Step, Test
from assistant.knowledge.reader import read_yaml, rules_folder
from assistant.knowledge.spell import expand_each, fact_forms

FAULTS, OWN_FAULTS = 60, {"coil_lead.shorted"}
TESTS = 31
OWN_TESTS = {
    "block_check", "joint_check", "pole_check", "lug_check", "cable_continuity", "harness_check",
    "plug_check", "sense_lead_check", "contactor_drop", "fuse_label", "isolator_look", "drive_look",
    "thruster_sound", "self_run_ask", "signal_bridged", "signal_alone", "what_is_wrong", "space_check",
}  # fmt: skip
SCENES = {
    "panel_unplugged", "sense_lead_lifted", "control_unit_unplugged", "harness_unplugged", "thermal_bridged",
    "isolator_off",
}  # fmt: skip
HAZARDS_OF_A_STEP = {
    "people_at_tunnel", "thrust_moves_boat", "dry_run", "vapour_spark", "control_supply_bridged",
    "battery_short",
}  # fmt: skip
BOAT_STATES = {
    "isolator_kind": {"manual", "remote"},
    "drive": {"contactor", "speed_controller"},
    "motor_kind": {"permanent_magnet", "series_split_field", "series_reversed"},
    "several_stations": {"one", "several"},
    "control_fuse_fitted": {"fitted", "none"},
}
NOMINAL = (12.0, 24.0, 36.0, 48.0)
SHARED = Path(__file__).parents[3] / "shared" / "vocabulary.yaml"


def _entries(name: str) -> Mapping[str, Any]:
    return expand_each(read_yaml(rules_folder() / f"{name}.yaml")[name])


def _faults() -> dict[str, Fault]:
    out = {}
    for key, value in _entries("faults").items():
        data = dict(fact_forms(value)) | {"id": key}
        data.setdefault("part", key.partition(".")[0])
        out[key] = Fault.model_validate(data)
    return out


FAULT_LIST = _faults()
REPAIR_LIST = {k: Repair.model_validate({**v, "id": k}) for k, v in _entries("repairs").items()}
TEST_LIST = {k: Test.model_validate(fact_forms({**v, "id": k})) for k, v in _entries("tests").items()}


@pytest.fixture(scope="module")
def words() -> Vocabulary:
    parts = read_yaml(rules_folder() / "parts.yaml")["parts"]
    return build_vocabulary(parts, read_yaml(rules_folder() / "observations.yaml"))


@pytest.fixture(scope="module")
def vocabulary() -> Mapping[str, Any]:
    if not SHARED.exists():
        pytest.skip("the agreed vocabulary is not beside this checkout")
    data: Mapping[str, Any] = yaml.safe_load(SHARED.read_text(encoding="utf-8"))
    return data


def _facts(test: Test) -> Iterator[Mapping[str, Any]]:
    entries: tuple[Step | Answer, ...] = (*test.setup, *test.restore, *test.answers)
    for entry in entries:
        yield from entry.facts


def _told(entries: Any) -> set[tuple[str, str, Any]]:
    return {(f["about"], f["what"], f["value"]) for entry in entries for f in entry.facts}


def _accepted(fact: Mapping[str, Any], words: Vocabulary, nominal: float) -> None:
    """The intake takes the fact as it would stand on a boat of this nominal voltage; raises otherwise."""
    told = dict(fact)
    if told.get("unit") == "nominal":
        assert words.attributes[told["what"]].unit == "V"
        told["value"] = float(told["value"]) * nominal
        del told["unit"]
    assert take_fact(told, words, nominal)


# ------------------------------------------------------------------ complete
def test_the_files_hold_every_fault_and_test_and_no_more() -> None:
    assert len(FAULT_LIST) == FAULTS + len(OWN_FAULTS)
    assert set(FAULT_LIST) >= OWN_FAULTS
    assert len(TEST_LIST) == TESTS + len(OWN_TESTS)
    assert {t.id for t in TEST_LIST.values() if t.own} == OWN_TESTS


def test_the_ids_and_minutes_are_those_agreed(vocabulary: Mapping[str, Any]) -> None:
    assert set(vocabulary["faults"]) == set(FAULT_LIST) - OWN_FAULTS
    assert set(vocabulary["tests"]) == set(TEST_LIST) - OWN_TESTS
    agreed = vocabulary["minutes"]
    assert {k: t.minutes for k, t in TEST_LIST.items() if not t.own} == agreed
    assert set(vocabulary["setup_minutes"]) == SCENES
    assert set(vocabulary["hazards"]) >= HAZARDS_OF_A_STEP


def test_shared_set_up_fits_into_the_minutes(vocabulary: Mapping[str, Any]) -> None:
    cost = vocabulary["setup_minutes"]
    for test in TEST_LIST.values():
        assert sum(cost[s] for s in test.scenes) < test.minutes, test.id


# ------------------------------------------------------------------ faults
@pytest.mark.parametrize("fault", FAULT_LIST.values(), ids=lambda f: f.id)
def test_a_fault_reads_well_and_points_somewhere(fault: Fault, words: Vocabulary) -> None:
    assert fault.prior in range(1, 13)
    assert fault.part in words.parts
    assert fault.repair in REPAIR_LIST
    assert set(fault.leads_to) <= set(FAULT_LIST) - {fault.id}
    assert all(set(states) <= BOAT_STATES[q] for q, states in fault.only_if.items())
    for phrase in (fault.name, fault.plain):
        assert phrase and not phrase.endswith("."), "it has to fit after “the fault is:”"
    assert fault.check_cause.endswith(".") and fault.means.endswith(".")
    for fact in fault.put_right_by:
        _accepted(fact, words, 12.0)


def test_names_are_told_apart() -> None:
    for field in ("name", "plain"):
        told = [getattr(f, field) for f in FAULT_LIST.values()]
        assert len(set(told)) == len(told), field


def test_only_settings_are_put_right_by_a_state() -> None:
    settings = {f.id for f in FAULT_LIST.values() if f.put_right_by}
    assert settings == {"isolator.left_off", "panel.not_switched_on", "thermal_switch.tripped_hot"}
    assert not any(REPAIR_LIST[FAULT_LIST[f].repair].parts for f in settings)


def test_parts_of_a_contactor_drive_are_not_suspected_on_another() -> None:
    for fault in FAULT_LIST.values():
        needed = fault.part in ("contactor", "coil_lead", "sense_lead")
        assert (fault.only_if.get("drive") == ("contactor",)) == needed, fault.id


# ------------------------------------------------------------------ repairs
def test_every_repair_is_used() -> None:
    assert {f.repair for f in FAULT_LIST.values()} == set(REPAIR_LIST)


@pytest.mark.parametrize("repair", REPAIR_LIST.values(), ids=lambda r: r.id)
def test_a_repair_is_safe_and_is_proved_afterwards(repair: Repair) -> None:
    assert "panel_wake_up" in repair.verify
    assert all(TEST_LIST[t].verify_text for t in repair.verify)
    assert repair.cautions and repair.text and repair.plain and repair.source


def test_what_carries_the_motor_current_is_proved_under_load() -> None:
    parts = {
        "battery", "battery_terminal", "main_fuse", "positive_cable", "negative_cable", "contactor", "motor",
        "coupling", "gear_leg", "propeller", "tunnel",
    }  # fmt: skip
    for fault in FAULT_LIST.values():
        if fault.part in parts:
            assert "supply_voltage_under_load" in REPAIR_LIST[fault.repair].verify, fault.id


def test_what_ran_by_itself_is_powered_with_care_afterwards() -> None:
    for fault in ("contactor.welded", "contactor.both_closed", "control_unit.output_stuck",
                  "panel.output_stuck", "harness.signal_shorted", "coil_lead.shorted"):  # fmt: skip
        assert "stations_power_on" in REPAIR_LIST[FAULT_LIST[fault].repair].verify, fault
    for fault in ("isolator.stuck_closed", "isolator_command.stuck_on"):
        assert "isolator_check" in REPAIR_LIST[FAULT_LIST[fault].repair].verify, fault


# ------------------------------------------------------------------ tests
@pytest.mark.parametrize("test", TEST_LIST.values(), ids=lambda t: t.id)
@pytest.mark.parametrize("nominal", NOMINAL)
def test_every_fact_of_a_test_can_be_told(test: Test, nominal: float, words: Vocabulary) -> None:
    for fact in _facts(test):
        _accepted(fact, words, nominal)


@pytest.mark.parametrize("test", TEST_LIST.values(), ids=lambda t: t.id)
def test_a_test_can_be_read_aloud_and_answered(test: Test) -> None:
    assert test.text and test.plain and test.because and test.source
    assert all(step.text and step.plain for step in (*test.setup, *test.restore))
    assert 2 <= len(test.answers) <= (8 if test.id == "what_is_wrong" else 7)
    assert len({a.text for a in test.answers}) == len(test.answers)
    assert len({repr(a.facts) for a in test.answers}) == len(test.answers)
    assert all(a.facts for a in test.answers)


@pytest.mark.parametrize("test", TEST_LIST.values(), ids=lambda t: t.id)
def test_what_is_taken_apart_is_put_back(test: Test) -> None:
    """Whatever set-up leaves off or fitted stands reversed among the restoring steps."""
    before, after = _told(test.setup), _told(test.restore)
    removed = {value for about, what, value in after if (about, what) == ("bridge", "removed")}
    for about, what, value in before:
        if what in ("plugged", "connected", "cover_on") and value is False:
            assert (about, what, True) in after, f"{about} stays off"
        if (about, what) == ("bridge", "fitted"):
            assert removed & {value, "all"}, f"{value} stays fitted"
        if (about, what, value) == ("isolator", "locked", True):
            assert ("isolator", "locked", False) in after


@pytest.mark.parametrize("test", TEST_LIST.values(), ids=lambda t: t.id)
def test_a_run_is_asked_for_only_with_the_tunnel_clear(test: Test) -> None:
    assert set(test.warns) <= HAZARDS_OF_A_STEP
    clear = ("boat", "people_clear", True) in _told(test.setup)
    assert clear == test.runs_motor
    assert not test.runs_motor or {"people_at_tunnel", "thrust_moves_boat", "dry_run"} <= set(test.warns)
    assert not test.runs_motor or test.powered
    assert ("vapour_spark" in test.warns) == (test.powered or "vapour_spark" in test.settles)


@pytest.mark.parametrize("test", TEST_LIST.values(), ids=lambda t: t.id)
def test_set_up_makes_the_scenes_that_it_shares(test: Test) -> None:
    makes = {
        "panel_unplugged": ("panel", "plugged", False),
        "sense_lead_lifted": ("sense_lead", "plugged", False),
        "control_unit_unplugged": ("control_unit", "plugged", False),
        "harness_unplugged": ("harness", "plugged", False),
        "thermal_bridged": ("bridge", "fitted", "thermal_lead_to_motor_negative"),
        "isolator_off": ("isolator", "locked", True),
    }
    assert set(test.scenes) <= SCENES
    for scene in test.scenes:
        assert makes[scene] in _told(test.setup), scene


def test_hands_go_on_power_parts_only_when_they_are_proved_dead() -> None:
    by_hand = ("lug_check", "cable_continuity", "sense_lead_check", "coil_direct", "coil_resistance",
               "motor_output_voltage", "motor_terminal_voltage", "contact_resistance", "motor_insulation",
               "brushes_inspect", "shaft_by_hand")  # fmt: skip
    for name in by_hand:
        steps = [_told([step]) for step in TEST_LIST[name].setup]
        locked = next(i for i, s in enumerate(steps) if ("isolator", "locked", True) in s)
        assert ("supply", "proved_dead", True) in steps[locked + 1], name


def test_live_work_at_the_motor_is_marked() -> None:
    live = {t.id for t in TEST_LIST.values() if t.live}
    assert live >= {
        "signal_voltage", "coil_voltage", "coil_direct", "motor_output_voltage", "motor_terminal_voltage",
        "command_bridge", "thermal_bridge", "supply_voltage_at_rest", "supply_voltage_under_load",
    }  # fmt: skip
    assert not any(TEST_LIST[t].skill == "anyone" for t in live)
    bridges = {t.id for t in TEST_LIST.values() if ("bridge", "fitted") in {f[:2] for f in _told(t.setup)}}
    assert all(TEST_LIST[t].skill == "electrician" and TEST_LIST[t].live for t in bridges)


def test_contactor_tests_are_not_offered_on_a_speed_controller() -> None:
    for name in ("command_bridge", "signal_voltage", "coil_voltage", "coil_direct", "coil_resistance",
                 "motor_output_voltage", "motor_terminal_voltage", "contact_resistance", "contactor_drop",
                 "thermal_bridge", "sense_lead_check"):  # fmt: skip
        assert "speed_controller" in TEST_LIST[name].not_if["drive"], name
    for test in TEST_LIST.values():
        assert all(set(states) <= BOAT_STATES[q] for q, states in test.not_if.items())
        assert all(set(states) <= BOAT_STATES[q] for q, states in test.only_if.items())


def test_control_positive_is_never_joined_to_control_negative() -> None:
    for test in TEST_LIST.values():
        assert "control_positive_to_negative" not in {f["value"] for f in _facts(test)}
    assert "control_supply_bridged" in TEST_LIST["command_bridge"].warns


def test_an_answer_tells_its_set_up() -> None:
    """A picked answer stands by itself: the reading carries the set-up that its proof needs."""
    needed = {
        "command_bridge": ("panel", "plugged", False),
        "coil_direct": ("sense_lead", "plugged", False),
        "thermal_bridge": ("thermal_switch", "plugged", False),
    }
    for name, told in needed.items():
        for answer in TEST_LIST[name].answers:
            assert told in _told([answer]), name
    for name in ("motor_output_voltage", "motor_terminal_voltage"):
        for answer in TEST_LIST[name].answers:
            fed = [f for f in answer.facts if any("energised" in w for w in f.get("while", ()))]
            assert fed and all("sense_lead_lifted" in f["while"] for f in fed), name
