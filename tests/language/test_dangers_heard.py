"""What can hurt is heard however it is said: running on, people at the tunnel, a short of the control supply."""

from __future__ import annotations

from itertools import product

import pytest

from assistant.language import Heard, Reading, Words, read

LET_GO = (
    "I let go",
    "i've let go",
    "I let go of the stick",
    "let go of the button",
    "he let go",
    "she lets go of the joystick",
    "my hand is off the stick",
    "hands off the stick",
    "took my finger off the button",
    "I released the button",
    "stick released",
    "stick back in the middle",
    "joystick centred",
    "nobody is touching the stick",
    "no one on the stick",
    "with nobody at the helm",
    "hand off the joystick",
    "I take my hand away",
    "I let the lever go",
    "let off the button",
    "after I let go",
    "when I let go",
    "even after releasing the button",
)
GOES_ON = (
    "it keeps running",
    "she's still pushing",
    "it won't stop",
    "it carries on",
    "the thruster keeps going",
    "still running",
    "it keeps on turning",
    "it's still shoving us sideways",
    "motor keeps spinning",
    "she doesn't stop",
    "it just carried on",
    "bow thruster goes on pushing",
    "it goes on and on",
    "it never stops",
    "kept running",
    "it continues to run",
    "she keeps thrusting",
    "it's still going",
    "the motor is still turning",
    "it stays on",
    "it will not switch off",
)
POWER_ON = (
    "as soon as I switch on",
    "the moment the isolator goes on",
    "the instant I turned the key",
    "the second the power comes on",
    "the minute I close the isolator",
    "every time I turn the main switch on",
    "when I switch the battery on",
    "straight after switching on",
    "once the isolator is on",
    "each time the power goes on",
    "soon as the switch is thrown",
)
TAKES_OFF = (
    "it starts by itself",
    "she's off",
    "away it goes",
    "off it goes",
    "it starts pushing",
    "the thruster comes to life",
    "it begins to run",
    "it starts up",
    "the bow starts swinging",
    "it kicks in",
    "it fires up on its own",
    "she runs with nobody at the helm",
    "it goes mad",
    "the motor spins up",
    "it takes off",
    "she shoves us sideways",
    "the prop starts turning",
    "it runs without being asked",
)
SOMEBODY = (
    "somebody is",
    "there's a swimmer",
    "kids are",
    "my son is",
    "a diver is",
    "the dog is",
    "two lads are",
    "people are",
    "my wife is",
    "the deckhand is",
    "someone's",
    "a child is",
    "there is a man",
    "the owner is",
    "the skipper is",
)
THERE = (
    "in the water",
    "swimming by the bow",
    "near the tunnel",
    "swimming around the boat",
    "in the tunnel",
    "under the bow",
    "diving on the prop",
    "at the thruster tunnel",
    "snorkelling next to the boat",
    "over the side",
)
ALL_CLEAR = (
    "nobody in the water",
    "no one near the tunnel",
    "nobody swimming",
    "there is nobody in the water",
    "everyone is out of the water",
    "all clear, nobody in the water",
    "no one's in the water",
    "nobody anywhere near the tunnel",
    "swimmers all out",
    "the kids are out of the water now",
    "he's out of the water",
    "all people are clear of the tunnel",
    "no hands in the tunnel",
    "not a soul in the water",
)
ONE_END = ("control plus", "control positive", "the control positive wire", "the plus pin of the panel plug")
OTHER_END = ("control minus", "control negative", "the control negative wire", "the minus pin of the panel plug")
SHORTED = (
    "I've bridged {} to {}",
    "{} and {} are joined",
    "jumper from {} to {}",
    "I shorted {} to {}",
    "put a wire between {} and {}",
    "connected {} with {}",
    "{} linked to {}",
    "touched {} on {}",
    "I'm going to bridge {} to {}",
    "should I bridge {} to {}?",
    "{} is touching {}",
    "there's a jumper on {} and {}",
    "{} got shorted to {}",
    "by mistake I bridged {} to {}",
)


def heard(text: str, words: Words) -> Reading:
    return read(text, Heard(), words)


@pytest.mark.parametrize("join", (" and ", " but ", ", ", " - "))
def test_what_runs_on_without_a_command_is_heard(join: str, words: Words) -> None:
    texts = [one + join + other for one, other in product(LET_GO, GOES_ON)]
    readings = [(text, heard(text, words)) for text in texts]
    assert [t for t, r in readings if not any(f.what == "runs_by_itself" for f in r.facts)] == []
    assert [t for t, r in readings if any(f.what == "people_clear" for f in r.facts)] == []


@pytest.mark.parametrize("verb", ("running", "turning", "still pushing", "going"))
@pytest.mark.parametrize("alone", ("by itself", "on its own", "all by itself"))
@pytest.mark.parametrize("more", ("", ", the thing is still pushing to port", "! help", " and it pushes to starboard"))
def test_a_run_without_a_command_in_half_a_sentence_is_heard(verb: str, alone: str, more: str, words: Words) -> None:
    facts = heard(f"{verb} {alone}{more}", words).facts
    assert {f.what for f in facts} == {"runs_by_itself"}  # where it goes unasked is no finding of where it goes asked
    assert all(f.value != "no" for f in facts)


@pytest.mark.parametrize(
    ("said", "values"),
    [
        ("not running by itself", ["no"]), ("running by itself? no", ["no"]), ("no running on its own", ["no"]),
        ("running by itself is not the problem", ["no"]), ("is it running by itself?", []),
        ("running on its own battery", []), ("bilge pump running by itself", []),
    ],
)  # fmt: skip
def test_half_a_sentence_that_denies_or_means_another_thing_alarms_nobody(
    said: str, values: list[str], words: Words
) -> None:
    assert [f.value for f in heard(said, words).facts if f.what == "runs_by_itself"] == values


def test_which_way_it_runs_when_asked_stands_beside_a_run_unasked(words: Words) -> None:
    facts = heard("it starts by itself. when I press port it runs to port, to starboard nothing", words).facts
    assert {f.what for f in facts} == {"runs_by_itself", "runs"}


@pytest.mark.parametrize("said", ("{on} {off}", "{off} {on}"))
def test_what_takes_off_with_the_power_is_heard(said: str, words: Words) -> None:
    texts = [said.format(on=on, off=off) for on, off in product(POWER_ON, TAKES_OFF)]
    missed = [t for t in texts if not any(f.what == "runs_by_itself" for f in heard(t, words).facts)]
    assert missed == []


def test_people_in_the_water_are_heard_and_their_absence_too(words: Words) -> None:
    for text in (f"{who} {where}" for who, where in product(SOMEBODY, THERE)):
        assert [f.value for f in heard(text, words).facts if f.what == "people_clear"] == [False], text
    for text in ALL_CLEAR:
        assert [f.value for f in heard(text, words).facts if f.what == "people_clear"] == [True], text


@pytest.mark.parametrize("said", SHORTED)
def test_a_short_of_the_control_supply_is_heard(said: str, words: Words) -> None:
    for one, other in (*product(ONE_END, OTHER_END), *product(OTHER_END, ONE_END)):
        reading = heard(said.format(one, other), words)
        short = any(f.about == "bridge" and f.value == "control_positive_to_negative" for f in reading.facts)
        assert short or any(u.hazard for u in reading.unclear), said.format(one, other)
