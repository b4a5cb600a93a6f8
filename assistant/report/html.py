"""A report as one HTML file that needs nothing else, runs nothing and fetches nothing."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from assistant.journal.shown import visible
from assistant.picture import to_svg
from assistant.report.document import Block, Document, Drawing, Heading, Literal, Paragraph, Path, Points, Table

_STYLE = """
:root { color-scheme: light dark; }
body { font: 16px/1.5 system-ui, sans-serif; max-width: 62rem; margin: 2rem auto; padding: 0 1rem;
       overflow-wrap: anywhere; }
h1 { font-size: 1.6rem; line-height: 1.25; } h2 { font-size: 1.2rem; margin-top: 2rem; }
table { border-collapse: collapse; width: 100%; font-size: 0.9rem; }
th, td { border: 1px solid #8888; padding: 0.3rem 0.5rem; text-align: left; vertical-align: top; }
th { background: #8882; }
th { white-space: nowrap; }
td { min-width: 4.8rem; }
ol.path { display: flex; flex-wrap: wrap; gap: 0.5rem 1.6rem; list-style: none; padding: 0; }
ol.path li { border: 2px solid #888; border-radius: 0.3rem; padding: 0.3rem 0.6rem; position: relative; }
ol.path li + li::before { content: "\\2192"; position: absolute; left: -1.4rem; top: 50%; translate: 0 -50%; }
ol.path b { display: block; }
figure { margin: 1rem 0; }
pre { background: #8882; padding: 0.5rem; white-space: pre-wrap; }
@media print { body { margin: 0; max-width: none; } tr, li { break-inside: avoid; } }
"""
_POLICY = "default-src 'none'; style-src 'unsafe-inline'"


def to_html(document: Document) -> str:
    """The whole report as HTML text."""
    title = _text(document.title)
    body = "\n".join(piece for block in document.blocks for piece in _block(block))
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{title}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n<h1>{title}</h1>\n{body}\n"
        "</body>\n</html>\n"
    )


def _text(text: str) -> str:
    return escape(visible(text), quote=True).replace("\n", "<br>")


def _block(block: Block) -> Iterator[str]:
    if isinstance(block, Heading):
        yield f"<h2>{_text(block.text)}</h2>"
    elif isinstance(block, Paragraph):
        yield (f"<p><strong>{_text(block.text)}</strong></p>" if block.strong else f"<p>{_text(block.text)}</p>")
    elif isinstance(block, Points):
        yield "<ul>" + "".join(f"<li>{_text(item)}</li>" for item in block.items) + "</ul>"
    elif isinstance(block, Table):
        yield from _table(block)
    elif isinstance(block, Path):
        stations = "".join(f"<li><b>{_text(what)}</b>{_text(value)}</li>" for what, value in block.stations)
        yield f'<p>{_text(block.label)}:</p><ol class="path">{stations}</ol>'
    elif isinstance(block, Literal):
        yield f"<pre>{_text(block.text)}</pre>"
    elif isinstance(block, Drawing):
        yield f"<figure>{to_svg(block.picture)}</figure>"


def _table(table: Table) -> Iterator[str]:
    head = "".join(f"<th>{_text(cell)}</th>" for cell in table.head)
    yield f"<table><thead><tr>{head}</tr></thead><tbody>"
    for row in table.rows:
        yield "<tr>" + "".join(f"<td>{_text(cell)}</td>" for cell in row) + "</tr>"
    yield "</tbody></table>"
