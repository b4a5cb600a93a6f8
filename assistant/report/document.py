"""A report as data: every text in it is plain text, and each way of writing it escapes for itself."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.picture import Picture


@dataclass(frozen=True)
class Heading:
    """A heading of a section."""

    text: str


@dataclass(frozen=True)
class Paragraph:
    """Running text."""

    text: str
    strong: bool = False


@dataclass(frozen=True)
class Points:
    """A list of points."""

    items: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """Rows under a head; every row has as many cells as the head."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Path:
    """Readings along the path of the current, in its order: what, and the reading."""

    label: str
    stations: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Literal:
    """A command or a hash, to be copied letter by letter."""

    text: str


@dataclass(frozen=True)
class Drawing:
    """The picture of the path, drawn by each form in its own way."""

    picture: Picture


Block = Heading | Paragraph | Points | Table | Path | Literal | Drawing


@dataclass(frozen=True)
class Document:
    """A whole report."""

    title: str
    blocks: tuple[Block, ...]
