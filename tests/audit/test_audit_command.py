"""The audit of one journal and of many: what it says, as text, as data and as exit status."""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from sample_case import HEADER, ScriptedSession, at, fact, output, record

from assistant import cli_record, record_commands
from assistant.audit.judge import Desk
from assistant.errors import JournalError, SpringlineError
from assistant.journal import Journal, check

LINES: list[dict[str, Any]] = [{"say": f"words {n}", "at": at(n)} for n in range(1, 4)]
SCRIPT = [output(n, understood=[fact(f"f{n}", "supply", "voltage", 12 + n, words=f"word {n}")]) for n in range(1, 4)]
Audit = Callable[..., tuple[int, str]]


@pytest.fixture
def audit(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Audit:
    def run(*words: object, script: list[dict[str, Any]] = SCRIPT, header: dict[str, Any] = HEADER) -> tuple[int, str]:
        desk = Desk(lambda recorded: ScriptedSession(script, header={**header, "role": recorded["role"]}))
        for name in ("desk_for", "today_desk"):
            monkeypatch.setattr(record_commands, name, lambda recorded, folder: desk)
        parser = argparse.ArgumentParser()
        cli_record.add_parsers(parser.add_subparsers())
        args = parser.parse_args([str(word) for word in words])
        return int(args.run(args)), capsys.readouterr().out

    return run


@pytest.fixture
def case(tmp_path: Path) -> Path:
    record(tmp_path / "case.jsonl", LINES, SCRIPT)
    return tmp_path / "case.jsonl"


def test_a_sound_journal(audit: Audit, case: Path) -> None:
    status, out = audit("audit", case)
    assert status == 0
    assert "case.jsonl: sound" in out and "run again: identical to the byte" in out
    assert "3 turns" in out and "its end is not vouched for" in out and "cannot show that the end" in out
    assert "\n  program 0.1.0, rules abababababab, role technician\n" in out


def test_a_known_head_vouches_for_the_end_and_shows_a_cut(audit: Audit, case: Path) -> None:
    head = check(case.read_bytes()).head
    status, out = audit("audit", case, "--head", head.upper())
    assert status == 0 and "not vouched" not in out
    case.write_bytes(b"".join(case.read_bytes().splitlines(keepends=True)[:-1]))
    status, out = audit("audit", case, "--head", head)
    assert status == 5 and "line 3: the last entry is not the one with the head that was given" in out
    assert audit("audit", case)[0] == 0, "without the head, a cut between entries cannot show"


def test_a_changed_entry_is_located_and_nothing_is_mended(audit: Audit, case: Path) -> None:
    changed = case.read_bytes().replace(b"words 2", b"words 8")
    case.write_bytes(changed)
    for more in ([], ["--chain-only"]):
        status, out = audit("audit", case, *more)
        assert status == 5 and "NOT INTACT" in out and "line 3: the entry was changed" in out
    assert case.read_bytes() == changed and list(case.parent.iterdir()) == [case]


def test_a_crashed_journal_is_told_as_unfinished_and_left_alone(audit: Audit, case: Path) -> None:
    case.write_bytes(case.read_bytes() + b'{"after')
    status, out = audit("audit", case)
    assert status == 5 and "line 5: the last line has no line end" in out
    assert case.read_bytes().endswith(b'{"after') and list(case.parent.iterdir()) == [case]


def test_other_conclusions_on_the_same_day_are_a_difference(audit: Audit, case: Path) -> None:
    other = [*SCRIPT[:2], output(3, reply="Other.")]
    status, out = audit("audit", case, script=other)
    assert status == 4 and "run again: it differs" in out
    assert "conclusion: turn 3, understood[0]" in out and "wording: turn 3, reply" in out


def test_under_other_rules_the_same_conclusions_are_sound_and_wording_is_listed(audit: Audit, case: Path) -> None:
    other = [*SCRIPT[:2], {**SCRIPT[2], "reply": "Said better."}]
    status, out = audit("audit", case, script=other, header={**HEADER, "rules": "cd" * 32})
    assert status == 0
    assert "the same conclusions (run under the rules of today)" in out and "wording: turn 3, reply" in out


def test_under_other_rules_words_read_otherwise_stand_apart(audit: Audit, case: Path) -> None:
    other = [*SCRIPT[:2], {**SCRIPT[2], "understood": []}]
    status, out = audit("audit", case, script=other, header={**HEADER, "program": "0.9.0"})
    assert status == 0
    assert "words read otherwise: turn 3, understood[0]" in out


def test_under_other_rules_another_verdict_is_a_difference(audit: Audit, case: Path) -> None:
    other = [*SCRIPT[:2], {**SCRIPT[2], "verdict": {"faults": ["panel.dead"]}}]
    status, out = audit("audit", case, script=other, header={**HEADER, "rules": "cd" * 32})
    assert status == 4 and "conclusion: turn 3, verdict: recorded null" in out


def test_findings_give_their_own_status(audit: Audit, tmp_path: Path) -> None:
    bridge = output(1, understood=[fact("f1", "bridge", "fitted", "other", words="bridged it")])
    record(tmp_path / "b.jsonl", LINES[:1], [bridge])
    status, out = audit("audit", tmp_path / "b.jsonl", script=[bridge])
    assert status == 3 and "serious: turn 1, bridge not removed" in out
    assert "words: bridged it" in out and "rule: Every temporary bridge" in out


def test_the_same_as_data(audit: Audit, case: Path, tmp_path: Path) -> None:
    bridge = output(1, understood=[fact("f1", "bridge", "fitted", "other", words="bridged it")])
    record(tmp_path / "b.jsonl", LINES[:1], [bridge])
    status, out = audit("audit", "--json", tmp_path)
    first, second = (json.loads(line) for line in out.splitlines())
    assert status == 4 and (first["status"], second["status"]) == ("differs", "sound")
    assert first["findings"][0]["kind"] == "bridge_not_removed" and first["findings"][0]["turn"] == 1
    assert second["run"] == "same" and second["turns"] == 3 and second["problems"] == []
    assert first["differences"][0]["weight"] in ("conclusion", "wording")


def test_a_folder_is_searched_for_journals_and_only_for_those(audit: Audit, tmp_path: Path) -> None:
    deep = tmp_path / "a" / "b"
    deep.mkdir(parents=True)
    record(deep / "one.jsonl", LINES, SCRIPT)
    record(tmp_path / "two.jsonl", LINES, SCRIPT)
    (tmp_path / "other.jsonl").write_text('{"kind": "something else"}\n')
    (tmp_path / "notes.txt").write_text("hello")
    status, out = audit("audit", tmp_path)
    assert status == 0 and "2 journals: 2 sound" in out and "other.jsonl" not in out


def test_an_explicit_file_that_is_no_journal_is_broken_not_a_crash(audit: Audit, tmp_path: Path) -> None:
    for content in (b"", b"hello\n", b"\0" * 100, b'{"kind": "case"}\n'):
        path = tmp_path / "x.jsonl"
        path.write_bytes(content)
        status, out = audit("audit", path)
        assert status == 5 and "NOT INTACT" in out
    Journal.create(tmp_path / "y.jsonl", {"kind": "case", "format": 9}).close()
    assert audit("audit", tmp_path / "y.jsonl")[0] == 5


def test_wrong_uses_are_named(audit: Audit, case: Path, tmp_path: Path) -> None:
    with pytest.raises(JournalError, match="does not exist"):
        audit("audit", tmp_path / "none.jsonl")
    (tmp_path / "empty").mkdir()
    with pytest.raises(JournalError, match="no journal was found"):
        audit("audit", tmp_path / "empty")
    record(tmp_path / "two.jsonl", LINES, SCRIPT)
    with pytest.raises(JournalError, match="--head belongs to one journal"):
        audit("audit", tmp_path, "--head", "0" * 64)


def test_rules_that_cannot_be_read_leave_chain_and_findings(
    audit: Audit, case: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def no_desk(header: object, folder: object) -> Desk:
        raise SpringlineError("the rules are gone")

    parser = argparse.ArgumentParser()
    cli_record.add_parsers(parser.add_subparsers())
    monkeypatch.setattr(record_commands, "desk_for", no_desk)
    args = parser.parse_args(["audit", str(case)])
    assert args.run(args) == 0
    assert "not run again (the rules are gone)" in capsys.readouterr().out


def test_a_rule_base_that_does_not_fit_the_program_fails_one_journal_not_the_audit(
    case: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class Misfit(ScriptedSession):
        def take(self, line: Any) -> dict[str, Any]:
            if "words 1" in str(line):
                raise KeyError("a test that is gone")
            return super().take(line)

    record(tmp_path / "z.jsonl", [{"say": "other words", "at": at(1)}], SCRIPT[:1])
    monkeypatch.setattr(record_commands, "desk_for", lambda header, folder: Desk(lambda header: Misfit(SCRIPT)))
    parser = argparse.ArgumentParser()
    cli_record.add_parsers(parser.add_subparsers())
    args = parser.parse_args(["audit", str(tmp_path)])
    assert args.run(args) == 4
    out = capsys.readouterr().out
    assert "it could not be run (KeyError: 'a test that is gone')" in out and "1 sound, 1 differs" in out


def test_a_signature_counts_in_the_audit(audit: Audit, case: Path, tmp_path: Path) -> None:
    pytest.importorskip("cryptography")
    key = tmp_path / "mine"
    assert audit("key", "new", key)[0] == 0
    status, out = audit("key", "sign", case, "--key", key)
    assert status == 0 and check(case.read_bytes()).head in out
    status, out = audit("audit", case)
    assert status == 0 and "nobody vouched for the key" in out and "not vouched for)" in out
    status, out = audit("audit", case, "--trust", f"{key}.pub")
    assert status == 0 and "signed by a trusted key" in out and "its end is not" not in out
    case.write_bytes(b"".join(case.read_bytes().splitlines(keepends=True)[:-1]))
    for more in ([], ["--chain-only"]):
        status, out = audit("audit", case, *more)
        assert status == 5 and "its end was cut off" in out


def test_many_journals_in_several_processes_come_back_in_order(audit: Audit, tmp_path: Path) -> None:
    for n in range(20):
        record(tmp_path / f"case-{n:02d}.jsonl", LINES, SCRIPT)
    broken = tmp_path / "case-07.jsonl"
    broken.write_bytes(broken.read_bytes().replace(b"words 1", b"words 7"))
    status, out = audit("audit", "--chain-only", "--jobs", "2", tmp_path)
    assert status == 5 and "20 journals: 19 sound, 1 broken" in out
    order = [line.split(": ")[0][-7:-6] for line in out.splitlines() if ".jsonl: " in line]
    assert order == [str(n % 10) for n in range(20)]


def test_the_screen_may_have_any_encoding(tmp_path: Path) -> None:
    record(tmp_path / "case.jsonl", [{"say": "kølet ⚓", "at": at(1)}], SCRIPT[:1])
    done = subprocess.run(
        [sys.executable, "-m", "assistant", "replay", "--record-only", str(tmp_path / "case.jsonl")],
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
        capture_output=True,
    )
    assert done.returncode == 0 and "said: kølet ⚓" in done.stdout.decode("utf-8")
