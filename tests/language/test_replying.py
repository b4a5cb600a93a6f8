"""What was asked back is answered by the next line, in a word or two; and by nothing else."""

from __future__ import annotations

from typing import Any

import pytest

from assistant.language import Heard, Reading, Words, read

PARTS = (
    "the positive cable", "the negative lug", "the main fuse", "port coil", "the panel plug", "the contactor",
    "the motor", "the control unit", "the isolator", "the battery clamp", "the thermal switch", "the sense lead",
    "port coil lead", "the control harness", "the other panel", "the starboard signal wire", "the gear leg",
)  # fmt: skip
SAID = (
    "it is loose", "it is corroded", "it was hot", "it is wet", "it is open", "it is cracked", "it isn't hot",
    "it is burnt",
)  # fmt: skip
PLACES = ("the battery", "the studs", "the panel plug", "the port coil", "the isolator", "the starboard signal")
LED = ("{}", "{}.", "I mean {}", "that was {}", "{}, sorry", "sorry, {}", "it was {}", "{} mate")


def facts(reading: Reading) -> list[tuple[Any, ...]]:
    return [(f.about, f.what, f.value, f.while_, f.certain) for f in reading.facts]


def after(said: str, answer: str, words: Words, asked: str | None = None) -> Reading:
    """How an answer is read behind a line that left something open."""
    first = read(said, Heard(asked=asked), words)
    assert first.unclear
    return read(answer, Heard(asked=asked, recent=first.facts, back=first.unclear), words)


@pytest.mark.parametrize("said", SAID)
def test_a_part_named_late_is_as_good_as_named_at_once(said: str, words: Words) -> None:
    for part in PARTS:
        whole = said.replace("it", part, 1)
        assert facts(after(said, part, words)) == facts(read(whole, Heard(), words)), whole


@pytest.mark.parametrize("led", LED)
def test_small_words_beside_the_answer_change_nothing(led: str, words: Words) -> None:
    for part in PARTS[:8]:
        assert facts(after("it is loose", led.format(part), words)) == facts(after("it is loose", part, words))


@pytest.mark.parametrize("place", PLACES)
def test_a_figure_gets_its_place(place: str, words: Words) -> None:
    for lead in ("{}", "at {}", "on {}", "across {}"):
        assert facts(after("12.4", lead.format(place), words)) == facts(read(f"12.4 at {place}", Heard(), words))


@pytest.mark.parametrize(
    ("answer", "runs"), [("port", "port_only"), ("the left one", "port_only"), ("to starboard", "starboard_only")]
)
def test_a_side_is_told_late(answer: str, runs: str, words: Words) -> None:
    assert facts(after("it only runs one way", answer, words)) == [("thruster", "runs", runs, (), True)]


@pytest.mark.parametrize("answer", ["both", "neither"])
def test_what_does_not_answer_is_asked_again(answer: str, words: Words) -> None:
    reading = after("it only runs one way", answer, words)
    assert not reading.facts and [u.kind for u in reading.unclear] == ["side"]


@pytest.mark.parametrize("asked", ["motor_temperature", "fuse_check", "command_bridge", "panel_wake_up"])
@pytest.mark.parametrize("answer", ["yes", "no", "yes it is", "no it isn't", "neither"])
def test_a_yes_to_on_or_off_answers_nothing_else(asked: str, answer: str, words: Words) -> None:
    reading = after("the isolator is on off", answer, words, asked)
    assert not reading.facts and [u.kind for u in reading.unclear] == ["on_off"]


@pytest.mark.parametrize(
    ("answer", "position"), [("on", "on"), ("it's off", "off"), ("switched on", "on"), ("off I think", "off")]
)
def test_on_or_off_is_told_late(answer: str, position: str, words: Words) -> None:
    (fact,) = after("the isolator is on off", answer, words, "motor_temperature").facts
    assert (fact.about, fact.what, fact.value) == ("isolator", "position", position)
    assert fact.certain is ("think" not in answer) and fact.words == answer


@pytest.mark.parametrize("answer", ["10", "10 V", "nearer 10", "about 10", "more like 10"])
def test_a_range_is_narrowed(answer: str, words: Words) -> None:
    reading = after("between 9 and 12 at the studs at rest", answer, words, "motor_temperature")
    assert facts(reading) == [("supply", "voltage", 10, ("at_rest",), True)]


def test_a_line_of_its_own_is_read_as_it_stands(words: Words) -> None:
    for line in (
        "the motor's hot",
        "12.6 at the battery at rest",
        "no click on port",
        "why?",
        "the fuse is whole, the isolator is on",
    ):
        assert after("it is loose", line, words) == read(line, Heard(), words)


def test_two_questions_are_answered_at_once(words: Words) -> None:
    told = {(f.about, f.what) for f in after("it is loose and wet", "the positive cable", words).facts}
    assert told == {("positive_cable", "loose"), ("positive_cable", "wet")}


def test_what_the_line_told_already_is_not_told_again(words: Words) -> None:
    assert facts(after("the motor is hot. It's 12.4", "at the studs", words)) == [("supply", "voltage", 12.4, (), True)]


ONE_OF_TWO = ("the coil reads 31 ohm", "coil is open", "signal 12.4", "the signal wire is dead", "coil doesn't click")


@pytest.mark.parametrize("said", ONE_OF_TWO)
@pytest.mark.parametrize("asked", [None, "coil_resistance", "coil_voltage", "signal_voltage"])
def test_of_one_of_a_pair_nothing_is_told_before_it_is_known_which(asked: str | None, said: str, words: Words) -> None:
    first = read(said, Heard(asked=asked), words)
    assert not first.facts and [u.kind for u in first.unclear] == ["side"]
    for side, other in (("port", "starboard"), ("starboard", "port")):
        told = facts(after(said, f"the {side} one", words, asked))
        assert told and {about.split("_")[0] for about, *_ in told} == {side}
        assert not any(other in name for fact in told for name in fact[3])


@pytest.mark.parametrize(
    "said", ["both coils 28", "coils 28 ohm", "no signal", "the coils are open", "coil 28 either side"]
)
def test_of_both_of_a_pair_nothing_is_asked(said: str, words: Words) -> None:
    reading = read(said, Heard(), words)
    assert not reading.unclear and len(reading.facts) == 2


@pytest.mark.parametrize("joined", [", ", ". ", "; ", " / ", "\n"])
@pytest.mark.parametrize("noun", ["coil", "signal", "the coil", "signal wire"])
def test_a_side_before_a_colon_labels_the_one_of_a_pair_behind_it(noun: str, joined: str, words: Words) -> None:
    for one, other in (("port", "starboard"), ("starboard", "port")):
        told = facts(read(f"{one}: {noun} 12.8{joined}{other}: {noun} 11.7", Heard(), words))
        assert {(about.split("_")[0], value) for about, _, value, *_ in told} <= {(one, 12.8), (other, 11.7)}
        assert len(told) == 2, (one, told)
