"""One case with everything in it that a report tells."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from sample_case import at, fact, hazard, output, record, test_asked

from assistant.report.case import Case, case_of

VERDICT = {
    "faults": ["contactor.port_coil_open"],
    "repair": ["Replace the contactor with one of the same rating."],
    "parts": ["reversing contactor"],
    "verify": ["panel_wake_up"],
}
CLEAR = fact("", "boat", "people_clear", True)


def suspect(fault: str, probability: float, state: str, *because: str) -> dict[str, Any]:
    part = fault.partition(".")[0]
    return {
        "fault": fault,
        "part": part,
        "probability": probability,
        "state": state,
        "because": list(because),
    }


PROVED = suspect("contactor.port_coil_open", 1, "proved", "coil_fed_and_silent")


def reading(fact_id: str, about: str, value: float, what: str = "voltage") -> dict[str, Any]:
    return fact(fact_id, about, what, value, unit="V", while_=["under_load"])


def script() -> list[dict[str, Any]]:
    complaint = [
        fact("f1", "thruster", "runs", "starboard_only", words="only goes to starboard"),
        fact("f2", "boat", "nominal_voltage", 12, unit="V"),
    ]
    return [
        output(
            1,
            understood=complaint,
            suspects=[
                suspect("contactor.port_coil_open", 0.3, "open"),
                suspect("battery.flat", 0.001, "open"),
            ],
            hazards=[hazard("people_at_tunnel", "danger", 1, CLEAR)],
            next=test_asked("coil_voltage", setup=("Clear the tunnel.", "Meter on volts.")),
        ),
        output(2, suspects=[suspect("contactor.port_coil_open", 0.3, "open")], next=test_asked("coil_voltage")),
        output(
            3,
            understood=[reading("f3", "supply", 12.1), reading("f4", "battery", 12.4)],
            suspects=[PROVED, suspect("panel.dead", 0, "ruled_out", "signal_arrives")],
            verdict=VERDICT,
        ),
        output(
            4,
            understood=[fact("f5", "contactor", "replaced", True, words="new contactor in")],
            verdict=VERDICT,
            suspects=[PROVED],
            hazards=[hazard("connector_off", "caution", 4, fact("", "panel", "plugged", True))],
            conflicts=[{"facts": ["f3", "f4"], "text": "These two cannot be.", "settle": "supply_voltage_at_rest"}],
            may_close=["the panel is still unplugged"],
        ),
        output(
            5,
            understood=[reading("f6", "supply", 11.8), fact("f7", "thruster", "runs", "both", certain=False)],
            replaced=["f3"],
            verdict=VERDICT,
            hazards=[hazard("connector_off", "caution", 4, fact("", "panel", "plugged", True))],
            closed={"handed_over_to": "yard electrician", "open": ["the panel is still unplugged"]},
        ),
    ]


LINES: list[dict[str, Any]] = [
    {"say": "thruster only goes to starboard", "at": at(0), "by": "caller"},
    {"answer": {"test": "shaft_by_hand", "cannot": "no room to reach it"}, "at": at(5)},
    {"say": "12.1 at the studs, 12.4 at the posts", "at": at(9)},
    {"say": "new contactor in", "at": at(50)},
    {"ask": {"close": {"hand_over_to": "yard electrician", "note": "tide turns"}}, "at": at(55)},
]
ORDER = ("battery", "main_fuse", "positive_cable", "supply")


def whole_case(path: Path) -> Case:
    return replace(case_of(record(path, LINES, script())), order=ORDER)
