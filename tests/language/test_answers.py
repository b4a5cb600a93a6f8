"""Answers that tell several readings, or put themselves right, and what somebody did against what he found."""

from __future__ import annotations

import pytest

from assistant.language import Heard, Words, read


def told(said: str, asked: str | None, words: Words, answering: bool = True) -> list[tuple[object, ...]]:
    reading = read(said, Heard(asked=asked, answering=answering), words)
    return sorted(((f.about, f.what, f.value, *f.while_) for f in reading.facts), key=str)


LUGS = ("battery_terminal", "main_fuse", "isolator", "positive_cable", "negative_cable")
BOTH_STATES = [("isolator", "voltage", 0, "isolator_off"), ("isolator", "voltage", 12.6, "isolator_on")]


@pytest.mark.parametrize("answering", [True, False])
@pytest.mark.parametrize(
    "said",
    [
        "on 12.6, off 0", "on 12.6 off 0", "on: 12.6, off: 0", "on 12.6 / off 0", "12.6 when on, 0 when off",
        "on it's 12.6, off it's nothing", "on 12.6 beyond, dead when off", "switched on, 12.6. switched off, 0",
        "it's on, 12.6 after it, and 0 when I turn it off", "off 0, on 12.6",
    ],
)  # fmt: skip
def test_a_switch_read_both_ways_is_not_found_off(said: str, answering: bool, words: Words) -> None:
    assert told(said, "isolator_check", words, answering) == BOTH_STATES


@pytest.mark.parametrize(
    ("said", "facts"),
    [
        ("on, 12.6 beyond it", [("isolator", "position", "on"), ("isolator", "voltage", 12.6)]),
        ("on, but nothing comes out", [("isolator", "position", "on"), ("isolator", "voltage", 0)]),
        ("off it's still 12.6", [("isolator", "voltage", 12.6, "isolator_off")]),
        ("it was off", [("isolator", "position", "off")]),
        ("off", [("isolator", "position", "off")]),
        ("somebody had switched it off", [("isolator", "position", "off")]),
    ],
)
def test_one_state_is_how_it_was_found(said: str, facts: list[tuple[object, ...]], words: Words) -> None:
    assert told(said, "isolator_check", words, False) == facts


@pytest.mark.parametrize(
    "said",
    [
        "I've turned the isolator off", "switched the isolator off", "turned it off to be safe", "isolator off now",
        "it's off now", "I have switched it off", "he's turned it off", "ok turned the main switch off",
        "I opened the isolator", "isolator off for safety",
    ],
)  # fmt: skip
@pytest.mark.parametrize("asked", ["isolator_check", None])
def test_who_switched_it_off_did_not_find_it_off(said: str, asked: str | None, words: Words) -> None:
    facts = [f for f in told(said, asked, words, False) if f[1] == "position"]
    assert facts in ([("isolator", "position", "off", "just_done")], []) and (facts or asked is None)


@pytest.mark.parametrize(
    "said", ["motor's cold, no smell", "cold, no smell", "no smell, motor's cold", "Cold: no smell."]
)
def test_a_cold_motor_is_a_finding_beside_one_that_is_not_of_cold_or_hot(said: str, words: Words) -> None:
    facts = told(said, "motor_temperature", words, True)
    assert sorted(facts, key=str) == [("motor", "burnt_smell", False), ("motor", "hot", False)]


def test_cold_says_when_a_reading_was_taken(words: Words) -> None:
    facts = told("motor cold, it conducts", "thermal_continuity", words, True)
    assert facts == [("thermal_switch", "continuity", True, "motor_cold")]


READ_IN_TURN = (
    ("pole_check", "first 12.7, second nothing", "positive_cable.voltage=12.7 negative_cable.voltage=0"),
    ("pole_check", "both 12.5", "positive_cable.voltage=12.5 negative_cable.voltage=12.5"),
    ("pole_check", "12.6 and 0", "positive_cable.voltage=12.6 negative_cable.voltage=0"),
    ("pole_check", "zip on both", "positive_cable.voltage=0 negative_cable.voltage=0"),
    ("pole_check", "the second one was 12.3", "negative_cable.voltage=12.3"),
    ("pole_check", "plus bolt to battery minus: 0. battery plus to minus bolt: 12.4",
     "positive_cable.voltage=0 negative_cable.voltage=12.4"),
    ("cable_continuity", "neither beeps", "positive_cable.continuity=False negative_cable.continuity=False"),
    ("cable_continuity", "both conduct", "positive_cable.continuity=True negative_cable.continuity=True"),
    ("cable_continuity", "pos beeps, neg OL", "positive_cable.continuity=True negative_cable.continuity=False"),
    ("cable_continuity", "nothing on both", ""),
    ("joint_check", "0.1, 0.05 and 0.4", "battery_terminal.drop=0.1 main_fuse.drop=0.05 isolator.drop=0.4"),
    ("joint_check", "all three show zero", "battery_terminal.drop=0 main_fuse.drop=0 isolator.drop=0"),
    ("joint_check", "fuse 0.4, clamp and isolator zero", "main_fuse.drop=0.4 battery_terminal.drop=0 isolator.drop=0"),
    ("joint_check", "swapped nothing yet", ""),
)  # fmt: skip


@pytest.mark.parametrize(("asked", "said", "facts"), READ_IN_TURN)
def test_readings_asked_for_one_after_the_other(asked: str, said: str, facts: str, words: Words) -> None:
    reading = read(said, Heard(asked=asked), words)
    assert " ".join(f"{f.about}.{f.what}={f.value}" for f in reading.facts) == facts


@pytest.mark.parametrize(
    ("said", "facts"),
    [
        ("runs to port, no, starboard", [("thruster", "runs", "starboard_only")]),
        ("port coil clicks, no, starboard", [("starboard_coil", "clicks", True)]),
        ("0.3 across the fuse, no, the isolator", [("isolator", "drop", 0.3)]),
        ("hums, no, more a grinding", [("thruster", "noise", "grinding")]),
        ("the fuse is loose, no, hot", [("main_fuse", "hot", True)]),
        ("it lights, no, it doesn't", [("panel", "lights", False)]),
        ("it runs to port, no, it doesn't", [("thruster", "runs", "none", "port_commanded")]),
        ("it clicks to port, no, it doesn't", [("contactor", "clicks", False, "port_commanded")]),
        ("port clicks, no sorry, it didn't", [("contactor", "clicks", False, "port_commanded")]),
        ("isolator on, no, off", [("isolator", "position", "off")]),
        ("12.4 at the battery, no, 11.4", [("battery", "voltage", 11.4)]),
        # what is only denied beside what is told
        ("no lights, no click", [("contactor", "clicks", False), ("panel", "lights", False)]),
        ("battery 12.6, no volts at the studs", [("battery", "voltage", 12.6), ("supply", "voltage", 0)]),
        ("clicks on port, no on starboard", [
            ("contactor", "clicks", False, "starboard_commanded"), ("contactor", "clicks", True, "port_commanded"),
        ]),
    ],
)  # fmt: skip
def test_what_is_put_right_in_one_breath(said: str, facts: list[tuple[object, ...]], words: Words) -> None:
    assert told(said, None, words) == facts


@pytest.mark.parametrize(
    ("asked", "said", "facts"),
    [
        (
            "coil_voltage",
            "24.9 at stbd coil when asked for and it pulls in hard, 24.8 on the port one, no click there",
            "starboard_coil.voltage=24.9 starboard_coil.clicks=True port_coil.voltage=24.8 port_coil.clicks=False",
        ),
        ("coil_voltage", "24.9 at stbd coil, 0 at the port one", "starboard_coil.voltage=24.9 port_coil.voltage=0"),
        ("signal_voltage", "stbd dead, 0 V", "starboard_signal.voltage=0"),
        ("self_run_ask", "At power on.", "thruster.runs_by_itself=at_power_on"),
        ("self_run_ask", "now and then", "thruster.runs_by_itself=now_and_then"),
        ("lug_check", "neg lug is green, everything else tight",
         "negative_cable.corroded=True " + " ".join(f"{p}.loose=False" for p in LUGS[:-1])),
        ("lug_check", "nothing green", " ".join(f"{p}.corroded=False" for p in LUGS)),
        ("all_unplugged_power_on", "no run. isolator off again", "thruster.runs_by_itself=no isolator.position=off"),
        ("signal_bridged", "port 12.2, stbd nothing", "port_signal.voltage=12.2 starboard_signal.voltage=0"),
        ("supply_voltage_at_rest", "on 12.6 / off 0", "supply.voltage=12.6 supply.voltage=0"),
        ("fuse_check", "neither has blown", "main_fuse.blown=False control_fuse.blown=False"),
    ],
)  # fmt: skip
def test_an_answer_in_a_talk(asked: str, said: str, facts: str, words: Words) -> None:
    reading = read(said, Heard(asked=asked, answering=False), words)
    assert " ".join(f"{f.about}.{f.what}={f.value}" for f in reading.facts) == facts


@pytest.mark.parametrize(
    "said",
    [
        "nothing jumps", "wiggled the lot", "will put the power on in a minute", "my test wire is too short",
        "the number has rubbed off", "on it since the start", "the number was changing quickly", "it's boxed in",
    ],
)  # fmt: skip
@pytest.mark.parametrize("asked", ["plug_check", "contact_resistance", "fuse_label", "isolator_check", None])
def test_what_only_sounds_like_a_finding(said: str, asked: str | None, words: Words) -> None:
    assert read(said, Heard(asked=asked, answering=False), words).facts == ()
