"""Short lines in a talk: of what they speak, where a test was asked for and the person may go on about others."""

from __future__ import annotations

from typing import Any

import pytest

from assistant.knowledge import load
from assistant.language import Heard, Words, read

from .corpus import OTHERS, OWN, lines_of

FIRST = (
    "the panel is dark", "the main fuse is whole", "the port coil is open", "the motor is hot", "the sense lead is off",
    "the positive cable is loose", "the contactor is wet", "the thermal switch is open", "the isolator is on",
    "12.6 at the studs at rest", "the control unit is damaged", "the harness is chafed",
)  # fmt: skip
THEN = (
    "it is loose", "it's wet", "and wet", "and hot", "it is loose too", "also corroded", "it is open", "it's off",
    "it is out", "it's unplugged", "and it's green", "it's clean", "it's gone", "it's broken", "it smells burnt",
    "and smells burnt", "it is new", "it's cold", "put it back", "pulled it out", "took it off", "replaced it",
    "cleaned it", "tightened it", "it beeps", "no beep", "they are loose", "drops to 9", "falls to 8.5 under load",
)  # fmt: skip


def facts(reading: Any) -> list[tuple[str, str, Any]]:
    return [(f.about, f.what, f.value) for f in reading.facts]


@pytest.mark.parametrize("asked", sorted(load().tests))
def test_a_short_line_is_of_what_was_told_or_asked_for_and_of_no_third(asked: str, words: Words) -> None:
    wrong = []
    for first in FIRST[::2]:
        told = read(first, Heard(), words).facts
        known = {f.about for f in told} | {"thruster"}
        for then in THEN:
            heard = Heard(asked=asked, answering=False, recent=told)
            got = {(about, what) for about, what, _ in facts(read(then, heard, words))}
            wrong += [(first, then, g) for g in got if g[0] not in known and ".".join(g) not in words.topics[asked]]
    assert wrong == []


@pytest.mark.parametrize("then", ["and wet", "it is wet too", "also wet"])
def test_what_goes_on_is_of_the_line_before(then: str, words: Words) -> None:
    told = read("the panel is dark", Heard(), words).facts
    for asked in ("isolator_check", "tunnel_inspect", "motor_temperature", "lug_check"):
        heard = Heard(asked=asked, answering=False, recent=told)
        assert facts(read(then, heard, words)) == [("panel", "wet", True)], asked


def test_what_may_be_of_either_is_asked(words: Words) -> None:
    told = read("the panel is dark", Heard(), words).facts
    reading = read("it is loose", Heard(asked="isolator_check", answering=False, recent=told), words)
    assert not reading.facts and [u.kind for u in reading.unclear] == ["part"]
    answered = read(
        "the panel", Heard(asked="isolator_check", answering=False, recent=told, back=reading.unclear), words
    )
    assert facts(answered) == [("panel", "loose", True)]


def test_who_is_known_to_answer_speaks_of_what_was_asked(words: Words) -> None:
    told = read("the panel is dark", Heard(), words).facts
    reading = read("it is loose", Heard(asked="isolator_check", recent=told), words)
    assert facts(reading) == [("isolator", "loose", True)]


@pytest.mark.parametrize(
    ("first", "then", "fact"),
    [
        ("nothing happens", "not even a click", ("contactor", "clicks", False)),
        ("12.6 at the studs at rest", "drops to 9 under load", ("supply", "voltage", 9)),
        ("12.6 at the battery", "falls to 8.5", ("battery", "voltage", 8.5)),
        ("the port coil is open", "no, the starboard one", ("starboard_coil", "continuity", False)),
        ("port coil 31 ohm", "starboard the same", ("starboard_coil", "resistance", 31)),
    ],
)
@pytest.mark.parametrize("asked", ["isolator_check", "motor_temperature", "what_is_wrong", "coil_resistance"])
def test_what_was_told_last_is_leant_on(asked: str, first: str, then: str, fact: Any, words: Words) -> None:
    told = read(first, Heard(), words).facts
    assert facts(read(then, Heard(asked=asked, answering=False, recent=told), words)) == [fact]


def test_it_is_put_back(words: Words) -> None:
    told = read("the sense lead is off", Heard(), words).facts
    reading = read("put it back", Heard(asked="what_is_wrong", answering=False, recent=told), words)
    assert facts(reading) == [("sense_lead", "plugged", True)]


@pytest.mark.parametrize("said", ["took it off", "I took it off", "take it off"])
def test_what_was_taken_off_did_not_take_off(said: str, words: Words) -> None:
    assert facts(read(said, Heard(), words)) == []


@pytest.mark.parametrize("said", ["12.4", "it reads 12.4", "11.2"])
def test_a_decimal_figure_is_no_temperature(said: str, words: Words) -> None:
    assert facts(read(said, Heard(asked="motor_temperature"), words)) == []
    assert facts(read("75", Heard(asked="motor_temperature"), words)) == [("motor", "temperature", 75)]


GOES_ON = (
    ("starboard doesn't click", "port does", ("contactor", "clicks", True)),
    ("port coil 31 ohm", "starboard 30", ("starboard_coil", "resistance", 30)),
    ("starboard coil is open", "and the port one 31", ("port_coil", "resistance", 31)),
    ("12.1 on the port signal when port is pushed", "nothing on the other", ("starboard_signal", "voltage", 0)),
)


@pytest.mark.parametrize(("first", "then", "fact"), GOES_ON)
def test_two_lines_tell_what_they_tell_as_one(first: str, then: str, fact: Any, words: Words) -> None:
    told = read(first, Heard(), words).facts
    heard = Heard(asked="what_is_wrong", answering=False, recent=told, before=first)
    assert facts(read(then, heard, words)) == [fact]


@pytest.mark.parametrize(
    "then", ["ok", "mum says hello", "what next?", "hang on", "and you?", "lovely weather", "maybe"]
)
def test_small_talk_goes_on_about_nothing(then: str, words: Words) -> None:
    for first in (*FIRST, "starboard doesn't click", "12.6 at the studs, 9 when it runs"):
        told = read(first, Heard(), words).facts
        heard = Heard(asked="what_is_wrong", answering=False, recent=told, before=first)
        assert read(then, heard, words).facts == (), first


@pytest.mark.parametrize("asked", [None, *sorted(load().tests)])
@pytest.mark.parametrize("said", ["swapped nothing yet", "touched nothing", "replaced nothing", "cleaned nothing"])
def test_what_was_done_to_nothing_is_no_reading_of_nothing(said: str, asked: str | None, words: Words) -> None:
    assert read(said, Heard(asked=asked), words).facts == ()


def test_off_again_is_of_what_was_just_on(words: Words) -> None:
    told = read("turned the isolator on again", Heard(), words).facts
    heard = Heard(asked="motor_temperature", answering=False, recent=told)
    assert facts(read("off again", heard, words)) == [("isolator", "position", "off")]


def test_the_little_one_is_a_fuse_beside_the_big_one_and_nothing_by_itself(words: Words) -> None:
    told = read("the main fuse is whole", Heard(), words).facts
    heard = Heard(asked="try_other_station", answering=False, recent=told)
    assert facts(read("little one is blown", heard, words)) == [("control_fuse", "blown", True)]
    assert facts(read("little one is blown", Heard(), words)) == []


def test_what_is_told_in_passing_hangs_little_on_what_was_asked_for(words: Words) -> None:
    """Lines by other writers, told while some test is asked for that has nothing to do with them."""
    lines = [line for path in (OWN, *OTHERS) for line in lines_of(path) if not (line.get("after") or {}).get("asked")]
    tests = sorted(name for name, answer in words.answers.items() if not answer.confirm)
    changed = []
    for n, line in enumerate(lines[::15]):
        asked = tests[n % len(tests)]
        alone, meant = (read(line["say"], heard, words) for heard in (Heard(), Heard(asked=asked, answering=False)))
        if sorted(map(str, facts(alone))) != sorted(map(str, facts(meant))):
            changed.append((asked, line["say"]))
    assert len(changed) <= 0.04 * len(lines[::15]), changed


def test_what_answers_the_test_is_read_as_an_answer_in_a_talk_too(words: Words) -> None:
    """Lines by other writers that answer a test, told in a talk: nearly all are read as if they were known to."""
    lines = [line for path in (OWN, *OTHERS) for line in lines_of(path) if (line.get("after") or {}).get("asked")]
    changed = []
    for line in lines[::10]:
        asked = line["after"]["asked"]
        meant, told = (read(line["say"], Heard(asked=asked, answering=a), words) for a in (True, False))
        if sorted(map(str, facts(meant))) != sorted(map(str, facts(told))):
            changed.append((asked, line["say"]))
    assert len(changed) <= 0.04 * len(lines[::10]), changed


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("isolator_check", "The panel still lights but when I push the stick nothing happens at all."),
        ("isolator_check", "won't shut off!!!"),
        ("isolator_check", "port: clicks, no run"),
        ("coil_voltage", "She's 12 volt and a diesel."),
        ("coil_voltage", "the thruster bank is its own affair, 12.6"),
        ("motor_temperature", "Got here at nine. Bank 12.7, studs 12.6."),
        ("tunnel_inspect", "battery's fine"),
        ("fuse_check", "The electrician was to come on Tuesday. He didn't."),
        ("supply_voltage_at_rest", "tried it twenty times, not one light on the joystick"),
    ],
)
def test_what_a_line_says_by_itself_is_not_bent_to_the_question(asked: str, said: str, words: Words) -> None:
    alone = facts(read(said, Heard(), words))
    assert facts(read(said, Heard(asked=asked, answering=False), words)) == alone


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("supply_voltage_at_rest", "12.4"), ("supply_voltage_at_rest", "nothing"), ("motor_temperature", "stone cold"),
        ("signal_voltage", "12.1 on port, nothing on starboard"), ("coil_resistance", "28 and 28.5"),
        ("command_bridge", "only to port"), ("fuse_check", "whole, but loose"), ("panel_wake_up", "stays dark"),
        ("coil_voltage", "11.8 each and both click"), ("thermal_continuity", "open"), ("isolator_check", "it's on"),
        ("motor_output_voltage", "nothing on either side"), ("all_unplugged_power_on", "it doesn't run"),
    ],
)  # fmt: skip
def test_an_answer_in_a_talk_is_read_as_one(asked: str, said: str, words: Words) -> None:
    answer = facts(read(said, Heard(asked=asked), words))
    assert answer and facts(read(said, Heard(asked=asked, answering=False), words)) == answer
