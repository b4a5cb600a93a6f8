"""No part is called for on one reading: it is taken again, or another test says the same."""

from __future__ import annotations

from typing import Any

from session.talking import answer, cannot, described, f, session, tell

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
