"""Whatever anybody said is shown as its very letters in every form of a report, and is never obeyed."""

from __future__ import annotations

import io
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from reported_case import LINES, script
from sample_case import fact, output, record

from assistant.journal.shown import one_line, visible
from assistant.report.build import SECTIONS, build
from assistant.report.case import Case, case_of
from assistant.report.document import Document, Literal, Paragraph, Points, Table
from assistant.report.html import to_html
from assistant.report.markdown import escaped, to_markdown
from assistant.report.pdf import to_pdf

HOSTILE = [
    "<script>alert(1)</script><img src=x onerror=alert(2)>",
    "&lt;b&gt; &amp; &#x41;",
    "[click](http://evil.example/x) ![](http://evil.example/p.png) <http://evil.example>",
    "http://evil.example www.evil.example a@evil.example ftp://evil.example",
    "# heading", "- point", "1. first", "+ plus", "> quote", "=====", "-----", "    code", "```\nfence\n```",
    "**bold** _it_ ~~gone~~ `code` $x^2$ | cell | cell |", "back\\slash \\*", "\\",
    "=cmd|' /C calc'!A0", "+1+1", "-2+3", "@SUM(A1:A9)",
    "\x1b[31mred\x1b[0m \x1b]0;title\x07 \x9b2J \x00 \x7f",
    "one\rtwo\u2028three\u2029four\x85five\n## forged\n| a | b |\n|---|---|\n| 1 | 2 |",
    "\u202eabc\u202c \u2066x\u2069 \ufeff \u200b zero \u00ad soft",
    "漢字 ⚓ 😀 مرحبا Ωµ≥→", "[ref]: http://evil.example", "<!-- -->", "]]>", "</td></table>",
    "{{ x }} {% y %} ${z}",
    "x" * 10_000, "word " * 2_000, "'\"><svg/onload=alert(1)>", "javascript:alert(1)", ":smile: [^1] [x] [ ]",
]  # fmt: skip


def hostile_case(path: Path, text: str) -> Case:
    first = {
        **script()[0],
        "understood": [fact("f1", "thruster", text[:500], text, words=text, unit=text[:50])],
        "reply": text,
        "hazards": [{"hazard": text, "level": text, "text": text, "since": 1, "clear_by": {"text": text}}],
        "suspects": [{"fault": text, "state": state, "because": [text]} for state in ("proved", "ruled_out")],
        "may_close": [text, {"text": text}],
        "next": {"test": text, "text": text, "setup": [text, {"text": text}]},
        "stop": {"text": text},
        "conflicts": [{"facts": ["f1"], "text": text, "settle": text}],
        "narrowed_to": {"faults": [text], "because": text, "settle": text},
        "verdict": {"faults": [text], "repair": [text], "parts": [text]},
    }
    second = output(2, understood=[fact("f2", text, "replaced", True)], replaced=["f1"], closed={"open": [text]})
    lines: list[dict[str, Any]] = [
        {**LINES[0], "say": text, "by": text},
        {"answer": {"test": text, "cannot": text}, "at": text},
    ]
    return case_of(record(path, lines, [first, second]))


def document(text: str) -> Document:
    table = Table(("a", "b"), ((text, text), ("c", text)))
    return Document(text, (Paragraph(text), Points((text,)), table, Literal(text)))


@pytest.fixture(scope="module")
def parsers() -> list[MarkdownIt]:
    return [MarkdownIt("commonmark").enable("table"), MarkdownIt("gfm-like")]


PAIRED = "heading paragraph bullet_list list_item table thead tbody tr th td"
BLOCKS = {"inline", "fence", *(f"{name}_{end}" for name in PAIRED.split() for end in ("open", "close"))}


def check_markdown(text: str, markdown: str, parser: MarkdownIt) -> None:
    tokens = parser.parse(markdown)
    assert {token.type for token in tokens} <= BLOCKS
    assert [token.tag for token in tokens if token.type == "heading_open"].count("h1") == 1
    shown = one_line(text)
    for token in tokens:
        for child in token.children or ():
            assert child.type in ("text", "text_special", "strong_open", "strong_close"), (
                child.type,
                child.content,
            )
    cells = ["".join(c.content for c in t.children or ()) for t in tokens if t.type == "inline"]
    if shown:
        assert cells[0] == shown and cells[-1] == shown
        assert cells.count(shown) >= 6
    fence = next(token for token in tokens if token.type == "fence")
    assert fence.content == shown + "\n"


@pytest.mark.parametrize("text", HOSTILE)
def test_markdown_shows_the_letters(parsers: list[MarkdownIt], text: str) -> None:
    for parser in parsers:
        check_markdown(text, to_markdown(document(text)), parser)


@settings(max_examples=400, deadline=None)
@given(st.text(alphabet=st.sampled_from("ab1 .:-+=*_`~|<>[](){}!#&\\/@$^\n\t'\""), max_size=40) | st.text(max_size=30))
def test_markdown_shows_any_letters(text: str) -> None:
    flat = one_line(text)
    for parser in (MarkdownIt("commonmark").enable("table"), MarkdownIt("gfm-like")):
        for token in parser.parse("a\n\n" + escaped(text)):
            for child in token.children or ():
                assert child.type in ("text", "text_special"), (text, child.type)
        shown = [
            "".join(c.content for c in t.children or ()) for t in parser.parse(escaped(text)) if t.type == "inline"
        ]
        assert shown == ([flat] if flat else [])


class Letters(HTMLParser):
    """Collects the text and the tags of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, list[tuple[str, str | None]]]] = []
        self.texts: list[str] = []
        self.comments = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, attrs))

    def handle_data(self, data: str) -> None:
        self.texts.append(data)

    def handle_comment(self, data: str) -> None:
        self.comments += 1


OWN_TAGS = set(
    re.findall(
        r"\S+",
        "html head meta title style body h1 h2 p strong ul li table thead tbody tr th td pre ol b br",
    )
)


@pytest.mark.parametrize("text", HOSTILE)
def test_html_shows_the_letters_and_holds_nothing_active(text: str) -> None:
    page = Letters()
    page.feed(to_html(document(text)))
    page.close()
    assert {tag for tag, _ in page.tags} <= OWN_TAGS and page.comments == 0
    for tag, attributes in page.tags:
        assert not attributes or tag in ("html", "meta", "ol"), (tag, attributes)
    for line in visible(text).split("\n"):
        assert "".join(page.texts).count(line) >= 6


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("reader", list(SECTIONS))
def test_a_case_full_of_it_makes_a_report_in_every_form(tmp_path: Path, reader: Any, text: str) -> None:
    built = build(hostile_case(tmp_path / "case.jsonl", text), reader)
    page = Letters()
    html = to_html(built)
    page.feed(html)
    assert {tag for tag, _ in page.tags} <= OWN_TAGS and page.comments == 0
    markdown = to_markdown(built)
    for token in MarkdownIt("gfm-like").parse(markdown):
        assert token.type in BLOCKS
        kinds = {child.type for child in token.children or ()}
        assert kinds <= {"text", "text_special", "strong_open", "strong_close"}
    for form in (html, markdown):
        assert not [c for c in form if c not in "\n\u200c\u200d" and not c.isprintable()]


def words_of(pdf: bytes) -> str:
    pypdf = pytest.importorskip("pypdf")
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    return re.sub(r"\s+", "", "".join(page.extract_text() for page in pages))


@pytest.mark.parametrize("text", HOSTILE)
def test_pdf_shows_the_letters_or_their_numbers(text: str) -> None:
    pytest.importorskip("fpdf")
    pdf = to_pdf(document(text))
    assert pdf.startswith(b"%PDF-") and b"/JavaScript" not in pdf and b"/URI" not in pdf
    if len(text) > 1000:
        assert words_of(pdf).count("x" * 50 if text.startswith("x") else "wordword") > 100
        return
    shown = re.sub(r"\s+", "", visible(text))
    if shown.isascii() and shown:
        assert shown in words_of(pdf).replace("\n", "")
    if "漢" in text:
        assert "[U+6F22][U+5B57]" in words_of(pdf) and "Ω" in words_of(pdf)


def test_the_same_report_gives_the_same_pdf() -> None:
    pytest.importorskip("fpdf")
    assert to_pdf(document("hello")) == to_pdf(document("hello"))


@pytest.mark.parametrize("text", HOSTILE)
def test_a_name_of_the_person_s_own_is_shown_and_not_obeyed(text: str, tmp_path: Path) -> None:
    name = {"id": "n1", "about": "port_coil", "name": text, "words": text, "turn": 1, "by": text}
    out = {**script()[0], "own_names": {"standing": [name]}}
    document = build(case_of(record(tmp_path / "named.jsonl", [LINES[0]], [out])), "handover")
    page = to_html(document)
    assert "<script" not in page and "<img" not in page and "<svg" not in page
    assert any("port coil" in point for b in document.blocks if isinstance(b, Points) for point in b.items)
