"""What is asked for next: possible here, safe now, within this person's reach, and never twice in vain."""

from __future__ import annotations

from typing import Any

import pytest
from session.talking import answer, cannot, described, f, hazards, session, tell

from assistant.knowledge import load

COMPLAINTS = {
    "dark": [f("panel.lights", False), f("thruster.runs", "none")],
    "dead": [f("panel.lights", True), f("thruster.runs", "none")],
    "one way": [f("panel.lights", True), f("thruster.runs", "port_only")],
    "weak": [f("thruster.runs", "both"), f("thruster.thrust", "weak")],
    "by itself": [f("thruster.runs_by_itself", "at_power_on"), f("isolator.position", "off")],
}
TESTS = load().tests


def refused_all(role: str, *first: dict[str, Any]) -> tuple[list[str], dict[str, Any]]:
    """Everything that is asked for when nothing can be done, in order, and the end."""
    s = session(role)
    out = tell(s, *first)
    asked = []
    for _ in range(60):
        if out["next"] is None:
            break
        asked.append(out["next"]["test"])
        out = cannot(s, asked[-1])
    assert out["next"] is None, "it never comes to an end"
    return asked, out


@pytest.mark.parametrize("name", COMPLAINTS)
def test_refused_tests_give_way_to_others_and_are_not_asked_again(name: str) -> None:
    asked, out = refused_all("technician", *described(), f("helper.skill", "thruster_technician"), *COMPLAINTS[name])
    assert len(asked) == len(set(asked)) >= 3
    assert out["narrowed_to"]["faults"] and out["narrowed_to"]["because"] and out["narrowed_to"]["settle"]
    assert out["verdict"] is None


@pytest.mark.parametrize(
    ("name", "role", "skill"),
    [
        *[(name, "owner", None) for name in COMPLAINTS],
        ("one way", "owner", "thruster_technician"),
        ("one way", "technician", "owner"),
        ("dead", "desk", "owner"),
    ],
)
def test_an_owner_alone_is_never_asked_for_live_work(name: str, role: str, skill: str | None) -> None:
    """The more careful of the role and of what was told of the helper decides."""
    more = [f("helper.skill", skill)] if skill else []
    asked, _ = refused_all(role, *described(), *more, *COMPLAINTS[name])
    assert not {"coil_direct", "thermal_bridge", "command_bridge"} & set(asked)
    assert not [t for t in asked if TESTS[t].live]
    assert not [t for t in asked if TESTS[t].skill == "electrician"]


@pytest.mark.parametrize("name", ["one way"])
def test_a_desk_may_guide_a_willing_caller_who_has_a_meter(name: str) -> None:
    willing = f("helper.willing", True)
    owner = f("helper.skill", "owner")
    asked, _ = refused_all("desk", *described(), owner, willing, *COMPLAINTS[name])
    assert [t for t in asked if TESTS[t].live]
    for facts in (
        [*described("helper.has_meter"), owner, willing],
        [*described("helper.has_meter"), f("helper.has_meter", False), owner, willing],
        [*described(), owner, f("helper.willing", False)],
        [*described(), owner, {**willing, "certain": False}],
    ):
        asked, _ = refused_all("desk", *facts, *COMPLAINTS[name])
        assert not [t for t in asked if TESTS[t].live]


def test_a_technician_with_skill_is_asked_for_the_live_tests() -> None:
    asked, _ = refused_all("technician", *described(), f("helper.skill", "electrician"), *COMPLAINTS["one way"])
    assert {"coil_direct", "motor_output_voltage", "coil_voltage"} & set(asked)


def test_no_meter_no_test_that_needs_one() -> None:
    no = [f("helper.has_meter", False), f("helper.has_clamp_meter", False)]
    asked, _ = refused_all(
        "technician", *described("helper.has_meter", "helper.has_clamp_meter"), *no, *COMPLAINTS["weak"]
    )
    assert not [t for t in asked if TESTS[t].needs_meter or TESTS[t].needs_clamp]


# ------------------------------------------------------------------------------- petrol
PETROL = [*described("boat.fuel"), f("boat.fuel", "petrol"), f("helper.skill", "electrician")]


@pytest.mark.parametrize("name", ["dark", "weak", "by itself"])
def test_on_a_petrol_boat_no_powered_step_before_it_is_aired(name: str) -> None:
    asked, _ = refused_all("technician", *PETROL, *COMPLAINTS[name])
    assert not [t for t in asked if TESTS[t].powered or TESTS[t].runs_motor]


@pytest.mark.parametrize(
    "not_enough",
    [
        f("boat.ventilated", True, certain=False),
        f("boat.ventilated", False),
        f("boat.ventilated", True, "before_the_trouble"),
    ],
    ids=["hedged", "not aired", "aired once"],
)
def test_only_a_plain_word_of_air_will_do(not_enough: dict[str, Any]) -> None:
    asked, _ = refused_all("technician", *PETROL, not_enough, *COMPLAINTS["dark"])
    assert not [t for t in asked if TESTS[t].powered or TESTS[t].runs_motor]


@pytest.mark.parametrize("aired", [f("boat.ventilated", True), f("boat.vapour_free", True)], ids=lambda x: x["what"])
def test_aired_the_powered_steps_are_offered(aired: dict[str, Any]) -> None:
    asked, _ = refused_all("technician", *PETROL, aired, *COMPLAINTS["dark"])
    assert [t for t in asked if TESTS[t].powered]


def test_air_is_asked_for_again_after_a_pause() -> None:
    s = session()
    s.take({"facts": [*PETROL, *COMPLAINTS["dark"], f("boat.ventilated", True)], "at": "2026-05-01T10:00:00Z"})
    out = s.take({"facts": [f("motor.wet", False)], "at": "2026-05-01T10:10:00Z"})
    assert "vapour_spark" not in hazards(out)
    out = s.take({"facts": [f("motor.wet", True)], "at": "2026-05-01T13:00:00Z"})
    for _ in range(12):
        assert not TESTS[out["next"]["test"]].powered
        if out["next"]["test"] == "space_check":
            break
        out = s.take({"answer": {"test": out["next"]["test"], "cannot": "x"}, "at": "2026-05-01T13:00:00Z"})
    assert out["next"]["test"] == "space_check"


def test_gas_counts_on_any_boat() -> None:
    asked, _ = refused_all("technician", *described(), f("boat.fuel_vapour", True), *COMPLAINTS["dark"])
    assert not [t for t in asked if TESTS[t].powered or TESTS[t].runs_motor]


# ------------------------------------------------------------------------------- what the boat has
def test_a_speed_controlled_drive_gets_no_coil_and_no_bridge_tests() -> None:
    asked, _ = refused_all(
        "technician", *described("thruster.kind"), f("thruster.kind", "speed_controller"),
        f("helper.skill", "thruster_technician"), *COMPLAINTS["dead"],
    )  # fmt: skip
    assert not {"coil_direct", "coil_voltage", "coil_resistance", "command_bridge", "thermal_bridge",
                "motor_output_voltage", "motor_terminal_voltage", "contact_resistance"} & set(asked)  # fmt: skip


def test_one_station_has_no_other_and_a_hand_isolator_no_command() -> None:
    asked, _ = refused_all("technician", *described(), f("helper.skill", "electrician"), *COMPLAINTS["dark"])
    assert not {"try_other_station", "isolator_command_check"} & set(asked)


def test_a_racing_series_motor_is_not_run_again() -> None:
    facts = [f("thruster.runs", "both"), f("thruster.thrust", "none"), f("thruster.noise", "free_spinning")]
    asked, _ = refused_all("technician", *described(), f("helper.skill", "electrician"), *facts)
    assert asked and not [t for t in asked if TESTS[t].runs_motor]


def test_a_thruster_that_runs_by_itself_is_looked_at_with_the_power_off_first() -> None:
    s = session()
    out = tell(s, *described(), f("helper.skill", "electrician"), *COMPLAINTS["by itself"])
    assert not TESTS[out["next"]["test"]].powered
    asked, _ = refused_all("technician", *described(), f("helper.skill", "electrician"), *COMPLAINTS["by itself"])
    assert "contact_resistance" in asked
    live = [asked.index(t) for t in asked if TESTS[t].powered]
    assert all(asked.index("contact_resistance") < place for place in live)
    runs = [t for t in asked if TESTS[t].runs_motor]
    assert not set(runs) - {"all_unplugged_power_on", "control_unit_power_on", "stations_power_on"}


def test_too_much_running_stops_the_runs() -> None:
    asked, _ = refused_all(
        "technician",
        *described(),
        f("helper.skill", "electrician"),
        f("thruster.ran_for", 400),
        *COMPLAINTS["weak"],
    )
    assert asked and not [t for t in asked if TESTS[t].runs_motor]


# ------------------------------------------------------------------------------- shape of a step
@pytest.mark.parametrize("name", COMPLAINTS)
def test_every_step_says_what_it_needs(name: str) -> None:
    s = session()
    out = tell(s, *described(), f("helper.skill", "electrician"), *COMPLAINTS[name])
    for _ in range(6):
        step = out["next"]
        if step is None:
            break
        assert step["test"] in TESTS and step["text"] and step["plain_text"] and step["why"]
        assert step["minutes"] > 0 and len(step["answers"]) >= 2
        for one in step["answers"]:
            assert one["text"] and all({"about", "what", "value"} <= set(x) for x in one["facts"])
        out = cannot(s, step["test"])


@pytest.mark.parametrize("name", ["dark", "one way"])
def test_every_pickable_answer_is_taken_whole(name: str) -> None:
    s = session()
    out = tell(s, *described(), f("helper.skill", "electrician"), *COMPLAINTS[name])
    step = out["next"]
    for one in step["answers"]:
        again = session()
        tell(again, *described(), f("helper.skill", "electrician"), *COMPLAINTS[name])
        out = answer(again, step["test"], *one["facts"])
        assert out["refused"] == [] and out["conflicts"] == [], one["text"]
        if again.case.pending is not None and again.case.pending.kind == "confirm":
            continue  # what one reading proved is read again before a part is called for
        assert out["next"] is None or out["next"]["test"] != step["test"] or out["next"]["text"] != step["text"]


def test_set_up_already_done_makes_the_test_cheaper() -> None:
    fresh = session()
    plugged = until(fresh, "command_bridge")["next"]["minutes"]
    s = session()
    off = until(s, "command_bridge", f("panel.plugged", False))["next"]["minutes"]
    assert off == plugged - 2


def until(s: Any, test: str, *more: dict[str, Any]) -> dict[str, Any]:
    out = tell(s, *described(), f("helper.skill", "electrician"), *more, *COMPLAINTS["dead"])
    for _ in range(40):
        if out["next"] is None or out["next"]["test"] == test:
            break
        out = cannot(s, out["next"]["test"])
    assert out["next"] and out["next"]["test"] == test
    return out


def test_a_case_begins_with_what_is_wrong() -> None:
    out = tell(session(), *described())
    assert out["next"]["test"] == "what_is_wrong"
    out = answer(session(), "what_is_wrong", *out["next"]["answers"][0]["facts"])
    assert out["next"]["test"] != "what_is_wrong"
