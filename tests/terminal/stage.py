"""Scripted moments of a case that the screen tests share."""

from __future__ import annotations

from typing import Any

from .fake_session import fact, hazard, suspect

ISOLATOR_OFF = {"about": "isolator", "what": "position", "value": "off"}
LOCKED = {"about": "isolator", "what": "locked", "value": True}
CLEAR = {"about": "boat", "what": "people_clear", "value": True}
UNPLUGGED = {"about": "panel", "what": "plugged", "value": False}
BRIDGE_OUT = {"about": "bridge", "what": "removed", "value": "all"}

MAY_START = hazard(
    "thruster_may_start",
    "danger",
    "Power is on while somebody works at the thruster: it can start without warning.",
    "isolator off, locked, and dead at the studs",
    ISOLATOR_OFF,
    LOCKED,
)
BRIDGE = hazard(
    "bridge_in_place",
    "warning",
    "A test wire is still fitted from control positive to the port run signal.",
    "take the test wire off and say so",
    BRIDGE_OUT,
    since=4,
)
UNCONFIRMED_HOT = hazard(
    "hot_joint",
    "warning",
    "A joint may be getting hot.",
    "feel or measure it, power off",
    since=3,
    certain=False,
)
MOVES = hazard(
    "thrust_moves_boat",
    "caution",
    "She is afloat: a test run will move her.",
    "lines doubled, somebody at the helm",
    kind="step",
    since=5,
)
CONNECTOR = hazard("connector_off", "caution", "The station's control is still unplugged.", "plug it back in", since=4)
NOTE = hazard("usual", "notice", "The unit's own manual comes first.", "no need", since=2)

REST = {
    "test": "supply_voltage_at_rest",
    "text": "Measure across the thruster's own main studs, nothing running.",
    "plain_text": "Red tip on the big plus bolt, black tip on the big minus bolt. What does the meter show?",
    "setup": [],
    "tools": ["meter"],
    "minutes": 5,
    "answers": [
        {
            "text": "Full voltage, 12 V or more",
            "facts": [{"about": "supply", "what": "voltage", "value": 12.6, "unit": "V", "while": ["at_rest"]}],
        },
        {
            "text": "Nothing",
            "facts": [{"about": "supply", "what": "voltage", "value": 0.0, "unit": "V", "while": ["at_rest"]}],
        },
    ],
    "why": "It parts everything upstream of the thruster from the thruster itself.",
}
BRIDGE_TEST = {
    "test": "command_bridge",
    "text": "With every station unplugged, bridge control positive to one run signal at a time. Which way does it run?",
    "plain_text": "Pull the plug behind the joystick. Hold the fused test wire between the plus pin and "
    "the port pin. Does it run?",
    "setup": [
        "Everybody clear of the water and the tunnel",
        "Isolator off, then unplug every station's control",
        "A test wire with a 3 A fuse, both ends insulated; never to control negative",
        "Isolator on; one direction, full stop, then the other",
    ],
    "tools": ["fused test wire", "meter"],
    "minutes": 8,
    "answers": [
        {
            "text": "Runs both ways",
            "facts": [
                UNPLUGGED,
                {"about": "thruster", "what": "runs", "value": "both", "while": ["panel_unplugged"]},
            ],
        },
        {
            "text": "Runs to port only",
            "facts": [
                UNPLUGGED,
                {"about": "thruster", "what": "runs", "value": "port_only", "while": ["panel_unplugged"]},
            ],
        },
        {
            "text": "Runs to starboard only",
            "facts": [
                UNPLUGGED,
                {
                    "about": "thruster",
                    "what": "runs",
                    "value": "starboard_only",
                    "while": ["panel_unplugged"],
                },
            ],
        },
        {
            "text": "Does not run",
            "facts": [
                UNPLUGGED,
                {"about": "thruster", "what": "runs", "value": "none", "while": ["panel_unplugged"]},
            ],
        },
    ],
    "why": "If it runs from the plug, everything from there to the motor is sound; the control is left.",
}


def crowd() -> list[dict[str, Any]]:
    """Return suspects as a rule base brings them: many, some ruled out."""
    shares = {
        "panel.dead": 0.34,
        "control_unit.dead": 0.21,
        "contactor.no_output": 0.14,
        "thermal_switch.failed_open": 0.1,
        "motor.open_circuit": 0.07,
        "sense_lead.open": 0.05,
        "harness.poor_contact": 0.04,
        "coil_lead.port_open": 0.02,
        "other": 0.02,
        "motor.seized": 0.007,
        "contactor.both_closed": 0.003,
    }
    gone = [
        "battery.flat",
        "main_fuse.blown",
        "isolator.left_off",
        "positive_cable.open",
        "negative_cable.open",
        "isolator_command.failed",
        "control_fuse.blown",
        "splitter.failed",
    ]
    return [suspect(f, p) for f, p in shares.items()] + [suspect(f, 0.0, "ruled_out") for f in gone]


SAID = "panel lights up but nothing happens either way, 12.4 V at the thruster studs at rest, no click"
OPENING = {
    "understood": [
        fact("f1", "panel", "lights", True, words="panel lights up"),
        fact("f2", "thruster", "runs", "none", words="nothing happens either way"),
        fact(
            "f3",
            "supply",
            "voltage",
            12.4,
            unit="V",
            scene=["at_rest"],
            words="12.4 V at the thruster studs at rest",
        ),
        fact("f4", "contactor", "clicks", False, words="no click", certain=False),
    ],
    "unclear": [{"words": "either way", "question": "Did you try both to port and to starboard?"}],
    "suspects": crowd(),
    "hazards": [MAY_START, MOVES],
    "next": BRIDGE_TEST,
    "may_close": [{"text": "The complaint is not cleared up."}],
    "reply": (
        "The supply stands at rest and the panel lights, so the cables are not open. What is left lies "
        "between the panel's outputs and the motor.\nNext: with every station unplugged, bridge control "
        "positive to one run signal at a time."
    ),
}
AFTER = {
    "understood": [
        fact("f5", "panel", "plugged", False),
        fact("f6", "thruster", "runs", "both", scene=["panel_unplugged"]),
    ],
    "suspects": [
        suspect("panel.dead", 1.0, "proved"),
        suspect("nothing_more", 0.9),
        suspect("other", 0.1),
        suspect("control_unit.dead", 0.0, "ruled_out"),
        suspect("contactor.no_output", 0.0, "ruled_out"),
    ],
    "hazards": [BRIDGE, CONNECTOR],
    "next": REST,
    "verdict": {
        "faults": ["panel.dead"],
        "repair": [
            "Replace the station's control with one of the same kind",
            "Look at the plug's pins before the new one goes on",
        ],
        "parts": ["control for the station, same supply and plug"],
        "verify": ["panel_wake_up", "supply_voltage_under_load"],
    },
    "may_close": [
        {"text": "A test wire is still fitted."},
        {"text": "The station's control is still unplugged."},
        {"text": "The repair has not been tried under load, both ways."},
    ],
    "reply": "It runs from the plug both ways: the station's control is proved bad. Test wire away first.",
}
STOP = {
    "understood": [fact("f9", "thruster", "runs_by_itself", "right_now", words="it is running by itself")],
    "suspects": [suspect("contactor.welded", 0.6), suspect("panel.output_stuck", 0.3), suspect("other", 0.1)],
    "hazards": [
        hazard(
            "runs_uncontrolled",
            "danger",
            "The thruster runs by itself and power is on.",
            "isolator off",
            ISOLATOR_OFF,
        ),
    ],
    "stop": {
        "text": "Switch the isolator off now. Keep hands and clothes away from the shaft and the tunnel.",
        "facts": [ISOLATOR_OFF],
    },
    "next": None,
    "may_close": [{"text": "It runs by itself."}],
    "reply": "Switch the isolator off now.",
}
ALL_HAZARDS = [MAY_START, BRIDGE, UNCONFIRMED_HOT, MOVES, CONNECTOR, NOTE]
