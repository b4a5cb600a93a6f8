"""A recorded case run again: the same, or the first difference by turn, key and both values."""

from __future__ import annotations

import argparse
import copy
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from sample_case import HEADER, ScriptedSession, at, fact, hazard, output, record

from assistant import cli_record, record_commands
from assistant.audit.differences import differences
from assistant.audit.judge import Desk
from assistant.audit.replay import replay
from assistant.errors import JournalError
from assistant.journal import check
from assistant.journal.chain import seal_entry
from assistant.journal.turn import turns

SUSPECT = {"fault": "battery.flat", "part": "battery", "probability": 0.25, "state": "open", "because": []}
SCRIPT = [
    output(1, understood=[fact("f1", "panel", "lights", False, words="stays dark")], suspects=[SUSPECT]),
    output(2, hazards=[hazard("hot_joint", "warning", 2)], reply="First line.\nSecond line."),
    output(3, verdict={"faults": ["battery.flat"], "repair": [], "parts": [], "verify": []}),
]
LINES: list[dict[str, Any]] = [{"say": f"words {n}", "at": at(n)} for n in range(1, 4)]
Changed = Callable[[dict[str, Any]], Any]


@pytest.fixture
def case(tmp_path: Path) -> Path:
    record(tmp_path / "case.jsonl", LINES, SCRIPT)
    return tmp_path / "case.jsonl"


def run(case: Path, monkeypatch: pytest.MonkeyPatch, script: list[dict[str, Any]], *words: str) -> int:
    desk = Desk(lambda header: ScriptedSession(script))
    monkeypatch.setattr(record_commands, "desk_for", lambda header, folder: desk)
    parser = argparse.ArgumentParser()
    cli_record.add_parsers(parser.add_subparsers())
    args = parser.parse_args(["replay", str(case), *words])
    return int(args.run(args))


def test_the_same_session_gives_the_same_outputs_and_heads(case: Path) -> None:
    recorded = turns(check(case.read_bytes()))
    steps = list(replay(HEADER, recorded, ScriptedSession(SCRIPT)))
    assert [step.differences for step in steps] == [(), (), ()]


def test_the_command_prints_every_turn_and_says_that_it_is_the_same(
    case: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(case, monkeypatch, SCRIPT) == 0
    out, err = capsys.readouterr()
    assert err == "" and out.endswith("The case runs again as it was recorded.\n")
    for piece in (
        "Turn 1 · 2026-05-04T09:01:00+02:00 · user",
        "said: words 1",
        "noted f1: panel lights: no — “stays dark”",
        "suspects: battery: flat 25 %",
        "assistant: First line.\n           | Second line.",
        "WARNING: hot joint, since turn 2",
        "verdict: battery: flat",
    ):
        assert piece in out


CHANGES: list[tuple[int, Changed, str, str]] = [
    (1, lambda out: out.update(reply="Other."), "turn 1, reply: recorded Reply 1., now Other.", "wording"),
    (
        1,
        lambda out: out["suspects"][0].update(probability=0.5),
        "suspects[0].probability: recorded 0.25, now 0.5",
        "wording",
    ),
    (
        1,
        lambda out: out["suspects"][0].update(state="ruled_out"),
        "suspects[0].state: recorded open",
        "conclusion",
    ),
    (
        1,
        lambda out: out["understood"][0].update(value=0),
        "understood[0].value: recorded false, now 0",
        "conclusion",
    ),
    (2, lambda out: out.update(hazards=[]), "turn 2, hazards[0]: recorded {", "conclusion"),
    (2, lambda out: out.update(stop={"text": "Off!"}), "turn 2, stop: recorded null", "conclusion"),
    (3, lambda out: out.update(verdict=None), "turn 3, verdict: recorded {", "conclusion"),
    (3, lambda out: out.pop("closed"), "turn 3, closed: recorded null, now (nothing)", "wording"),
    (3, lambda out: out.update(extra=1), "turn 3, extra: recorded (nothing), now 1", "wording"),
]


@pytest.mark.parametrize(("turn", "change", "told", "weight"), CHANGES)
def test_the_first_difference_is_named_with_turn_key_and_both_values(
    case: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    turn: int,
    change: Changed,
    told: str,
    weight: str,
) -> None:
    script = copy.deepcopy(SCRIPT)
    change(script[turn - 1])
    assert run(case, monkeypatch, script) == 1
    out, err = capsys.readouterr()
    assert told in err and "DIFFERS" in out and "runs again as it was recorded.\n" not in out
    found = differences(turn, SCRIPT[turn - 1], script[turn - 1])
    assert [difference.weight for difference in found] == [weight]


def test_a_line_that_is_refused_today_is_a_difference(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Any
) -> None:
    path = tmp_path / "case.jsonl"
    record(path, LINES, SCRIPT)
    first, *_ = path.read_bytes().splitlines(keepends=True)
    entry = check(path.read_bytes()).entries[1].body
    entry["line"]["unknown"] = 1
    path.write_bytes(first + seal_entry(check(first).head, entry).line)
    assert run(path, monkeypatch, SCRIPT) == 1
    assert "turn 1, error: recorded taken, now unknown_key: there is no key unknown" in capsys.readouterr().err


def test_an_entry_sealed_anew_is_found_by_its_head_even_where_the_output_is_the_same(case: Path) -> None:
    lines = case.read_bytes().splitlines(keepends=True)
    entries = check(case.read_bytes()).entries
    body = {**entries[1].body, "by": "somebody else"}
    after, out = check(lines[0]).head, [lines[0]]
    for entry in (body, *(e.body for e in entries[2:])):
        sealed = seal_entry(after, entry)
        out.append(sealed.line)
        after = sealed.seal
    checked = check(b"".join(out))
    assert checked.problems == ()
    session = ScriptedSession(SCRIPT)
    session.take = _without_speaker(session.take)  # type: ignore[method-assign]
    first = next(iter(replay(HEADER, turns(checked), session)))
    assert [d.key for d in first.differences] == ["head"]


def _without_speaker(take: Callable[[Any], Any]) -> Callable[[Any], Any]:
    return lambda line: take({key: value for key, value in line.items() if key != "by"})


def test_under_other_rules_heads_are_left_out_and_conclusions_compared(case: Path) -> None:
    recorded = turns(check(case.read_bytes()))
    session = ScriptedSession(SCRIPT, header={**HEADER, "rules": "cd" * 32})
    assert [step.differences for step in replay(HEADER, recorded, session)] == [(), (), ()]


def test_a_header_that_differs_on_the_same_day_is_an_error(case: Path) -> None:
    recorded = turns(check(case.read_bytes()))
    with pytest.raises(JournalError, match=r"header of the journal differs .* role"):
        list(replay(HEADER, recorded, ScriptedSession(SCRIPT, header={**HEADER, "role": "owner"})))


def test_a_broken_chain_is_told_and_is_a_failure(
    case: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    case.write_bytes(case.read_bytes().replace(b"words 2", b"words 9"))
    assert run(case, monkeypatch, SCRIPT, "--record-only") == 1
    out, err = capsys.readouterr()
    assert "Line 3 of the journal: the entry was changed after it was sealed." in err and "words 9" in out


def test_one_turn_alone_can_be_printed(
    case: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(case, monkeypatch, SCRIPT, "--turn", "2") == 0
    out = capsys.readouterr().out
    assert "words 2" in out and "words 1" not in out and "words 3" not in out


def test_hostile_words_are_shown_and_never_obeyed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    hostile = "\x1b[2J\x1b]0;owned\x07ok\rTurn 9 · fake\nTurn 7 · forged\u202e\u2028Turn 8\x85Turn 6\x9b31m"
    script = [output(1, understood=[fact("f1", "panel", "lights", False, words=hostile)], reply=hostile)]
    record(tmp_path / "case.jsonl", [{"say": hostile, "at": at(1)}], script)
    assert run(tmp_path / "case.jsonl", monkeypatch, script) == 0
    out = capsys.readouterr().out
    assert not [char for char in out if char != "\n" and not char.isprintable()]
    assert [line for line in out.splitlines() if line.startswith("Turn")] == [
        "Turn 1 · 2026-05-04T09:01:00+02:00 · user"
    ]
    assert r"\x1b[2J" in out and r"\u202e" in out


ODD = [
    {"out": None},
    {"out": 3},
    {"out": {}},
    {"line": 7},
    {"turn": "x"},
    {"at": 5, "by": []},
    {
        "out": {
            "hazards": [3, None, {}],
            "suspects": "x",
            "verdict": {"faults": 3},
            "next": [],
            "conflicts": [{}],
        }
    },
    {
        "out": {
            "understood": [{"id": {}, "value": []}],
            "suspects": [{"state": "open", "probability": "high"}],
        }
    },
]


@pytest.mark.parametrize("odd", ODD)
def test_a_well_sealed_journal_with_odd_contents_is_printed_and_never_a_traceback(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], odd: dict[str, Any]
) -> None:
    path = tmp_path / "case.jsonl"
    checked = record(path, LINES[:1], SCRIPT)
    sealed = seal_entry(checked.entries[0].seal, {**checked.entries[1].body, **odd})
    path.write_bytes(path.read_bytes().splitlines(keepends=True)[0] + sealed.line)
    assert run(path, monkeypatch, SCRIPT, "--record-only") in (0, 1)
    assert "Turn" in capsys.readouterr().out
