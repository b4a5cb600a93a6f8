"""The picture of the path in a report: SVG in HTML, lines in Markdown, a table in PDF."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import pytest
from sample_case import at, fact, output, record

from assistant.report.build import build
from assistant.report.case import Case, case_of
from assistant.report.forms import written
from assistant.report.html import to_html
from assistant.report.markdown import to_markdown


def reading(fact_id: str, about: str, what: str, value: float, unit: str, *scene: str) -> dict[str, Any]:
    return fact(fact_id, about, what, value, unit=unit, while_=list(scene))


BEFORE = [
    reading("f1", "battery", "voltage", 11.6, "V", "under_load"),
    reading("f2", "supply", "voltage", 9.2, "V", "under_load"),
    reading("f3", "main_fuse", "drop", 0.92, "V", "under_load"),
    reading("f4", "motor", "current", 310, "A", "under_load"),
    reading("f5", "positive_cable", "length", 6, "m"),
    reading("f6", "positive_cable", "cross_section", 70, "mm²"),
]
AFTER = [
    reading("f8", "battery", "voltage", 11.9, "V", "under_load"),
    reading("f9", "supply", "voltage", 10.9, "V", "under_load"),
    reading("f10", "motor", "current", 300, "A", "under_load"),
]


def case(tmp_path: Path, *turns: dict[str, Any]) -> Case:
    path = tmp_path / "case.jsonl"
    path.unlink(missing_ok=True)
    lines = [{"say": "told", "at": at(minute)} for minute in range(len(turns))]
    return case_of(record(path, lines, list(turns)))


def weak(tmp_path: Path) -> Case:
    mended = fact("f7", "main_fuse", "repaired", True)
    return case(tmp_path, output(1, understood=BEFORE), output(2, understood=[mended]), output(3, understood=AFTER))


@pytest.mark.parametrize("reader", ["supplier", "handover"])
def test_before_and_after_the_repair_in_html(tmp_path: Path, reader: Any) -> None:
    page = to_html(build(weak(tmp_path), reader))
    drawings = re.findall(r"<svg.*?</svg>", page, re.S)
    assert len(drawings) == 2
    said = [[item.text for item in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")] for svg in drawings]
    assert "11.60 V" in said[0] and "0.92 V" in said[0] and "11.90 V" not in said[0]
    assert "11.90 V" in said[1] and "1.00 V" in said[1] and "11.60 V" not in said[1]
    assert "2 × 6 m of 70 mm²" in "".join(filter(None, said[1]))
    assert "before the repair" in page and "after the repair" in page


def test_lines_in_markdown(tmp_path: Path) -> None:
    text = to_markdown(build(weak(tmp_path), "supplier"))
    blocks = re.findall(r"```text\n(.*?)\n```", text, re.S)
    drawn = [block for block in blocks if "battery posts" in block]
    assert len(drawn) == 2 and "main fuse and its holder" in drawn[0] and "2.40 V" in drawn[0]
    assert all(len(line) <= 88 for block in drawn for line in block.split("\n"))


def test_in_pdf(tmp_path: Path) -> None:
    pytest.importorskip("fpdf")
    pytest.importorskip("fontpkg_fira_sans")
    data = written(build(weak(tmp_path), "supplier"), "pdf")
    assert data == written(build(weak(tmp_path), "supplier"), "pdf") and data.startswith(b"%PDF")


def test_nothing_is_drawn_when_nothing_or_nonsense_was_read(tmp_path: Path) -> None:
    silent = case(tmp_path, output(1, understood=[fact("f1", "panel", "lights", True)]))
    assert "Losses along the path" not in to_markdown(build(silent, "supplier"))
    odd = case(
        tmp_path,
        output(
            1,
            understood=[
                reading("f1", "battery", "voltage", 9.0, "V", "under_load"),
                reading("f2", "supply", "voltage", 12.0, "V", "under_load"),
            ],
        ),
    )
    assert "<svg" not in to_html(build(odd, "supplier"))
