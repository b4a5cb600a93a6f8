"""Who cannot or will not do what was asked has found nothing, whatever was asked."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.knowledge import load
from assistant.language import Heard, Words, read

REFUSALS = (Path(__file__).parent / "refusals.txt").read_text(encoding="utf-8").splitlines()
LED = ("{}", "{}.", "sorry, {}", "well, {}", "{} from here")
UNNAMED = {"later", "not yet", "it's buried behind the tank", "I'd need a second person"}
"""Of these nothing is taken, and they are not yet understood as a refusal either."""


@pytest.mark.parametrize("asked", sorted(load().tests))
def test_a_refusal_is_no_finding(asked: str, words: Words) -> None:
    told = {text for r in REFUSALS for lead in LED if read(text := lead.format(r), Heard(asked=asked), words).facts}
    assert told == set()


def test_a_refusal_is_understood_as_one(words: Words) -> None:
    heard = {r for r in REFUSALS if read(r, Heard(asked="supply_voltage_at_rest"), words).cannot}
    assert set(REFUSALS) - heard == UNNAMED


@pytest.mark.parametrize("asked", sorted(load().tests))
def test_a_yes_or_no_that_puts_off_is_no_finding(asked: str, words: Words) -> None:
    lines = (Path(__file__).parent / "put_off.txt").read_text(encoding="utf-8").splitlines()
    assert [text for text in lines if read(text, Heard(asked=asked), words).facts] == []


@pytest.mark.parametrize("text", ["yes", "yes it is", "no, wait, yes", "no. hang on, yes it is"])
def test_a_yes_is_one(text: str, words: Words) -> None:
    (fact,) = read(text, Heard(asked="isolator_check"), words).facts
    assert (fact.about, fact.what, fact.value) == ("isolator", "position", "on")
