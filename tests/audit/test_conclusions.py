"""Recorded turns taken again as they were understood, and conclusions drawn again from them."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from test_real_case import LINES, Run, at, hold, hold_under, told

from assistant.audit import bench
from assistant.audit.conclude import conclude
from assistant.audit.editions import keep_edition
from assistant.demos import FOLDER
from assistant.errors import JournalError
from assistant.journal import Journal, check
from assistant.journal.chain import seal_entry
from assistant.journal.turn import Turn, turns
from assistant.knowledge.base import load_from
from assistant.knowledge.reader import rules_folder

DEMOS = sorted(FOLDER.glob("*.jsonl"))
SPOKEN = [
    "no thrust either way, panel lights, 12.6 V at the studs at rest",
    "no, sorry, 11.9 V at the studs",
    "can't reach it",
    "it may be that somebody swims",
    "undo",
    "nobody in the water, isolator off",
    "forget what I said about the panel",
    "replaced the panel",
    "hand over",
    "close",
]


def body_again(path: Path, change: Any) -> None:
    """Write a journal anew with entries changed and sealed again, as a forger would."""
    after, lines = "0" * 64, []
    for entry in check(path.read_bytes()).entries:
        body = json.loads(json.dumps(entry.body))
        change(body)
        sealed = seal_entry(after, body)
        lines.append(sealed.line)
        after = sealed.seal
    path.write_bytes(b"".join(lines))


@pytest.fixture
def spoken(tmp_path: Path) -> Path:
    path = tmp_path / "spoken.jsonl"
    lines = [{"say": said, "at": at(minute)} for minute, said in enumerate(SPOKEN)]
    structured = {"facts": [told("main_fuse", "blown", True)], "say": "also the fuse is warm", "at": at(30)}
    hold(path, [*lines[:4], structured, *lines[4:]], {"role": "owner"})
    return path


def recorded(path: Path) -> tuple[Turn, ...]:
    return turns(check(path.read_bytes()))


@pytest.mark.parametrize("path", DEMOS, ids=lambda p: p.name)
def test_a_demo_taken_again_as_understood_gives_the_same_outputs(path: Path) -> None:
    session = bench.today().begin({"role": check(path.read_bytes()).entries[0].body["role"]})
    for turn in recorded(path):
        assert session.retake(turn.entry.body) == turn.out


def test_spoken_withdrawals_refusals_and_doubts_are_taken_again(spoken: Path) -> None:
    session = bench.today().begin({"role": "owner"})
    assert any(turn.taken_back for turn in recorded(spoken)), "something was taken back by words alone"
    assert any(turn.heard.get("cannot") for turn in recorded(spoken))
    for turn in recorded(spoken):
        assert session.retake(turn.entry.body) == turn.out


def test_taking_again_reads_no_word(spoken: Path) -> None:
    def scrambled(body: dict[str, Any]) -> None:
        if "line" in body:
            body["line"]["say"] = "the fuse is blown"

    outs = [turn.out for turn in recorded(spoken)]
    body_again(spoken, scrambled)
    session = bench.today().begin({"role": "owner"})
    assert [session.retake(turn.entry.body) for turn in recorded(spoken)] == outs


def test_the_conclusions_of_every_case_are_drawn_again(spoken: Path, tmp_path: Path) -> None:
    hold(tmp_path / "case.jsonl", LINES)
    for path in (*DEMOS, spoken, tmp_path / "case.jsonl"):
        assert tuple(conclude((), recorded(path), bench.today().conclusions())) == ()


FORGED = {
    "suspects.motor.seized": lambda out: [
        suspect.update(state="ruled_out") for suspect in out["suspects"] if suspect["fault"] == "motor.seized"
    ],
    "hazards": lambda out: out.update(hazards=[h for h in out["hazards"] if h["kind"] != "standing"]),
    "stop": lambda out: out.update(stop={"text": "Stop.", "facts": []}),
    "verdict": lambda out: out.update(verdict={"faults": ["motor.seized"], "repair": [], "parts": [], "verify": []}),
    "facts": lambda out: out.update(understood=[{**f, "value": True} for f in out["understood"]]),
}  # fmt: skip


@pytest.mark.parametrize("key", FORGED)
def test_a_forged_conclusion_is_found_without_the_full_run(run: Run, tmp_path: Path, key: str, capsys: Any) -> None:
    path = tmp_path / "case.jsonl"
    lines = [{"say": "it runs by itself when power goes on, boat afloat", "at": at(0)}, *LINES[1:2]]
    outs = hold(path, lines)
    assert any(h["kind"] == "standing" for h in outs[0]["hazards"])
    assert run("audit", "--conclusions", path) in (0, 3)

    def forge(body: dict[str, Any]) -> None:
        if body.get("turn") == 1:
            FORGED[key](body["out"])

    body_again(path, forge)
    capsys.readouterr()
    if key == "stop":
        assert outs[0]["stop"] is not None
        body_again(path, lambda body: body.get("turn") == 1 and body["out"].update(stop=None))
    assert run("audit", "--conclusions", path) == 4
    assert f"conclusion: turn 1, {key}" in capsys.readouterr().out


def test_a_fact_that_the_rules_of_today_do_not_know_is_named(tmp_path: Path) -> None:
    path = tmp_path / "case.jsonl"
    hold(path, LINES[:2])

    def older(body: dict[str, Any]) -> None:
        for fact in [*body.get("facts", []), *body.get("out", {}).get("understood", [])]:
            if fact["about"] == "battery":
                fact["about"] = "accumulator"

    body_again(path, older)
    found = tuple(conclude((), recorded(path), bench.today().conclusions()))
    assert any(d.key == "facts" and "accumulator" in str(d.now) for d in found)


def test_an_entry_that_holds_nonsense_is_refused_not_a_crash(tmp_path: Path) -> None:
    path = tmp_path / "case.jsonl"
    hold(path, LINES[:2])
    body_again(path, lambda body: [fact.update(id=7) for fact in body.get("facts", [])])
    with pytest.raises(JournalError, match="cannot be taken again"):
        tuple(conclude((), recorded(path), bench.today().conclusions()))


@pytest.fixture
def other_words(tmp_path: Path) -> Path:
    """The rules of another day: the same, but that it had one more word for the main fuse."""
    folder = tmp_path / "rules-of-old"
    shutil.copytree(str(rules_folder()), folder, ignore=shutil.ignore_patterns("__pycache__", "*.py"))
    parts = folder / "words" / "en" / "parts.yaml"
    text = parts.read_text(encoding="utf-8")
    assert "main fuse" in text
    parts.write_text(text.replace("main fuse", "main fuse | wotsit", 1), encoding="utf-8")
    return folder


def test_the_words_of_the_day_are_read_with_the_lists_of_the_day(run: Run, tmp_path: Path, other_words: Path) -> None:
    knowledge = load_from(other_words)
    cases = tmp_path / "cases"
    cases.mkdir()
    session = bench.Bench(knowledge, other_words).begin({"role": "technician"})
    out = session.take({"say": "the wotsit is hot", "at": at(0)})
    assert [f["about"] for f in out["understood"]] == ["main_fuse"]
    session = bench.Bench(knowledge, other_words).begin({"role": "technician"})
    with Journal.create(cases / "case.jsonl", session.header()) as journal:
        session.keep_in(journal)
        session.take({"say": "the wotsit is hot", "at": at(0)})
    keep_edition(cases, other_words, "en")
    assert run("replay", cases / "case.jsonl") == 0


def test_what_would_differ_today_is_a_column_of_its_own(
    run: Run, tmp_path: Path, other_words: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    cases = tmp_path / "cases"
    cases.mkdir()
    session = bench.Bench(load_from(other_words), other_words).begin({"role": "technician"})
    with Journal.create(cases / "case.jsonl", session.header()) as journal:
        session.keep_in(journal)
        session.take({"say": "the wotsit is hot", "at": at(0)})
    keep_edition(cases, other_words, "en")
    capsys.readouterr()
    assert run("audit", "--json", cases / "case.jsonl") == 0
    found = json.loads(capsys.readouterr().out)
    assert found["run"] == "same" and found["differences"] == []
    assert [(d["turn"], d["key"]) for d in found["under_today"]] == [(1, "understood[0]")], "the word is not read today"
    run("audit", cases / "case.jsonl")
    assert "under the rules of today: this would differ" in capsys.readouterr().out


def test_the_order_is_that_of_the_paths_whatever_the_processes(
    run: Run, tmp_path: Path, other_words: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    cases = tmp_path / "cases"
    cases.mkdir()
    hold_under(other_words, cases / "old.jsonl")
    hold(cases / "new.jsonl", LINES[:1])
    for copy in range(18):
        shutil.copy(cases / ("old.jsonl" if copy % 3 else "new.jsonl"), cases / f"case-{copy:02d}.jsonl")
    for name in ("old", "new"):
        (cases / f"{name}.jsonl").unlink()
    keep_edition(cases, other_words, "en")
    told_by = []
    for jobs in (1, 2):
        run("audit", "--json", "--conclusions", "--jobs", jobs, cases)
        told_by.append(capsys.readouterr().out)
    assert told_by[0] == told_by[1]
    assert [json.loads(line)["path"] for line in told_by[0].splitlines()] == [
        str(p) for p in sorted(cases.glob("*.jsonl"))
    ]


def test_what_words_alone_took_back_after_a_verdict_is_a_finding(run: Run, tmp_path: Path, capsys: Any) -> None:
    said = ["12 volt boat, panel stays dark", "the main fuse is blown", "undo"]
    outs = hold(tmp_path / "case.jsonl", [{"say": words, "at": at(n)} for n, words in enumerate(said)])
    assert outs[1]["verdict"] is not None and outs[2]["verdict"] is None
    run("audit", "--json", tmp_path / "case.jsonl")
    found = json.loads(capsys.readouterr().out)["findings"]
    assert ("corrected_after_verdict", 3, "serious") in [(f["kind"], f["turn"], f["weight"]) for f in found]
