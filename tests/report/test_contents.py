"""What stands in a report for whom, and that nothing stands in it that the journal does not hold."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from reported_case import LINES, ORDER, script, whole_case
from sample_case import fact, output, record

from assistant.errors import JournalError
from assistant.journal import Journal, check
from assistant.report.build import SECTIONS, build
from assistant.report.case import case_of
from assistant.report.document import Drawing, Heading, Literal, Paragraph, Points, Table
from assistant.report.document import Path as PathBlock
from assistant.report.markdown import to_markdown

READERS = list(SECTIONS)


def report(tmp_path: Path, reader: str) -> str:
    path = tmp_path / "case.jsonl"
    path.unlink(missing_ok=True)
    return to_markdown(build(whole_case(path), reader))  # type: ignore[arg-type]


EVERYBODY = (
    "thruster only goes to starboard",
    "contactor: port coil open (turn 3)",
    "Replace the contactor with one of the same rating.",
    "Parts: reversing contactor",
    "new contactor in",
    "thruster runs: starboard only | turn 1 | thruster runs: both | turn 5",
    "handed over to: yard electrician",
    "Note: tide turns",
    "- the panel is still unplugged",
    "springline audit --head ",
    "Local codes",
)
EVIDENCE = (
    "supply voltage: 12.1 V, under load | yes | superseded in turn 5",
    "under load, before the repair: battery (voltage 12.4 V) → supply (voltage 12.1 V)",
    "| DANGER | people at tunnel | people\\_at\\_tunnel is live | turn 1 | turn 2 |",
    "| CAUTION | connector off | connector\\_off is live | turn 4 | STILL LIVE |",
    "| panel: dead | turn 3 | signal arrives |",
    "supply voltage: 12.1 V, under load (turn 3): superseded in turn 5",
    "Cannot both be: These two cannot be. Noticed in turn 4, settled in turn 5.",
    "answer to shaft by hand: cannot, no room to reach it",
    "| 1 | 2026-05-04 09:00:00 +02:00 | caller |",
)
ONLY: dict[str, tuple[str, ...]] = {
    "customer": ("Dangerous now", "To clear it: what clears connector\\_off"),
    "supplier": (
        "Rule coil\\_fed\\_and\\_silent: coil fed and silent",
        "Told in that turn: battery voltage: 12.4 V",
    ),
    "handover": (
        "Dangerous now",
        "Could not be done:",
        "shaft by hand: no room to reach it (turn 2)",
        "not sure",
    ),
}


@pytest.mark.parametrize("reader", READERS)
def test_each_reader_gets_what_concerns_them(tmp_path: Path, reader: str) -> None:
    text = report(tmp_path, reader)
    wanted = [*EVERYBODY, *ONLY[reader], *(() if reader == "customer" else EVIDENCE)]
    assert [piece for piece in wanted if piece not in text] == []


@pytest.mark.parametrize("reader", READERS)
def test_the_same_journal_gives_the_same_report(tmp_path: Path, reader: str) -> None:
    assert report(tmp_path, reader) == report(tmp_path, reader)


def test_the_head_in_the_report_is_that_of_the_journal(tmp_path: Path) -> None:
    text = report(tmp_path, "customer")
    head = check((tmp_path / "case.jsonl").read_bytes()).head
    assert text.count(head) == 2 and "ab" * 32 in text


def test_every_number_in_a_report_stands_in_the_journal(tmp_path: Path) -> None:
    case = whole_case(tmp_path / "case.jsonl")
    journal = (tmp_path / "case.jsonl").read_text()
    own = {str(len(case.turns)), *(str(turn.number) for turn in case.turns), "30.0", "0.1", "100.0"}
    for reader in READERS:
        text = to_markdown(build(case, reader)).replace("\\", "").replace(case.checked.head, "")
        text = re.sub(r"## Losses along the path.*?(?=\n## )", "", text, flags=re.S)  # sums
        for number in re.findall(r"[0-9]+(?:\.[0-9]+)?", text):
            assert number in own or number in journal, (reader, number)


def test_a_proof_says_when_and_by_which_rule_and_a_case_without_one_says_so(tmp_path: Path) -> None:
    path = tmp_path / "none.jsonl"
    case = replace(case_of(record(path, LINES[:2], script()[:2])), order=ORDER)
    text = to_markdown(build(case, "supplier"))
    assert "No fault has been proved." in text and "## Proof" not in text and "30.0 %" in text
    assert "The case is not closed." in text


def test_a_repair_is_told_as_verified_only_when_its_verdict_went(tmp_path: Path) -> None:
    assert "has NOT been verified" in report(tmp_path, "customer")
    cured = [*script()[:4], {**script()[4], "verdict": None}]
    text = to_markdown(build(case_of(record(tmp_path / "cured.jsonl", LINES, cured)), "customer"))
    assert "the repair is verified (turn 5, 2026-05-04 09:55:00 +02:00)" in text and "NOT" not in text


def test_what_is_narrowed_down_is_told_with_the_workshop_test(tmp_path: Path) -> None:
    last = {
        **script()[1],
        "narrowed_to": {"faults": ["a.b", "c.d"], "because": "alike", "settle": "a bench test"},
    }
    case = case_of(record(tmp_path / "n.jsonl", LINES[:2], [script()[0], last]))
    text = to_markdown(build(case, "customer"))
    assert "- a: b\n- c: d" in text and "alike" in text and "a bench test" in text


def test_a_next_test_is_handed_over_with_its_set_up(tmp_path: Path) -> None:
    case = case_of(record(tmp_path / "n.jsonl", LINES[:1], script()[:1]))
    text = to_markdown(build(case, "handover"))
    assert "**Next test: Do coil\\_voltage.**" in text and "- Clear the tunnel.\n- Meter on volts." in text


def test_a_bridge_is_handed_over_only_while_it_is_fitted(tmp_path: Path) -> None:
    on, off = fact("f1", "bridge", "fitted", "other"), fact("f2", "bridge", "removed", "other")
    for facts, told in (([on], True), ([on, off], False)):
        path = tmp_path / f"{len(facts)}.jsonl"
        text = to_markdown(build(case_of(record(path, LINES[:1], [output(1, understood=facts)])), "handover"))
        assert ("not reported removed:" in text) == told


def test_a_journal_that_is_not_whole_is_reported_with_a_warning_and_only_up_to_the_break(
    tmp_path: Path,
) -> None:
    path = tmp_path / "case.jsonl"
    whole_case(path)
    path.write_bytes(path.read_bytes().replace(b"12.1 at the studs", b"13.1 at the studs"))
    text = to_markdown(build(case_of(check(path.read_bytes())), "supplier"))
    assert "**WARNING: the journal is not intact. Line 4:" in text
    assert "13.1 at" not in text and "new contactor" not in text


def test_a_case_without_a_turn_and_a_file_without_a_case(tmp_path: Path) -> None:
    path = tmp_path / "empty.jsonl"
    Journal.create(path, {"kind": "case", "format": 1, "role": "owner"}).close()
    for reader in READERS:
        assert "Nothing was told." in to_markdown(build(case_of(check(path.read_bytes())), reader))
    with pytest.raises(JournalError, match="not the journal of a case"):
        case_of(check(b"hello\n"))


def test_tables_are_even(tmp_path: Path) -> None:
    for reader in READERS:
        for block in build(whole_case(tmp_path / f"{reader}.jsonl"), reader).blocks:
            assert isinstance(block, Heading | Paragraph | Points | Table | PathBlock | Literal | Drawing)
            if isinstance(block, Table):
                assert {len(row) for row in block.rows} == {len(block.head)}
