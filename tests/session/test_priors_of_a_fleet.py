"""A case that begins with the counts of a fleet: other shares, the same proofs, and a record that runs again."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from assistant.begin import begin, go_on
from assistant.cli import main
from assistant.knowledge import load
from assistant.knowledge.counts import counted, read_counts

COMPLAINT = {"facts": [{"about": "panel", "what": "lights", "value": False}]}


@pytest.fixture
def counts(tmp_path: Path) -> Path:
    path = tmp_path / "fleet.yaml"
    path.write_text("cases: 40\nfaults: {panel.dead: 30, main_fuse.blown: 2}\n", encoding="utf-8")
    return path


def share(out: dict, fault: str) -> float:  # type: ignore[type-arg]
    return next(s["probability"] for s in out["suspects"] if s["fault"] == fault)


def test_what_a_fleet_often_has_is_likelier(tmp_path: Path, counts: Path) -> None:
    with_counts, journal = begin("technician", tmp_path / "a.jsonl", priors=counts)
    without, _ = begin("technician", None)
    told, plain = with_counts.take(COMPLAINT), without.take(COMPLAINT)
    assert share(told, "panel.dead") > share(plain, "panel.dead")
    assert share(told, "main_fuse.blown") < share(plain, "main_fuse.blown")
    assert journal is not None
    journal.close()


def test_the_record_keeps_the_counts_and_runs_again_without_their_file(
    tmp_path: Path, counts: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "a.jsonl"
    session, journal = begin("technician", path, priors=counts)
    first = session.take(COMPLAINT)
    assert journal is not None
    journal.close()
    counts.unlink()
    assert json.loads(path.read_text(encoding="utf-8").splitlines()[0])["entry"]["fleet"]["cases"] == 40
    assert main(["replay", str(path)]) == 0
    assert "The case runs again as it was recorded." in capsys.readouterr().out
    for options in ([], ["--conclusions"], ["--today"]):
        assert main(["audit", "--json", *options, str(path)]) == 0
        assert json.loads(capsys.readouterr().out)["status"] == "sound"
    again, journal, _ = go_on(path)
    last = again.take({"facts": []})
    journal.close()
    assert share(last, "panel.dead") == share(first, "panel.dead")


def test_the_update_is_shown_beside_what_the_rule_base_says(counts: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rules", "priors", str(counts)]) == 0
    lines = capsys.readouterr().out.splitlines()
    row = next(line.split() for line in lines if line.startswith("panel.dead "))
    # 30 of 32 proofs there, weighed against a rule base worth 50: (50 p + 30) / (50 + 32)
    before = float(row[1]) / 100
    assert row[3] == "30" and float(row[4]) == pytest.approx(100 * (50 * before + 30) / 82, abs=0.1)
    assert "40" in lines[0]


def test_the_new_prior_says_where_it_comes_from(counts: Path) -> None:
    knowledge = counted(load(), read_counts(counts, load()))
    assert knowledge.faults["panel.dead"].prior_source.endswith("with 30 of 40 cases of a fleet")
    assert knowledge.fingerprint == load().fingerprint


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("cases: 3\nfaults: {panel.dead: 4}\n", "4 of 3 cases"),
        ("cases: 3\nfaults: {panel.broken: 1}\n", "panel.broken"),
        ("cases: many\nfaults: {}\n", "cases"),
        ("- 1\n", "no file of counts"),
        ("cases: 3\nfaults: {panel.dead: -1}\n", "panel.dead"),
    ],
)
def test_a_file_that_cannot_be_right_is_refused_by_name(
    tmp_path: Path, text: str, named: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "fleet.yaml"
    path.write_text(text, encoding="utf-8")
    assert main(["talk", "--json", "--priors", str(path)]) != 0
    told = capsys.readouterr()
    assert named in told.err and "fleet.yaml" in told.err and told.out == ""
