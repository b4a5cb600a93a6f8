"""An offered answer is taken as that answer when it is typed in nearly its own words, and never as another one."""

from __future__ import annotations

from typing import Any

import pytest

from assistant.facts import RawFact
from assistant.knowledge import load
from assistant.language import Heard, Words, read

TESTS = load().tests
WAYS = ("{}", "it's {}", "yes, {}", "{} mate", "he says {}", "{} now", "so, {}", "{}!")


def offered(test: str) -> tuple[tuple[str, tuple[RawFact, ...]], ...]:
    """What is offered for a test, with its own figures as the boat's volts."""
    return tuple(
        (a.text, tuple(RawFact.model_validate({**f, "unit": None}) for f in a.facts)) for a in TESTS[test].answers
    )


def told(facts: Any) -> set[tuple[str, str, Any]]:
    return {(f.about, f.what, f.value) for f in facts}


@pytest.mark.parametrize("test", sorted(name for name, test in TESTS.items() if test.answers))
def test_small_words_beside_the_wording_change_nothing(test: str, words: Words) -> None:
    answers, wrong = offered(test), []
    for wording, facts in answers:
        for way in WAYS:
            text = way.format(wording.lower().rstrip("."))
            got = told(read(text, Heard(asked=test, answers=answers), words).facts)
            others = [told(other) for _, other in answers if told(other) != told(facts)]
            if got in others or (way == "{}" and got != told(facts)):
                wrong.append((text, got))
    assert wrong == []


def test_most_of_the_wording_is_enough_where_no_other_answer_has_it(words: Words) -> None:
    heard = Heard(asked="supply_voltage_at_rest", answers=offered("supply_voltage_at_rest"))
    for text, answer in (("it has full voltage", 0), ("too low", 1), ("there's some, but too low", 1)):
        assert told(read(text, heard, words).facts) == told(heard.answers[answer][1]), text


@pytest.mark.parametrize(
    ("test", "text"),
    [
        ("signal_voltage", "arrives to port"),  # not: only
        ("thermal_continuity", "motor cold"),  # two answers have it
        ("supply_voltage_at_rest", "voltage"),
        ("supply_voltage_at_rest", "full of mud"),
        ("supply_voltage_at_rest", "full voltage at the bar"),
        ("cable_drop_positive", "nothing lost"),
    ],
)
def test_too_little_or_too_much_picks_nothing(test: str, text: str, words: Words) -> None:
    heard = Heard(asked=test, answers=offered(test))
    assert told(read(text, heard, words).facts) not in [told(facts) for _, facts in heard.answers]
