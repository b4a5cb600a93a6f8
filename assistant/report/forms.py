"""The forms in which a report can be had, and writing one whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Literal

from assistant.errors import JournalError
from assistant.report.document import Document
from assistant.report.html import to_html
from assistant.report.markdown import to_markdown

Form = Literal["markdown", "html", "pdf"]
FORMS: tuple[Form, ...] = ("markdown", "html", "pdf")
_ENDINGS: dict[str, Form] = {".html": "html", ".htm": "html", ".pdf": "pdf"}


def form_of(name: str) -> Form:
    """The form that a file name asks for; Markdown where it asks for none."""
    return _ENDINGS.get(Path(name).suffix.lower(), "markdown")


def written(document: Document, form: Form) -> bytes:
    """The report in a form, as bytes.

    Raises:
        JournalError: PDF was asked for and its packages are not installed.
    """
    if form == "pdf":
        from assistant.report.pdf import to_pdf

        return to_pdf(document)
    return (to_html(document) if form == "html" else to_markdown(document)).encode("utf-8")


def write_whole(path: Path, data: bytes) -> None:
    """Write a file so that it is either as it was or whole.

    Raises:
        JournalError: It cannot be written.
    """
    half = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        half.write_bytes(data)
        os.replace(half, path)
    except OSError as error:
        half.unlink(missing_ok=True)
        raise JournalError(f"{path} cannot be written: {(error.strerror or str(error)).lower()}") from error
