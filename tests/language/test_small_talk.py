"""Answers of a word or two, to every test that can be asked: what they come to, and that others come to nothing."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from assistant.knowledge import load
from assistant.language import Heard, Words, load_words, read

from .corpus import HERE

SAID: dict[str, Any] = yaml.safe_load((HERE / "small_talk.yaml").read_text(encoding="utf-8"))
TESTS = load().tests
OFF_TOPIC = [
    name
    for name, test in TESTS.items()
    if test.answers and not any(str(f.get("about")) == "thruster" for a in test.answers for f in a.facts)
]


def facts(text: str, asked: str | None, words: Words) -> set[tuple[str, str, Any, tuple[str, ...]]]:
    return {(f.about, f.what, f.value, f.while_) for f in read(text, Heard(asked=asked), words).facts}


@pytest.mark.parametrize("said", SAID["nothing"])
def test_small_talk_tells_nothing(said: str, words: Words) -> None:
    assert {asked: told for asked in (None, *TESTS) if (told := facts(said, asked, words))} == {}


@pytest.mark.parametrize("said", ["Here we go. Fuse is blown.", "come on, the fuse is blown", "fuse blown. that's all"])
def test_small_talk_beside_a_finding_changes_nothing(said: str, words: Words) -> None:
    assert facts(said, None, words) == {("main_fuse", "blown", True, ())}


@pytest.mark.parametrize("verdict", ["yes", "no"])
def test_every_way_to_say_yes_or_no_is_one(verdict: str, words: Words) -> None:
    asked = [name for name in TESTS if facts(verdict, name, words)]
    assert len(asked) >= 10
    wrong = [(s, t) for s in SAID[verdict] for t in asked if facts(s, t, words) != facts(verdict, t, words)]
    assert wrong == []


@pytest.mark.parametrize("led", ["{} {}", "{}, {}", "{} and {}"])
@pytest.mark.parametrize("verdict", ["yes", "no", "yeah", "nope"])
def test_a_verdict_on_something_else_is_no_answer(verdict: str, led: str, words: Words) -> None:
    asked = [name for name in TESTS if facts(verdict, name, words)]
    texts = [led.format(verdict, beside) for beside in SAID["beside"]]
    wrong = [(text, t) for text in texts for t in asked if facts(text, t, words) & facts(verdict, t, words)]
    assert wrong == []


@pytest.mark.parametrize("said", SAID["of_anything"])
def test_where_a_test_asks_of_other_things_nothing_is_told_of_the_thruster(said: str, words: Words) -> None:
    assert len(OFF_TOPIC) > 15
    told = {asked: facts(said, asked, words) for asked in OFF_TOPIC if asked != "stations_power_on"}
    assert {asked: f for asked, f in told.items() if any(about == "thruster" for about, *_ in f)} == {}


@pytest.mark.parametrize("said", SAID["doubtful_sides"])
def test_a_direction_with_a_doubtful_verdict_is_asked_back(said: str, words: Words) -> None:
    for asked in ("command_bridge", "coil_direct", "thermal_bridge", "try_other_station"):
        reading = read(said, Heard(asked=asked), words)
        assert not reading.facts and reading.unclear, asked


@pytest.mark.parametrize(
    "asked", ["all_unplugged_power_on", "control_unit_power_on", "stations_power_on", "self_run_ask"]
)
@pytest.mark.parametrize("said", ["fine", "good", "normal", "all good", "perfect", "no change", "same as before", "ok"])
def test_how_it_is_does_not_tell_whether_it_ran_by_itself(asked: str, said: str, words: Words) -> None:
    assert facts(said, asked, words) == set()


@pytest.mark.parametrize(("meant", "said"), [(m, s) for m, all_ in SAID["german"].items() for s in all_])
def test_it_is_the_same_in_german(meant: str, said: str) -> None:
    german = load_words("de")
    for asked in TESTS:
        assert facts(said, asked, german) == (set() if meant == "nothing" else facts(meant, asked, german)), asked
