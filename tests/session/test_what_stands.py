"""`Is it safe now?` and `what did I tell you about the studs?` are answered from what was told, and tell nothing."""

from __future__ import annotations

import pytest
from session.talking import f, say, session, tell


@pytest.mark.parametrize(
    "line",
    [
        "is it safe now?",
        "is it safe to put my arm in the tunnel?",
        "he's asking can he try it now",
        "can I switch it back on?",
    ],
)
def test_a_danger_that_is_live_makes_it_a_no(line: str) -> None:
    s = session()
    say(s, "thruster runs by itself, cant stop it")
    out = say(s, line)
    safe = out["answer"]["safe"]
    assert safe["text"].startswith("No: It runs by itself") and safe["hazards"][0] == "runs_uncontrolled"
    assert safe["text"] in out["reply"] and not out["understood"] and out["stop"]


def test_what_must_be_told_first_is_named_until_it_is() -> None:
    s = session()
    safe = say(s, "the panel is dark", "is it safe now?")["answer"]["safe"]
    assert safe["not_told"] == ["isolator.position", "isolator.locked", "supply.proved_dead", "boat.people_clear"]
    tell(s, f("isolator.position", "off"), f("isolator.locked", True), f("supply.proved_dead", True))
    safe = tell(s, f("boat.people_clear", True), ask={"safe": True})["answer"]["safe"]
    assert safe["not_told"] == [] and "was told" in safe["text"]


def test_what_was_told_of_a_part_or_of_all() -> None:
    s = session()
    say(s, "12.6 at the battery at rest, 12.4 at the studs, panel is lit")
    assert say(s, "what did I tell you about the studs?")["answer"]["told"]["facts"] == ["f2"]
    assert say(s, "what is known")["answer"]["told"]["facts"] == ["f1", "f2", "f3"]
    assert "Nothing of that" in say(s, "what have I told you about the coils?")["answer"]["told"]["text"]


def test_what_is_open_stays_open() -> None:
    s = session()
    say(s, "it only runs one way", "is it safe now?")
    assert [(x["about"], x["value"]) for x in say(s, "port")["understood"]] == [("thruster", "port_only")]
