"""The person's own names of parts in a case: noted, used beside the trade's, replaced, taken back, run again."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import pytest
from session.talking import AT, described, f, session, tell

from assistant.errors import JournalError, LineError
from assistant.session import Session


class Kept:
    """Entries kept in memory, and perhaps refused."""

    def __init__(self) -> None:
        self.entries: list[Mapping[str, Any]] = []
        self.full = False

    def append(self, entry: Mapping[str, Any]) -> str:
        if self.full:
            raise JournalError("no room")
        self.entries.append(json.loads(json.dumps(entry)))
        return f"{len(self.entries):064x}"


@pytest.fixture
def s() -> Session:
    return session()


def say(s: Session, text: str) -> dict[str, Any]:
    return s.take({"say": text, "at": AT})


def standing(out: dict[str, Any]) -> dict[str, str]:
    return {n["about"]: n["name"] for n in out.get("own_names", {}).get("standing", ())}


def test_nothing_is_added_where_nobody_names_anything(s: Session) -> None:
    for text in ("dead to port, runs to starboard", "12.3 V on the port signal when port is asked", "undo", "report"):
        out = say(s, text)
        assert "own_names" not in out and "own_names" not in (out["next"] or {})


def test_a_name_is_noted_and_said_beside_the_trade_s(s: Session) -> None:
    out = say(s, "the port signal wire is the green one here")
    assert out["own_names"]["standing"] == [
        {"id": "n1", "about": "port_signal", "name": "green", "words": "the port signal wire is the green one here",
         "turn": 1, "by": "user"}
    ]  # fmt: skip
    assert out["own_names"]["given"] == ["n1"] and out["understood"] == []
    assert 'Noted: your "green" is the port run signal.' in out["reply"]
    out = say(s, "12.3 on the green when I ask for port")
    assert [(f["about"], f["value"]) for f in out["understood"]] == [("port_signal", 12.3)]
    assert 'port run signal (your "green") voltage 12.3 V' in out["reply"]


def test_the_step_says_which_of_its_parts_have_a_name(s: Session) -> None:
    say(s, "port signal is the green one, starboard signal is the blue one")
    out = tell(s, *described(), f("thruster.runs", "starboard_only"), f("supply.voltage", 12.6, "at_rest"))
    for _ in range(20):
        if out["next"]["test"] == "signal_voltage":
            break
        assert "own_names" not in out["next"]
        out = s.take({"answer": {"test": out["next"]["test"], "cannot": "not here"}, "at": AT})
    assert out["next"]["own_names"] == [
        'The port run signal is your "green".',
        'The starboard run signal is your "blue".',
    ]
    assert 'The port run signal is your "green".' in out["reply"]


def test_saying_it_differently_replaces_it(s: Session) -> None:
    say(s, "port coil is marked K1")
    out = say(s, "no, the port coil is marked K7")
    assert standing(out) == {"port_coil": "K7"}
    assert [n["name"] for n in out["own_names"]["replaced"]] == ["K1"]
    assert 'instead of your "K1"' in out["reply"]
    assert [f["about"] for f in say(s, "no click from K7")["understood"]] == ["port_coil"]
    assert all(f["about"] != "port_coil" for f in say(s, "no click from K1")["understood"])


def test_a_second_part_of_the_same_name_is_refused_in_a_sentence(s: Session) -> None:
    say(s, "port coil is marked K1")
    out = say(s, "the starboard coil is marked K1")
    assert standing(out) == {"port_coil": "K1"}
    (refused,) = out["own_names"]["refused"]
    assert refused["why"] in out["reply"] and "already your name for the port coil" in refused["why"]


def test_a_word_for_a_side_is_refused_in_a_sentence(s: Session) -> None:
    out = say(s, "we call the port signal wire 'starboard'")
    assert out["own_names"]["standing"] == [] and "says a side" in out["reply"]
    assert "own_names" not in say(s, "panel is dark")


def test_taking_back_by_id_by_word_and_by_undo(s: Session) -> None:
    say(s, "port coil is marked K1")
    out = s.take({"take_back": ["n1"], "at": AT})
    assert out["own_names"]["standing"] == [] and out["own_names"]["taken_back"][0]["id"] == "n1"
    with pytest.raises(LineError, match="n1"):
        s.take({"take_back": ["n1"], "at": AT})
    say(s, "port coil is marked K2")
    assert standing(say(s, "forget the name K2")) == {}
    say(s, "panel is dark")
    say(s, "port coil is marked K3")
    say(s, "port coil is marked K4")
    assert standing(say(s, "undo")) == {"port_coil": "K3"}
    out = say(s, "undo")
    assert standing(out) == {} and s.standing(), "the fact told before the name stays"
    say(s, "undo")
    assert not s.standing()


def test_undo_takes_back_the_line_that_named_and_told(s: Session) -> None:
    out = say(s, "the port coil is K1, no click from K1")
    assert standing(out) and out["understood"]
    out = say(s, "undo")
    assert standing(out) == {} and not s.standing()


def test_a_line_that_is_not_kept_names_nothing() -> None:
    kept = Kept()
    s = session(sink=kept)
    kept.full = True
    with pytest.raises(JournalError):
        say(s, "port coil is marked K1")
    kept.full = False
    assert "own_names" not in say(s, "panel is dark") and s.names.part("port_coil") == "port coil"


LINES = (
    "dead to port", "port coil is marked K1 and the port signal is the green one",
    "12.3 on the green when I ask for port",
    "we call the starboard coil K1", "port coil is marked K8", "undo", "no click from K1", "forget the name green",
    "we call panel 2 'upstairs'", "upstairs is dark", "undo", "undo",
)  # fmt: skip


def test_names_run_again_from_the_record_by_the_words_and_as_understood() -> None:
    kept = Kept()
    s = session(sink=kept)
    outs = [say(s, text) for text in LINES]
    again, retaken = session(), session()
    for entry, out in zip(kept.entries, outs, strict=True):
        bare = {k: v for k, v in out.items() if k != "head"}
        assert {k: v for k, v in again.take(entry["line"]).items() if k != "head"} == bare
        assert retaken.retake(entry) == bare
    assert any("own_names" in entry["heard"] for entry in kept.entries)
    assert retaken.case.own_names == s.case.own_names


def test_a_name_is_shown_as_text_wherever_it_stands(s: Session) -> None:
    hostile = "<b>*x*</b> {y}"
    out = say(s, f'we call the sense lead "{hostile}"')
    assert standing(out) == {"sense_lead": hostile} and hostile in out["reply"]
    report = say(s, "report")["answer"]["report"]
    assert "<b>" not in report.replace("\\<", "") and "sense lead" in report


def test_the_boat_s_names_change_no_conclusion(s: Session) -> None:
    plain = session()
    say(s, "the port coil is K1, port signal is the green one")
    plain.take({"say": "hello", "at": AT})
    for mine, trade in (
        ("dead to port", "dead to port"),
        ("12.3 on the green when I ask for port", "12.3 on the port signal when I ask for port"),
        ("no volts at K1 when I ask for port", "no volts at the port coil when I ask for port"),
    ):
        one, other = say(s, mine), say(plain, trade)
        assert one["suspects"] == other["suspects"] and one["hazards"] == other["hazards"]
