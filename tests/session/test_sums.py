"""What a person says with a figure in it, and the arithmetic that comes back: shown, with what it took for granted."""

from __future__ import annotations

import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from session.talking import described, f, proved, session, state, suspects, tell

AT = "2026-05-01T10:{:02d}:00Z"


def said(*lines: str) -> str:
    """The last reply of a conversation in words, five minutes from line to line."""
    s = session()
    return [s.take({"say": line, "at": AT.format(5 * n)}) for n, line in enumerate(lines)][-1]["reply"]


def sums(reply: str) -> list[str]:
    return [line.removeprefix("The sum: ") for line in reply.split("\n") if line.startswith("The sum: ")]


# lines said, then pieces that must stand in one sum of the last reply; every figure is worked out by hand
SAID: list[tuple[list[str], list[str]]] = [
    # flooded table: 12.24 V is 50 %, 12.06 V is 25 %; 12.1 V lies at 25 + 25 · 0.04/0.18 = 31 %
    (["battery 12.1 V at rest"], ["about 31 % charged", "flooded"]),
    (["lithium battery", "battery 13.1 V at rest"], ["about 50 % charged", "hardly tells"]),
    # 0.00432 V a kelvin: 21.7 K below the table's temperature makes 12.1 V count as 12.01 V, 17 %
    (["battery is 5 degrees", "battery 12.1 V at rest"], ["about 17 % charged", "5 °C"]),
    (["specific gravity 1.15, battery at 5 degrees"], ["1.134 at 27 °C", "about 10 % charged"]),
    # 1.8 V over 310 A is 5.8 milliohm; (12.45 − 7.2) / 850 · 0.6 is 3.7 milliohm
    (["850 A cold cranking", "battery 12.7 at rest, 10.9 under load at 310 A"],
     ["12.7 − 10.9 = 1.8 V at 310 A: 5.8 mΩ", "850 A cold cranking promises 3.7 mΩ"]),
    # 12.65 − 310 · 0.0037 = 11.5 V; with 250 A cold cranking 12.65 − 310 · 0.0126 = 8.7 V
    (["850 A cold cranking", "motor is rated 310 A"], ["11.5 V", "10.5 V is enough"]),
    (["250 A cold cranking", "motor is rated 310 A"], ["8.7 V", "too small a bank for this motor"]),
    # class 5, 50 mm²: 0.386 ohm/km; 12 m at 310 A are 1.4 V; 70 mm² loses 1.0 V, 240 mm² 0.3 V
    (["motor is rated 310 A", "cable is 50 mm2, 6 m long"],
     ["2 × 6 m of 50 mm² cost 1.4 V at 310 A, 12 % of 12 V", "for 10 % it takes 70 mm², for 3 % 240 mm²"]),
    # 33 CFR: 50 mm² counts as 1 AWG, 245 A, and half as much again is 368 A; 0.8 · 310 is 248 A
    (["motor is rated 310 A", "cable is 50 mm2, 6 m long", "main fuse is 250 A"],
     ["up to 368 A", "248 A at least", "fits both"]),
    (["motor is rated 310 A", "cable is 50 mm2, 6 m long", "main fuse is 500 A"], ["too large for the cable"]),
    (["the main fuse sits 0.5 m along the cable from the battery"], ["near enough if the cable is sheathed", "1.83 m"]),
    (["motor is rated 310 A", "main fuse blown, it is a 200 A fuse"],
     ["200 A fuse, likeliest first: a fuse too small", "short", "age or heat"]),
    # 1.2 V over 6 m of 50 mm² (2.3 mΩ) and sound hardware (0.3 mΩ): some 460 A if nothing is wrong on that side
    (["cable is 50 mm2, 6 m long", "1.2 V lost along the positive cable under load"],
     ["if nothing on that side loses too much, and less if something does"]),
    # 9.1 of 12 V: between the linear 76 % and the square root's 87 % of the speed; push goes as its square
    (["motor current 310 A under load", "studs 9.1 V under load"],
     ["78 to 86 % of the speed", "61 to 74 % of the push"]),
    # 6.5 V over 8 mΩ is 812 A: 900 A is a tenth more than a standing motor draws
    (["motor resistance is 8 milliohm", "motor current 900 A under load", "studs 6.5 V under load"],
     ["111 %", "it stands"]),
    (["motor resistance is 8 milliohm", "motor current 310 A under load", "studs 10 V under load"],
     ["25 %", "it runs"]),
    # the rating alone leaves the resistance open by more than two to one
    (["motor is rated 310 A", "motor current 900 A under load", "studs 6.5 V under load"], ["not to be told"]),
    (["motor is rated 310 A", "motor resistance is 0.3 ohm"], ["cannot be the motor's own", "40 A", "its own leads"]),
    # no clamp meter: the rated current stands in, aloud; 12.3 − 9.1 is twice what 12 m of 50 mm² may cost at 310 A
    (["motor is rated 310 A", "cable is 50 mm2, 6 m long", "battery 12.3 V under load, studs 9.1 V under load"],
     ["12.3 − studs 9.1 = 3.2 V at an assumed 310 A", "should cost 1.5 V", "1.7 V too much"]),
    (["drop across the contactor 0.25 V at 100 A"], ["2.5 mΩ and 25 W", "burnt"]),
    (["7.5 V at the port coil when port asked for"], ["62 % of 12 V", "10.2 V", "1.2 V", "may or may not pull in"]),
    (["port coil 6.2 ohm"], ["1.9 A at 12 V"]),
    # three times ten kelvin above 40 °C: a factor of eight
    (["insulation 0.3 megohm, motor at 70 degrees"], ["0.3 MΩ at 70 °C is 2.4 MΩ at 40 °C", "5 MΩ"]),
    (["insulation 0.3 megohm"], ["temperature not told", "a hot winding reads low"]),
    (["ran for 90 seconds"], ["90 s of run are left"]),
]  # fmt: skip


@pytest.mark.parametrize(("lines", "pieces"), SAID, ids=[" / ".join(lines) for lines, _ in SAID])
def test_the_sum_is_shown_where_it_was_asked_for_by_a_reading(lines: list[str], pieces: list[str]) -> None:
    found = sums(said(*lines))
    assert any(all(piece in line for piece in pieces) for line in found), found


def test_what_a_rest_gives_back_counts_in_the_run_that_is_left() -> None:
    """A rest of five minutes at half an hour's time constant takes 15 % of the warmth away."""
    left = {}
    for minutes in (0, 5, 50):
        s = session()
        s.take({"say": "ran for 90 seconds", "at": AT.format(0)})
        reply = s.take({"say": "ran for 60 seconds", "at": AT.format(minutes)})["reply"]
        found = re.search(r"ran 150 s.*?(\d+) s of run are left", reply)
        assert found, reply
        left[minutes] = int(found[1])
    assert left[0] == 30 and left[0] < left[5] < left[50] < 120


@pytest.mark.parametrize(
    "line",
    [
        "motor current 310 A under load",
        "battery 10.9 V under load",
        "main fuse blown",
        "main fuse is 250 A",
        "850 A cold cranking",
        "cable is 50 mm2",
        "studs 12.5 V at rest",
        "drop across the contactor 0.25 V",
    ],
)
def test_a_missing_datum_makes_no_sum(line: str) -> None:
    assert sums(said(line)) == []


def test_readings_before_a_repair_make_no_sum_with_those_after_it() -> None:
    s = session()
    tell(s, f("battery.voltage", 12.7, "at_rest"), f("motor.current", 310, "under_load"))
    tell(s, f("battery.replaced", True))
    assert not any("inside" in line for line in sums(tell(s, f("battery.voltage", 11.9, "under_load"))["reply"]))


FIGURES: list[tuple[str, tuple[str, ...], float, float]] = [
    ("battery.voltage", ("at_rest",), -100, 100),
    ("battery.voltage", ("under_load",), -100, 100),
    ("battery.temperature", (), -60, 600),
    ("battery.specific_gravity", (), 1.0, 1.4),
    ("battery.cold_cranking_amps", (), 10, 5000),
    ("supply.voltage", ("under_load",), -100, 100),
    ("motor.current", ("under_load",), -3000, 3000),
    ("motor.rating", (), 0.1, 3000),
    ("motor.resistance", ("isolator_off",), 0, 1e8),
    ("motor.insulation", ("isolator_off",), 0, 1e6),
    ("motor.temperature", (), -60, 600),
    ("main_fuse.rating", (), 0.1, 3000),
    ("main_fuse.distance", (), 0, 60),
    ("main_fuse.drop", ("under_load",), -100, 100),
    ("positive_cable.length", (), 0, 200),
    ("positive_cable.cross_section", (), 0.2, 1000),
    ("positive_cable.drop", ("under_load",), -100, 100),
    ("negative_cable.drop", ("under_load",), -100, 100),
    ("contactor.drop", ("under_load",), -100, 100),
    ("port_coil.voltage", ("port_commanded",), -100, 100),
    ("port_coil.resistance", ("isolator_off",), 0, 1e8),
    ("thruster.ran_for", (), 0, 36000),
]


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_whatever_figures_are_told_a_turn_comes_back(data: st.DataObject) -> None:
    rows = data.draw(st.lists(st.sampled_from(FIGURES), min_size=2, max_size=8, unique=True))
    told = [f(name, data.draw(st.floats(low, high)), *scene) for name, scene, low, high in rows]
    reply = tell(session(), f("boat.nominal_voltage", data.draw(st.sampled_from([12, 24, 48]))), *told)["reply"]
    assert not re.search(r"\b(nan|inf)\b|[{}]|None", reply)


def test_a_coil_of_next_to_no_resistance_makes_no_sum() -> None:
    out = tell(session(), f("boat.nominal_voltage", 12), f("port_coil.resistance", 5e-324, "isolator_off"))
    assert "inf" not in out["reply"]


def test_a_fuse_that_blows_again_speaks_for_what_blows_fuses() -> None:
    s = session()
    tell(s, *described(), f("thruster.runs", "none"))
    first = tell(s, f("main_fuse.blown", True))
    tell(s, f("main_fuse.replaced", True))
    again = tell(s, f("thruster.runs", "none"), f("main_fuse.blown", True))
    for fault in ("motor.short_circuit", "motor.seized", "motor.earthed", "main_fuse.wrong"):
        shares = [suspects(out)[fault]["probability"] for out in (first, again)]
        assert shares[1] > 0.1 and shares[1] > 1.5 * shares[0], (fault, shares)
        assert state(again, fault) == "open"


# ------------------------------------------------------------------------------- taken for granted
def granted(out: dict[str, Any]) -> str:
    return next((line for line in out["reply"].split("\n") if line.startswith("Taken for granted")), "")


def test_what_is_taken_for_granted_is_said_once_and_in_the_reasons() -> None:
    s = session()
    first = tell(s, f("battery.voltage", 11.6, "at_rest"))
    assert "12 V (judged from the readings)" in granted(first) and "flooded" in granted(first)
    assert proved(first) == ["battery.flat"]
    assert granted(tell(s, f("panel.lights", True))) == ""
    why = s.take({"ask": {"why": "battery.flat"}, "at": AT.format(1)})["answer"]["why"]["text"]
    assert "Taken for granted in this" in why and "flooded" in why


def test_nothing_is_taken_for_granted_that_was_told() -> None:
    s = session()
    tell(s, *described(), f("battery.kind", "agm"))
    assert granted(tell(s, f("battery.voltage", 12.7, "at_rest"))) == ""
    assert "0.2 V" in granted(tell(s, f("main_fuse.drop", 0.5, "under_load")))
    tell(s, f("motor.current", 300, "under_load"), f("motor.rating", 300))
    assert granted(tell(s, f("isolator.drop", 0.05, "under_load"))) == ""


# ------------------------------------------------------------------------------- what the sums decide
def after(*facts: dict[str, Any]) -> dict[str, Any]:
    s = session()
    tell(s, *described())
    return tell(s, *facts)


@pytest.mark.parametrize(
    ("kind", "volts", "says"),
    [("lithium", 12.6, "proved"), ("flooded", 11.9, "proved"), ("agm", 12.1, "proved"), ("agm", 12.7, "unlikely"),
     ("lithium", 13.2, "unlikely"), ("flooded", 12.15, "left open"), ("agm", 12.15, "left open")],
)  # fmt: skip
def test_the_kind_of_battery_decides_what_a_rest_voltage_says(kind: str, volts: float, says: str) -> None:
    """Where the tables leave it open the battery is neither condemned nor cleared."""
    told = f("thruster.runs", "none"), f("battery.kind", kind)
    before, out = after(*told), after(*told, f("battery.voltage", volts, "at_rest"))
    chances = [suspects(o)["battery.flat"]["probability"] for o in (before, out)]
    if says == "proved":
        assert state(out, "battery.flat") == "proved"
    else:
        assert state(out, "battery.flat") == "open"
        assert chances[1] < chances[0] / 5 if says == "unlikely" else chances[1] > chances[0]


def test_a_cold_battery_is_read_by_its_temperature() -> None:
    read = f("battery.voltage", 12.2, "at_rest")
    warm, cold = after(read), after(f("battery.temperature", -5), read)
    assert state(warm, "battery.flat") != "proved" and state(cold, "battery.flat") == "proved"


def test_a_battery_that_sags_as_its_rating_promises_is_not_condemned() -> None:
    """300 A cold cranking promises 10.5 mΩ: 300 A take 3.2 V from it, and it is sound."""
    read = [f("battery.voltage", 12.7, "at_rest"), f("motor.current", 300, "under_load"),
            f("battery.uneven", False, "under_load"), f("battery.voltage", 9.6, "under_load")]  # fmt: skip
    assert proved(after(*read)) == ["battery.weak"]
    small = after(f("battery.cold_cranking_amps", 300), *read)
    assert proved(small) == []
    assert proved(after(f("battery.cold_cranking_amps", 1000), *read)) == ["battery.weak"]


def test_a_hot_winding_is_not_condemned_for_reading_low() -> None:
    read = f("motor.insulation", 0.3, "isolator_off")
    assert proved(after(read)) == ["motor.earthed"]
    assert proved(after(f("motor.temperature", 70), read)) == []


def test_a_coil_with_too_little_voltage_points_upstream_and_not_to_the_coil() -> None:
    """7 of 12 V: below the 85 % at which a coil must pull in, above what it must let go at."""
    facts = [f("thruster.runs", "none"), f("contactor.clicks", False, "port_commanded")]
    weak, full = (after(*facts, f("port_coil.voltage", volts, "port_commanded")) for volts in (7.0, 12.0))
    share = {
        fault: [suspects(out)[fault]["probability"] for out in (weak, full)]
        for fault in ("battery.flat", "contactor.port_coil_open")
    }
    assert share["battery.flat"][0] > share["battery.flat"][1]
    assert share["contactor.port_coil_open"][0] < share["contactor.port_coil_open"][1]


@pytest.mark.parametrize(("current", "lossy"), [(90, True), (300, False)])
def test_a_joint_is_judged_by_the_current_through_it(current: float, lossy: bool) -> None:
    """0.15 V is 0.5 mΩ at 300 A and 1.7 mΩ at 90 A."""
    out = after(f("motor.current", current, "under_load"), f("main_fuse.drop", 0.15, "under_load"))
    assert (state(out, "main_fuse.poor_contact") == "proved") is lossy


def test_a_long_thin_cable_is_not_called_a_bad_joint() -> None:
    """2 V along 10 m of 50 mm² at 500 A is what copper costs; the same along 3 m is not."""
    rest = [f("motor.rating", 500), f("motor.current", 500, "under_load"), f("positive_cable.cross_section", 50),
            f("battery_terminal.drop", 0.02, "under_load"), f("main_fuse.drop", 0.1, "under_load"),
            f("isolator.drop", 0.04, "under_load"), f("positive_cable.drop", 2.1, "under_load")]  # fmt: skip
    assert proved(after(f("positive_cable.length", 10), *rest)) == []
    assert proved(after(f("positive_cable.length", 3), *rest)) == ["positive_cable.poor_contact"]


def test_at_most_and_at_least_are_taken_at_their_worst() -> None:
    below = after(f("main_fuse.drop", 0.1, "under_load", bound="at_least"), f("motor.current", 300, "under_load"))
    assert state(below, "main_fuse.poor_contact") == "open"
    above = after(f("main_fuse.drop", 0.5, "under_load", bound="at_least"), f("motor.current", 300, "under_load"))
    assert state(above, "main_fuse.poor_contact") == "proved"


def test_a_sum_takes_the_current_that_was_read_with_its_voltage() -> None:
    """12.7 − 9.6 V at 300 A is 10 mΩ, whatever current is told of a later run."""
    s = session()
    s.take({"facts": [f("battery.voltage", 12.7, "at_rest")]})
    s.take({"facts": [f("battery.voltage", 9.6, "under_load"), f("motor.current", 300, "under_load")]})
    reply = s.take({"facts": [f("motor.current", 110, "under_load")]})["reply"]
    assert "at 300 A" in reply and "10 mΩ" in reply
