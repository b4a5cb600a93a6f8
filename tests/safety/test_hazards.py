"""Every hazard raised and cleared; the stop; closing and handing over."""

from __future__ import annotations

from typing import Any

import pytest
from session.talking import AT, answer, cannot, described, f, hazard, hazards, look, proved, session, tell

from assistant.knowledge import load

VOCABULARY = {
    "thruster_may_start": "danger",
    "runs_uncontrolled": "danger",
    "keeps_running": "danger",
    "cannot_isolate": "danger",
    "people_at_tunnel": "danger",
    "vapour_spark": "danger",
    "smoke": "danger",
    "control_supply_bridged": "warning",
    "overspeed_unloaded": "warning",
    "thermal_protection_off": "warning",
    "bridge_in_place": "warning",
    "sense_lead_off": "warning",
    "connector_off": "caution",
    "unfused_cable": "warning",
    "hot_joint": "warning",
    "battery_short": "warning",
    "motor_overheating": "warning",
    "thrust_moves_boat": "caution",
    "dry_run": "caution",
    "beyond_skill": "caution",
}

ON = f("isolator.position", "on")
STANDING: list[tuple[str, list[dict[str, Any]]]] = [
    ("thruster_may_start", [ON, f("thruster.cover_on", False)]),
    ("runs_uncontrolled", [f("thruster.runs_by_itself", "right_now")]),
    ("runs_uncontrolled", [f("thruster.runs_by_itself", "at_power_on")]),
    ("runs_uncontrolled", [f("thruster.runs_by_itself", "after_release")]),
    ("runs_uncontrolled", [f("panel_2.runs_by_itself", "at_power_on")]),
    ("runs_uncontrolled", [f("harness.runs_by_itself", "at_power_on", "panel_unplugged")]),
    ("keeps_running", [f("thruster.runs_by_itself", "right_now", "isolator_off")]),
    ("cannot_isolate", [f("isolator.continuity", True, "isolator_off")]),
    ("cannot_isolate", [f("supply.voltage", 12.5, "isolator_off")]),
    ("people_at_tunnel", [f("boat.people_clear", False)]),
    ("vapour_spark", [f("boat.fuel_vapour", True)]),
    ("vapour_spark", [f("boat.vapour_free", False)]),
    ("smoke", [f("thruster.smoking", True)]),
    ("smoke", [f("positive_cable.smoking", True)]),
    ("smoke", [f("port_coil.smoking", True)]),
    ("smoke", [f("panel_2.smoking", True)]),
    ("control_supply_bridged", [f("bridge.fitted", "control_positive_to_negative")]),
    ("overspeed_unloaded", [f("thruster.noise", "free_spinning")]),
    ("thermal_protection_off", [f("bridge.fitted", "thermal_lead_to_motor_negative")]),
    ("thermal_protection_off", [f("thermal_switch.bypassed", True)]),
    *[("bridge_in_place", [f("bridge.fitted", b)]) for b in load().words.attributes["fitted"].choices],
    ("sense_lead_off", [f("sense_lead.plugged", False)]),
    ("connector_off", [f("panel.plugged", False)]),
    ("connector_off", [f("panel_2.plugged", False)]),
    ("connector_off", [f("control_unit.plugged", False)]),
    ("connector_off", [f("harness.plugged", False)]),
    ("connector_off", [f("thermal_switch.plugged", False)]),
    ("unfused_cable", [f("main_fuse.present", False)]),
    ("unfused_cable", [f("main_fuse.bypassed", True)]),
    ("unfused_cable", [f("main_fuse.distance", 3.0)]),
    ("unfused_cable", [f("positive_cable.cross_section", 70), f("main_fuse.rating", 800)]),
    *[
        ("hot_joint", [f(f"{p}.hot", True)])
        for p in ("battery_terminal", "main_fuse", "isolator", "positive_cable", "negative_cable")
    ],
    ("hot_joint", [f("main_fuse.burnt_smell", True)]),
    ("motor_overheating", [f("thruster.ran_for", 300)]),
]
IDS = [f"{h}-{'+'.join(x['about'] + '.' + x['what'] for x in facts)}-{i}" for i, (h, facts) in enumerate(STANDING)]
STEP_ONLY = {"battery_short", "thrust_moves_boat", "dry_run", "beyond_skill"}


def test_every_hazard_of_the_vocabulary_with_its_level() -> None:
    assert {h: load().hazards[h].level for h in VOCABULARY} == VOCABULARY
    assert {h for h, _ in STANDING} | STEP_ONLY == set(VOCABULARY)


@pytest.mark.parametrize(("name", "facts"), STANDING, ids=IDS)
def test_raised_by_facts_and_cleared_by_those_it_names(name: str, facts: list[dict[str, Any]]) -> None:
    s = session()
    tell(s, f("boat.afloat", True))
    out = tell(s, *facts)
    one = hazard(out, name)
    assert one["kind"] == "standing" and one["certain"] is True and one["since"] == 2
    assert one["level"] == VOCABULARY[name] and one["text"] and one["clear_by"]["text"] and one["clear_by"]["facts"]
    assert out["may_close"] is not True and any(p.startswith(name) for p in out["may_close"])
    still = tell(s, f("motor.wet", False))
    assert name in hazards(still) and hazard(still, name)["since"] == 2
    hedged = tell(s, *[{**x, "certain": False} for x in one["clear_by"]["facts"]])
    assert name in hazards(hedged), "a hedge must not clear it"
    cleared = tell(s, *one["clear_by"]["facts"])
    assert name not in hazards(cleared, "standing")


NOT_BY_DOUBT = ("ran_for", "rating")
"""A doubtful running time is not summed; a doubtful rating is not judged against the cable."""
RAISED_BY_DOUBT = [x for x in zip(STANDING, IDS, strict=True) if x[0][1][-1]["what"] not in NOT_BY_DOUBT]


@pytest.mark.parametrize(("name", "facts"), [x[0] for x in RAISED_BY_DOUBT], ids=[x[1] for x in RAISED_BY_DOUBT])
def test_a_doubtful_fact_raises_it_unconfirmed(name: str, facts: list[dict[str, Any]]) -> None:
    out = tell(session(), *facts[:-1], {**facts[-1], "certain": False})
    assert hazard(out, name)["certain"] is False
    assert hazard(out, name)["kind"] == "standing"


@pytest.mark.parametrize("what", ["lights"])
def test_a_healthy_boat_has_an_empty_banner(what: str) -> None:
    s = session()
    out = tell(
        s,
        f("boat.fuel", "petrol"),
        f("boat.afloat", True),
        f("panel.lights", True),
        f("thruster.runs", "both"),
        f("thruster.thrust", "normal"),
        f("panel.plugged", True),
        f("control_unit.plugged", True),
        f("sense_lead.plugged", True),
        f("main_fuse.present", True),
        f("main_fuse.distance", 0.5),
        f("motor.hot", False),
        f("thruster.runs_by_itself", "no"),
        ON,
    )
    assert out["hazards"] == [] and out["stop"] is None
    assert out["may_close"] is True


def test_nothing_told_shows_no_hazard() -> None:
    out = look(session())
    assert hazards(out, "standing") == []


def test_removing_one_bridge_leaves_the_other() -> None:
    s = session()
    tell(s, f("bridge.fitted", "motor_negative_to_port_coil"), f("bridge.fitted", "other"))
    assert "bridge_in_place" in hazards(tell(s, f("bridge.removed", "other")))
    assert "bridge_in_place" not in hazards(tell(s, f("bridge.removed", "all")))


def test_plugging_one_thing_in_leaves_the_other_out() -> None:
    s = session()
    tell(s, f("panel.plugged", False), f("control_unit.plugged", False), f("panel_2.plugged", False))
    out = tell(s, f("control_unit.plugged", True), f("panel.plugged", True))
    assert "connector_off" in hazards(out)
    assert [x["about"] for x in hazard(out, "connector_off")["clear_by"]["facts"]] == ["panel_2"]
    assert "connector_off" not in hazards(tell(s, f("panel_2.plugged", True)))


def test_one_hot_joint_made_good_leaves_the_other_hot() -> None:
    s = session()
    tell(s, f("main_fuse.hot", True), f("isolator.hot", True))
    assert "hot_joint" in hazards(tell(s, f("main_fuse.repaired", True)))
    assert "hot_joint" not in hazards(tell(s, f("isolator.hot", False)))


def test_running_time_adds_up() -> None:
    s = session()
    for _ in range(3):
        out = tell(s, f("thruster.ran_for", 35))
        assert "motor_overheating" not in hazards(out)
    assert "motor_overheating" in hazards(tell(s, f("thruster.ran_for", 35)))
    assert "motor_overheating" not in hazards(tell(s, f("motor.hot", False)), "standing")


def test_a_lasting_isolator_fault_is_not_cleared_by_its_own_position() -> None:
    s = session()
    tell(s, f("supply.voltage", 12.5, "isolator_off"))
    assert "cannot_isolate" in hazards(tell(s, f("isolator.position", "off"), f("isolator.locked", True)))
    assert "cannot_isolate" not in hazards(tell(s, f("supply.proved_dead", True)))


def test_a_hazard_raised_again_counts_from_its_new_turn() -> None:
    s = session()
    tell(s, f("sense_lead.plugged", False))
    tell(s, f("sense_lead.plugged", True))
    assert hazard(tell(s, f("sense_lead.plugged", False)), "sense_lead_off")["since"] == 3


def test_taking_back_what_raised_it_takes_it_off() -> None:
    s = session()
    tell(s, f("main_fuse.hot", True))
    assert hazards(s.take({"take_back": ["f1"], "at": AT}), "standing") == []


# ------------------------------------------------------------------------------- of the next step
def until(s: Any, test: str, *first: dict[str, Any]) -> dict[str, Any]:
    """Refuse what is asked for until this test is."""
    out = tell(s, *first)
    for _ in range(40):
        if out["next"] is None or out["next"]["test"] == test:
            break
        out = cannot(s, out["next"]["test"])
    assert out["next"] is not None and out["next"]["test"] == test
    return out


DEAD = (f("panel.lights", True), f("thruster.runs", "none"))


def test_a_run_asked_for_raises_people_and_movement() -> None:
    s = session()
    out = until(s, "panel_wake_up", f("boat.afloat", True), f("boat.fuel", "diesel"), *DEAD)
    assert hazard(out, "people_at_tunnel")["kind"] == "step"
    assert hazard(out, "thrust_moves_boat")["kind"] == "step"
    assert "dry_run" not in hazards(out) and out["stop"] is None
    assert not any(p.startswith(("people_at_tunnel", "thrust_moves_boat")) for p in out["may_close"])
    out = tell(s, f("boat.people_clear", True))
    assert "people_at_tunnel" not in hazards(out)


def test_ashore_a_run_is_a_dry_run() -> None:
    out = until(session(), "panel_wake_up", f("boat.afloat", False), f("boat.fuel", "diesel"), *DEAD)
    assert hazard(out, "dry_run")["kind"] == "step" and "thrust_moves_boat" not in hazards(out)


def test_a_run_just_reported_raises_people_until_the_next_line() -> None:
    s = session()
    tell(s, f("boat.people_clear", True))
    assert "people_at_tunnel" not in hazards(tell(s, f("supply.voltage", 10.9, "under_load")))
    s = session()
    out = tell(s, f("supply.voltage", 10.9, "under_load"), f("thruster.runs", "some", "under_load"))
    assert hazard(out, "people_at_tunnel")["kind"] == "step"


def test_people_clear_by_isolator_off_and_locked() -> None:
    s = session()
    out = tell(s, f("boat.people_clear", False), f("boat.afloat", True))
    assert out["stop"] and out["next"] is None
    out = tell(s, f("isolator.position", "off"))
    assert out["stop"] and out["next"] is None
    out = tell(s, f("isolator.locked", True))
    assert out["stop"] is None


def test_the_warning_stands_before_any_bridge_is_asked_for() -> None:
    out = until(session(), "command_bridge", *described(), f("helper.skill", "electrician"), *DEAD)
    one = hazard(out, "control_supply_bridged")
    assert one["kind"] == "step" and out["stop"] is None
    assert "negative" in out["reply"].lower()


def test_bare_posts_are_warned_of() -> None:
    out = until(session(), "fuse_check", f("panel.lights", False), f("thruster.runs", "none"))
    assert hazard(out, "battery_short")["kind"] == "step"


def test_what_is_beyond_an_owner_is_said() -> None:
    s = session("owner")
    out = tell(s, *described(), f("thruster.runs", "port_only"), f("panel.lights", True))
    seen = "beyond_skill" in hazards(out)
    for _ in range(40):
        if out["next"] is None:
            break
        out = cannot(s, out["next"]["test"])
        seen = seen or "beyond_skill" in hazards(out)
    assert seen
    assert out["narrowed_to"] and "marine electrician" in out["narrowed_to"]["because"]


# ------------------------------------------------------------------------------- the stop
STOPS = [
    ([f("thruster.runs_by_itself", "right_now")], [f("isolator.position", "off")]),
    ([f("boat.people_clear", False)], [f("boat.people_clear", True)]),
    (
        [f("bridge.fitted", "control_positive_to_negative")],
        [f("bridge.removed", "control_positive_to_negative")],
    ),
]


@pytest.mark.parametrize(("facts", "ends"), STOPS, ids=["runs by itself", "people", "control supply bridged"])
def test_stop_comes_before_anything_else(facts: list[dict[str, Any]], ends: list[dict[str, Any]]) -> None:
    s = session()
    tell(s, *described("boat.people_clear"), *DEAD)
    out = tell(s, *facts)
    assert set(out["stop"]) == {"text", "facts"}
    assert out["next"] is None
    assert out["reply"].strip()
    given = [{k: x[k] for k in ("about", "what", "value")} for x in out["stop"]["facts"]]
    assert any({k: e[k] for k in ("about", "what", "value")} in given for e in ends)
    out = tell(s, f("motor.wet", False))
    assert out["stop"] and out["next"] is None
    out = tell(s, *[{**e, "certain": False} for e in ends])
    assert out["stop"] and out["next"] is None
    out = tell(s, *ends)
    assert out["stop"] is None and out["next"] is not None


@pytest.mark.parametrize(
    "scene", [("panel_unplugged", "control_unit_unplugged"), ("panel_unplugged", "harness_unplugged")]
)
def test_quiet_in_a_test_scene_does_not_end_the_stop(scene: tuple[str, ...]) -> None:
    s = session()
    tell(s, f("thruster.runs_by_itself", "at_power_on"))
    out = tell(s, f("thruster.runs_by_itself", "no", *scene))
    assert out["stop"] and "runs_uncontrolled" in hazards(out)


def test_a_plain_hazard_stops_nothing() -> None:
    out = tell(session(), *DEAD, f("sense_lead.plugged", False), f("main_fuse.hot", True))
    assert out["stop"] is None and out["next"] is not None


# ------------------------------------------------------------------------------- closing
def close(s: Any, wish: Any = True) -> dict[str, Any]:
    return s.take({"ask": {"close": wish}, "at": AT})


OVER = {"hand_over_to": "the yard's electrician", "note": "bring a clamp meter"}
SAFE = (f("isolator.position", "off"), f("isolator.locked", True), f("supply.proved_dead", True))


def test_an_open_case_is_not_closed_and_the_refusal_is_a_turn() -> None:
    s = session()
    tell(s, *DEAD)
    out = close(s)
    assert out["turn"] == 2 and out["closed"] is None and out["may_close"]
    assert out["answer"]["close"] == "refused"


def test_an_open_case_is_handed_over_with_its_open_points() -> None:
    s = session()
    tell(s, *DEAD, f("panel.plugged", False))
    out = close(s, OVER)
    assert out["closed"]["handed_over_to"] == "the yard's electrician"
    assert any(p.startswith("connector_off") for p in out["closed"]["open"])
    assert out["next"] is None


@pytest.mark.parametrize(
    "fact",
    [
        f("bridge.fitted", "motor_negative_to_port_coil"),
        f("bridge.fitted", "thermal_lead_to_motor_negative"),
        f("sense_lead.plugged", False),
        f("thruster.runs_by_itself", "at_power_on"),
        f("supply.voltage", 12.5, "isolator_off"),
        f("boat.people_clear", False),
        f("boat.fuel_vapour", True),
    ],
    ids=lambda x: f"{x['about']}.{x['what']}-{x['value']}",
)
def test_not_even_handed_over_until_isolated_locked_and_proved_dead(fact: dict[str, Any]) -> None:
    s = session()
    out = tell(s, fact)
    for one in SAFE:
        barred = [h for h in out["hazards"] if h["kind"] == "standing"]
        if barred:
            assert close(s, OVER)["closed"] is None
        out = tell(s, one)
    assert close(s, OVER)["closed"] is not None


def test_with_the_danger_gone_it_may_be_handed_over() -> None:
    s = session()
    tell(s, f("thruster.runs_by_itself", "at_power_on"))
    assert close(s, OVER)["closed"] is None
    tell(s, f("isolator.position", "off"))
    assert close(s, OVER)["closed"]["open"]


def test_a_cover_nobody_spoke_of_keeps_nothing_open() -> None:
    s = session()
    out = tell(s, f("panel.lights", True), f("thruster.runs", "both"), f("thruster.thrust", "normal"))
    assert out["may_close"] is True
    assert close(s)["closed"] == {"handed_over_to": None, "open": []}


def test_a_cover_told_to_be_off_keeps_the_case_open() -> None:
    s = session()
    out = tell(s, f("panel.lights", True), f("thruster.runs", "both"), f("thruster.cover_on", False))
    assert out["may_close"] is not True


@pytest.mark.parametrize(
    "fact",
    [f("bridge.fitted", "other"), f("sense_lead.plugged", False), f("panel.plugged", False)],
    ids=["bridge", "sense lead", "panel"],
)
def test_put_back_the_case_may_be_closed(fact: dict[str, Any]) -> None:
    s = session()
    out = tell(s, fact)
    assert out["may_close"] is not True
    out = tell(s, f("bridge.removed", "all"), f("sense_lead.plugged", True), f("panel.plugged", True))
    assert out["may_close"] is True


def test_an_unverified_repair_keeps_it_open() -> None:
    s = session()
    out = tell(s, f("thruster.runs", "port_only"), f("starboard_coil.continuity", False, "isolator_off"))
    assert proved(out)
    tell(s, f("contactor.replaced", True))
    assert close(s)["closed"] is None
    out = tell(s, f("thruster.runs", "both"), f("thruster.thrust", "normal"))
    assert out["may_close"] is True and close(s)["closed"]


SOUND = (f("thruster.runs", "both"), f("thruster.thrust", "normal"), f("boat.afloat", True))


def test_a_step_hazard_keeps_nothing_open() -> None:
    s = session()
    tell(s, *SOUND)
    out = answer(s, "thruster_sound", f("thruster.thrust", "normal"))
    assert hazards(out, "step") and out["may_close"] is True


def test_a_boat_that_pushes_well_and_sounds_right_may_be_closed() -> None:
    s = session()
    tell(s, *SOUND)
    out = answer(s, "thruster_sound", *[dict(x) for x in load().tests["thruster_sound"].answers[0].facts])
    assert out["may_close"] is True


def test_running_time_is_held_against_the_limit_told_of_this_boat() -> None:
    s = session()
    tell(s, f("motor.run_limit", 240))
    assert "motor_overheating" not in hazards(tell(s, f("thruster.ran_for", 150)))
    out = tell(s, f("thruster.ran_for", 100))
    assert "motor_overheating" in hazards(out)
    assert out["replaced"] == []
    short = session()
    tell(short, f("motor.run_limit", 60))
    assert "motor_overheating" in hazards(tell(short, f("thruster.ran_for", 70)))
