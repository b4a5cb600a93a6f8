"""Cases held with the session itself: recorded, killed, gone on with, run again, audited, reported."""

from __future__ import annotations

import errno
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from assistant.audit import bench
from assistant.audit.editions import edition_path, find_edition, keep_edition
from assistant.audit.replay import refeed
from assistant.errors import JournalError, LineError
from assistant.journal import Journal, check
from assistant.journal.chain import seal_entry
from assistant.journal.resume import resume
from assistant.journal.turn import turn_of
from assistant.knowledge import load
from assistant.knowledge.base import load_from
from assistant.knowledge.reader import rules_folder


def at(minute: int) -> str:
    return f"2026-05-04T09:{minute:02d}:00+02:00"


def told(about: str, what: str, value: Any, *around: str) -> dict[str, Any]:
    return {"about": about, "what": what, "value": value, **({"while": list(around)} if around else {})}


OFF = [told("isolator", "position", "off"), told("isolator", "locked", True)]
ON = [told("isolator", "locked", False), told("isolator", "position", "on")]
LINES: list[dict[str, Any]] = [
    {"say": "12 volt boat, panel stays dark", "by": "caller"},
    {
        "facts": [
            told("battery", "voltage", 12.6, "at_rest"),
            told("supply", "voltage", 0, "at_rest"),
            *ON[1:],
        ]
    },
    {"answer": {"test": "isolator_check", "cannot": "cannot reach it"}},
    {
        "facts": [
            *OFF,
            told("main_fuse", "blown", True),
            told("main_fuse", "continuity", False, "isolator_off"),
        ]
    },
    {"ask": {"why": "main_fuse.blown"}},
    {"facts": [told("main_fuse", "replaced", True), *ON]},
    {
        "facts": [
            told("boat", "people_clear", True),
            told("panel", "lights", True),
            told("thruster", "runs", "both"),
        ]
    },
    {"say": "I take it back, \x1b[31mno\x1b[0m | <b>idea</b>"},
    {"take_back": ["f2"]},
]
LINES = [{**line, "at": at(minute)} for minute, line in enumerate(LINES)]
Run = Callable[..., int]


def hold(path: Path, lines: list[dict[str, Any]], header: dict[str, Any] | None = None) -> list[dict[str, Any]]:
    """Hold a case and record it; give the outputs."""
    session = bench.today().begin(header or {"role": "technician"})
    with Journal.create(path, session.header()) as journal:
        session.keep_in(journal)
        return [session.take(line) for line in lines]


def test_a_real_case_runs_again_to_the_byte(run: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "case.jsonl"
    outs = hold(path, LINES)
    assert outs[-1]["head"] == check(path.read_bytes()).head
    assert run("replay", path) == 0
    out = capsys.readouterr().out
    assert out.endswith("The case runs again as it was recorded.\n")
    assert "cannot: cannot reach it" in out and "verdict: main fuse blown" in out
    assert "asked: why main_fuse.blown" in out and r"\x1b[31m" in out and "\x1b" not in out


@pytest.mark.parametrize("role", ["technician", "desk", "owner"])
@pytest.mark.parametrize("begun", [None, at(0)])
def test_every_role_and_a_recorded_beginning_run_again(
    run: Run, tmp_path: Path, role: str, begun: str | None, capsys: pytest.CaptureFixture[str]
) -> None:
    hold(tmp_path / "case.jsonl", LINES, {"role": role, **({"at": begun} if begun else {})})
    assert run("replay", tmp_path / "case.jsonl") == 0
    assert f"role {role}" in capsys.readouterr().out


def test_error_lines_leave_no_trace_in_the_record(tmp_path: Path) -> None:
    clean = hold(tmp_path / "clean.jsonl", LINES[:3])
    session = bench.today().begin({"role": "technician"})
    bad: list[Any] = [
        7, {}, {"say": 3}, {"unknown": 1}, {"take_back": ["f99"]}, {"ask": {"why": "no.fault"}},
        {"say": "x", "at": "now"}, {"say": "x" * 30_000}, {"answer": {"test": "none", "facts": []}},
    ]  # fmt: skip
    with Journal.create(tmp_path / "mixed.jsonl", session.header()) as journal:
        session.keep_in(journal)
        heads = []
        for line in LINES[:3]:
            for wrong in bad:
                with pytest.raises(LineError):
                    session.take(wrong)
            heads.append(session.take(line)["head"])
    assert heads == [out["head"] for out in clean]
    assert (tmp_path / "mixed.jsonl").read_bytes() == (tmp_path / "clean.jsonl").read_bytes()


def test_a_turn_that_cannot_be_recorded_did_not_happen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    session = bench.today().begin({"role": "technician"})
    path = tmp_path / "case.jsonl"
    with Journal.create(path, session.header()) as journal:
        session.keep_in(journal)
        first = session.take(LINES[0])
        real, failures = os.fsync, [OSError(errno.ENOSPC, "No space left on device")]

        def full_once(descriptor: int) -> None:
            if failures:
                raise failures.pop()
            real(descriptor)

        monkeypatch.setattr("assistant.journal.files.os.fsync", full_once)
        with pytest.raises(JournalError, match="no space left on device"):
            session.take(LINES[1])
        second = session.take(LINES[1])
    assert (first["turn"], second["turn"]) == (1, 2)
    assert path.read_bytes() == reference(tmp_path, LINES[:2])


def reference(tmp_path: Path, lines: list[dict[str, Any]]) -> bytes:
    hold(tmp_path / "reference.jsonl", lines)
    return (tmp_path / "reference.jsonl").read_bytes()


@pytest.mark.parametrize("cut", range(0, len(LINES), 2))
def test_a_case_cut_anywhere_goes_on_to_the_same_bytes(tmp_path: Path, cut: int) -> None:
    path = tmp_path / "case.jsonl"
    hold(path, LINES[:cut])
    with path.open("ab") as file:
        file.write(b'{"after":"half a li')
    resumed = resume(path)
    session = bench.today().begin(resumed.header)
    assert refeed(resumed.header, map(turn_of, resumed.turns), session) == cut
    session.keep_in(resumed.journal)
    with resumed.journal:
        for line in LINES[cut:]:
            session.take(line)
    assert resumed.notes and path.read_bytes() == reference(tmp_path, LINES)


def test_the_same_bytes_whatever_the_hash_seed(tmp_path: Path) -> None:
    script = (
        "import json, sys\nfrom assistant.audit import bench\nfrom assistant.journal import Journal\n"
        "session = bench.today().begin({'role': 'desk'})\n"
        "with Journal.create(sys.argv[1], session.header()) as journal:\n"
        "    session.keep_in(journal)\n    [session.take(line) for line in json.loads(sys.argv[2])]\n"
    )
    for seed in ("0", "1"):
        subprocess.run(
            [sys.executable, "-c", script, str(tmp_path / f"{seed}.jsonl"), json.dumps(LINES)],
            env={**os.environ, "PYTHONHASHSEED": seed}, check=True,
        )  # fmt: skip
    assert (tmp_path / "0.jsonl").read_bytes() == (tmp_path / "1.jsonl").read_bytes()


def test_a_forged_conclusion_sealed_anew_is_found_by_running_it_again(
    run: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "case.jsonl"
    hold(path, LINES)
    checked = check(path.read_bytes())
    after, lines = "0" * 64, []
    for entry in checked.entries:
        body = json.loads(json.dumps(entry.body))
        if body.get("turn") == 4:
            body["out"]["verdict"]["faults"] = ["motor.seized"]
        sealed = seal_entry(after, body)
        lines.append(sealed.line)
        after = sealed.seal
    path.write_bytes(b"".join(lines))
    assert check(path.read_bytes()).problems == ()
    assert run("audit", path) == 4
    assert (
        "conclusion: turn 4, verdict.faults[0]: recorded motor.seized, now main_fuse.blown" in capsys.readouterr().out
    )
    assert run("replay", path) == 1


def test_the_audit_of_a_real_case_finds_what_is_missing(run: Run, tmp_path: Path, capsys: Any) -> None:
    hold(tmp_path / "case.jsonl", LINES[:7])
    assert run("audit", "--json", tmp_path / "case.jsonl") == 3
    found = json.loads(capsys.readouterr().out)
    assert found["run"] == "same" and found["problems"] == []
    assert [(f["kind"], f["turn"]) for f in found["findings"] if f["weight"] == "serious"] == [
        ("verification_missing", 6)
    ]


def test_a_part_replaced_on_a_guess_is_found(run: Run, tmp_path: Path, capsys: Any) -> None:
    hold(tmp_path / "case.jsonl", [LINES[0], {"facts": [told("panel", "replaced", True)], "at": at(1)}])
    run("audit", "--json", tmp_path / "case.jsonl")
    found = json.loads(capsys.readouterr().out)["findings"]
    assert [(f["kind"], f["turn"]) for f in found] == [("replaced_without_proof", 2)]


@pytest.fixture
def other_rules(tmp_path: Path) -> Path:
    """A rule base of another day: the same knowledge, another fingerprint."""
    folder = tmp_path / "other-rules"
    shutil.copytree(str(rules_folder()), folder, ignore=shutil.ignore_patterns("__pycache__", "*.py"))
    with (folder / "parts.yaml").open("a", encoding="utf-8") as file:
        file.write("\n# a remark of another day\n")
    return folder


def hold_under(folder: Path, path: Path, lines: list[dict[str, Any]] = LINES) -> str:
    knowledge = load_from(folder)
    session = bench.Bench(knowledge, folder).begin({"role": "technician"})
    with Journal.create(path, session.header()) as journal:
        session.keep_in(journal)
        for line in lines:
            session.take(line)
    return knowledge.fingerprint


def test_the_rules_of_the_day_are_kept_found_and_used(
    run: Run, tmp_path: Path, other_rules: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    cases = tmp_path / "cases"
    cases.mkdir()
    rules = hold_under(other_rules, cases / "case.jsonl")
    run("audit", cases)
    assert "the same conclusions (run under the rules of today)" in capsys.readouterr().out
    run("replay", cases / "case.jsonl", "--turn", 1)
    assert f"Run under program 0.1.0 with rules {load().fingerprint[:12]}." in capsys.readouterr().out
    kept = keep_edition(cases, other_rules, "en")
    assert kept == edition_path(cases, rules) == keep_edition(cases, other_rules, "en")
    run("audit", cases)
    assert "run again: identical to the byte" in capsys.readouterr().out
    run("audit", "--today", cases)
    assert "the same conclusions (run under the rules of today)" in capsys.readouterr().out
    assert run("replay", cases / "case.jsonl") == 0


def test_a_kept_edition_that_was_changed_is_not_used(tmp_path: Path, other_rules: Path) -> None:
    rules = load_from(other_rules).fingerprint
    path = keep_edition(tmp_path, other_rules, "en")
    assert find_edition(rules, [tmp_path]) is not None
    data = path.read_bytes()
    for broken in (data[:-50], b"", data[:100] + b"xxxx" + data[104:]):
        path.write_bytes(broken)
        assert find_edition(rules, [tmp_path]) is None
    assert find_edition(load().fingerprint, [tmp_path]) is None


def test_resume_under_other_rules_is_refused_with_both_named(tmp_path: Path, other_rules: Path) -> None:
    rules = hold_under(other_rules, tmp_path / "case.jsonl")
    resumed = resume(tmp_path / "case.jsonl")
    with (
        resumed.journal,
        pytest.raises(JournalError, match=f"rules {rules[:12]}; here .* {load().fingerprint[:12]}"),
    ):
        refeed(resumed.header, map(turn_of, resumed.turns), bench.today().begin(resumed.header))


@pytest.mark.parametrize("reader", ["customer", "supplier", "handover"])
def test_a_real_case_is_reported_in_the_words_of_the_trade(run: Run, tmp_path: Path, reader: str) -> None:
    hold(tmp_path / "case.jsonl", LINES)
    assert run("report", tmp_path / "case.jsonl", "--for", reader, "--output", tmp_path / "r.md") == 0
    text = (tmp_path / "r.md").read_text()
    assert "proved" in text.lower() and check((tmp_path / "case.jsonl").read_bytes()).head in text
    if reader == "supplier":
        assert "Rule fuse" in text or "Rule " in text
        assert "battery bank voltage 12.6 V, at rest" in text and "main fuse replaced" in text


def test_a_report_says_when_its_words_are_not_of_the_day(run: Run, tmp_path: Path, other_rules: Path) -> None:
    rules = hold_under(other_rules, tmp_path / "case.jsonl")
    assert run("report", tmp_path / "case.jsonl", "--output", tmp_path / "r.md") == 0
    text = (tmp_path / "r.md").read_text()
    assert rules in text and load().fingerprint in text and "worded by other rules" in text
    keep_edition(tmp_path, other_rules, "en")
    assert run("report", tmp_path / "case.jsonl", "--output", tmp_path / "r.md") == 0
    text = (tmp_path / "r.md").read_text()
    assert rules in text and load().fingerprint not in text and "worded by" not in text


def test_the_header_role_that_no_session_has_is_refused(run: Run, tmp_path: Path) -> None:
    header = {**bench.today().begin({"role": "desk"}).header(), "role": "admiral"}
    Journal.create(tmp_path / "case.jsonl", header).close()
    with pytest.raises(JournalError, match="admiral"):
        run("replay", tmp_path / "case.jsonl")


def test_many_real_cases_are_run_again_by_several_processes(
    run: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    hold(tmp_path / "case-00.jsonl", LINES[:1])
    for copy in range(1, 18):
        shutil.copy(tmp_path / "case-00.jsonl", tmp_path / f"case-{copy:02d}.jsonl")
    assert run("audit", "--jobs", 2, tmp_path) == 0
    out = capsys.readouterr().out
    assert out.count("run again: identical to the byte") == 18 and "18 journals: 18 sound" in out
