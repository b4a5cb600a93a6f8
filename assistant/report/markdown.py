"""A report as Markdown in which nothing that anybody said is taken for Markdown, HTML or a link."""

from __future__ import annotations

import re
from collections.abc import Iterator

from assistant.journal.shown import visible
from assistant.picture import text_lines
from assistant.report.document import Block, Document, Drawing, Heading, Literal, Paragraph, Path, Points, Table

_PICTURE = 88
"""Width of the picture of the path."""
_ALWAYS = re.compile(r"([\\`*_{}\[\]<>|~&#$^@])")
_AUTOLINK = re.compile(r"([:.])(?=[A-Za-z/])")
_LINE_START = re.compile(r"^(\s*)(?:([-+=])|(\d+)([.)])(?=\s|$))")


def to_markdown(document: Document) -> str:
    """The whole report as Markdown text."""
    pieces = [f"# {escaped(document.title)}", *(piece for b in document.blocks for piece in _block(b))]
    return "\n\n".join(pieces) + "\n"


def escaped(text: str) -> str:
    """The text on one line, such that Markdown shows its very letters."""
    flat = " ".join(visible(text).split())
    safe = _ALWAYS.sub(r"\\\1", flat)
    safe = _AUTOLINK.sub(r"\\\1", safe)
    return _LINE_START.sub(_shield, safe)


def _shield(found: re.Match[str]) -> str:
    mark = f"\\{found[2]}" if found[2] else f"{found[3]}\\{found[4]}"
    return f"{found[1]}{mark}"


def _block(block: Block) -> Iterator[str]:
    if isinstance(block, Heading):
        yield f"## {escaped(block.text)}"
    elif isinstance(block, Paragraph):
        yield f"**{escaped(block.text)}**" if block.strong and block.text else escaped(block.text)
    elif isinstance(block, Points):
        yield "\n".join(f"- {escaped(item)}" for item in block.items)
    elif isinstance(block, Table):
        yield "\n".join(_table(block))
    elif isinstance(block, Path):
        yield (escaped(block.label) + ": " + " → ".join(f"{escaped(a)} ({escaped(b)})" for a, b in block.stations))
    elif isinstance(block, Literal):
        yield _fenced(block.text)
    elif isinstance(block, Drawing):
        yield _fence_round(text_lines(block.picture, _PICTURE))


def _table(table: Table) -> Iterator[str]:
    yield _row(table.head)
    yield _row(("---",) * len(table.head), plain=True)
    yield from (_row(row) for row in table.rows)


def _row(cells: tuple[str, ...], plain: bool = False) -> str:
    return "| " + " | ".join(cell if plain else escaped(cell) for cell in cells) + " |"


def _fenced(text: str) -> str:
    return _fence_round([" ".join(visible(text).split())])


def _fence_round(lines: list[str]) -> str:
    longest = max((len(run) for line in lines for run in re.findall(r"`+", line)), default=0)
    fence = "`" * max(3, longest + 1)
    return "\n".join([f"{fence}text", *lines, fence])
