"""Going on with a case: the lines to feed again, and where the next turn is added."""

from __future__ import annotations

from pathlib import Path

import pytest
from sample_case import HEADER, ScriptedSession, at, output, record

from assistant.audit.replay import refeed
from assistant.errors import JournalError
from assistant.journal import Journal, check
from assistant.journal.resume import resume
from assistant.journal.turn import turn_of

LINES = [
    {"say": "panel stays dark", "at": at(0), "by": "desk"},
    {"facts": [{"about": "supply", "what": "voltage", "value": 12.0}], "at": at(2)},
    {"ask": {"close": True}, "at": at(3)},
]
SCRIPT = [output(n) for n in range(1, 6)]


def test_a_resumed_case_is_fed_the_recorded_lines_and_goes_on(tmp_path: Path) -> None:
    path = tmp_path / "case.jsonl"
    record(path, LINES, SCRIPT)
    resumed = resume(path)
    assert [line["at"] for line in resumed.lines] == [line["at"] for line in LINES]
    assert resumed.lines[0] == LINES[0]
    assert resumed.lines[1]["facts"] == LINES[1]["facts"] and resumed.lines[1]["by"] == "user"
    session = ScriptedSession(SCRIPT)
    assert refeed(resumed.header, map(turn_of, resumed.turns), session) == 3
    session.sink = resumed.journal
    out = session.take({"say": "and now", "at": at(9)})
    resumed.journal.close()
    checked = check(path.read_bytes(), head=out["head"])
    assert checked.problems == () and len(checked.entries) == 5


def test_a_case_that_comes_out_otherwise_is_not_gone_on_with(tmp_path: Path) -> None:
    path = tmp_path / "case.jsonl"
    record(path, LINES, SCRIPT)
    other = [*SCRIPT[:1], output(2, reply="Something else."), *SCRIPT[2:]]
    resumed = resume(path)
    with (
        resumed.journal,
        pytest.raises(JournalError, match=r"turn 2, reply: recorded Reply 2\., now Something"),
    ):
        refeed(resumed.header, map(turn_of, resumed.turns), ScriptedSession(other))


@pytest.mark.parametrize("change", [{"program": "0.2.0"}, {"rules": "cd" * 32}])
def test_another_program_or_rule_base_is_named(tmp_path: Path, change: dict[str, str]) -> None:
    path = tmp_path / "case.jsonl"
    record(path, LINES, SCRIPT)
    resumed = resume(path)
    session = ScriptedSession(SCRIPT, header={**HEADER, **change})
    with resumed.journal, pytest.raises(JournalError, match=r"program 0\.1\.0 with rules ababab.*of its day"):
        refeed(resumed.header, map(turn_of, resumed.turns), session)


@pytest.mark.parametrize("header", [{**HEADER, "format": 2}, {"kind": "case"}])
def test_a_format_of_another_day_is_refused_and_unlocked(tmp_path: Path, header: dict[str, object]) -> None:
    path = tmp_path / "case.jsonl"
    Journal.create(path, header).close()
    with pytest.raises(JournalError, match="this program reads format 1"):
        resume(path)
    Journal.open(path)[0].close()
