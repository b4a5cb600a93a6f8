"""Many cases together: each number can be counted by hand."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from reported_case import LINES, script, whole_case
from sample_case import at, fact, output, record

from assistant import cli_record, record_commands
from assistant.demos import FOLDER
from assistant.errors import JournalError
from assistant.journal import check
from assistant.journal.turn import turns
from assistant.knowledge import load
from assistant.knowledge.counts import updated_priors
from assistant.report.fleet import answers, database
from assistant.report.fleet_rows import gather

duckdb = pytest.importorskip("duckdb")
Command = Callable[..., int]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Three cases, a copy of one, and a broken journal."""
    cases = tmp_path / "cases"
    (cases / "deep").mkdir(parents=True)
    whole_case(cases / "one.jsonl")
    lines = [{**line, "at": at(minute)} for line, minute in zip(LINES[:3], (0, 10, 30), strict=True)]
    record(cases / "deep" / "two.jsonl", lines, script()[:3])
    guess = output(1, understood=[fact("f1", "panel", "replaced", True)])
    record(cases / "three.jsonl", [{"say": "new panel", "at": at(0)}], [guess])
    (cases / "copy.jsonl").write_bytes((cases / "one.jsonl").read_bytes())
    (cases / "broken.jsonl").write_bytes((cases / "one.jsonl").read_bytes().replace(b"12.4", b"12.9", 1))
    return cases


@pytest.fixture
def fleet(monkeypatch: pytest.MonkeyPatch) -> Command:
    monkeypatch.setattr(record_commands, "_rule_ids", lambda: ("coil_fed_and_silent", "never_used", "signal_arrives"))

    def run(*words: object) -> int:
        parser = argparse.ArgumentParser()
        cli_record.add_parsers(parser.add_subparsers())
        args = parser.parse_args(["fleet", *(str(word) for word in words)])
        return int(args.run(args))

    return run


def test_every_answer_can_be_counted_by_hand(fleet: Command, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert fleet(folder, "--json") == 3
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert found["overview"] == [{"cases": 3, "closed": 1, "handed_over": 1, "turns": 9, "median_minutes": 30.0}]
    assert found["faults"] == [{"fault": "contactor.port_coil_open", "cases": 2, "median_minutes_to_proof": 19.5}]
    assert found["priors"] == [{"fault": "contactor.port_coil_open", "cases": 1, "of_closed": 1}]
    assert found["replaced"] == [
        {"part": "contactor", "replaced": 1, "on_proof": 1, "faults": "contactor.port_coil_open"},
        {"part": "panel", "replaced": 1, "on_proof": 0, "faults": None},
    ]
    assert found["silent_rules"] == [{"rule": "never_used"}]
    assert {row["kind"] for row in found["findings"]} >= {"replaced_without_proof", "verification_missing"}
    left = {Path(row["path"]).name: row["reason"] for row in found["left_out"]}
    assert set(left) == {"broken.jsonl", "one.jsonl"} and "changed after it was sealed" in left["broken.jsonl"]
    assert left["one.jsonl"] == "the same case was read already"


def test_a_test_that_decided_is_the_one_answered_in_the_turn_of_the_proof(tmp_path: Path) -> None:
    lines = [*LINES[:2], {"answer": {"test": "coil_voltage", "facts": []}, "at": at(12)}]
    record(tmp_path / "x.jsonl", lines, script()[:3])
    rows = answers(database(gather([tmp_path / "x.jsonl"])))["deciding_tests"]
    assert rows == [{"test": "coil_voltage", "answered": 1, "decided": 1, "median_minutes": 7.0}]


def test_the_text_names_every_table_and_what_was_left_out(
    fleet: Command, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert fleet(folder) == 3
    out = capsys.readouterr().out
    for heading in ("All cases", "Faults proved", "Parts replaced", "Rules that never fired", "Left out"):
        assert f"{heading}\n" in out
    assert "  contactor.port_coil_open      2" in out


def test_tables_go_out_as_parquet_and_come_back(
    fleet: Command, folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "o'ut"
    fleet(folder, "--parquet", out)
    assert sorted(path.stem for path in out.iterdir()) == [
        "answers", "cases", "findings", "firings", "proofs", "replacements",
    ]  # fmt: skip
    count = duckdb.sql(
        f"SELECT sum(turns)::INT FROM read_parquet('{str(out).replace(chr(39), chr(39) * 2)}/cases.parquet')"
    )
    assert count.fetchall() == [(9,)]
    (tmp_path / "file").write_text("")
    with pytest.raises(JournalError, match="cannot be written"):
        fleet(folder, "--parquet", tmp_path / "file")


def test_the_counts_for_priors_go_out_as_yaml_that_the_update_takes(
    fleet: Command, folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    strange = output(1, suspects=[{"fault": "x: [no", "state": "proved", "because": []}], closed={"open": []})
    record(folder / "strange.jsonl", [{"say": "a", "at": at(1)}], [strange])
    fleet(folder, "--priors", tmp_path / "priors.yaml")
    counts = yaml.safe_load((tmp_path / "priors.yaml").read_text())
    assert counts == {"cases": 2, "faults": {"contactor.port_coil_open": 1}}
    assert "no fault of this rule base: x: [no" in capsys.readouterr().err
    priors = {fault.id: fault.prior for fault in load().faults.values()}
    shares = updated_priors(priors, counts["faults"], weight=60)
    before = updated_priors(priors, {}, weight=60)
    assert shares["contactor.port_coil_open"] > before["contactor.port_coil_open"]


def test_a_proof_that_fell_away_is_no_count(tmp_path: Path) -> None:
    proved = {"fault": "panel.dead", "state": "proved", "because": []}
    script = [output(1, suspects=[proved]), output(2, suspects=[{**proved, "state": "open"}], closed={"open": []})]
    record(tmp_path / "x.jsonl", [{"say": "a", "at": at(1)}, {"say": "b", "at": at(2)}], script)
    found = answers(database(gather([tmp_path / "x.jsonl"])))
    assert found["faults"] and found["priors"] == []


def test_rules_that_fired_are_those_of_the_record(tmp_path: Path) -> None:
    found = answers(database(gather(sorted(FOLDER.glob("*.jsonl")))), load().rules)
    silent = {row["rule"] for row in found["silent_rules"]}
    fired = {rule for path in FOLDER.glob("*.jsonl") for turn in turns(check(path.read_bytes())) for rule in turn.fired}
    assert fired and silent == set(load().rules) - fired
    assert any(load().rules[rule].finding for rule in fired) and any(load().rules[rule].proves for rule in fired)


def test_hostile_words_stay_words(fleet: Command, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bad = "x'); DROP TABLE cases; --\x1b[2J\n=1+1"
    out = output(1, suspects=[{"fault": bad, "state": "proved", "because": [bad]}])
    record(tmp_path / "x.jsonl", [{"say": bad, "at": at(1)}], [out])
    assert fleet(tmp_path) == 0
    text = capsys.readouterr().out
    assert "DROP TABLE" in text and not [c for c in text if c != "\n" and not c.isprintable()]


def test_times_that_cannot_be_read_leave_the_minutes_open(tmp_path: Path) -> None:
    record(tmp_path / "x.jsonl", [{"say": "a", "at": "soon"}, {"say": "b", "at": at(1)}], script()[:2])
    rows = answers(database(gather([tmp_path / "x.jsonl"])))
    assert rows["overview"][0]["median_minutes"] is None
