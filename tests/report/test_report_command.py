"""The command that writes a report: forms, files, refusals."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

import pytest
from reported_case import whole_case

from assistant import cli_record
from assistant.errors import JournalError

Report = Callable[..., int]


@pytest.fixture
def report() -> Report:
    def run(*words: object) -> int:
        parser = argparse.ArgumentParser()
        cli_record.add_parsers(parser.add_subparsers())
        args = parser.parse_args(["report", *(str(word) for word in words)])
        return int(args.run(args))

    return run


@pytest.mark.parametrize(
    ("name", "more", "start"),
    [
        ("r.md", [], b"# Thruster fault"),
        ("r.html", [], b"<!DOCTYPE html>"),
        ("r.pdf", [], b"%PDF-"),
        ("r.txt", ["--as", "html"], b"<!DOCTYPE html>"),
    ],
)
@pytest.mark.parametrize("reader", ["customer", "supplier", "handover"])
def test_a_report_is_written_in_the_form_asked_for(
    report: Report, tmp_path: Path, name: str, more: list[str], start: bytes, reader: str
) -> None:
    if name.endswith("pdf"):
        pytest.importorskip("fpdf")
    case = tmp_path / "case.jsonl"
    whole_case(case)
    before = case.read_bytes()
    assert report(case, "--for", reader, "--output", tmp_path / name, *more) == 0
    assert (tmp_path / name).read_bytes().startswith(start)
    assert case.read_bytes() == before and len(list(tmp_path.iterdir())) == 2


def test_without_an_output_markdown_goes_to_the_screen(
    report: Report, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    whole_case(tmp_path / "case.jsonl")
    assert report(tmp_path / "case.jsonl") == 0
    assert capfdbinary.readouterr().out.startswith(b"# Thruster fault: report for the customer")


def test_a_broken_journal_is_warned_of_and_is_a_failure(
    report: Report, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    case = tmp_path / "case.jsonl"
    whole_case(case)
    case.write_bytes(case.read_bytes()[:-9])
    assert report(case, "--output", tmp_path / "r.md") == 1
    assert "Line 6 of the journal: the last line has no line end" in capsys.readouterr().err
    assert "WARNING" in (tmp_path / "r.md").read_text()


def test_what_cannot_be_written_is_named_and_leaves_nothing(report: Report, tmp_path: Path) -> None:
    whole_case(tmp_path / "case.jsonl")
    with pytest.raises(JournalError, match=r"r\.md cannot be written: no such file"):
        report(tmp_path / "case.jsonl", "--output", tmp_path / "none" / "r.md")
    with pytest.raises(JournalError, match="cannot be read"):
        report(tmp_path / "none.jsonl")
