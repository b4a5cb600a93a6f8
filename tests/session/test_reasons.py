"""Reasons on demand, the sum of the path, one-word orders: what a person asks, and what comes back."""

from __future__ import annotations

from typing import Any

from session.talking import f, session, tell

from assistant.session import Session

AT = "2026-05-01T10:00:00Z"


def ask(s: Session, question: dict[str, Any]) -> dict[str, Any]:
    return dict(s.take({"ask": question, "at": AT})["answer"])


def test_a_fact_says_where_it_came_from_and_what_it_means() -> None:
    s = session()
    tell(s, f("panel.lights", False))
    told = ask(s, {"why": "f1"})["why"]
    assert told["turn"] == 1 and told["answers"] == [{"question": "lamp", "state": "dark", "doubt": "sure"}]
    assert "the panel stays dark" in told["text"]


def test_a_fact_that_is_not_there_is_named() -> None:
    assert "f7" in ask(session(), {"why": "f7"})["why"]["text"]


def test_a_hazard_says_what_raised_and_what_clears_it() -> None:
    s = session()
    tell(s, f("sense_lead.plugged", False))
    told = ask(s, {"why": "sense_lead_off"})["why"]
    assert told["live"] and told["facts"] == ["f1"]
    tell(s, f("sense_lead.plugged", True))
    assert not ask(s, {"why": "sense_lead_off"})["why"]["live"]


def test_why_goes_down_to_what_was_said() -> None:
    s = session()
    tell(s, f("port_coil.continuity", False, "isolator_off"))
    told = ask(s, {"why": "contactor.port_coil_open"})["why"]
    assert told["state"] == "proved"
    assert told["rules"][0]["rule"] == "port_coil_is_open"
    assert told["rules"][0]["answers"][0]["fact"] == "f1"


def test_why_not_names_what_acquits_or_what_is_missing() -> None:
    s = session()
    tell(s, f("panel.lights", False), f("supply.voltage", 12.6, "at_rest"))
    acquitted = ask(s, {"why_not": "main_fuse.blown"})["why_not"]
    assert acquitted["state"] == "ruled_out" and acquitted["acquitted_by"]["fact"] == "f2"
    still_open = ask(s, {"why_not": "panel.dead"})["why_not"]
    assert still_open["missing"] and all(m["tests"] for m in still_open["missing"])


def test_what_if_changes_nothing() -> None:
    s = session()
    before = tell(s, f("panel.lights", False))
    told = ask(s, {"what_if": [f("main_fuse.blown", True)]})["what_if"]
    assert told["proved"] == ["main_fuse.blown"]
    after = s.take({"ask": {"help": True}, "at": AT})
    assert after["suspects"] == before["suspects"] and after["verdict"] is None


def test_the_sum_of_the_path_is_said_in_one_line() -> None:
    s = session()
    out = tell(
        s,
        f("positive_cable.cross_section", 50), f("positive_cable.length", 6), f("battery.voltage", 12.3, "under_load"),
        f("supply.voltage", 9.1, "under_load"), f("motor.current", 310, "under_load"), f("thruster.thrust", "weak"),
    )  # fmt: skip
    assert "battery 12.3 − studs 9.1 = 3.2 V at about 310 A" in out["reply"]
    assert "1.7 V too much, 0.5 kW of heat" in out["reply"]


def test_no_sum_is_said_from_nothing() -> None:
    s = session()
    assert "sum" not in tell(s, f("supply.voltage", 12.3, "at_rest"))["reply"].lower()


def test_a_repeated_run_is_not_a_second_piece_of_evidence() -> None:
    """A weak supply is not acquitted by running, and no more so by running twice."""
    s = session()
    once = tell(s, f("thruster.runs", "both"), f("thruster.thrust", "weak"))
    again = s.take({"answer": {"test": "panel_wake_up", "facts": [f("thruster.runs", "both")]}, "at": AT})
    share = {x["fault"]: x["probability"] for x in once["suspects"]}
    assert {x["fault"]: x["probability"] for x in again["suspects"]}["battery.weak"] == share["battery.weak"]


def test_one_word_orders_are_taken_for_what_they_are() -> None:
    s = session()
    assert s.take({"say": "close", "at": AT})["closed"] == {"handed_over_to": None, "open": []}


def test_a_bridge_told_before_is_the_scene_of_the_run() -> None:
    """A run with a bridge fitted is no run from the helm."""
    s = session()
    tell(s, f("panel.lights", False), f("panel.plugged", False))
    tell(s, f("bridge.fitted", "control_positive_to_port_signal"))
    out = tell(s, f("thruster.runs", "port_only"))
    tell(s, f("bridge.removed", "all"))
    known = ask(s, {"why": out["understood"][0]["id"]})["why"]
    assert [a["question"] for a in known["answers"]] == ["bridged_port"]


def test_a_corrected_reading_never_was_so() -> None:
    s = session()
    tell(s, f("port_coil.resistance", 9, "isolator_off"))
    first = s.take({"say": "battery 12.6 at rest", "at": AT})
    assert first["understood"][0]["value"] == 12.6
    out = s.take({"say": "no sorry, 11.2 I meant", "at": AT})
    assert [x["value"] for x in out["understood"]] == [11.2]
    assert out["conflicts"] == []
    values = {(x["about"], x["value"]) for x in s.standing()}
    assert ("battery", 12.6) not in values and ("port_coil", 9.0) in values


def test_asking_for_the_next_step_brings_the_next_step() -> None:
    s = session()
    tell(s, f("panel.lights", False))
    out = s.take({"say": "what next?", "at": AT})
    assert out["answer"] is None and out["next"]["text"] in out["reply"]
