"""The conversation to the letter: what a line may be, what comes back, what errors do."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from session.talking import AT, answer, f, look, session, suspects, tell

from assistant.engine import engine as engine_module
from assistant.errors import LineError
from assistant.knowledge import load
from assistant.talk import error_object

OUT_KEYS = [
    "turn",
    "understood",
    "unclear",
    "refused",
    "replaced",
    "conflicts",
    "suspects",
    "hazards",
    "stop",
    "next",
    "narrowed_to",
    "verdict",
    "may_close",
    "closed",
    "reply",
    "answer",
    "head",
]


def code(line: Any, *before: Any) -> str:
    s = session()
    for one in before:
        s.take(one)
    with pytest.raises(LineError) as caught:
        s.take(line)
    assert set(error_object(caught.value)["error"]) == {"code", "text"}
    assert caught.value.text
    return caught.value.code


# ------------------------------------------------------------------------------- what comes back
def test_every_turn_has_just_these_keys() -> None:
    s = session()
    for line in (
        {"facts": [f("panel.lights", False)]},
        {"say": "the panel is dark"},
        {"ask": {"why": "panel.dead"}},
        {"take_back": ["f1"]},
        {"answer": {"test": "fuse_check", "cannot": "out of reach"}},
        {"ask": {"close": {"hand_over_to": "yard"}}},
    ):
        assert set(s.take({**line, "at": AT})) == set(OUT_KEYS)


def test_shapes_of_the_parts() -> None:
    s = session()
    tell(s, f("isolator.position", "on"), f("supply.voltage", 12.5, "at_rest"))
    out = tell(
        s,
        f("supply.voltage", 9.0, "at_rest"),
        f("boat.fuel", "petrol"),
        f("boat.fuel_vapour", True),
        f("contactor.wet", False),
        f("panel.lights", 3),
    )
    assert set(out["understood"][0]) == {"id", "about", "what", "value", "unit", "while", "words", "certain"}
    assert [u["id"] for u in out["understood"]] == ["f3", "f4", "f5", "f6"]
    assert set(out["refused"][0]) == {"fact", "why"}
    assert set(out["conflicts"][0]) == {"facts", "text", "settle"}
    assert out["conflicts"][0]["facts"] == ["f2", "f3"]
    assert out["conflicts"][0]["settle"] == "supply_voltage_at_rest"
    for one in out["suspects"]:
        assert set(one) == {"fault", "part", "probability", "state", "because"}
        assert one["state"] in ("open", "proved", "ruled_out")
    for one in out["hazards"]:
        assert set(one) == {"hazard", "level", "kind", "certain", "text", "since", "clear_by"}
        assert set(one["clear_by"]) == {"text", "facts"}
        assert one["kind"] in ("standing", "step")
    step = out["next"]
    required = {"test", "text", "plain_text", "setup", "tools", "minutes", "answers", "why"}
    assert required <= set(step)
    for one in step["answers"]:
        assert set(one) == {"text", "facts"}
    assert isinstance(out["head"], str) and len(out["head"]) >= 32
    json.dumps(out)


def test_replaced_tells_old_and_new() -> None:
    s = session()
    tell(s, f("supply.voltage", 12.5, "at_rest"))
    out = tell(s, f("supply.voltage", 12.45, "at_rest"))
    assert [(r["id"], r["by"]) for r in out["replaced"]] == [("f1", "f2")]
    assert not out["conflicts"]


def test_the_complaint_is_not_replaced() -> None:
    s = session()
    tell(s, f("thruster.runs", "none"))
    out = tell(s, f("thruster.runs", "both"))
    assert out["replaced"] == []


def test_hazards_are_listed_most_severe_first() -> None:
    s = session()
    out = tell(
        s,
        f("panel.plugged", False),
        f("sense_lead.plugged", False),
        f("boat.people_clear", False),
        f("boat.afloat", True),
    )
    levels = ["danger", "warning", "caution", "notice"]
    places = [levels.index(h["level"]) for h in out["hazards"]]
    assert places == sorted(places) and len(places) >= 3


def test_suspects_hold_every_fault_and_sum_to_one() -> None:
    out = look(session())
    assert {x["fault"] for x in out["suspects"]} == {*load().faults, "other"}
    assert suspects(out)["other"]["part"] is None
    total = sum(round(x["probability"] * 10**6) for x in out["suspects"] if x["state"] == "open")
    assert total == 10**6


def test_suspects_come_likeliest_first_and_ruled_out_ones_last() -> None:
    s = session()
    out = tell(s, f("thruster.runs", "port_only"), f("supply.voltage", 12.6, "at_rest"))
    rank = {"proved": 0, "open": 1, "ruled_out": 2}
    order = [(rank[x["state"]], -x["probability"]) for x in out["suspects"]]
    assert order == sorted(order)
    assert any(x["state"] == "ruled_out" for x in out["suspects"])
    assert all(x["because"] for x in out["suspects"] if x["state"] != "open")


# ------------------------------------------------------------------------------- error lines
BAD: list[tuple[Any, str]] = [
    (None, "not_an_object"),
    ([], "not_an_object"),
    ("panel dark", "not_an_object"),
    (7, "not_an_object"),
    (True, "not_an_object"),
    ({}, "empty_line"),
    ({"at": AT}, "empty_line"),
    ({"by": "x"}, "empty_line"),
    ({"asked": "fuse_check"}, "empty_line"),
    ({"say": "x", "colour": 1}, "unknown_key"),
    ({"Say": "x"}, "unknown_key"),
    ({"say": 3}, "wrong_type"),
    ({"say": None}, "wrong_type"),
    ({"facts": {}}, "wrong_type"),
    ({"facts": "f"}, "wrong_type"),
    ({"take_back": "f1"}, "wrong_type"),
    ({"take_back": [1]}, "wrong_type"),
    ({"by": 1, "say": "x"}, "wrong_type"),
    ({"answer": []}, "wrong_type"),
    ({"answer": {"facts": []}}, "wrong_type"),
    ({"answer": {"test": "fuse_check"}}, "wrong_type"),
    ({"answer": {"test": "fuse_check", "facts": [], "cannot": "x"}}, "wrong_type"),
    ({"answer": {"test": "fuse_check", "cannot": 3}}, "wrong_type"),
    ({"answer": {"test": "fuse_check", "facts": {}}}, "wrong_type"),
    ({"answer": {"test": "fuse_check", "facts": [], "when": 1}}, "unknown_key"),
    ({"answer": {"test": "look_at_moon", "facts": []}}, "unknown_test"),
    ({"say": "x", "asked": "look_at_moon"}, "unknown_test"),
    ({"ask": {"why_ask": "look_at_moon"}}, "unknown_test"),
    ({"ask": {"why_ask": 3}}, "unknown_test"),
    ({"ask": []}, "wrong_type"),
    ({"ask": {}}, "wrong_type"),
    ({"ask": {"why": "panel.dead", "why_not": "panel.dead"}}, "wrong_type"),
    ({"ask": {"where": 1}}, "unknown_ask"),
    ({"ask": {"why": "moon.full"}}, "unknown_fault"),
    ({"ask": {"why": 3}}, "unknown_fault"),
    ({"ask": {"why_not": "panel"}}, "unknown_fault"),
    ({"ask": {"what_if": {}}}, "wrong_type"),
    ({"ask": {"close": False}}, "wrong_type"),
    ({"ask": {"close": {}}}, "wrong_type"),
    ({"ask": {"close": {"hand_over_to": " "}}}, "wrong_type"),
    ({"ask": {"close": {"hand_over_to": "yard", "fee": 1}}}, "wrong_type"),
    ({"ask": {"report": "papyrus"}}, "wrong_type"),
    ({"say": "x", "at": "yesterday"}, "bad_time"),
    ({"say": "x", "at": "2026-13-01T10:00:00Z"}, "bad_time"),
    ({"say": "x", "at": "2026-05-01"}, "bad_time"),
    ({"say": "x", "at": 0}, "wrong_type"),
    ({"take_back": ["f1"]}, "unknown_fact"),
    ({"take_back": ["f999"], "facts": []}, "unknown_fact"),
    ({"say": "x" * 20_001}, "too_long"),
]


@pytest.mark.parametrize(("line", "wanted"), BAD, ids=[f"{w}-{i}" for i, (_, w) in enumerate(BAD)])
def test_each_bad_line_has_its_code(line: Any, wanted: str) -> None:
    assert code(line) == wanted


def test_a_closed_case_takes_questions_only() -> None:
    shut = {"ask": {"close": {"hand_over_to": "the yard"}}, "at": AT}
    for line in (
        {"say": "x"},
        {"facts": []},
        {"take_back": []},
        {"answer": {"test": "fuse_check", "cannot": "x"}},
        {"ask": {"help": True}, "say": "x"},
    ):
        assert code(line, shut) == "closed"
    s = session()
    s.take(shut)
    out = s.take({"ask": {"why": "panel.dead"}, "by": "auditor", "at": AT})
    assert out["turn"] == 2 and out["closed"] == {"handed_over_to": "the yard", "open": []}


def test_a_failing_rule_is_an_error_object_and_no_turn(monkeypatch: pytest.MonkeyPatch) -> None:
    kept: list[Any] = []

    class Sink:
        def append(self, entry: Any) -> str:
            kept.append(entry)
            return f"head {len(kept)}"

    s = session(sink=Sink())
    tell(s, f("panel.lights", False))
    monkeypatch.setattr(engine_module, "conclude", lambda rule, used: 1 / 0)
    with pytest.raises(LineError) as caught:
        tell(s, f("port_coil.continuity", False, "isolator_off"))
    assert caught.value.code == "engine" and "port_coil_is_open" in caught.value.text
    assert len(kept) == 1
    monkeypatch.undo()
    out = tell(s, f("port_coil.continuity", False, "isolator_off"))
    assert (out["turn"], out["understood"][0]["id"], out["head"]) == (2, "f2", "head 2")
    assert out["verdict"]["faults"] == ["contactor.port_coil_open"]


GOOD: list[dict[str, Any]] = [
    {"facts": [f("panel.lights", False), f("thruster.runs", "none")]},
    {"facts": [f("supply.voltage", 12.4, "at_rest")]},
    {"say": "the panel stays dark"},
    {"ask": {"why": "panel.dead"}},
    {"take_back": ["f1"]},
    {"answer": {"test": "fuse_check", "facts": [f("main_fuse.blown", False)]}},
    {"answer": {"test": "panel_wake_up", "cannot": "no key"}},
    {"facts": [f("panel.lights", "perhaps"), f("isolator.position", "on")]},
    {"ask": {"close": True}},
]


def run(lines: list[Any]) -> list[str]:
    """Every accepted turn as bytes."""
    s = session()
    out = []
    for line in lines:
        try:
            out.append(json.dumps(s.take({"at": AT, **line} if isinstance(line, dict) and line else line)))
        except LineError as error:
            if isinstance(line, dict) and any(line == g for g in GOOD):
                out.append(error.code)
    return out


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    good=st.lists(st.sampled_from(GOOD), min_size=1, max_size=5),
    bad=st.lists(
        st.tuples(st.integers(0, 5), st.sampled_from([b for b, w in BAD if w != "bad_time"])),
        min_size=1,
        max_size=6,
    ),
)
def test_error_lines_move_nothing(good: list[dict[str, Any]], bad: list[tuple[int, Any]]) -> None:
    """Same turns, ids and heads as if the bad lines had never been sent."""
    mixed: list[Any] = list(good)
    for place, line in bad:
        if line == {"take_back": ["f1"]}:
            line = {"take_back": ["f77"]}
        mixed.insert(min(place, len(mixed)), line)
    assert run(mixed) == run(good)


ANY_JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**6), 10**6)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=8,
)
KEYS = ["say", "facts", "take_back", "answer", "ask", "asked", "by", "at"]


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.dictionaries(st.sampled_from(KEYS), ANY_JSON, max_size=3) | ANY_JSON)
def test_any_json_is_taken_or_refused_cleanly(line: Any) -> None:
    s = FUZZED
    before = json.dumps([s.case.turn, s.case.told, len(s.history)])
    if isinstance(line, dict) and isinstance(line.get("ask"), dict) and "close" in line["ask"]:
        return
    try:
        out = s.take(line)
    except LineError:
        assert json.dumps([s.case.turn, s.case.told, len(s.history)]) == before
    else:
        assert set(out) == set(OUT_KEYS)
        json.dumps(out, allow_nan=False)


FUZZED = session()


# ------------------------------------------------------------------------------- facts refused one by one
REFUSED: list[Any] = [
    3,
    "panel dark",
    None,
    [],
    {},
    {"about": "panel"},
    {"about": "moon", "what": "lights", "value": True},
    {"about": "panel", "what": "glows", "value": True},
    {"about": "panel", "what": "lights"},
    f("panel.lights", "yes"),
    f("panel.lights", 1),
    f("thruster.runs", "sideways"),
    f("thruster.runs", True),
    f("isolator.position", True),
    f("isolator.position", "half"),
    f("supply.voltage", "12"),
    f("supply.voltage", True),
    f("supply.voltage", None),
    f("supply.voltage", 1400),
    f("supply.voltage", 50),
    f("motor.insulation", -1),
    f("port_coil.resistance", -0.1),
    f("battery.state_of_charge", 130),
    f("boat.nominal_voltage", 13),
    f("boat.stations", 0),
    f("supply.voltage", 12, unit="A"),
    f("supply.voltage", 12, unit="furlong"),
    f("supply.voltage", 12, unit=3),
    f("positive_cable.cross_section", "5/0", unit="AWG"),
    f("isolator.kind", "agm"),
    f("motor.kind", "contactor"),
    f("propeller.kind", "manual"),
    f("supply.voltage", 12, "on_the_moon"),
    {**f("supply.voltage", 12), "while": "at_rest"},
    {**f("supply.voltage", 12), "while": [1]},
    f("thermal_switch.continuity", True, "motor_hot", "motor_cold"),
    f("supply.voltage", 12, "isolator_on", "isolator_off"),
    f("supply.voltage", 12, bound="about"),
    f("panel.lights", True, bound="at_least"),
    f("panel.lights", True, certain="maybe"),
    f("panel.lights", True, sure=True),
]


@pytest.mark.parametrize("bad", REFUSED, ids=range(len(REFUSED)))
def test_a_fact_that_cannot_be_is_refused_alone(bad: Any) -> None:
    s = session()
    tell(s, f("boat.nominal_voltage", 12))
    out = tell(s, f("thruster.intermittent", True), bad, f("motor.hot", False))
    assert len(out["refused"]) == 1
    assert out["refused"][0]["why"]
    assert [(u["id"], u["about"]) for u in out["understood"]] == [("f2", "thruster"), ("f3", "motor")]


def test_limits_follow_the_nominal_voltage() -> None:
    s = session()
    tell(s, f("boat.nominal_voltage", 48))
    assert not tell(s, f("supply.voltage", 50, "at_rest"))["refused"]
    assert tell(s, f("supply.voltage", 1400, "at_rest"))["refused"]


def test_any_subject_with_any_attribute_is_kept() -> None:
    out = tell(session(), f("propeller.voltage", 3.0), f("splitter.age", 4), f("tunnel.has_meter", True))
    assert len(out["understood"]) == 3 and not out["refused"]


# ------------------------------------------------------------------------------- units, bounds, aliases
@pytest.mark.parametrize(
    ("name", "value", "unit", "wanted", "own"),
    [
        ("positive_cable.drop", 250, "mV", 0.25, "V"),
        ("supply.voltage", 12, "V", 12, "V"),
        ("motor.current", 0.3, "kA", 300, "A"),
        ("port_coil.resistance", 1.2, "kohm", 1200, "ohm"),
        ("contactor.resistance", 3, "mohm", 0.003, "ohm"),
        ("motor.insulation", 500, "kohm", 0.5, "megohm"),
        ("motor.insulation", 2, "gigohm", 2000, "megohm"),
        ("motor.temperature", 212, "degF", 100, "degC"),
        ("motor.temperature", 32, "°F", 0, "degC"),
        ("motor.temperature", 373.15, "K", 100, "degC"),
        ("thruster.stops_after", 2, "min", 120, "s"),
        ("positive_cable.length", 10, "ft", 3.048, "m"),
        ("main_fuse.distance", 72, "in", 1.8288, "m"),
        ("main_fuse.distance", 250, "mm", 0.25, "m"),
        ("positive_cable.cross_section", "2/0", "AWG", 67.431, "mm2"),
        ("positive_cable.cross_section", 4, "AWG", 21.151, "mm2"),
        ("battery.age", 6, "months", 0.5, "years"),
    ],
)
def test_other_units_of_the_same_quantity_are_converted(
    name: str, value: Any, unit: str, wanted: float, own: str
) -> None:
    got = tell(session(), f(name, value, unit=unit))["understood"][0]
    assert got["value"] == pytest.approx(wanted, rel=1e-6)
    assert got["unit"] == own


def test_a_bound_counts_only_where_the_whole_of_it_is_one_state() -> None:
    out = tell(session(), f("motor.insulation", 500, "isolator_off", bound="at_least"))
    assert state_of(out, "motor.earthed") == "ruled_out"
    out = tell(session(), f("motor.insulation", 500, "isolator_off", bound="at_most"))
    assert state_of(out, "motor.earthed") == "open"
    out = tell(session(), f("motor.insulation", 0.05, "isolator_off", bound="at_most"))
    assert state_of(out, "motor.earthed") == "proved"


def state_of(out: dict[str, Any], fault: str) -> str:
    return str(suspects(out)[fault]["state"])


def test_panel_is_the_station_in_use() -> None:
    one = answer(session(), "panel_wake_up", f("panel.lights", False), f("panel.plugged", True))
    two = answer(session(), "panel_wake_up", f("panel_1.lights", False), f("panel_1.plugged", True))
    assert one["suspects"] == two["suspects"]
    other = answer(session(), "panel_wake_up", f("panel_2.lights", False), f("panel_2.plugged", True))
    assert other["suspects"] != one["suspects"]


def test_isolator_is_written_as_it_is_said() -> None:
    out = tell(session(), f("isolator.position", "off"))
    assert out["understood"][0]["value"] == "off"


# ------------------------------------------------------------------------------- order of the keys in one line
def test_keys_count_in_their_order_whatever_order_they_are_written_in() -> None:
    lines = []
    for order in (("take_back", "facts", "ask"), ("ask", "facts", "take_back")):
        s = session()
        tell(s, f("supply.voltage", 0.0, "at_rest"))
        content = {
            "take_back": ["f1"],
            "facts": [f("supply.voltage", 12.6, "at_rest")],
            "ask": {"why_not": "isolator.left_off"},
        }
        lines.append(s.take({**{k: content[k] for k in order}, "at": AT}))
    for out in lines:
        assert not out["conflicts"] and not out["replaced"]
        assert out["answer"]["why_not"]["state"] == "ruled_out"
    assert {k: v for k, v in lines[0].items() if k != "head"} == {k: v for k, v in lines[1].items() if k != "head"}
    assert lines[0]["head"] == lines[1]["head"]


def test_asking_is_a_turn_and_changes_no_conclusion() -> None:
    s = session()
    before = tell(s, f("thruster.runs", "port_only"))
    for ask in (
        {"why": "panel.starboard_output_dead"},
        {"why_not": "battery.flat"},
        {"why_ask": "fuse_check"},
        {"what_if": [f("starboard_coil.continuity", False, "isolator_off")]},
        {"report": "markdown"},
        {"close": True},
    ):
        after = s.take({"ask": ask, "at": AT})
        assert after["turn"] == before["turn"] + 1
        for key in ("suspects", "hazards", "verdict", "next", "conflicts"):
            assert after[key] == before[key], (ask, key)
        assert after["answer"]
        before = after
    assert s.case.told == 1


def test_what_if_shows_the_proof_and_keeps_nothing() -> None:
    s = session()
    tell(s, f("thruster.runs", "port_only"))
    out = s.take({"ask": {"what_if": [f("starboard_coil.continuity", False, "isolator_off")]}, "at": AT})
    assert out["answer"]["what_if"]["proved"] == ["contactor.starboard_coil_open"]
    assert out["verdict"] is None and out["understood"] == []
