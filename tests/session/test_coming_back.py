"""A fault that comes back after its repair has a cause, which is found before another part is spent."""

from __future__ import annotations

from typing import Any

from session.talking import answer, cannot, described, f, session, tell

BLOWN = (f("isolator.position", "off"), f("main_fuse.blown", True), f("main_fuse.continuity", False, "isolator_off"))


def blown_again() -> tuple[Any, dict[str, Any]]:
    s = session()
    tell(s, *described(), f("panel.lights", False), f("thruster.runs", "none"))
    tell(s, *BLOWN)
    out = tell(s, f("main_fuse.replaced", True))
    assert out["verdict"]["faults"] == ["main_fuse.blown"]
    tell(s, f("isolator.position", "on"), f("panel.lights", True), f("thruster.runs", "none"))
    return s, tell(s, *BLOWN)


def share(out: dict[str, Any], fault: str) -> float:
    return next(float(x["probability"]) for x in out["suspects"] if x["fault"] == fault)


def test_a_fuse_that_blows_again_points_to_what_blows_fuses() -> None:
    s, out = blown_again()
    assert not out["conflicts"], "it lit before the run that blew the fuse"
    open_ones = [x["fault"] for x in out["suspects"] if x["state"] == "open"]
    brings = {x for x, fault in s.knowledge.faults.items() if "main_fuse.blown" in fault.leads_to}
    assert {"motor.earthed", "motor.short_circuit", "motor.seized", "main_fuse.wrong"} <= brings
    assert set(open_ones[: len(brings)]) == brings
    assert "came back" in out["reply"]
    assert out["may_close"] is not True


def test_nothing_is_run_and_no_live_step_is_asked_for_until_the_cause_is_found() -> None:
    s, out = blown_again()
    tests = s.knowledge.tests
    asked = 0
    while out["next"] and asked < 12:
        test = tests[out["next"]["test"]]
        assert not (test.runs_motor or test.live or test.powered), test.id
        out = cannot(s, test.id)
        asked += 1
    assert asked > 2


def test_the_cause_is_proved_and_both_are_put_right() -> None:
    s, _ = blown_again()
    out = tell(s, f("motor.turns_by_hand", False), f("coupling.damaged", False), f("propeller.turns_by_hand", True))
    assert "motor.seized" in out["verdict"]["faults"] and "main_fuse.blown" in out["verdict"]["faults"]
    tell(s, f("motor.replaced", True))
    out = tell(s, f("main_fuse.replaced", True))
    assert "came back" not in out["reply"]
    out = tell(
        s, f("isolator.position", "on"), f("panel.lights", True), f("thruster.runs", "both"),
        f("thruster.thrust", "normal"), f("supply.voltage", 11.2, "under_load"), f("motor.current", 250, "under_load"),
    )  # fmt: skip
    assert out["verdict"] is None and out["may_close"] is True


def test_the_first_trial_after_a_repair_asks_for_push_and_direction_too() -> None:
    s = session()
    tell(s, *described(), f("panel.lights", False), f("thruster.runs", "none"))
    tell(s, *BLOWN)
    out = tell(s, f("main_fuse.replaced", True))
    assert out["next"]["test"] in out["verdict"]["verify"]
    answers = {(x["about"], x["what"]) for a in out["next"]["answers"] for x in a["facts"]}
    assert {("thruster", "runs"), ("thruster", "thrust"), ("thruster", "direction")} <= answers
    out = answer(s, out["next"]["test"], f("thruster.runs", "both"), f("thruster.thrust", "none"))
    assert out["verdict"] is not None, "what it was repaired for works again, and something else does not"
    assert out["next"] is not None and "unexplained" in " ".join(out["may_close"])


def test_one_station_that_starts_it_is_enough_whatever_the_last_one_did() -> None:
    s = session()
    tell(s, *described("boat.stations"), f("boat.stations", 3), f("thruster.runs_by_itself", "at_power_on"))
    tell(s, f("isolator.position", "off"), f("isolator.locked", True))
    out = tell(
        s, f("panel.plugged", False), f("harness.runs_by_itself", "no", "panel_unplugged"),
        f("panel_1.plugged", True), f("panel_1.runs_by_itself", "at_power_on"), f("panel_1.plugged", False),
        f("panel_2.plugged", True), f("panel_2.runs_by_itself", "no"), f("panel_2.plugged", False),
        f("panel_3.plugged", True), f("panel_3.runs_by_itself", "no"), f("isolator.position", "off"),
    )  # fmt: skip
    assert out["verdict"] and out["verdict"]["faults"] == ["panel.output_stuck"]


def test_a_signal_that_stands_although_nobody_asks_is_followed_up() -> None:
    s = session()
    tell(s, *described(), f("panel.lights", True), f("thruster.runs", "none"), f("contactor.clicks", False))
    stands = [
        f("port_signal.voltage", 12.4, "port_commanded"), f("starboard_signal.voltage", 12.4, "starboard_commanded"),
        f("port_signal.voltage", 0.0, "at_rest"), f("starboard_signal.voltage", 12.4, "at_rest"),
    ]  # fmt: skip
    tell(s, *stands)
    out = tell(
        s, f("panel.plugged", False), f("port_signal.voltage", 0.0, "panel_unplugged"),
        f("starboard_signal.voltage", 0.0, "panel_unplugged"),
    )  # fmt: skip
    assert out["verdict"]["faults"] == ["panel.output_stuck"]
    out = tell(s, f("harness.insulation", 0.0, "isolator_off"))
    assert "harness.signal_shorted" in out["verdict"]["faults"]
