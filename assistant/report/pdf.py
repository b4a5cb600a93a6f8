"""A report as PDF, on A4, with the fonts inside; what a font has no sign for is written out as its number."""

from __future__ import annotations

from datetime import UTC, datetime
from importlib import import_module
from pathlib import Path as FilePath
from typing import TYPE_CHECKING

from assistant.errors import JournalError
from assistant.journal.shown import visible
from assistant.picture import table_of
from assistant.report.document import Block, Document, Drawing, Heading, Literal, Paragraph, Path, Points, Table

if TYPE_CHECKING:
    from fpdf import FPDF

_FAMILY = "report"
_SIZE = 9.5
_LINE = 4.6
"""Height of a line, mm."""
_LONGEST_CELL = 900
"""A longer cell would not fit on a page: it goes on in the rows below it."""
_UNDATED = datetime(1980, 1, 1, tzinfo=UTC)


def to_pdf(document: Document, made_at: datetime | None = None) -> bytes:
    """The whole report as the bytes of a PDF; the same report always gives the same bytes.

    Args:
        document: The report.
        made_at: The date that the file carries: a time of the journal, never that of the machine.

    Raises:
        JournalError: The packages for PDF are not installed.
    """
    pdf, signs = _new_pdf()
    pdf.set_creation_date(made_at or _UNDATED)
    pdf.set_title(_spelt(document.title, signs))
    pdf.add_page()
    _lines(pdf, document.title, signs, size=16, bold=True, gap=3)
    for block in document.blocks:
        _block(pdf, block, signs)
    return bytes(pdf.output())


def _new_pdf() -> tuple[FPDF, frozenset[int]]:
    try:
        from fpdf import FPDF

        fonts = FilePath(str(import_module("fontpkg_fira_sans").ROOT)) / "files"
    except ImportError as error:
        raise JournalError("PDF needs more packages: pip install 'springline[pdf]'") from error

    class Paged(FPDF):
        """Numbers its pages."""

        def footer(self) -> None:
            """The page number."""
            self.set_y(-12)
            self.set_font(_FAMILY, size=8)
            self.cell(0, 5, f"{self.page_no()} / {{nb}}", align="C")

    pdf = Paged(format="A4")
    pdf.set_margins(18, 16)
    pdf.set_auto_page_break(True, margin=18)
    pdf.add_font(_FAMILY, "", fonts / "FiraSans-Regular.ttf")
    pdf.add_font(_FAMILY, "B", fonts / "FiraSans-Bold.ttf")
    return pdf, frozenset(getattr(pdf.fonts[_FAMILY], "cmap", {}))


def _spelt(text: str, signs: frozenset[int]) -> str:
    return "".join(c if c == "\n" or ord(c) in signs else f"[U+{ord(c):04X}]" for c in visible(text))


def _lines(
    pdf: FPDF, text: str, signs: frozenset[int], size: float = _SIZE, bold: bool = False, gap: float = 1.5
) -> None:
    pdf.set_font(_FAMILY, "B" if bold else "", size)
    height = _LINE * size / _SIZE
    pdf.multi_cell(0, height, _spelt(text, signs), align="L", new_x="LMARGIN", new_y="NEXT")
    pdf.ln(gap)


def _block(pdf: FPDF, block: Block, signs: frozenset[int]) -> None:
    if isinstance(block, Heading):
        pdf.ln(2)
        if pdf.will_page_break(30):
            pdf.add_page()
        _lines(pdf, block.text, signs, size=12, bold=True)
    elif isinstance(block, Paragraph):
        _lines(pdf, block.text, signs, bold=block.strong)
    elif isinstance(block, Points):
        for item in block.items:
            _lines(pdf, f"•  {item}", signs, gap=0.5)
        pdf.ln(1)
    elif isinstance(block, Table):
        _table(pdf, block, signs)
    elif isinstance(block, Path):
        _path(pdf, block, signs)
    elif isinstance(block, Drawing):
        _drawing(pdf, block, signs)
    elif isinstance(block, Literal):
        pdf.set_fill_color(235, 235, 235)
        pdf.set_font(_FAMILY, "", 8.5)
        pdf.multi_cell(0, _LINE, _spelt(block.text, signs), align="L", fill=True, new_x="LMARGIN", new_y="NEXT")
        pdf.ln(2)


def _drawing(pdf: FPDF, drawing: Drawing, signs: frozenset[int]) -> None:
    """The picture as a table, with a bar for each loss to one scale."""
    _table(pdf, Table(*table_of(drawing.picture)), signs)


def _table(pdf: FPDF, table: Table, signs: frozenset[int]) -> None:
    pdf.set_font(_FAMILY, "", 8)
    rows = [part for row in table.rows for part in _split_row([_spelt(cell, signs) for cell in row])]
    widths = _widths([list(table.head), *rows])
    with pdf.table(col_widths=widths, text_align="LEFT", line_height=4, padding=0.8, v_align="T") as drawn:
        for row in [list(table.head), *rows]:
            line = drawn.row()
            for cell in row:
                line.cell(cell)
    pdf.ln(3)


def _split_row(cells: list[str]) -> list[list[str]]:
    """A row whose cells are too long for a page, as several rows."""
    count = max(1, *(-(-len(cell) // _LONGEST_CELL) for cell in cells))
    return [[cell[i * _LONGEST_CELL : (i + 1) * _LONGEST_CELL] for cell in cells] for i in range(count)]


def _widths(rows: list[list[str]]) -> tuple[int, ...]:
    """Widths of the columns in proportion to what they hold, none too narrow for a word."""
    longest = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return tuple(min(max(length, 8), 40) for length in longest)


def _path(pdf: FPDF, path: Path, signs: frozenset[int]) -> None:
    """The stations of the path as boxes in a row, with the reading in each."""
    _lines(pdf, f"{path.label}:", signs, gap=0.5)
    pdf.set_font(_FAMILY, "", 7.5)
    width, gap, height = 32.0, 4.0, 11.0
    for number, (what, value) in enumerate(path.stations):
        if pdf.get_x() + width > pdf.w - pdf.r_margin:
            pdf.set_xy(pdf.l_margin, pdf.get_y() + height + 2)
        if pdf.get_y() + height > pdf.h - 18:
            pdf.add_page()
        x, y = pdf.get_x(), pdf.get_y()
        pdf.rect(x, y, width, height)
        for offset, text in ((1.2, what), (5.6, value)):
            pdf.set_xy(x, y + offset)
            pdf.cell(width, 4, _fitted(pdf, _spelt(text, signs), width - 2), align="C")
        if number + 1 < len(path.stations):
            pdf.line(x + width, y + height / 2, x + width + gap, y + height / 2)
        pdf.set_xy(x + width + gap, y)
    pdf.set_xy(pdf.l_margin, pdf.get_y() + height + 4)


def _fitted(pdf: FPDF, text: str, width: float) -> str:
    """The text, shortened to a width; the table of readings has it in full."""
    if pdf.get_string_width(text) <= width:
        return text
    while text and pdf.get_string_width(text + "…") > width:
        text = text[:-1]
    return text + "…"
