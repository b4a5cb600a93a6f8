"""A step that was put before is not put again word for word, and what is asked of a case is answered."""

from __future__ import annotations

import pytest
from session.talking import answer, f, say, session, tell

from assistant.session import Session


def reply(role: str, *lines: str) -> str:
    return str(say(session(role), *lines)["reply"])


def switched_on(s: Session) -> None:
    """Nothing runs and the panel is dark with the isolator on: the fuses are looked at next."""
    tell(s, f("thruster.runs", "none"), f("panel.lights", False), f("boat.stations", 1))
    answer(s, "panel_wake_up", f("panel.lights", False), f("thruster.runs", "none"))
    out = answer(s, "isolator_check", f("isolator.position", "on"), f("isolator.continuity", True, "isolator_on"))
    assert out["next"]["test"] == "fuse_check"


# ------------------------------------------------------------------------------- the next step
def test_a_step_that_still_stands_is_named_in_a_line() -> None:
    s = session()
    first = say(s, "bow thruster dead both ways")
    again = say(s, "we were in a lock when it happened")
    assert again["next"] == first["next"]
    assert first["next"]["text"] in first["reply"]
    assert first["next"]["text"] not in again["reply"]
    assert "Still next (2 min): isolator check." in again["reply"]


def test_what_next_puts_it_in_full_again() -> None:
    s = session()
    first = say(s, "bow thruster dead both ways", "hm")
    assert first["next"]["text"] in say(s, "what next")["reply"]


def test_of_a_test_answered_in_part_only_the_rest_is_asked() -> None:
    s = session("owner")
    switched_on(s)
    out = say(s, "the big fuse is whole")
    assert out["next"]["test"] == "fuse_check"
    assert out["next"]["plain_text"] not in out["reply"]
    assert "is not told yet: is the control fuse blown" in out["reply"]


def test_a_rest_that_nobody_tells_is_asked_for_twice_and_no_more() -> None:
    s = session("owner")
    switched_on(s)
    say(s, "the big fuse is whole")
    said = [say(s, line)["next"]["test"] for line in ("it's raining here", "the boat is ten years old")]
    assert said[0] == "fuse_check"
    assert said[1] != "fuse_check"


def test_no_fuse_of_their_own_is_an_answer() -> None:
    s = session("owner")
    switched_on(s)
    out = say(s, "big fuse is whole, there's no small one")
    assert out["next"]["test"] != "fuse_check"
    blown = next(one for one in out["suspects"] if one["fault"] == "control_fuse.blown")
    assert blown["state"] == "ruled_out"


# ------------------------------------------------------------------------------- runs that tell nothing, or may not be
def test_no_run_is_asked_for_with_the_main_fuse_blown() -> None:
    s = session()
    out = tell(s, f("thruster.runs", "none"), f("panel.lights", True), f("main_fuse.blown", True))
    out = say(s, "isolator is on, panel lights as always, motor is cool")
    runs = {"panel_wake_up", "thruster_sound", "battery_voltage_under_load", "supply_voltage_under_load"}
    assert out["next"] is None or out["next"]["test"] not in runs or "done" in out["next"]["why"]


def test_after_smoke_no_run_is_asked_for_before_something_was_put_right() -> None:
    s = session()
    say(s, "thruster is weak both ways", "smoke from the motor!")
    out = say(s, "isolator is off")
    assert {"smoked"} <= {h["hazard"] for h in out["hazards"]}
    for _ in range(6):
        if out["next"] is None:
            break
        assert not session().knowledge.tests[out["next"]["test"]].runs_motor
        out = tell(s, answer={"test": out["next"]["test"], "cannot": "not now"})
    out = say(s, "replaced the motor just now")
    assert "smoked" not in {h["hazard"] for h in out["hazards"]}


def test_what_is_unplugged_is_put_back_before_a_run() -> None:
    s = session()
    say(s, "thruster only runs to port")
    plugged = tell(s, f("boat.people_clear", True))
    off = tell(s, f("harness.plugged", False))
    assert session().knowledge.tests[off["next"]["test"]].runs_motor
    assert not any("plug in again" in line for line in plugged["next"]["setup"])
    assert any("plug in again" in line for line in off["next"]["setup"])


# ------------------------------------------------------------------------------- a repair of what was found
def test_a_repair_of_what_was_found_wrong_was_done_now() -> None:
    s = session()
    out = say(s, "thruster comes and goes", "the harness plug is green inside", "cleaned the harness plug")
    assert not any("just now" in piece["question"] for piece in out["unclear"])


def test_a_repair_of_what_nobody_found_wrong_is_asked_about() -> None:
    out = say(session(), "thruster comes and goes", "the harness was repaired")
    assert any("just now" in piece["question"] for piece in out["unclear"])


# ------------------------------------------------------------------------------- questions about the case
@pytest.mark.parametrize(
    "line",
    [
        "do i need to call someone?",
        "do we need a pro then?",
        "should i get an electrician",
        "is this a job for an electrician?",
        "can i do it myself?",
        "what should i tell him?",
        "can i hand this over to the electrician",
    ],
)
def test_who_is_to_do_it_is_answered(line: str) -> None:
    out = say(session("owner"), "thruster is dead both ways", line)
    assert out["understood"] == [] and out["unclear"] == []
    assert "electrician" in out["answer"]["who"]["text"]
    assert "thruster runs: none" in out["reply"]
    assert "Nothing was taken" not in out["reply"]


def test_who_says_yes_where_only_an_electrician_can_go_on() -> None:
    s = session("owner")
    say(s, "thruster is dead both ways")
    out = say(s, "do i need an electrician?")
    assert out["answer"]["who"]["needed"] is False
    for _ in range(40):
        if out["next"] is None:
            break
        out = tell(s, answer={"test": out["next"]["test"], "cannot": "no"})
    assert say(s, "do i need an electrician?")["answer"]["who"]["needed"] is True


@pytest.mark.parametrize(
    "line", ["can we close it?", "may i close the case", "are we done here?", "what still stands open?"]
)
def test_whether_it_may_be_closed_is_answered_and_closes_nothing(line: str) -> None:
    out = say(session(), "thruster is dead both ways", line)
    assert out["closed"] is None
    assert out["answer"]["may_close"]["open"] == out["may_close"]


@pytest.mark.parametrize(
    "line", ["can i turn it back on?", "should i switch the power back on then?", "may i try it again?"]
)
def test_whether_it_may_be_tried_is_answered(line: str) -> None:
    out = say(session("owner"), "smoke from the motor!", "main switch is off now", line)
    assert "smoked" in out["answer"]["safe"]["hazards"]
    assert out["understood"] == []


@pytest.mark.parametrize("line", ["what do you want me to measure", "what should i check first", "what else can i do"])
def test_what_to_do_puts_the_next_step(line: str) -> None:
    out = say(session("owner"), "thruster is dead both ways", line)
    assert out["next"]["plain_text"] in out["reply"]


# ------------------------------------------------------------------------------- an honest end
def test_a_long_list_of_causes_is_cut_and_not_read_out_twice() -> None:
    s = session("owner")
    out = say(s, "thruster is dead both ways")
    while out["next"] is not None:
        out = tell(s, answer={"test": out["next"]["test"], "cannot": "no"})
    names = out["narrowed_to"]["faults"]
    assert len(names) > 8
    assert f"{len(names) - 6} more" in out["reply"]
    again = say(s, "it's raining here")
    assert again["narrowed_to"] == out["narrowed_to"]
    assert "As before" in again["reply"] and "more" not in again["reply"].split("As before")[1].split(".")[0]
