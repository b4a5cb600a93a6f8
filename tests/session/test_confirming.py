"""No part is called for on one reading: it is taken again, or another test says the same."""

from __future__ import annotations

from typing import Any

from session.talking import answer, cannot, described, f, session, tell

from assistant.knowledge import load

DEAD = (f("panel.lights", True), f("thruster.runs", "none"), f("contactor.clicks", False))
COLD = (f("isolator.position", "off"), f("motor.hot", False), f("thermal_switch.plugged", False))
OPEN = f("thermal_switch.continuity", False, "isolator_off", "motor_cold")
CLOSED = f("thermal_switch.continuity", True, "isolator_off", "motor_cold")
PART = "thermal switch"


def once_read() -> tuple[Any, dict[str, Any]]:
    s = session()
    tell(s, *described(), *DEAD)
    return s, tell(s, *COLD, OPEN)


def test_one_reading_proves_and_calls_for_no_part() -> None:
    _, out = once_read()
    assert out["verdict"]["faults"] == ["thermal_switch.failed_open"]
    assert out["verdict"]["parts"] == []
    assert out["next"]["test"] == "thermal_continuity" and "One reading" in out["next"]["why"]
    assert "Repair:" not in out["reply"] and "one reading" in out["reply"]


def test_read_again_with_the_same_result_the_part_is_called_for() -> None:
    s, _ = once_read()
    out = answer(s, "thermal_continuity", OPEN)
    assert any(PART in p for p in out["verdict"]["parts"])
    assert "Repair:" in out["reply"] and out["next"]["test"] in out["verdict"]["verify"]


def test_what_was_taken_off_goes_back_before_the_run_that_verifies() -> None:
    s, _ = once_read()
    answer(s, "thermal_continuity", OPEN)
    out = tell(s, f("thermal_switch.replaced", True), f("sense_lead.plugged", False), f("panel.plugged", False))
    assert out["next"]["test"] == "thruster_sound"
    first = " ".join(out["next"]["setup"][:2])
    assert "put the sense lead back" in first and "plug in again what was taken off" in first
    assert "put the sense lead back" in out["reply"]
    out = tell(s, f("sense_lead.plugged", True), f("panel.plugged", True))
    assert out["next"]["test"] == "thruster_sound"
    assert "back on its stud" not in out["reply"] and "what was taken off" not in out["reply"]


def test_read_again_with_another_result_nothing_is_left_of_it() -> None:
    s, _ = once_read()
    out = answer(s, "thermal_continuity", CLOSED)
    assert out["verdict"] is None
    assert out["conflicts"] and out["next"]["test"] == out["conflicts"][0]["settle"]
    out = answer(s, out["next"]["test"], CLOSED)
    assert out["verdict"] is None
    assert next(x["state"] for x in out["suspects"] if x["fault"] == "thermal_switch.failed_open") == "ruled_out"


def test_who_cannot_read_it_again_is_not_held_up() -> None:
    s, _ = once_read()
    out = cannot(s, "thermal_continuity")
    assert any(PART in p for p in out["verdict"]["parts"])


def test_a_part_already_changed_is_not_asked_for_again() -> None:
    s, _ = once_read()
    out = tell(s, f("thermal_switch.replaced", True))
    assert out["verdict"]["faults"] == ["thermal_switch.failed_open"]
    assert out["next"]["test"] in out["verdict"]["verify"]
    assert any(PART in p for p in out["verdict"]["parts"])


def test_a_mere_setting_needs_no_second_look() -> None:
    s = session()
    tell(s, *described(), f("panel.lights", False), f("thruster.runs", "none"))
    out = tell(s, f("panel.locked", True))
    assert out["verdict"]["faults"] == ["panel.not_switched_on"]
    assert "one reading" not in out["reply"]


def test_a_good_reading_on_which_a_dear_part_hangs_is_read_again_too() -> None:
    s = session()
    tell(s, *described(), *DEAD)
    asked = [
        f("port_signal.voltage", 12.3, "port_commanded"), f("starboard_signal.voltage", 12.3, "starboard_commanded"),
        f("port_signal.voltage", 0.0, "at_rest"), f("starboard_signal.voltage", 0.0, "at_rest"),
        f("control_unit.voltage", 12.3, "port_commanded"),
        f("port_coil.voltage", 0.0, "port_commanded"), f("starboard_coil.voltage", 0.0, "starboard_commanded"),
    ]  # fmt: skip
    tell(s, *asked)
    tell(s, *COLD, CLOSED)
    tell(s, f("sense_lead.plugged", False), f("sense_lead.continuity", True, "isolator_off"))
    out = tell(s, f("contactor.continuity", False, "at_rest", "isolator_off"))
    assert out["verdict"]["faults"] == ["control_unit.dead"]
    again = set()
    for _ in range(6):
        if out["verdict"]["parts"]:
            break
        test = out["next"]["test"]
        again.add(test)
        said = {
            "thermal_continuity": [CLOSED],
            "sense_lead_check": [f("sense_lead.continuity", True, "isolator_off")],
            "contact_resistance": [f("contactor.continuity", False, "at_rest", "isolator_off")],
            "coil_voltage": asked[-2:],
        }[test]
        out = answer(s, test, *said)
    assert out["verdict"]["parts"]
    assert "thermal_continuity" in again and "sense_lead_check" in again


def test_before_an_honest_end_a_reading_that_alone_excludes_a_cause_is_taken_again() -> None:
    s = session()
    tell(s, *described(), *DEAD)
    out = tell(s, f("sense_lead.plugged", False), f("sense_lead.continuity", True, "isolator_off"))
    for _ in range(60):
        if out["next"] is None or "innocence" in out["next"]["why"]:
            break
        out = cannot(s, out["next"]["test"])
    assert out["next"] is not None and "sense lead" in out["next"]["why"]
    out = answer(s, out["next"]["test"], f("sense_lead.continuity", False, "isolator_off"))
    assert out["conflicts"], "two readings of one lead that differ"


LOOSE, TIGHT = f("battery_terminal.loose", True), f("battery_terminal.loose", False)


def test_a_look_that_two_later_ones_contradict_is_outvoted() -> None:
    s = session()
    tell(s, *described(), f("thruster.runs", "both"), f("thruster.thrust", "weak"))
    tell(s, LOOSE)
    out = answer(s, "lug_check", TIGHT)
    assert out["conflicts"]
    out = answer(s, "lug_check", TIGHT)
    assert not out["conflicts"]
    assert next(x["state"] for x in out["suspects"] if x["fault"] == "battery_terminal.poor_contact") != "proved"
    assert out["verdict"] is None


def test_the_first_of_two_looks_is_not_outvoted_by_work_on_the_part() -> None:
    s = session()
    tell(s, *described(), f("thruster.runs", "both"), f("thruster.thrust", "weak"))
    out = tell(s, LOOSE)
    before = out["verdict"]
    tell(s, f("battery_terminal.repaired", True))
    tell(s, TIGHT)
    out = tell(s, TIGHT)
    assert not out["conflicts"]
    assert (out["verdict"] or {"faults": []})["faults"] == (before or {"faults": []})["faults"]


CHARGED = f("battery.voltage", 12.7, "at_rest")
WHOLE = (f("main_fuse.continuity", True, "isolator_off"), f("main_fuse.blown", False))


def test_a_part_waits_while_the_reading_cannot_be_taken_again_yet() -> None:
    """The fuse has blown again, so the power stays off: the clamp that was read once in that run has to wait."""
    s = session()
    tell(s, *described(), f("thruster.runs", "none"), f("isolator.position", "off"))
    blown = (f("main_fuse.continuity", False, "isolator_off"), f("main_fuse.blown", True))
    answer(s, "fuse_check", *blown)
    answer(s, "fuse_check", *blown)
    tell(s, f("main_fuse.replaced", True))
    tell(s, f("isolator.position", "on"), f("thruster.runs", "port_only"))
    out = tell(
        s, f("battery_terminal.drop", 5.0, "under_load"), f("main_fuse.drop", 12.5, "under_load"),
        f("motor.current", 0, "under_load"), f("thruster.runs", "none", "under_load"),
    )  # fmt: skip
    assert {"main_fuse.blown", "battery_terminal.poor_contact"} <= set(out["verdict"]["faults"])
    assert not [p for p in out["verdict"]["parts"] if "clamp" in p or "terminal" in p]
    assert out["next"] is not None and not load().tests[out["next"]["test"]].powered


def test_a_unit_is_not_condemned_while_something_holds_it_off() -> None:
    signals = [
        f("port_signal.voltage", 12.3, "port_commanded"), f("starboard_signal.voltage", 12.3, "starboard_commanded"),
        f("control_unit.voltage", 12.3, "port_commanded"),
        f("port_coil.voltage", 12.3, "port_commanded"), f("starboard_coil.voltage", 0.0, "starboard_commanded"),
        f("starboard_coil_lead.continuity", True, "isolator_off"),
    ]  # fmt: skip
    quiet = [f("port_signal.voltage", 0.0, "at_rest"), f("starboard_signal.voltage", 0.0, "at_rest")]
    standing = [f("port_signal.voltage", 12.3, "at_rest"), f("starboard_signal.voltage", 0.0, "at_rest")]
    unit = "control_unit.starboard_drive_dead"
    for rest, proved in ((quiet, True), (standing, False)):
        s = session()
        tell(s, *described(), *DEAD)
        out = tell(s, *signals, *rest)
        assert (out["verdict"] is not None and unit in out["verdict"]["faults"]) is proved


def test_a_loss_is_judged_by_the_current_of_its_own_line() -> None:
    """The run after it failed and drew nothing: that current says nothing of the joints read before."""
    s = session()
    tell(s, *described(), f("thruster.runs", "starboard_only"))
    tell(s, f("battery_terminal.drop", 0.008, "under_load"), f("motor.current", 246, "under_load"))
    out = tell(s, f("motor.current", 2, "under_load"), f("thruster.runs", "none", "under_load"))
    assert out["verdict"] is None or "battery_terminal.poor_contact" not in out["verdict"]["faults"]


def test_a_signal_that_stands_at_rest_acquits_no_panel() -> None:
    there = f("port_signal.voltage", 12.3, "port_commanded")
    for rest, state in ((0.0, "ruled_out"), (12.3, "open")):
        s = session()
        tell(s, *described(), *DEAD)
        out = tell(s, there, f("port_signal.voltage", rest, "at_rest"))
        assert next(x["state"] for x in out["suspects"] if x["fault"] == "panel.dead") == state


def test_a_fuse_found_whole_before_a_stalled_run_is_looked_at_again_before_a_cable_is_condemned() -> None:
    s = session()
    tell(s, *described(), f("panel.lights", False), f("thruster.runs", "none"), f("isolator.position", "on"))
    answer(s, "fuse_check", f("isolator.position", "off"), *WHOLE)
    continuity = [f("isolator.continuity", True, "isolator_on")]
    answer(s, "isolator_check", f("isolator.position", "on"), *continuity)
    answer(s, "thruster_sound", f("thruster.runs", "none"), f("thruster.noise", "hum"))
    answer(s, "isolator_check", f("isolator.position", "on"), *continuity)
    poles = [f("positive_cable.voltage", 0.0, "at_rest"), f("negative_cable.voltage", 12.6, "at_rest")]
    out = answer(s, "pole_check", *poles)
    assert out["verdict"] and out["verdict"]["faults"] == ["positive_cable.open"]
    seen = []
    for _ in range(6):
        assert out["verdict"] is None or not out["verdict"]["parts"]
        seen.append(out["next"]["test"])
        if seen[-1] == "fuse_check":
            break
        out = answer(s, seen[-1], *(poles if seen[-1] == "pole_check" else continuity))
    assert seen[-1] == "fuse_check"
