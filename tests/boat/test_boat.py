"""The simulated boat, as the person on board meets her."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import pytest
import yaml

from assistant.boat import bench, faults
from assistant.boat.boat import Boat
from assistant.boat.data import boat_data
from assistant.boat.spec import draw_spec, fleet

Facts = list[dict[str, Any]]
RULES = Path(__file__).parents[2] / "rules"
SHARED = Path(__file__).parents[3] / "shared" / "vocabulary.yaml"


def _boat(*present: str, number: int = 0, seed: int = 1, perfect: bool = True) -> Boat:
    return Boat(fleet()[number], present, seed, perfect_meter=perfect)


def _suitable(fault: str, turn: int = 0) -> int:
    order = [(n + turn) % len(fleet()) for n in range(len(fleet()))]
    return next(n for n in order if faults.possible(fault, fleet()[n]))


def _value(told: Facts, about: str, what: str, *while_: str) -> Any:
    found = [
        f["value"] for f in told if (f["about"], f["what"]) == (about, what) and set(while_) <= set(f.get("while", ()))
    ]
    assert found, (about, what, while_, told)
    return found[0]


# ---------------------------------------------------------------- the words


def test_every_fault_and_test_of_the_rule_base_is_on_board() -> None:
    known = yaml.safe_load((RULES / "faults.yaml").read_text(encoding="utf-8"))["faults"]
    assert set(known) <= set(faults.known_faults())
    tests = yaml.safe_load((RULES / "tests.yaml").read_text(encoding="utf-8"))["tests"]
    by_hand = {"what_is_wrong", "space_check"}  # questions to the owner, no work on the boat
    assert set(tests) - set(bench.tests()) <= by_hand, "say in rules/boat.yaml how it is done on the boat"
    if SHARED.exists():
        words = yaml.safe_load(SHARED.read_text(encoding="utf-8"))
        assert set(words["faults"]) <= set(faults.known_faults())
        assert set(words["tests"]) <= set(bench.tests())


@cache
def _words() -> tuple[set[str], dict[str, Any], set[str]]:
    parts = yaml.safe_load((RULES / "parts.yaml").read_text(encoding="utf-8"))["parts"]
    seen = yaml.safe_load((RULES / "observations.yaml").read_text(encoding="utf-8"))
    return set(parts) | {f"panel_{n}" for n in (1, 2, 3)}, seen["attributes"], set(seen["circumstances"])


def _check_words(told: Facts) -> None:
    parts, attributes, circumstances = _words()
    for fact in told:
        assert set(fact) <= {"about", "what", "value", "while"}
        assert fact["about"] in parts and fact["what"] in attributes, fact
        assert set(fact.get("while", ())) <= circumstances, fact
        kind = attributes[fact["what"]]
        if "choice" in kind:
            assert fact["value"] in [str(choice) for choice in kind["choice"]], fact
        elif "flag" in kind:
            assert isinstance(fact["value"], bool), fact
        else:
            assert isinstance(fact["value"], int | float) and not isinstance(fact["value"], bool), fact


@pytest.mark.parametrize("fault", faults.known_faults())
def test_every_fault_answers_tests_in_the_words_of_the_vocabulary(fault: str) -> None:
    place = list(faults.known_faults()).index(fault)
    spec = fleet()[_suitable(fault, place)]
    _check_words(Boat(spec, [fault], place).complaint() + Boat(spec, [fault], place).describe())
    boat = Boat(spec, [fault], place)
    for test in bench.tests()[place % 2 :: 2]:  # every second one, and the others on the next fault
        if bench.possible(boat, test):
            told = boat.answer(test)
            assert told, test
            _check_words(told)
    _check_words(boat.restore())


@pytest.mark.parametrize("seed", range(40))
def test_two_faults_at_once(seed: int) -> None:
    chance = Random(seed)
    spec = draw_spec(chance)
    pair = chance.sample([f for f in faults.known_faults() if faults.possible(f, spec)], 2)
    boat = Boat(spec, pair, seed)
    told = boat.complaint()
    for test in chance.sample([t for t in bench.tests() if bench.possible(boat, t)], 6):
        told += boat.answer(test)
    _check_words(told)
    assert {json.dumps(f) for f in told}


# ---------------------------------------------------------------- a sound boat


@pytest.mark.parametrize("number", range(len(fleet())))
def test_a_sound_boat_shows_nothing_wrong(number: int) -> None:
    boat = _boat(number=number, seed=number)
    told = boat.complaint()
    assert _value(told, "thruster", "runs") == "both"
    assert _value(told, "thruster", "thrust") == "normal"
    assert _value(told, "panel", "lights") is True
    assert not [f for f in told if f["what"] in ("noise", "direction", "runs_by_itself", "switches_off_by_itself")]
    volts = boat.spec.nominal_voltage
    under_load = _value(boat.answer("supply_voltage_under_load"), "supply", "voltage")
    assert 0.85 * volts < under_load < _value(boat.answer("supply_voltage_at_rest"), "supply", "voltage") < 1.15 * volts
    current = _value(boat.answer("motor_current"), "motor", "current")
    assert current == pytest.approx(boat.spec.rated_current, rel=0.3)
    for test, about, what, sound in [
        ("command_bridge", "contactor", "clicks", True),
        ("coil_direct", "port_coil", "clicks", True),
        ("thermal_bridge", "thruster", "runs", "both"),
        ("contact_resistance", "contactor", "continuity", False),
        ("thermal_continuity", "thermal_switch", "continuity", True),
        ("all_unplugged_power_on", "thruster", "runs_by_itself", "no"),
        ("control_unit_power_on", "thruster", "runs_by_itself", "no"),
        ("stations_power_on", "panel_1", "runs_by_itself", "no"),
    ]:
        assert _value(boat.answer(test), about, what) == sound, test
    assert not boat.faults()


def test_losses_add_up_along_the_path() -> None:
    boat = _boat()
    positive = _value(boat.answer("cable_drop_positive"), "positive_cable", "drop")
    negative = _value(boat.answer("cable_drop_negative"), "negative_cable", "drop")
    battery = _value(boat.answer("battery_voltage_under_load"), "battery", "voltage")
    studs = _value(boat.answer("supply_voltage_under_load"), "supply", "voltage")
    assert battery - studs == pytest.approx(positive + negative, abs=0.03)


# ---------------------------------------------------------------- what each fault must look like

# fault, boat, test, about, what, circumstance, value: from the trade's own description of each test
NOTHING = pytest.approx(0, abs=0.2)
ALIVE = pytest.approx(12.2, abs=1.2)
NO_AMPS = pytest.approx(0, abs=5)
TURNED = "coil_energised_starboard"
FED = "coil_energised_port"
LOOKS: list[tuple[str, int, str, str, str, str, Any]] = [
    ("main_fuse.blown", 0, "fuse_check", "main_fuse", "blown", "", True),
    ("main_fuse.blown", 0, "supply_voltage_at_rest", "supply", "voltage", "at_rest", NOTHING),
    ("isolator.failed_open", 1, "isolator_check", "isolator", "continuity", "isolator_on", False),
    ("isolator.failed_open", 1, "isolator_command_check", "isolator", "clicks", "isolator_on", True),
    ("isolator_command.failed", 1, "isolator_command_check", "isolator_command", "voltage", "", NOTHING),
    ("isolator.stuck_closed", 0, "isolator_check", "isolator", "continuity", "isolator_off", True),
    ("isolator.left_off", 0, "isolator_check", "isolator", "position", "", "off"),
    ("negative_cable.open", 0, "supply_voltage_at_rest", "supply", "voltage", "", NOTHING),
    ("control_fuse.blown", 0, "fuse_check", "control_fuse", "blown", "", True),
    ("control_fuse.blown", 0, "panel_lead_voltage", "panel_lead", "voltage", "", NOTHING),
    ("panel.dead", 0, "panel_lead_voltage", "panel_lead", "voltage", "", ALIVE),
    ("panel.dead", 0, "panel_wake_up", "panel", "lights", "", False),
    ("panel.dead", 1, "try_other_station", "panel_2", "runs", "", "both"),
    ("panel.dead", 0, "command_bridge", "thruster", "runs", "command_bridged_port", "port_only"),
    ("panel.not_switched_on", 0, "panel_wake_up", "panel", "lights", "", True),
    ("panel.port_output_dead", 0, "signal_voltage", "port_signal", "voltage", "", NOTHING),
    ("harness.port_signal_open", 0, "command_bridge", "thruster", "runs", "command_bridged_port", "none"),
    ("control_unit.dead", 0, "signal_voltage", "port_signal", "voltage", "", ALIVE),
    ("control_unit.dead", 0, "coil_voltage", "port_coil", "voltage", "", NOTHING),
    ("control_unit.dead", 0, "coil_direct", "thruster", "runs", FED, "port_only"),
    ("coil_lead.port_open", 0, "coil_voltage", "port_coil_lead", "continuity", "isolator_off", False),
    ("contactor.port_coil_open", 0, "coil_resistance", "port_coil", "continuity", "", False),
    ("contactor.port_coil_open", 0, "coil_voltage", "port_coil", "voltage", "", ALIVE),
    ("contactor.port_coil_open", 0, "coil_direct", "port_coil", "clicks", "", False),
    ("contactor.no_output", 0, "motor_output_voltage", "motor_output", "voltage", "", NOTHING),
    ("contactor.no_output", 0, "motor_output_voltage", "port_coil", "clicks", "", True),
    ("contactor.port_contact_open", 0, "coil_direct", "thruster", "runs", TURNED, "starboard_only"),
    ("contactor.welded", 0, "contact_resistance", "contactor", "continuity", "", True),
    ("contactor.welded", 0, "all_unplugged_power_on", "thruster", "runs_by_itself", "", "at_power_on"),
    ("control_unit.output_stuck", 0, "all_unplugged_power_on", "thruster", "runs_by_itself", "", "no"),
    ("control_unit.output_stuck", 0, "control_unit_power_on", "thruster", "runs_by_itself", "",
     "at_power_on"),
    ("harness.signal_shorted", 1, "stations_power_on", "harness", "runs_by_itself", "", "at_power_on"),
    ("panel.output_stuck", 1, "stations_power_on", "panel_1", "runs_by_itself", "", "at_power_on"),
    ("panel.output_stuck", 1, "stations_power_on", "panel_2", "runs_by_itself", "", "no"),
    ("motor.open_circuit", 0, "motor_terminal_voltage", "motor", "current", "", NO_AMPS),
    ("motor.seized", 0, "shaft_by_hand", "motor", "turns_by_hand", "", False),
    ("motor.earthed", 0, "motor_insulation", "motor", "insulation", "", NOTHING),
    ("motor.one_field_open", 0, "motor_output_voltage", "motor_output", "voltage", FED, ALIVE),
    ("contactor.return_contact_open", 1, "motor_terminal_voltage", "motor_terminals", "voltage",
     TURNED, NOTHING),
    ("thermal_switch.failed_open", 0, "thermal_continuity", "thermal_switch", "continuity",
     "motor_cold", False),
    ("thermal_switch.failed_open", 0, "thermal_bridge", "thruster", "runs", "thermal_bridged", "both"),
    ("thermal_switch.tripped_hot", 0, "thermal_continuity", "thermal_switch", "continuity",
     "motor_hot", False),
    ("sense_lead.open", 0, "coil_direct", "thruster", "runs", FED, "port_only"),
    ("coupling.broken", 0, "shaft_by_hand", "coupling", "damaged", "", True),
    ("propeller.fouled", 0, "tunnel_inspect", "propeller", "fouled", "", True),
    ("splitter.failed", 1, "panel_wake_up", "thruster", "runs", "", "both"),
]  # fmt: skip


@pytest.mark.parametrize(("fault", "number", "test", "about", "what", "circumstance", "value"), LOOKS)
def test_a_fault_looks_as_the_trade_knows_it(
    fault: str, number: int, test: str, about: str, what: str, circumstance: str, value: Any
) -> None:
    boat = _boat(fault, number=number)
    told = boat.answer(test)
    assert _value(told, about, what, *([circumstance] if circumstance else [])) == value


@pytest.mark.parametrize("fault", [f for f in faults.known_faults() if f.endswith(".poor_contact")])
def test_a_poor_contact_costs_voltage_under_load_only(fault: str) -> None:
    if fault.startswith(("harness", "contactor")):
        return
    sound, poor = _boat(seed=5), _boat(fault, seed=5)
    for test, about in (("supply_voltage_at_rest", "supply"), ("supply_voltage_under_load", "supply")):
        volts = [_value(boat.answer(test), about, "voltage") for boat in (sound, poor)]
        lost = volts[0] - volts[1]
        assert lost == pytest.approx(0, abs=0.02) if test.endswith("rest") else lost > 0.5


def test_poor_contact_on_one_side_shows_on_that_side() -> None:
    boat, sound = _boat("negative_cable.poor_contact", seed=2), _boat(seed=2)
    for name, worse in (("positive", False), ("negative", True)):
        drops = [_value(b.answer(f"cable_drop_{name}"), f"{name}_cable", "drop") for b in (sound, boat)]
        amps = [_value(b.answer(f"cable_drop_{name}"), "motor", "current") for b in (sound, boat)]
        ohms = [d / a for d, a in zip(drops, amps, strict=True)]
        assert (ohms[1] > 1.3 * ohms[0]) is worse


def test_a_stuck_command_looks_dead_where_the_unit_refuses_it_and_runs_where_it_does_not() -> None:
    refusing = _boat("panel.output_stuck", number=0).complaint()
    assert _value(refusing, "thruster", "runs") == "none"
    willing = _boat("panel.output_stuck", number=1).complaint()
    assert _value(willing, "thruster", "runs_by_itself") == "at_power_on"
    assert _value(willing, "isolator", "position") == "off"


# ---------------------------------------------------------------- actions and their consequences


def test_control_positive_to_negative_destroys_the_control_unit() -> None:
    boat = _boat()
    boat.bridge("control_positive_to_negative")
    assert {"control_unit.dead", "control_fuse.blown"} <= set(boat.faults())
    boat.repair("control_fuse")
    assert _value(boat.answer("coil_voltage"), "port_coil", "voltage") == NOTHING


def test_the_same_bridge_with_the_power_off_destroys_nothing() -> None:
    boat = _boat()
    boat.power_off()
    boat.bridge("control_positive_to_negative")
    assert not boat.faults()


def test_long_runs_heat_the_motor_until_the_thermal_switch_stops_it_and_a_rest_brings_it_back() -> None:
    boat = _boat("propeller.fouled", perfect=True)
    while not boat.state.thermal_open:
        boat.run((1, "port"), 30)
    assert boat.state.thermal_open and boat.run_seconds > 30
    assert _value(boat.answer("motor_temperature", 0), "motor", "hot") is True
    assert _value(boat.answer("panel_wake_up", 0), "thruster", "runs") == "none"
    boat.wait(7200)
    assert _value(boat.answer("panel_wake_up"), "thruster", "runs") == "both"


def test_a_run_that_is_kept_up_ends_when_the_thermal_switch_opens() -> None:
    fouled, sound = _boat("propeller.fouled"), _boat()
    assert _value(sound.long_run((1, "port"), 30), "thruster", "ran_for") == 30
    told = fouled.long_run((1, "port"), 900)
    assert 10 < _value(told, "thruster", "stops_after") < 900 and fouled.state.thermal_open


def test_a_meter_can_be_put_anywhere() -> None:
    boat = _boat("negative_cable.open", perfect=True)
    assert boat.read_volts("stud_pos", "bat_neg") == ALIVE
    assert boat.read_volts("bat_pos", "stud_neg") == NOTHING
    assert boat.read_volts("@output_port", "stud_neg") == NOTHING


def test_a_tripped_thermal_switch_closes_by_itself() -> None:
    boat = _boat("thermal_switch.tripped_hot")
    assert _value(boat.complaint(), "thruster", "runs") == "none"
    boat.wait(3600)
    assert _value(boat.complaint(), "thruster", "runs") == "both" and not boat.faults()


def test_a_thermal_switch_that_never_opens_does_not_protect() -> None:
    boat = _boat("thermal_switch.failed_closed", "propeller.fouled")
    for _ in range(12):
        boat.run((1, "port"), 30)
    assert _value(boat.complaint(), "thruster", "runs") == "both"


def test_a_seized_motor_blows_the_fuse_when_it_is_held_on() -> None:
    boat = _boat("motor.seized")
    assert "main_fuse.blown" not in boat.faults()
    boat.run((1, "port"), 60)
    assert "main_fuse.blown" in boat.faults()
    boat.repair("main_fuse")
    assert boat.faults() == ("motor.seized",)


@pytest.mark.parametrize("fault", ["panel.dead", "main_fuse.blown", "motor.open_circuit", "contactor.no_output"])
def test_a_repair_brings_it_back(fault: str) -> None:
    boat = _boat(fault)
    assert _value(boat.complaint(), "thruster", "runs") == "none"
    boat.repair(fault.partition(".")[0])
    assert _value(boat.complaint(), "thruster", "runs") == "both"


def test_replacing_a_good_part_changes_nothing() -> None:
    boat = _boat("control_unit.dead")
    boat.repair("panel")
    assert _value(boat.complaint(), "thruster", "runs") == "none"


def test_an_isolator_left_off_is_cured_by_switching_it_on() -> None:
    boat = _boat("isolator.left_off")
    assert _value(boat.complaint(), "thruster", "runs") == "none"
    boat.power_on()
    assert _value(boat.complaint(), "thruster", "runs") == "both" and not boat.faults()


def test_set_up_is_told_and_put_back() -> None:
    boat = _boat()
    told = boat.answer("coil_direct")
    assert _value(told, "panel", "plugged") is False and _value(told, "sense_lead", "plugged") is False
    assert [f["value"] for f in told if f["what"] == "fitted"] == [f["value"] for f in told if f["what"] == "removed"]
    back = boat.restore()
    assert _value(back, "panel", "plugged") is True and _value(back, "sense_lead", "plugged") is True
    assert _value(back[::-1], "isolator", "position") == "on" and all(boat.state.plugged.values())


def test_bridges_are_named_by_the_side_the_coils_are_switched_on() -> None:
    for number, word in ((0, "motor_negative_to_port_coil"), (2, "motor_positive_to_port_coil")):
        assert _value(_boat(number=number).answer("coil_direct"), "bridge", "fitted") == word


@pytest.mark.parametrize(
    "mistake",
    [
        lambda boat: boat.plug("wheelhouse", False),
        lambda boat: boat.bridge("hull_to_mast"),
        lambda boat: boat.answer("kick_it"),
        lambda boat: boat.answer("try_other_station"),
        lambda boat: Boat(boat.spec, ["isolator_command.failed"]),
        lambda boat: Boat(boat.spec, ["bilge.wet"]),
    ],
)
def test_what_cannot_be_done_is_refused_in_a_sentence(mistake: Any) -> None:
    with pytest.raises(ValueError, match=r".{10,}\.$"):
        mistake(_boat())


# ---------------------------------------------------------------- chance, and the lack of it


def test_meter_errors_stay_within_their_limits_and_differ_from_boat_to_boat() -> None:
    shown = []
    for seed in range(60):
        exact, read = (Boat(fleet()[0], (), seed, perfect_meter=p) for p in (True, False))
        pair = [_value(b.answer("supply_voltage_at_rest"), "supply", "voltage") for b in (exact, read)]
        shown.append(pair[1] - pair[0])
        assert abs(shown[-1]) <= 0.005 * pair[0] + 0.031
    assert len({round(value, 2) for value in shown}) > 5


STORY = """
import json
from assistant.boat.boat import Boat
from assistant.boat.spec import fleet
for number, fault in ((0, "motor.poor_brushes"), (1, "harness.poor_contact"), (2, "contactor.poor_contact")):
    boat = Boat(fleet()[number], [fault], 11)
    told = [boat.complaint(), boat.answer("command_bridge"), boat.answer("supply_voltage_under_load")]
    print(json.dumps(told))
"""


def test_the_same_seed_tells_the_same_story_whatever_the_hash_seed() -> None:
    told = [
        subprocess.run(
            [sys.executable, "-c", STORY],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
            cwd=RULES.parent,
        ).stdout
        for seed in ("0", "4711")
    ]
    assert told[0] == told[1] and told[0]


def test_every_form_of_every_fault_changes_something() -> None:
    for fault, entry in boat_data()["faults"].items():
        assert entry["ways"], fault
        for form in entry["ways"]:
            assert set(form) - {"for"}, fault
