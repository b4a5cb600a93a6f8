"""What people report and what each test tells, row by row, as the trade sees it.

Expectations are common practice of the trade: what a report can mean, what a reading acquits, what it leaves open,
what proves a part. None of them is taken from what the program answers.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest
from session.talking import (
    answer,
    described,
    f,
    hazards,
    leading,
    look,
    proved,
    ruled_out,
    session,
    state,
    suspects,
    tell,
)

BRIDGED = ("command_bridged_port", "command_bridged_starboard")
FED = ("coil_energised_port", "coil_energised_starboard")
OFF, LIFTED = f("panel.plugged", False), f("sense_lead.plugged", False)


@cache
def before(motor: str | None) -> dict[str, float]:
    return {k: x["probability"] for k, x in suspects(after([], motor)).items()}


def after(facts: list[dict[str, Any]], motor: str | None = None, **wishes: Any) -> dict[str, Any]:
    s = session()
    told = [*described(*wishes.get("leave_out", ())), *wishes.get("boat", ())]
    if motor:
        told.append(f("motor.kind", motor))
    out = tell(s, *told)
    return tell(s, *facts) if facts else out


# ------------------------------------------------------------------------------- what people report
Row = tuple[str, list[dict[str, Any]], list[str], str | None]
REPORTS: list[Row] = [
    (
        "panel stays dark",
        [f("panel.lights", False), f("thruster.runs", "none")],
        [
            "battery.flat",
            "main_fuse.blown",
            "isolator.left_off",
            "isolator.failed_open",
            "positive_cable.open",
            "negative_cable.open",
            "control_fuse.blown",
            "harness.supply_open",
            "panel.dead",
            "panel.not_switched_on",
        ],
        None,
    ),
    (
        "panel lights, nothing happens",
        [f("panel.lights", True), f("thruster.runs", "none")],
        [
            "control_unit.dead",
            "thermal_switch.failed_open",
            "sense_lead.open",
            "contactor.no_output",
            "contactor.both_closed",
            "motor.open_circuit",
            "motor.seized",
            "panel.output_stuck",
            "harness.signal_shorted",
            "panel.dead",
        ],
        None,
    ),
    (
        "clicks but does not turn",
        [f("panel.lights", True), f("contactor.clicks", True), f("thruster.runs", "none")],
        ["contactor.no_output", "motor.open_circuit", "battery.weak", "motor.seized"],
        None,
    ),
    (
        "works to port only",
        [f("thruster.runs", "port_only")],
        [
            "panel.starboard_output_dead",
            "harness.starboard_signal_open",
            "control_unit.starboard_drive_dead",
            "coil_lead.starboard_open",
            "contactor.starboard_coil_open",
            "contactor.starboard_contact_open",
        ],
        None,
    ),
    (
        "works to port only, split field",
        [f("thruster.runs", "port_only")],
        ["motor.one_field_open", "contactor.starboard_coil_open"],
        "series_split_field",
    ),
    (
        "works to port only, permanent magnet",
        [f("thruster.runs", "port_only")],
        ["contactor.return_contact_open", "contactor.starboard_coil_open"],
        "permanent_magnet",
    ),
    (
        "hums and is slow",
        [f("thruster.runs", "both"), f("thruster.thrust", "weak"), f("thruster.noise", "hum")],
        [
            "battery.flat",
            "battery.weak",
            "battery_terminal.poor_contact",
            "main_fuse.poor_contact",
            "isolator.poor_contact",
            "positive_cable.poor_contact",
            "negative_cable.poor_contact",
            "contactor.poor_contact",
            "motor.poor_brushes",
            "propeller.fouled",
        ],
        None,
    ),
    (
        "runs, no push",
        [f("thruster.runs", "both"), f("thruster.thrust", "none")],
        ["coupling.broken", "propeller.lost", "tunnel.blocked", "propeller.fouled"],
        None,
    ),
    (
        "stops after a minute, works after a rest",
        [f("thruster.stops_after", 60), f("thruster.works_again_after_rest", True)],
        ["thermal_switch.tripped_hot", "positive_cable.poor_contact", "main_fuse.poor_contact", "propeller.fouled"],
        None,
    ),
    (
        "stops after a minute, does not come back",
        [f("thruster.stops_after", 60), f("thruster.works_again_after_rest", False)],
        ["thermal_switch.failed_open", "main_fuse.blown", "isolator.failed_open"],
        None,
    ),
    (
        "now and then",
        [f("thruster.intermittent", True)],
        ["harness.poor_contact", "battery_terminal.poor_contact", "positive_cable.poor_contact", "motor.poor_brushes"],
        None,
    ),
    (
        "runs by itself",
        [f("thruster.runs_by_itself", "at_power_on"), f("isolator.position", "off")],
        [
            "contactor.welded",
            "control_unit.output_stuck",
            "panel.output_stuck",
            "harness.signal_shorted",
            "coil_lead.shorted",
        ],
        None,
    ),
    (
        "keeps running after release",
        [f("thruster.runs_by_itself", "after_release"), f("isolator.position", "off")],
        ["contactor.welded", "control_unit.output_stuck", "panel.output_stuck"],
        None,
    ),
    (
        "main fuse blows",
        [
            f("main_fuse.blown", True, "before_the_trouble"),
            f("main_fuse.replaced", True, "before_the_trouble"),
            f("main_fuse.blown", True, "port_commanded"),
        ],
        ["motor.short_circuit", "motor.seized", "motor.earthed", "main_fuse.wrong", "propeller.fouled"],
        None,
    ),
    (
        "goes the wrong way",
        [f("thruster.runs", "both"), f("thruster.direction", "reversed")],
        ["signals.crossed"],
        None,
    ),
    (
        "panel switches itself off",
        [f("panel.switches_off_by_itself", True)],
        ["panel.not_switched_on", "battery.flat", "battery.weak", "harness.poor_contact"],
        None,
    ),
    (
        "worked until the batteries were changed",
        [f("battery.replaced", True, "before_the_trouble"), f("thruster.runs", "none")],
        [
            "positive_cable.open",
            "negative_cable.open",
            "battery_terminal.poor_contact",
            "main_fuse.blown",
            "battery.weak",
        ],
        None,
    ),
    (
        "worked until the panel was changed",
        [f("panel.replaced", True, "before_the_trouble"), f("thruster.runs", "none")],
        ["harness.supply_open", "panel.not_switched_on"],
        None,
    ),
    (
        "the panel was changed, and now it goes the wrong way",
        [f("panel.replaced", True, "before_the_trouble"), f("thruster.direction", "reversed")],
        ["signals.crossed"],
        None,
    ),
]


@pytest.mark.parametrize("row", REPORTS, ids=lambda r: r[0])
def test_a_report_raises_what_it_can_mean_and_excludes_none_of_it(row: Row) -> None:
    _, facts, causes, motor = row
    out = after(facts, motor)
    now, was = suspects(out), before(motor)
    raised = {x: now[x]["probability"] / was[x] for x in was if was[x]}
    usual = sorted(raised.values())[len(raised) // 2]
    for cause in causes:
        assert now[cause]["state"] != "ruled_out", cause
        assert raised[cause] > usual, f"{cause} is raised no more than any other"
    assert out["next"] is not None or out["verdict"] is not None


@pytest.mark.parametrize("kind", ["remote"])
def test_an_isolator_that_will_not_close(kind: str) -> None:
    boat = [f("isolator.kind", kind)]
    out = after([f("isolator.obeys", False), f("isolator.continuity", False, "isolator_on")], boat=boat)
    assert set(leading(out, 2)) == {"isolator_command.failed", "isolator.failed_open"}
    out = after([f("isolator.obeys", False), f("isolator.continuity", False, "isolator_on")])
    assert state(out, "isolator_command.failed") == "ruled_out"
    assert proved(out) == ["isolator.failed_open"]


def test_an_isolator_that_will_not_open() -> None:
    out = after([f("isolator.continuity", True, "isolator_off")], boat=[f("isolator.kind", "remote")])
    assert set(leading(out, 2)) == {"isolator.stuck_closed", "isolator_command.stuck_on"}
    assert "cannot_isolate" in hazards(out)
    out = after([f("isolator.continuity", True, "isolator_off")])
    assert proved(out) == ["isolator.stuck_closed"]


OPEN_COMMON = {
    "main_fuse.blown",
    "isolator.left_off",
    "isolator.failed_open",
    "positive_cable.open",
    "negative_cable.open",
    "control_fuse.blown",
    "harness.supply_open",
    "panel.dead",
    "control_unit.dead",
    "sense_lead.open",
    "thermal_switch.failed_open",
    "contactor.no_output",
    "contactor.both_closed",
    "motor.open_circuit",
    "motor.seized",
}
MARGINAL = {
    "battery.weak",
    "battery.flat",
    "battery_terminal.poor_contact",
    "main_fuse.poor_contact",
    "isolator.poor_contact",
    "positive_cable.poor_contact",
    "negative_cable.poor_contact",
    "contactor.poor_contact",
    "motor.poor_brushes",
    "gear_leg.damaged",
    "propeller.fouled",
}


@pytest.mark.parametrize("way", ["port", "starboard"])
def test_one_way_only_acquits_what_both_ways_share_of_being_open(way: str) -> None:
    out = after([f("thruster.runs", f"{way}_only")])
    assert ruled_out(out) >= OPEN_COMMON
    assert not ruled_out(out) & MARGINAL
    assert not any(f"{way}_" in x for x in leading(out, 4))


def test_a_quiet_boat_with_an_unknown_motor_leans_on_no_kind() -> None:
    out = after([f("thruster.runs", "port_only")])
    assert state(out, "motor.one_field_open") == "open" and state(out, "contactor.return_contact_open") == "open"
    out = after([f("thruster.runs", "port_only")], "series_reversed")
    assert state(out, "motor.one_field_open") == "ruled_out"


def test_what_stops_warm_and_comes_back_is_first_the_cut_out_doing_its_job() -> None:
    out = after([f("thruster.stops_after", 60), f("thruster.works_again_after_rest", True), f("motor.hot", True)])
    assert proved(out) == ["thermal_switch.tripped_hot"] or leading(out, 1) == ["thermal_switch.tripped_hot"]
    out = after([f("thruster.stops_after", 60), f("thruster.works_again_after_rest", False)])
    assert leading(out, 1) != ["thermal_switch.tripped_hot"]


@pytest.mark.parametrize(
    ("facts", "cheap"),
    [
        ([f("panel.lights", False), f("thruster.runs", "none")], {"panel_wake_up", "isolator_check", "fuse_check"}),
        (
            [f("panel.lights", True), f("thruster.runs", "none")],
            {"panel_wake_up", "motor_temperature", "thruster_sound"},
        ),
    ],
    ids=["dark", "dead"],
)
def test_innocent_causes_come_first_when_they_are_cheap(facts: list[dict[str, Any]], cheap: set[str]) -> None:
    assert after(facts)["next"]["test"] in cheap


# ------------------------------------------------------------------------------- supply
def test_nothing_at_the_studs_is_upstream() -> None:
    out = after([f("panel.lights", False), f("thruster.runs", "none"), f("supply.voltage", 0.1, "at_rest")])
    upstream = {
        "main_fuse.blown",
        "isolator.left_off",
        "isolator.failed_open",
        "positive_cable.open",
        "negative_cable.open",
    }
    assert set(leading(out, 5)) == upstream
    assert sum(suspects(out)[x]["probability"] for x in upstream) > 0.8
    assert out["next"]["test"] in {"isolator_check", "fuse_check", "pole_check", "lug_check", "battery_voltage_at_rest"}


def test_full_voltage_at_rest_acquits_open_faults_only() -> None:
    out = after([f("thruster.runs", "none"), f("supply.voltage", 12.6, "at_rest")])
    assert ruled_out(out) >= {
        "main_fuse.blown",
        "isolator.left_off",
        "isolator.failed_open",
        "positive_cable.open",
        "negative_cable.open",
    }
    assert not ruled_out(out) & MARGINAL


@pytest.mark.parametrize(("nominal", "volts"), [(24, 25.2), (36, 37.8), (48, 50.4)])
def test_limits_scale_with_the_boat(nominal: int, volts: float) -> None:
    boat = [f("boat.nominal_voltage", nominal)]
    full = after([f("supply.voltage", volts, "at_rest")], boat=boat)
    assert state(full, "main_fuse.blown") == "ruled_out"
    next_to_nothing = after([f("supply.voltage", volts / 8, "at_rest")], boat=boat)
    assert state(next_to_nothing, "main_fuse.blown") == "open"
    assert "main_fuse.blown" in leading(next_to_nothing, 6)
    rest = after([f("battery.voltage", 11.6 / 12 * nominal, "at_rest")], boat=boat)
    assert proved(rest) == ["battery.flat"]


def test_which_pole_is_open() -> None:
    dead = [f("thruster.runs", "none"), f("panel.lights", False)]
    out = after([*dead, f("positive_cable.voltage", 12.6, "at_rest"), f("negative_cable.voltage", 0.0, "at_rest")])
    assert proved(out) == ["negative_cable.open"]
    out = after([*dead, f("positive_cable.voltage", 0.0, "at_rest"), f("negative_cable.voltage", 12.6, "at_rest")])
    assert proved(out) == [] and state(out, "negative_cable.open") == "ruled_out"


# ------------------------------------------------------------------------------- loss under load
def test_no_current_no_drop() -> None:
    """An attempt that draws nothing acquits and condemns nothing."""
    out = after(
        [
            f("thruster.runs", "none"),
            f("thruster.runs", "none", "under_load"),
            f("positive_cable.drop", 0.0, "under_load"),
            f("negative_cable.drop", 0.0, "under_load"),
            f("supply.voltage", 12.6, "under_load"),
            f("battery.voltage", 12.7, "under_load"),
            f("motor.current", 0, "under_load"),
        ]
    )
    assert not ruled_out(out) & MARGINAL
    assert not [p for p in proved(out) if p in MARGINAL]


LOSS = [f("thruster.runs", "both"), f("thruster.thrust", "weak"), f("motor.current", 300, "under_load")]
APART = [
    f("battery_terminal.drop", 0.02, "under_load"),
    f("main_fuse.drop", 0.05, "under_load"),
    f("isolator.drop", 0.05, "under_load"),
]


def test_the_cable_is_proved_only_when_the_rest_of_its_leg_was_measured_apart() -> None:
    high = f("positive_cable.drop", 2.5, "under_load")
    out = after([*LOSS, high])
    assert proved(out) == []
    leg = {
        "positive_cable.poor_contact",
        "isolator.poor_contact",
        "main_fuse.poor_contact",
        "battery_terminal.poor_contact",
    }
    assert set(leading(out, 3)) <= leg
    for missing in range(3):
        assert proved(after([*LOSS, high, *APART[:missing], *APART[missing + 1 :]])) == []
    assert proved(after([*LOSS, high, *APART])) == ["positive_cable.poor_contact"]


def test_each_joint_is_proved_by_its_own_drop() -> None:
    for part in ("battery_terminal", "main_fuse", "isolator"):
        assert proved(after([*LOSS, f(f"{part}.drop", 1.5, "under_load")])) == [f"{part}.poor_contact"]


def test_loss_is_judged_by_what_the_cable_should_cost() -> None:
    cable = [f("negative_cable.length", 12), f("negative_cable.cross_section", 35)]
    drop = f("negative_cable.drop", 2.0, "under_load")
    clamp = f("battery_terminal.drop", 0.02, "under_load")
    assert proved(after([*LOSS, *cable, drop, clamp])) == []
    short = [f("negative_cable.length", 2), f("negative_cable.cross_section", 95)]
    assert proved(after([*LOSS, *short, drop, clamp])) == ["negative_cable.poor_contact"]


def test_a_battery_pulled_down_by_too_much_current_is_not_weak() -> None:
    facts = [
        f("battery.voltage", 12.7, "at_rest"),
        f("battery.uneven", False, "under_load"),
        f("thruster.thrust", "weak"),
    ]
    sags = f("battery.voltage", 9.6, "under_load")
    assert proved(after([*facts, sags, f("motor.current", 300, "under_load")])) == ["battery.weak"]
    assert "battery.weak" not in proved(after([*facts, sags, f("motor.current", 950, "under_load")]))
    assert "battery.weak" not in proved(after([*facts, sags]))


def test_an_empty_battery_at_rest() -> None:
    out = after([f("thruster.thrust", "weak"), f("battery.voltage", 11.4, "at_rest")])
    assert proved(out) == ["battery.flat"]


# ------------------------------------------------------------------------------- panel
def woken(*more: dict[str, Any], boat: list[dict[str, Any]] | None = None) -> dict[str, Any]:
    s = session()
    tell(s, *described(), *(boat or []))
    answer(s, "panel_wake_up", f("panel.lights", False), f("thruster.runs", "none"))
    out = look(s)
    for one in more:
        out = tell(s, OFF, one) if "command_bridged_port" in one.get("while", ()) else tell(s, one)
    return out


PLUG_LIVE, PLUG_DEAD = f("panel_lead.voltage", 12.5), f("panel_lead.voltage", 0.0)
STUDS = f("supply.voltage", 12.6, "at_rest")


def test_dark_with_supply_on_its_plug_is_the_panel() -> None:
    out = woken(STUDS, PLUG_LIVE)
    assert leading(out, 1) == ["panel.dead"] and suspects(out)["panel.dead"]["probability"] > 0.6
    pins = [f("harness.corroded", False), f("harness.loose", False), f("harness.intermittent", False)]
    assert proved(woken(STUDS, PLUG_LIVE, *pins)) == ["panel.dead"]


def test_dark_without_supply_on_its_plug_is_not_the_panel() -> None:
    out = woken(STUDS, PLUG_DEAD)
    assert suspects(out)["panel.dead"]["probability"] < 0.05 and proved(out) == []
    assert set(leading(out, 3)) >= {"harness.supply_open", "control_fuse.blown"}


# ------------------------------------------------------------------------------- command bridge
def test_bridged_and_running_both_ways() -> None:
    out = woken(PLUG_LIVE, f("thruster.runs", "both", *BRIDGED))
    assert proved(out) == ["panel.dead"]
    assert not ruled_out(out) & MARGINAL, "it says nothing of thrust, heat or loss"
    assert ruled_out(out) >= {
        "control_unit.dead",
        "contactor.no_output",
        "motor.open_circuit",
        "harness.supply_open",
        "sense_lead.open",
    }


def test_a_panel_not_switched_on_properly_is_not_condemned() -> None:
    out = after(
        [f("panel.lights", False), f("thruster.runs", "none"), PLUG_LIVE, OFF, f("thruster.runs", "both", *BRIDGED)]
    )
    assert proved(out) == []


def test_with_several_stations_it_alone_must_fail() -> None:
    boat = [f("boat.stations", 2)]
    others = [f("panel_2.lights", False), f("panel_2.runs", "none")]
    out = woken(PLUG_LIVE, *others, f("thruster.runs", "both", *BRIDGED), boat=boat)
    assert "panel.dead" not in proved(out)


def test_bridged_and_running_neither_way_points_downstream() -> None:
    out = woken(PLUG_LIVE, f("thruster.runs", "none", *BRIDGED))
    assert proved(out) == []
    down = {
        "control_unit.dead",
        "sense_lead.open",
        "thermal_switch.failed_open",
        "contactor.no_output",
        "motor.open_circuit",
    }
    now = suspects(out)
    assert sum(now[x]["probability"] for x in down) > sum(
        now[x]["probability"] for x in OPEN_COMMON - down - {"panel.dead"}
    )


def test_control_positive_to_negative_makes_the_control_side_suspect_and_stops() -> None:
    dead = [f("panel.lights", False), f("thruster.runs", "none")]
    out = after([*dead, f("bridge.fitted", "control_positive_to_negative")])
    plain = after(dead)
    for fault in ("control_fuse.blown", "control_unit.dead"):
        assert suspects(out)[fault]["probability"] > suspects(plain)[fault]["probability"], fault
    assert out["stop"] and "control_supply_bridged" in hazards(out)


@pytest.mark.parametrize("fault", ["harness.supply_open", "panel.dead"])
def test_control_positive_to_negative_makes_harness_and_panel_suspect(fault: str) -> None:
    dead = [f("panel.lights", False), f("thruster.runs", "none")]
    out, plain = after([*dead, f("bridge.fitted", "control_positive_to_negative")]), after(dead)
    assert suspects(out)[fault]["probability"] > suspects(plain)[fault]["probability"]


# ------------------------------------------------------------------------------- signal and coil
ONE_WAY = f("thruster.runs", "starboard_only")


def test_a_signal_that_arrives_acquits_the_command_side() -> None:
    out = after([ONE_WAY, f("port_signal.voltage", 12.0, "port_commanded")])
    assert ruled_out(out) >= {"panel.port_output_dead", "harness.port_signal_open"}
    out = after([ONE_WAY, f("port_signal.voltage", 0.0, "port_commanded")])
    assert set(leading(out, 2)) == {"panel.port_output_dead", "harness.port_signal_open"} and proved(out) == []


def test_a_signal_lost_while_something_is_known_to_be_sending_is_the_wire() -> None:
    out = after(
        [
            ONE_WAY,
            OFF,
            f("port_signal.voltage", 0.0, "command_bridged_port"),
            f("thruster.runs", "starboard_only", *BRIDGED),
        ]
    )
    assert proved(out) == ["harness.port_signal_open"]


def test_voltage_at_the_coil_and_no_pull_is_the_coil() -> None:
    out = after(
        [ONE_WAY, f("port_coil.voltage", 12.0, "port_commanded"), f("port_coil.clicks", False, "port_commanded")]
    )
    assert leading(out, 1) == ["contactor.port_coil_open"]
    assert ruled_out(out) >= {
        "control_unit.port_drive_dead",
        "coil_lead.port_open",
        "panel.port_output_dead",
        "harness.port_signal_open",
    }


def test_no_voltage_at_the_coil_is_the_unit_or_the_lead() -> None:
    facts = [ONE_WAY, f("port_signal.voltage", 12.0, "port_commanded"), f("port_coil.voltage", 0.0, "port_commanded")]
    out = after(facts)
    assert set(leading(out, 2)) == {"control_unit.port_drive_dead", "coil_lead.port_open"} and proved(out) == []
    assert proved(after([*facts, f("port_coil_lead.continuity", False, "isolator_off")])) == ["coil_lead.port_open"]
    out = after([*facts, f("port_coil_lead.continuity", True, "isolator_off")])
    assert proved(out) == ["control_unit.port_drive_dead"]


def test_chatter_points_to_a_supply_that_sags() -> None:
    out = after([f("thruster.runs", "none"), f("thruster.noise", "chatter")])
    assert set(leading(out, 2)) & {"battery.flat", "battery.weak", "battery.block_dead"}


# ------------------------------------------------------------------------------- coil direct, output, terminals
DEAD = [f("panel.lights", True), f("thruster.runs", "none"), LIFTED]


def test_coil_direct_both_ways_acquits_the_power_side_of_being_open() -> None:
    out = after([*DEAD, f("thruster.runs", "both", *FED)])
    assert ruled_out(out) >= {
        "contactor.port_coil_open",
        "contactor.starboard_coil_open",
        "contactor.no_output",
        "contactor.both_closed",
        "motor.open_circuit",
        "motor.seized",
    }
    assert not ruled_out(out) & {
        "control_unit.dead",
        "sense_lead.open",
        "thermal_switch.failed_open",
        "contactor.poor_contact",
    }
    assert set(leading(out, 4)) <= {
        "control_unit.dead",
        "sense_lead.open",
        "thermal_switch.failed_open",
        "panel.dead",
        "panel.not_switched_on",
        "thermal_switch.tripped_hot",
        "harness.supply_open",
        "control_fuse.blown",
    }


def test_coil_direct_dead_asks_for_the_contactors_output_or_coil() -> None:
    s = session()
    tell(s, *described(), f("helper.skill", "electrician"), *DEAD[:2], STUDS)
    out = answer(
        s,
        "coil_direct",
        LIFTED,
        f("thruster.runs", "none", *FED),
        f("port_coil.clicks", True, FED[0]),
        f("starboard_coil.clicks", True, FED[1]),
    )
    power_side = {
        "motor_output_voltage",
        "motor_terminal_voltage",
        "shaft_by_hand",
        "brushes_inspect",
        "motor_current",
        "coil_resistance",
        "supply_voltage_under_load",
        "contact_resistance",
    }
    assert out["next"]["test"] in power_side


def fed(
    output: float | None = None,
    terminals: float | None = None,
    runs: str | None = None,
    supply: float = 12.4,
    clicks: bool | None = True,
    amperes: float | None = None,
    ways: tuple[str, ...] = FED,
) -> list[dict[str, Any]]:
    out = []
    for way in ways:
        side = way.rpartition("_")[2]
        out.append(f("supply.voltage", supply, way))
        if output is not None:
            out.append(f("motor_output.voltage", output, way))
        if terminals is not None:
            out.append(f("motor_terminals.voltage", terminals, way))
        if amperes is not None:
            out.append(f("motor.current", amperes, way))
        if clicks is not None:
            out.append(f(f"{side}_coil.clicks", clicks, way))
    if runs:
        out.append(f("thruster.runs", runs, *ways))
    return out


def test_supply_there_and_nothing_out_is_the_contactor() -> None:
    assert proved(after([*DEAD, *fed(output=0.0, runs="none")])) == ["contactor.no_output"]
    silent = after([*DEAD, *fed(output=0.0, runs="none", clicks=None)])
    assert proved(silent) == []
    contactor = {"contactor.no_output", "contactor.port_coil_open", "contactor.starboard_coil_open"}
    assert set(leading(silent, 1)) <= contactor
    gone = after([*DEAD, *fed(output=0.0, runs="none", supply=0.0)])
    assert proved(gone) == [], "without the supply in the same attempt a rotten fuse looks like a dead contactor"


def test_nothing_out_one_way_only() -> None:
    facts = [
        f("thruster.runs", "starboard_only"),
        LIFTED,
        *fed(output=0.0, ways=FED[:1]),
        *fed(output=12.2, ways=FED[1:]),
    ]
    assert proved(after(facts)) == ["contactor.port_contact_open"]


def test_an_open_coil_by_the_meter() -> None:
    out = after([ONE_WAY, f("port_coil.continuity", False, "isolator_off")])
    assert proved(out) == ["contactor.port_coil_open"]
    out = after(
        [ONE_WAY, f("port_coil.resistance", 9, "isolator_off"), f("port_coil.continuity", True, "isolator_off")]
    )
    assert state(out, "contactor.port_coil_open") == "ruled_out"


def test_voltage_out_and_none_across_the_motor() -> None:
    out = after([*DEAD, *fed(output=12.2, terminals=0.0, runs="none")], "permanent_magnet")
    assert "contactor.no_output" not in proved(out)
    assert {*proved(out), *leading(out, 2)} >= {"contactor.both_closed"}
    assert state(out, "motor.open_circuit") != "proved" and state(out, "motor.seized") != "proved"
    one = after(
        [
            f("thruster.runs", "starboard_only"),
            LIFTED,
            *fed(output=12.2, terminals=0.0, ways=FED[:1]),
            f("thruster.runs", "starboard_only", *FED),
        ],
        "permanent_magnet",
    )
    assert proved(one) == ["contactor.return_contact_open"]


def test_voltage_across_the_motor_and_no_current_is_an_open_motor() -> None:
    out = after([*DEAD, *fed(output=12.2, terminals=12.2, runs="none", amperes=0)])
    assert proved(out) == ["motor.open_circuit"]
    out = after([*DEAD, *fed(output=12.2, terminals=12.2, runs="none")])
    assert proved(out) == [], "whether it draws anything was not measured"


def test_voltage_across_the_motor_and_stall_current_is_stuck_or_shorted() -> None:
    out = after(
        [*DEAD, *fed(output=11.8, terminals=8.0, runs="none", supply=12.0), f("motor.current", 950, "under_load")]
    )
    assert proved(out) == []
    assert set(leading(out, 2)) == {"motor.seized", "motor.short_circuit"}
    assert proved(
        after(
            [
                *DEAD,
                f("motor.current", 950, "under_load"),
                f("motor.turns_by_hand", False),
                f("gear_leg.turns_by_hand", True),
                f("propeller.turns_by_hand", True),
                f("propeller.fouled", False),
            ]
        )
    ) == ["motor.seized"]


def test_no_current_says_nothing_about_the_shaft() -> None:
    out = after([*DEAD, f("motor.current", 0, "under_load")])
    assert not ruled_out(out) & {"motor.seized", "gear_leg.damaged", "propeller.fouled", "coupling.broken"}


def test_one_field_open_needs_a_split_field() -> None:
    facts = [
        f("thruster.runs", "starboard_only"),
        LIFTED,
        *fed(output=12.2, ways=FED[:1]),
        f("thruster.runs", "starboard_only", *FED),
    ]
    assert proved(after(facts, "series_split_field")) == ["motor.one_field_open"]
    assert proved(after(facts)) == []
    assert state(after(facts, "permanent_magnet"), "motor.one_field_open") == "ruled_out"


# ------------------------------------------------------------------------------- thermal switch
OPEN, CLOSED = (
    f("thermal_switch.continuity", False, "isolator_off"),
    f("thermal_switch.continuity", True, "isolator_off"),
)


def with_heat(fact: dict[str, Any], heat: str) -> dict[str, Any]:
    return {**fact, "while": [*fact["while"], heat]}


def test_the_thermal_switch_by_its_continuity() -> None:
    assert proved(after([*DEAD[:2], with_heat(OPEN, "motor_cold")])) == ["thermal_switch.failed_open"]
    assert proved(after([*DEAD[:2], with_heat(OPEN, "motor_hot")])) == [], "hot, an open switch may be right"
    assert proved(after([*DEAD[:2], OPEN])) == []
    assert proved(after([*DEAD[:2], f("motor.hot", False), OPEN])) == ["thermal_switch.failed_open"]
    out = after([*DEAD[:2], with_heat(CLOSED, "motor_cold")])
    assert state(out, "thermal_switch.failed_open") == "ruled_out"


def test_the_thermal_bridge_counts_on_a_cold_motor_only() -> None:
    ran = f("thruster.runs", "some", "thermal_bridged")
    cold = after([*DEAD[:2], f("motor.hot", False), f("thermal_switch.plugged", False), ran])
    assert proved(cold) == ["thermal_switch.failed_open"]
    assert "thermal_switch.failed_open" not in proved(after([*DEAD[:2], f("motor.hot", True), ran]))
    assert "thermal_switch.failed_open" not in proved(after([*DEAD[:2], ran]))


# ------------------------------------------------------------------------------- control unit
UNIT = [
    f("control_unit.voltage", 12.4, "port_commanded"),
    f("port_signal.voltage", 12.0, "port_commanded"),
    f("starboard_signal.voltage", 12.0, "starboard_commanded"),
    f("port_coil.voltage", 0.0, "port_commanded"),
    f("starboard_coil.voltage", 0.0, "starboard_commanded"),
    with_heat(CLOSED, "motor_cold"),
    f("sense_lead.continuity", True, "isolator_off"),
    f("contactor.continuity", False, "at_rest", "isolator_off"),
    f("port_signal.voltage", 0.0, "at_rest"),
    f("starboard_signal.voltage", 0.0, "at_rest"),
]
COLD = f("motor.hot", False)
COILS = [
    f("port_coil.continuity", True, "isolator_off"),
    f("starboard_coil.continuity", True, "isolator_off"),
    f("port_coil_lead.continuity", True, "isolator_off"),
    f("starboard_coil_lead.continuity", True, "isolator_off"),
]


def test_the_control_unit_is_proved_at_its_own_pins() -> None:
    assert proved(after([*DEAD[:2], COLD, *UNIT, *COILS])) == ["control_unit.dead"]


@pytest.mark.parametrize("missing", range(len(UNIT)), ids=[f"{u['about']}-{u['what']}" for u in UNIT])
def test_less_than_that_is_most_likely_and_is_not_proved(missing: int) -> None:
    out = after([*DEAD[:2], COLD, *UNIT[:missing], *UNIT[missing + 1 :], *COILS])
    assert "control_unit.dead" not in proved(out)
    assert suspects(out)["control_unit.dead"]["probability"] > before(None)["control_unit.dead"]


# ------------------------------------------------------------------------------- runs by itself
BY_ITSELF = [f("thruster.runs_by_itself", "at_power_on")]
POWER_OFF = f("isolator.position", "off")


def step(what: str, *scene: str, about: str = "thruster") -> list[dict[str, Any]]:
    return [f(f"{about}.runs_by_itself", what, *scene), POWER_OFF]


def self_running(*lines: tuple[str | None, list[dict[str, Any]]]) -> dict[str, Any]:
    s = session()
    tell(s, *described(), f("helper.skill", "electrician"), *BY_ITSELF, POWER_OFF)
    out: dict[str, Any] = {}
    for test, facts in lines:
        out = answer(s, test, *facts) if test else tell(s, *facts)
    return out


ALL_OFF = ("panel_unplugged", "control_unit_unplugged")
QUIET = ("all_unplugged_power_on", [OFF, f("control_unit.plugged", False), *step("no", *ALL_OFF)])
UNIT_QUIET = (
    "control_unit_power_on",
    [f("control_unit.plugged", True), f("harness.plugged", False), *step("no", "panel_unplugged", "harness_unplugged")],
)


def test_first_of_all_the_power_goes_off() -> None:
    s = session()
    out = tell(s, *described(), *BY_ITSELF)
    assert out["stop"] and out["next"] is None and "isolator" in out["stop"]["text"].lower()
    assert {"about": "isolator", "what": "position", "value": "off"} in out["stop"]["facts"]
    out = tell(s, POWER_OFF)
    assert out["stop"] is None and out["next"] is not None


def test_closed_at_rest_is_welded() -> None:
    out = self_running(("contact_resistance", [f("contactor.continuity", True, "at_rest", "isolator_off")]))
    assert proved(out) == ["contactor.welded"]


def test_alone_and_no_coil_fed_is_welded() -> None:
    runs = [
        OFF,
        f("control_unit.plugged", False),
        *step("at_power_on", *ALL_OFF),
        f("contactor.clicks", False, *ALL_OFF),
    ]
    assert proved(self_running(("all_unplugged_power_on", runs))) == ["contactor.welded"]


def test_alone_quiet_and_with_the_unit_running_is_the_unit() -> None:
    runs = [
        f("control_unit.plugged", True),
        f("harness.plugged", False),
        *step("at_power_on", "panel_unplugged", "harness_unplugged"),
    ]
    assert proved(self_running(QUIET, ("control_unit_power_on", runs))) == ["control_unit.output_stuck"]


def test_with_the_harness_running_is_a_shorted_signal() -> None:
    runs = [f("harness.plugged", True), *step("at_power_on", "panel_unplugged", about="harness")]
    assert proved(self_running(QUIET, UNIT_QUIET, ("stations_power_on", runs))) == ["harness.signal_shorted"]


def test_the_station_that_makes_it_run_is_the_bad_one() -> None:
    runs = [
        f("harness.plugged", True),
        *step("no", "panel_unplugged", about="harness"),
        f("panel_1.plugged", True),
        *step("at_power_on", about="panel_1"),
    ]
    assert proved(self_running(QUIET, UNIT_QUIET, ("stations_power_on", runs))) == ["panel.output_stuck"]


def test_where_the_harness_cannot_be_kept_off_a_shorted_signal_stays_suspect() -> None:
    runs = [f("control_unit.plugged", True), f("harness.plugged", True), *step("at_power_on", "panel_unplugged")]
    out = self_running(QUIET, ("control_unit_power_on", runs))
    assert proved(out) == []
    assert set(leading(out, 2)) == {"control_unit.output_stuck", "harness.signal_shorted"}


@pytest.mark.parametrize("when", ["now_and_then", "after_release"])
def test_one_quiet_try_acquits_nothing_when_it_happens_by_chance(when: str) -> None:
    s = session()
    tell(s, *described(), f("thruster.runs_by_itself", when), POWER_OFF)
    out = answer(s, *QUIET[:1], *QUIET[1])
    for fault in ("contactor.welded", "control_unit.output_stuck", "panel.output_stuck", "harness.signal_shorted"):
        assert state(out, fault) == "open", fault


def test_if_the_isolator_does_not_stop_it() -> None:
    s = session()
    out = tell(s, *described("boat.nominal_voltage"), f("boat.nominal_voltage", 48), *BY_ITSELF)
    text = out["stop"]["text"].lower()
    assert "people" in text and "hand lever" in text and "48" in text
    out = tell(s, f("thruster.runs_by_itself", "right_now", "isolator_off"))
    assert "cannot_isolate" in hazards(out) and out["stop"]
    out = tell(s, f("supply.proved_dead", True))
    assert out["stop"] is None


# ------------------------------------------------------------------------------- two faults
def test_a_weak_supply_that_burnt_the_contacts_is_two_faults() -> None:
    facts = [
        *LOSS,
        f("battery.voltage", 12.7, "at_rest"),
        f("battery.voltage", 9.8, "under_load"),
        f("battery.uneven", False, "under_load"),
    ]
    out = after([*facts, f("contactor.drop", 2.2, "under_load")])
    assert set(proved(out)) == {"battery.weak", "contactor.poor_contact"}
    one = after(facts)
    alone = suspects(after(facts[:2]))["contactor.poor_contact"]["probability"]
    assert proved(one) == ["battery.weak"] and alone > 0
    assert state(one, "contactor.poor_contact") == "open"


# ------------------------------------------------------------------------------- below
def test_a_look_below() -> None:
    no_push = [f("thruster.runs", "both"), f("thruster.thrust", "none")]
    assert proved(after([*no_push, f("propeller.present", False)])) == ["propeller.lost"]
    assert proved(after([*no_push, f("propeller.spins_free", True), f("coupling.damaged", False)])) == [
        "propeller.lost"
    ]
    assert proved(after([*no_push, f("coupling.damaged", True)])) == ["coupling.broken"]
    weak = [f("thruster.runs", "both"), f("thruster.thrust", "weak")]
    assert proved(after([*weak, f("propeller.fouled", True)])) == ["propeller.fouled"]
    assert proved(after([*weak, f("tunnel.fouled", True)])) == ["tunnel.blocked"]
    out = after([*no_push, f("propeller.present", True)])
    assert state(out, "propeller.lost") == "open", "the eye may not find a sheared pin"


def test_racing_without_load_is_a_hazard_but_on_a_permanent_magnet() -> None:
    races = [f("thruster.runs", "both"), f("thruster.thrust", "none"), f("thruster.noise", "free_spinning")]
    assert "overspeed_unloaded" in hazards(after(races))
    assert "overspeed_unloaded" not in hazards(after(races, "permanent_magnet"))


def test_insulation() -> None:
    wet = [f("thruster.runs", "both"), f("motor.wet", True)]
    assert proved(after([*wet, f("motor.insulation", 0.02, "isolator_off")])) == ["motor.earthed"]
    assert state(after([*wet, f("motor.insulation", 200, "isolator_off")]), "motor.earthed") == "ruled_out"
