"""The simulated circuits against ngspice, a circuit simulator of its own making.

Both sides get the same circuit with a 10 megohm meter from every node to the battery's negative post, and
must agree at every node within 0.1 % or 1 mV. The first half takes the circuit from the simulated boat,
healthy and faulty, at rest, at stall and running. The second half was written by hand from the drawing of a
thruster's supply and control circuit, with node names of its own; only the figures of the parts are shared.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from assistant.boat.boat import Boat
from assistant.boat.faults import possible
from assistant.boat.network import METER_OHMS, Resistor, solve
from assistant.boat.spec import Spec, fleet
from assistant.boat.turning import settle

pytestmark = pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed on this machine")

GROUNDS = ("bat_neg", "0")


def _spice(lines: list[str], folder: Path) -> dict[str, float]:
    """Node voltages of a netlist (without its meters and controls) as ngspice finds them, V."""
    nodes = sorted({node.lower() for line in lines for node in line.split()[1:3]} - {"0"})
    meters = [f"Rmeter{n} {node} 0 10meg" for n, node in enumerate(nodes)]
    control = [".control", "set numdgt=12", "op", *(f"print v({node})" for node in nodes), ".endc", ".end"]
    path = folder / "circuit.cir"
    path.write_text("\n".join(["simulated boat", *lines, *meters, *control]) + "\n")
    run = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=60, check=False)
    found = dict(re.findall(r"^v\((\S+)\) = (\S+)$", run.stdout, re.M))
    assert set(found) == set(nodes), run.stdout + run.stderr
    return {node: float(value) for node, value in found.items()}


def _agree(ours: dict[str, float], theirs: dict[str, float]) -> None:
    for node, volts in theirs.items():
        assert abs(ours[node] - volts) <= max(1e-3, 1e-3 * abs(volts)), (node, ours[node], volts)


def _netlist(network: list[Resistor]) -> list[str]:
    lines = []
    for item in network:
        plus, minus = ("0" if node in GROUNDS else node for node in (item.plus, item.minus))
        if item.volts:
            lines.append(f"V{item.name} {plus} {item.name}_in {item.volts!r}")
            plus = f"{item.name}_in"
        lines.append(f"R{item.name} {plus} {minus} {item.ohms!r}")
    return lines


FAULTY = [
    "battery.weak", "battery.block_dead", "battery_terminal.poor_contact", "main_fuse.blown",
    "isolator.poor_contact", "positive_cable.open", "negative_cable.open", "negative_cable.poor_contact",
    "control_fuse.blown", "harness.port_signal_open", "harness.signal_shorted", "panel.output_stuck",
    "control_unit.port_drive_dead", "sense_lead.open", "coil_lead.port_open", "signals.crossed",
    "contactor.port_coil_open", "contactor.no_output", "contactor.return_contact_open",
    "contactor.both_closed", "contactor.welded", "motor.open_circuit", "motor.one_field_open",
    "motor.earthed", "motor.seized", "thermal_switch.failed_open", "isolator_command.failed",
]  # fmt: skip
CASES = [(boat, None) for boat in range(6)] + [
    (next(n for n, spec in enumerate(fleet()[i % 6 :] + fleet()[: i % 6]) if possible(fault, spec)), fault)
    for i, fault in enumerate(FAULTY)
]


@pytest.mark.parametrize("what", ["rest", "stall", "run"])
@pytest.mark.parametrize(("number", "fault"), CASES)
def test_boat_against_ngspice(number: int, fault: str | None, what: str, tmp_path: Path) -> None:
    place = 0 if fault is None else FAULTY.index(fault) % 6
    spec = (fleet()[place:] + fleet()[:place])[number]
    boat = Boat(spec, [fault] if fault else [], seed=number)
    moment = boat.moment() if what == "rest" else boat.run((1, "port"))
    network = list(moment.turning.network)
    if what == "stall":
        network = list(settle(boat.plant, set(moment.states), held=True).network)
    ours = solve(network, METER_OHMS)
    _agree(ours, {node: volts for node, volts in _spice(_netlist(network), tmp_path).items() if node in ours})


# ---------------------------------------------------------------- written by hand

PLAIN = Spec(
    nominal_voltage=12, isolator="manual", motor="permanent_magnet", stations=1,
    coil_switching="negative_switched", refuses_at_power_on=False, length=6, cross_section=50,
    rated_current=300, rating=355, chemistry="flooded", fuel="diesel",
)  # fmt: skip
FIGURES = {
    "block_1": 0.002, "clamp_positive": 0.00004, "link_battery": 0.00001, "fuse": 0.0002,
    "isolator": 0.0001, "cable_positive": 0.0023, "lug_positive": 0.00001, "lug_negative": 0.00001,
    "cable_negative": 0.0024, "link_negative": 0.00001, "clamp_negative": 0.00005, "control_fuse": 0.01,
    "control_return": 0.05, "unit_load": 200.0, "input_port": 1500.0, "input_starboard": 1500.0,
    "harness_positive": 0.06, "harness_negative": 0.06, "harness_port": 0.07, "harness_starboard": 0.07,
    "branch_1_positive": 0.03, "branch_1_negative": 0.03, "branch_1_port": 0.03,
    "branch_1_starboard": 0.03, "panel_1_load": 300.0, "panel_1_asks_port": 10.0,
    "panel_1_asks_starboard": 10.0, "thermal_pull_up": 1000.0, "thermal_plug": 0.05,
    "thermal_lead": 0.05, "thermal_switch": 0.1, "sense_pull_up": 22000.0, "sense_lead": 0.03,
    "sense_ring": 0.02,
    "sense_end": 0.02, "coil_port": 6.0, "coil_starboard": 6.2, "coil_lead_port": 0.05,
    "coil_lead_starboard": 0.05, "coil_feed": 0.04, "drive_port": 0.05, "drive_starboard": 0.05,
    "bus": 0.00002, "bridge_coil_port": 0.03, "bridge_signal_port": 0.03, "drain_port": 500.0,
    "drain_starboard": 500.0,
}  # fmt: skip
MAGNET = {
    "contact_port": 0.0001, "contact_starboard": 0.0001, "resting_port": 0.00015,
    "resting_starboard": 0.00015, "return": 0.00002, "brushes": 0.0025, "armature": 0.0045,
}  # fmt: skip
SPLIT = {
    "contact_port": 0.0001, "contact_starboard": 0.0001, "field_port": 0.0024, "field_starboard": 0.0025,
    "brushes": 0.002, "armature": 0.0036,
}  # fmt: skip
REVERSED = {
    "contact_port": 0.0001, "contact_starboard": 0.0001, "second_pole_port": 0.0001,
    "second_pole_starboard": 0.0001, "brushes": 0.002, "armature": 0.0036, "field": 0.0024,
}  # fmt: skip

SUPPLY = """
Vb BPI 0 12.5
Rb BPI BP 0.002
R1 BP CLAMP 0.00004
R2 CLAMP FUSEIN 0.00001
R3 FUSEIN FUSEOUT 0.0002
R4 FUSEOUT SWOUT 0.0001
R5 SWOUT LUGP 0.0023
R6 LUGP PLUS 0.00001
R7 MINUS LUGN 0.00001
R8 LUGN LINKN 0.0024
R9 LINKN CLAMPN 0.00001
R10 CLAMPN 0 0.00005
"""
BOX = """
Rcf PLUS CP 0.01
Rcr CN MINUS 0.05
Rbox CP CN 200
Rinp SP CN 1500
Rins SS CN 1500
Rtpu CP TU 1000
Rtpl TU TP 0.05
Rtl TP TF 0.05
Rts TF MINUS 0.1
Rspu CP SU 22000
Rsl SU SR 0.03
Rsr SR SQ 0.02
Rcfeed PLUS CC 0.04
Rcoilp CC CPE 6
Rcoils CC CSE 6.2
Rclp CPE UPO 0.05
Rcls CSE USO 0.05
"""
CABLE_AND_PANEL = """
Rhp CP TRP 0.06
Rhn CN TRN 0.06
Rhsp SP TSP 0.07
Rhss SS TSS 0.07
Rb1p TRP PP 0.03
Rb1n TRN PN 0.03
Rb1sp TSP PSP 0.03
Rb1ss TSS PSS 0.03
Rpanel PP PN 300
"""
ASK_PORT = "Rask PP PSP 10\nRdrv UPO CN 0.05\n"
ASK_STARBOARD = "Rask PP PSS 10\nRdrv USO CN 0.05\n"
MAGNET_REST = """
Rbus PLUS BUS 0.00002
Rncp A RB 0.00015
Rncs B RB 0.00015
Rret RB MINUS 0.00002
Rbr A ARM 0.0025
Rarm ARM B 0.0045
Rdrp A MINUS 500
Rdrs B MINUS 500
Rse SQ A 0.02
"""
MAGNET_PORT = """
Rbus PLUS BUS 0.00002
Rnop BUS A 0.0001
Rncs B RB 0.00015
Rret RB MINUS 0.00002
Rbr A ARM 0.0025
Vemf ARM ARMX {emf}
Rarm ARMX B 0.0045
Rdrp A MINUS 500
Rdrs B MINUS 500
Rse SQ A 0.02
"""
SPLIT_STARBOARD = """
Rbus PLUS BUS 0.00002
Rcs BUS OS 0.0001
Rfp OP TOP 0.0024
Rfs OS TOP 0.0025
Rbr TOP ARM 0.002
Vemf ARM ARMX {emf}
Rarm ARMX MINUS 0.0036
Rdrp OP MINUS 500
Rdrs OS MINUS 500
Rse SQ OP 0.02
"""
REVERSED_STARBOARD = """
Rbus PLUS BUS 0.00002
Rp1 BUS B 0.0001
Rp2 A RB 0.0001
Rbr A ARM 0.002
Vemf ARM ARMX {emf}
Rarm ARMX B 0.0036
Rfld RB MINUS 0.0024
Rdrp A MINUS 500
Rdrs B MINUS 500
Rse SQ A 0.02
"""
NAMES = {
    "BP": "bat_pos", "CLAMP": "post_pos", "FUSEIN": "fuse_in", "FUSEOUT": "fuse_out",
    "SWOUT": "isolator_out", "LUGP": "lug_pos", "PLUS": "stud_pos", "MINUS": "stud_neg",
    "LUGN": "lug_neg", "LINKN": "link_neg", "CLAMPN": "post_neg", "CP": "control_pos",
    "CN": "control_neg", "SP": "unit_port", "SS": "unit_starboard", "TU": "unit_thermal",
    "TP": "thermal_pin", "TF": "thermal_far", "SU": "unit_sense", "SQ": "sense_pin",
    "SR": "sense_ring", "CC": "coil_common",
    "CPE": "coil_port_end", "CSE": "coil_starboard_end", "UPO": "unit_port_out",
    "USO": "unit_starboard_out", "TRP": "trunk_pos", "TRN": "trunk_neg", "TSP": "trunk_port",
    "TSS": "trunk_starboard", "PP": "plug_1_pos", "PN": "plug_1_neg", "PSP": "plug_1_port",
    "PSS": "plug_1_starboard", "BUS": "bus", "A": "term_a", "B": "term_b", "RB": "return_bus",
    "ARM": "arm_in", "OP": "out_port", "OS": "out_starboard", "TOP": "arm_top",
}  # fmt: skip

AROUND = SUPPLY + BOX + CABLE_AND_PANEL
# name: motor, back-EMF, what is asked, what is wrong, the netlist as drawn.
BY_HAND = {
    "magnet at rest": ("permanent_magnet", 0.0, None, {}, AROUND + MAGNET_REST),
    "magnet stalled to port": ("permanent_magnet", 0.0, "port", {}, AROUND + ASK_PORT + MAGNET_PORT),
    "magnet running to port": ("permanent_magnet", 8.0, "port", {}, AROUND + ASK_PORT + MAGNET_PORT),
    "split field stalled to starboard": (
        "series_split_field", 0.0, "starboard", {}, AROUND + ASK_STARBOARD + SPLIT_STARBOARD,
    ),
    "split field running to starboard": (
        "series_split_field", 8.0, "starboard", {}, AROUND + ASK_STARBOARD + SPLIT_STARBOARD,
    ),
    "reversed armature running to starboard": (
        "series_reversed", -8.0, "starboard", {}, AROUND + ASK_STARBOARD + REVERSED_STARBOARD,
    ),
    "magnet running through a rotten fuse holder": (
        "permanent_magnet", 6.0, "port", {"fuse": 0.006},
        AROUND.replace("FUSEOUT 0.0002", "FUSEOUT 0.006") + ASK_PORT + MAGNET_PORT,
    ),
    "magnet running through a rotten negative lug": (
        "permanent_magnet", 6.0, "port", {"lug_negative": 0.005},
        AROUND.replace("MINUS LUGN 0.00001", "MINUS LUGN 0.005") + ASK_PORT + MAGNET_PORT,
    ),
    "fuse blown": (
        "permanent_magnet", 0.0, None, {"fuse": None},
        AROUND.replace("R3 FUSEIN FUSEOUT 0.0002\n", "") + MAGNET_REST,
    ),
    "negative cable off": (
        "permanent_magnet", 0.0, None, {"cable_negative": None},
        AROUND.replace("R8 LUGN LINKN 0.0024\n", "") + MAGNET_REST,
    ),
    "control positive broken in the harness": (
        "permanent_magnet", 0.0, None, {"harness_positive": None},
        AROUND.replace("Rhp CP TRP 0.06\n", "") + MAGNET_REST,
    ),
    "resting contact of the other side open": (
        "permanent_magnet", 0.0, "port", {"resting_starboard": None},
        AROUND + ASK_PORT + MAGNET_PORT.replace("Rncs B RB 0.00015\n", ""),
    ),
    "thermal switch open": (
        "permanent_magnet", 0.0, None, {"thermal_switch": None},
        AROUND.replace("Rts TF MINUS 0.1\n", "") + MAGNET_REST,
    ),
}  # fmt: skip


def _plain_boat(motor: str, wrong: dict[str, float | None]) -> Boat:
    boat = Boat(Spec(**{**PLAIN.__dict__, "motor": motor}))
    figures = {"permanent_magnet": MAGNET, "series_split_field": SPLIT, "series_reversed": REVERSED}[motor]
    for name, ohms in {**FIGURES, **figures, **wrong}.items():
        if name in boat.plant.elements:
            boat.plant.elements[name].ohms = ohms
    given = {n for n, item in boat.plant.elements.items() if item.ohms is not None}
    assert given <= {*FIGURES, *figures} | {n for n in given if n.startswith("bridge_")}
    return boat


@pytest.mark.parametrize("name", BY_HAND)
def test_netlist_written_by_hand(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    motor, emf, way, wrong, text = BY_HAND[name]
    monkeypatch.setattr("assistant.boat.plant.rest_volts", lambda *_: 12.5)
    boat = _plain_boat(motor, wrong)
    moment = boat.moment() if way is None else boat.run((1, way))
    ours = solve(boat.plant.resistors(set(moment.states), emf), METER_OHMS)
    theirs = _spice([line for line in text.format(emf=emf).splitlines() if line], tmp_path)
    known = {NAMES[node.upper()]: volts for node, volts in theirs.items() if node.upper() in NAMES}
    assert {node for node in theirs if node.upper() not in NAMES} <= {"bpi", "armx"}
    _agree(ours, known)
    assert len(known) > 30
