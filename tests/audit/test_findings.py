"""Findings by kind: each is found where it belongs, and a sound course has none."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from sample_case import HEADER, at, fact, hazard, output, record, test_asked

from assistant.audit.finders import find
from assistant.audit.findings import RULES, Finding
from assistant.audit.record import Record
from assistant.journal.turn import Data, turns

OFF = fact("", "isolator", "position", "off")
LOCKED = fact("", "isolator", "locked", True)
CLEAR = fact("", "boat", "people_clear", True)
SHAFT = fact("", "gear_leg", "turns_by_hand", True)


class Lore:
    """A rule base of two sentences."""

    def safety_steps(self, test: str) -> tuple[tuple[str, tuple[Data, ...]], ...]:
        return (("Switch the isolator off.", (OFF,)), ("Lock it.", (LOCKED,))) if test == "shaft_by_hand" else ()

    def is_powered(self, test: str) -> bool:
        return test == "panel_wake_up"

    def reported_by(self, circumstance: str) -> Data | None:
        return OFF if circumstance == "isolator_off" else None

    def is_state(self, what: str) -> bool:
        return what in ("plugged", "position")


Turns = list[tuple[dict[str, Any], dict[str, Any]]]


def findings(tmp_path: Path, case: Turns, lore: Any = None, minutes: list[int] | None = None) -> list[Finding]:
    times = minutes or list(range(1, len(case) + 1))
    lines = [{"at": at(m % 60, 9 + m // 60), **line} for m, (line, _) in zip(times, case, strict=True)]
    script = [output(n, **out) for n, (_, out) in enumerate(case, 1)]
    checked = record(tmp_path / "case.jsonl", lines, script)
    return list(find(Record(HEADER, turns(checked), lore=lore)))


def kinds(found: list[Finding]) -> list[tuple[str, int, str]]:
    return [(f.kind, f.turn, f.weight) for f in found]


def told(*facts: dict[str, Any], **out: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    return {"say": "words of the person"}, {"understood": list(facts), **out}


STOP = {"text": "Switch it off.", "facts": [OFF]}


def test_a_stop_passed_over_is_marked_and_an_obeyed_one_is_not(tmp_path: Path) -> None:
    run = fact("f2", "thruster", "runs", "both", while_=["under_load"])
    passed = findings(tmp_path, [told(stop=STOP), told(run, stop=STOP)])
    assert kinds(passed) == [("safety_step_skipped", 2, "serious")]
    assert passed[0].words == "words of the person" and passed[0].detail == "Before this: Switch it off."
    (tmp_path / "case.jsonl").unlink()
    remark = fact("f2", "boat", "nominal_voltage", 12)
    assert kinds(findings(tmp_path, [told(stop=STOP), told(remark, stop=STOP)]))[0][2] == "note"
    (tmp_path / "case.jsonl").unlink()
    off = fact("f2", "isolator", "position", "off", while_=["isolator_on"])
    assert findings(tmp_path, [told(stop=STOP), told(off)]) == []


def test_a_doubtful_word_does_not_obey_a_stop(tmp_path: Path) -> None:
    off = fact("f2", "isolator", "position", "off", certain=False)
    assert kinds(findings(tmp_path, [told(stop=STOP), told(off, stop=STOP)])) == [("safety_step_skipped", 2, "note")]


def asked_shaft(*before: dict[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    return told(*before, next=test_asked("shaft_by_hand", SHAFT))


@pytest.mark.parametrize(
    ("before", "beside", "missing"),
    [
        ([], [], ["Switch the isolator off.", "Lock it."]),
        ([("position", "off")], [], ["Lock it."]),
        ([("position", "off"), ("locked", True)], [], []),
        ([], [("position", "off"), ("locked", True)], []),
        ([("position", "on"), ("locked", True)], [], ["Switch the isolator off."]),
    ],
)
def test_set_up_that_makes_a_test_safe_and_was_never_reported(
    tmp_path: Path, before: list[tuple[str, Any]], beside: list[tuple[str, Any]], missing: list[str]
) -> None:
    first = [fact(f"f{n}", "isolator", what, value) for n, (what, value) in enumerate(before)]
    second = [fact(f"g{n}", "isolator", what, value) for n, (what, value) in enumerate(beside)]
    answer = {**SHAFT, "id": "h1", "words": "turns freely"}
    found = findings(tmp_path, [asked_shaft(*first), told(*second, answer)], Lore())
    assert [f.kind for f in found] == ["safety_step_skipped"] * len(missing)
    steps = sorted(f.detail.rpartition("not reported: ")[2].partition(" On record")[0] for f in found)
    assert steps == sorted(missing)
    against = [f.weight for f in found if f.detail.endswith("On record instead: isolator position: on")]
    assert against == (["serious"] if ("position", "on") in before else [])
    assert [f.weight for f in found].count("note") == len(missing) - len(against)


def test_set_up_named_as_a_circumstance_of_the_answer_counts_and_a_withdrawn_one_does_not(
    tmp_path: Path,
) -> None:
    locked = fact("f1", "isolator", "locked", True)
    answer = {**SHAFT, "id": "f2", "while": ["isolator_off"]}
    assert findings(tmp_path, [asked_shaft(locked), told(answer)], Lore()) == []
    (tmp_path / "case.jsonl").unlink()
    withdrawn = ({"take_back": ["f1"]}, {"next": test_asked("shaft_by_hand", SHAFT)})
    found = findings(tmp_path, [asked_shaft(locked), withdrawn, told(answer)], Lore())
    assert [f.detail for f in found] == ["shaft by hand was answered; not reported: Lock it."]


def test_a_test_refused_skips_nothing(tmp_path: Path) -> None:
    refused = ({"answer": {"test": "shaft_by_hand", "cannot": "no room"}}, {})
    assert findings(tmp_path, [asked_shaft(), refused], Lore()) == []


RUN = fact("", "thruster", "runs", "both")
DANGER = hazard("people_at_tunnel", "danger", 1, CLEAR)


@pytest.mark.parametrize(
    ("live", "line", "facts", "expected"),
    [
        (DANGER, {"say": "it runs"}, [{**RUN, "id": "f1"}], ["note"]),
        ({**DANGER, "kind": "step"}, {"say": "it runs"}, [{**RUN, "id": "f1"}], ["serious"]),
        (DANGER, {"say": "clear, it runs"}, [{**RUN, "id": "f1"}, {**CLEAR, "id": "f2"}], []),
        (
            DANGER,
            {"say": "perhaps clear"},
            [{**RUN, "id": "f1"}, {**CLEAR, "id": "f2", "certain": False}],
            ["note"],
        ),
        (DANGER, {"answer": {"test": "fuse_check", "facts": []}}, [], ["serious"]),
        (DANGER, {"answer": {"test": "panel_wake_up", "cannot": "no"}}, [], []),
        (DANGER, {"say": "12 V boat"}, [fact("f1", "boat", "nominal_voltage", 12)], []),
        (hazard("x", "danger", 1, CLEAR, kind="step"), {"asked": "fuse_check"}, [], []),
        (hazard("x", "danger", 1, CLEAR, kind="step"), {"asked": "panel_wake_up"}, [], ["serious"]),
        ({**DANGER, "certain": False}, {"asked": "panel_wake_up"}, [], ["note"]),
        (hazard("bridge_in_place", "warning", 1), {"asked": "panel_wake_up"}, [], []),
    ],
)
def test_a_test_done_with_a_danger_open(
    tmp_path: Path, live: Data, line: dict[str, Any], facts: list[dict[str, Any]], expected: list[str]
) -> None:
    case = [told(hazards=[live], next=test_asked("panel_wake_up", RUN)), (line, {"understood": facts})]
    found = findings(tmp_path, case)
    assert kinds(found) == [("test_with_danger_open", 2, weight) for weight in expected]


def proved(fault: str, part: str) -> dict[str, Any]:
    return {"suspects": [{"fault": fault, "part": part, "probability": 1, "state": "proved", "because": []}]}


@pytest.mark.parametrize(
    ("about", "before", "found"),
    [
        ("panel", {}, True),
        (
            "panel",
            {"suspects": [{"fault": "panel.dead", "part": "panel", "state": "open", "probability": 0.99}]},
            True,
        ),
        ("panel", proved("panel.dead", "panel"), False),
        ("panel_2", proved("panel.dead", "panel"), False),
        ("control_unit", proved("panel.dead", "panel"), True),
        ("port_coil", proved("contactor.port_coil_open", "contactor"), False),
        ("starboard_coil", proved("contactor.port_coil_open", "contactor"), True),
        ("contactor", proved("contactor.port_coil_open", "contactor"), False),
        (
            "main_fuse",
            {"verdict": {"faults": ["main_fuse.blown"], "repair": [], "parts": [], "verify": []}},
            False,
        ),
    ],
)
def test_a_part_replaced_without_proof(tmp_path: Path, about: str, before: dict[str, Any], found: bool) -> None:
    changed = fact("f9", about, "replaced", True, words="put a new one in")
    marked = findings(tmp_path, [told(**before), told(changed)])
    assert kinds(marked) == ([("replaced_without_proof", 2, "serious")] if found else [])
    assert not found or marked[0].words == "put a new one in"


@pytest.mark.parametrize("more", [{"while": ["before_the_trouble"]}, {"certain": False}, {"value": False}])
def test_what_was_replaced_before_or_in_doubt_or_not_is_not_marked(tmp_path: Path, more: dict[str, Any]) -> None:
    assert findings(tmp_path, [told({**fact("f1", "panel", "replaced", True), **more})]) == []


def test_history_told_afterwards_settles_it(tmp_path: Path) -> None:
    now = fact("f1", "panel", "replaced", True)
    then = fact("f2", "panel", "replaced", True, while_=["before_the_trouble"])
    assert findings(tmp_path, [told(now), told(then, replaced=["f1"])]) == []


CONFLICT = {"facts": ["f1", "f2"], "text": "Both cannot be.", "settle": "supply_voltage_at_rest"}


def test_a_contradiction_that_stands_at_the_end_and_one_that_was_settled(tmp_path: Path) -> None:
    first, second = (fact(f"f{n}", "supply", "voltage", 12.0 * (2 - n), words=f"{n} said") for n in (1, 2))
    case = [told(first), told(second, conflicts=[CONFLICT]), told(conflicts=[CONFLICT])]
    found = findings(tmp_path, case)
    assert kinds(found) == [("contradiction_not_settled", 2, "serious")]
    assert found[0].words == "1 said; 2 said" and "supply voltage at rest" in found[0].detail
    (tmp_path / "case.jsonl").unlink()
    assert findings(tmp_path, [*case, told()]) == []


VERDICT = {
    "faults": ["panel.dead"],
    "repair": ["Fit a panel."],
    "parts": ["panel"],
    "verify": ["panel_wake_up"],
}


def test_a_repair_never_verified(tmp_path: Path) -> None:
    changed = fact("f1", "panel", "replaced", True)
    case = [told(verdict=VERDICT), told(changed, verdict=VERDICT)]
    assert kinds(findings(tmp_path, case)) == [("verification_missing", 2, "serious")]
    (tmp_path / "case.jsonl").unlink()
    handed = told(verdict=VERDICT, closed={"handed_over_to": "yard", "open": []})
    assert kinds(findings(tmp_path, [*case, handed])) == [("verification_missing", 2, "note")]
    (tmp_path / "case.jsonl").unlink()
    assert findings(tmp_path, [*case, told()]) == []


@pytest.mark.parametrize(
    ("then", "left"),
    [
        ([], 1),
        ([("removed", "other", True)], 1),
        ([("removed", "thermal_lead_to_motor_negative", True)], 0),
        ([("removed", "all", True)], 0),
        ([("removed", "all", False)], 1),
    ],
)
def test_a_bridge_never_reported_removed(tmp_path: Path, then: list[tuple[str, str, bool]], left: int) -> None:
    first = fact("f1", "bridge", "fitted", "thermal_lead_to_motor_negative")
    later = [fact(f"g{n}", "bridge", what, way, certain=sure) for n, (what, way, sure) in enumerate(then)]
    found = findings(tmp_path, [told(first), told(*later)])
    assert kinds(found) == [("bridge_not_removed", 1, "serious")] * left


def test_a_bridge_taken_back_was_never_fitted(tmp_path: Path) -> None:
    first = fact("f1", "bridge", "fitted", "other")
    assert findings(tmp_path, [told(first), ({"take_back": ["f1"]}, {})]) == []


def test_findings_changed_after_the_verdict(tmp_path: Path) -> None:
    reading = fact("f1", "supply", "voltage", 12.4)
    state = fact("f2", "panel", "plugged", False)
    start = told(reading, state, verdict=VERDICT)
    back = ({"take_back": ["f1"]}, {"verdict": VERDICT})
    assert kinds(findings(tmp_path, [start, back], Lore())) == [("corrected_after_verdict", 2, "serious")]
    (tmp_path / "case.jsonl").unlink()
    newer = told(fact("f3", "supply", "voltage", 9.0), replaced=["f1"], verdict=VERDICT)
    assert kinds(findings(tmp_path, [start, newer], Lore())) == [("corrected_after_verdict", 2, "note")]
    (tmp_path / "case.jsonl").unlink()
    plugged = told(fact("f3", "panel", "plugged", True), replaced=[{"id": "f2"}], verdict=VERDICT)
    assert findings(tmp_path, [start, plugged], Lore()) == []
    (tmp_path / "case.jsonl").unlink()
    repaired = told(fact("f3", "panel", "replaced", True), verdict=VERDICT)
    found = findings(tmp_path, [start, repaired, newer, told()], Lore())
    assert found == [], "after a repair a new reading verifies, it corrects nothing"


def test_times_that_go_back_stand_still_too_long_or_are_none(tmp_path: Path) -> None:
    found = findings(tmp_path, [told()] * 4, minutes=[0, 5, 4, 70])
    assert kinds(found) == [("clock_backwards", 3, "serious"), ("time_gap", 4, "note")]
    assert "60 s" not in found[0].detail and "1 min" in found[0].detail and "66 min" in found[1].detail
    (tmp_path / "case.jsonl").unlink()
    found = findings(tmp_path, [told(), ({"at": "yesterday"}, {}), told()])
    assert kinds(found) == [("time_unreadable", 2, "serious")]


def test_a_change_of_offset_is_no_change_of_time(tmp_path: Path) -> None:
    moved = [({"at": "2026-05-04T09:30:00+02:00"}, {}), ({"at": "2026-05-04T08:31:00+01:00"}, {})]
    assert findings(tmp_path, moved) == []


def test_a_sound_case_has_no_findings_and_every_kind_has_a_rule(tmp_path: Path) -> None:
    repair = fact("f2", "panel", "replaced", True)
    bridge = fact("f3", "bridge", "fitted", "other")
    gone = fact("f4", "bridge", "removed", "all")
    case = [
        told(bridge),
        told(gone, verdict=VERDICT),
        told(repair, verdict=VERDICT),
        told(closed={"open": []}),
    ]
    assert findings(tmp_path, case, Lore()) == []
    assert all(rule.endswith(".") for rule in RULES.values())
