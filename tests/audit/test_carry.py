"""Old cases gone on with under newer rules: said, recorded, judged stretch by stretch."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from test_real_case import LINES, Run, at, hold_under, told

from assistant.audit import bench
from assistant.audit.editions import keep_edition
from assistant.audit.walk import open_walk
from assistant.begin import go_on
from assistant.journal import check
from assistant.journal.resume import header_of
from assistant.journal.turn import stretches
from assistant.knowledge import load
from assistant.knowledge.reader import rules_folder

MORE = {"facts": [told("helper", "has_meter", True)], "at": at(40)}


@pytest.fixture
def older(tmp_path: Path) -> Path:
    """Rules of another day, which did not know that a fuse seen blown is proved blown."""
    folder = tmp_path / "older-rules"
    shutil.copytree(str(rules_folder()), folder, ignore=shutil.ignore_patterns("__pycache__", "*.py"))
    changed = 0
    for path in (folder / "conclusions").glob("*.yaml"):
        text = path.read_text(encoding="utf-8")
        changed += text.count("proves: main_fuse.blown")
        path.write_text(text.replace("proves: main_fuse.blown", "finding: fuse_looks_blown"), encoding="utf-8")
    assert changed
    return folder


@pytest.fixture
def case(tmp_path: Path, older: Path) -> Path:
    folder = tmp_path / "cases"
    folder.mkdir()
    hold_under(older, folder / "case.jsonl", LINES[:4])
    return folder / "case.jsonl"


def carried(path: Path, *lines: dict[str, Any]) -> tuple[list[dict[str, Any]], tuple[str, ...]]:
    session, journal, notes = go_on(path)
    with journal:
        return [session.take(line) for line in lines], tuple(notes)


def test_going_on_says_what_is_other_and_changes_nothing_until_a_turn_is_taken(case: Path) -> None:
    before = case.read_bytes()
    _, notes = carried(case)
    assert "goes on under" in notes[0] and load().fingerprint[:12] in notes[0]
    assert "Other conclusions now" in notes[1] and "verdict" in notes[1] and "main_fuse.blown" in notes[1]
    assert case.read_bytes() == before


def test_the_change_is_an_entry_of_its_own(case: Path) -> None:
    before = case.read_bytes()
    outs, _ = carried(case, MORE)
    data = case.read_bytes()
    assert data.startswith(before) and check(data).problems == ()
    entry = check(data).entries[-2].body
    assert (entry["kind"], entry["rules"]) == ("carried", load().fingerprint)
    assert {"key": "verdict", "recorded": None} in [
        {k: d[k] for k in ("key", "recorded")} for d in entry["differences"]
    ]
    assert outs[0]["turn"] == 5 and outs[0]["verdict"]["faults"] == ["main_fuse.blown"]
    assert outs[0]["head"] == check(data).head


def test_going_on_again_is_the_same_case_and_says_nothing_more(case: Path, tmp_path: Path) -> None:
    carried(case, MORE, {"ask": {"why": "main_fuse.blown"}, "at": at(41)})
    whole = case.read_bytes()
    shutil.copy(case, tmp_path / "other.jsonl")
    lines = whole.splitlines(keepends=True)
    (tmp_path / "other.jsonl").write_bytes(b"".join(lines[:-1]))
    _, notes = carried(tmp_path / "other.jsonl", {"ask": {"why": "main_fuse.blown"}, "at": at(41)})
    assert notes == () and (tmp_path / "other.jsonl").read_bytes() == whole


def test_each_stretch_is_judged_by_its_own_rules(run: Run, case: Path, older: Path, capsys: Any) -> None:
    keep_edition(case.parent, older, "en")
    carried(case, MORE)
    assert len(stretches(header_of(check(case.read_bytes())), check(case.read_bytes()).entries)) == 2
    capsys.readouterr()
    run("audit", "--json", case)
    found = json.loads(capsys.readouterr().out)
    assert found["run"] == "same" and found["differences"] == [] and found["turns"] == 5
    assert "carried over 1 times" in found["run_note"]
    assert any(d["key"] == "verdict" and d["turn"] == 4 for d in found["under_today"])
    assert not any(d["turn"] == 5 for d in found["under_today"])
    run("audit", "--conclusions", "--json", case)
    assert json.loads(capsys.readouterr().out)["differences"] == []
    assert run("replay", "--plain", case) == 0
    assert open_walk(case).parted is None


def test_a_forged_turn_behind_the_change_is_found(run: Run, case: Path, older: Path) -> None:
    from test_conclusions import body_again

    keep_edition(case.parent, older, "en")
    carried(case, MORE)

    def forge(body: dict[str, Any]) -> None:
        if body.get("turn") == 5:
            body["out"]["verdict"] = None

    body_again(case, forge)
    assert run("audit", case) == 4 and run("replay", "--plain", case) == 1


def test_without_the_old_rules_the_first_stretch_is_judged_by_todays(
    run: Run, case: Path, capsys: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bench, "_kept", {})
    carried(case, MORE)
    capsys.readouterr()
    assert run("audit", "--json", case) == 4
    found = json.loads(capsys.readouterr().out)
    assert "the rules of today" in found["run_note"] and {d["turn"] for d in found["differences"]} >= {4}


def test_what_the_screen_shows_of_the_past_is_the_record(case: Path) -> None:
    recorded = [entry.body["out"]["reply"] for entry in check(case.read_bytes()).entries[1:]]
    session, journal, notes = go_on(case)
    with journal:
        replies = [out["reply"] for _, out in session.history]
    assert replies[:-1] == recorded and replies[-1] == "\n".join(notes)
