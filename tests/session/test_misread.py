"""A line that was taken wrongly: said so in a word, the fact goes, or it is asked which of several."""

from __future__ import annotations

import pytest
from session.talking import session, tell

WRONG = (
    "that's wrong", "No, that's wrong.", "that's not what I said", "wrong", "not what I meant", "you got that wrong",
    "I never said that", "you misunderstood me", "that is not right",
)  # fmt: skip
THREE = "panel lights, port coil loose and the fuse is blown"


def facts(out: dict[str, object]) -> list[str]:
    understood = out["understood"]
    assert isinstance(understood, list)
    return [f"{f['about']}.{f['what']}" for f in understood]


@pytest.mark.parametrize("said", WRONG)
def test_the_only_fact_of_a_line_is_taken_back(said: str) -> None:
    talk = session()
    tell(talk, say="the main fuse is loose")
    out = tell(talk, say=said)
    assert out["understood"] == [] and "Taken back: main fuse loose" in out["reply"]
    assert talk.standing() == []


@pytest.mark.parametrize("said", WRONG)
def test_of_several_it_is_asked_which(said: str) -> None:
    talk = session()
    tell(talk, say=THREE)
    out = tell(talk, say=said)
    assert [u["words"][:2] for u in out["unclear"]] == ["a:", "b:", "c:"] and len(talk.standing()) == 3


@pytest.mark.parametrize(
    ("picked", "left"),
    [
        ("b", ["panel.lights", "main_fuse.blown"]), ("A and c", ["port_coil.loose"]), ("all", []), ("all of them", []),
        ("c is wrong", ["panel.lights", "port_coil.loose"]), ("a, b", ["main_fuse.blown"]),
    ],
)  # fmt: skip
def test_a_letter_takes_back(picked: str, left: list[str]) -> None:
    talk = session()
    tell(talk, say=THREE)
    tell(talk, say="that's wrong")
    out = tell(talk, say=picked)
    assert facts(out) == [] and [f"{f['about']}.{f['what']}" for f in talk.standing()] == left


def test_only_the_very_fact_goes() -> None:
    talk = session()
    tell(talk, say="port clicks, starboard doesn't click")
    tell(talk, say="that's wrong")
    tell(talk, say="b")
    assert [(f["what"], f["value"]) for f in talk.standing()] == [("clicks", True)]


def test_whoever_goes_on_telling_has_taken_nothing_back() -> None:
    talk = session()
    tell(talk, say=THREE)
    tell(talk, say="that's wrong")
    out = tell(talk, say="the battery reads 12.4")
    assert facts(out) == ["battery.voltage"] and len(talk.standing()) == 4


def test_with_nothing_told_there_is_nothing_to_take_back() -> None:
    talk = session()
    out = tell(talk, say="that's wrong")
    assert out["understood"] == [] and out["replaced"] == []


def test_a_recorded_question_can_be_answered_after_it_was_resumed() -> None:
    kept: list[dict[str, object]] = []

    class Sink:
        def append(self, entry: dict[str, object]) -> str:
            kept.append(entry)
            return ""

    talk = session(sink=Sink())
    tell(talk, say=THREE)
    tell(talk, say="that's wrong")
    again = session()
    for entry in (e for e in kept if e["kind"] == "turn"):
        again.retake(entry)
    tell(again, say="c")
    assert [f["about"] for f in again.standing()] == ["panel", "port_coil"]
