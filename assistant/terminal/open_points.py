"""What was proved and how to put it right, and what still keeps the case open."""

from __future__ import annotations

from collections.abc import Iterable

from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from assistant.terminal.case import Case
from assistant.terminal.hanging import Hanging
from assistant.terminal.plain import one_line
from assistant.terminal.turns import indent_of


def verdict_lines(case: Case) -> Iterable[Content]:
    """Yield the verdict with its repair, parts and verification."""
    if case.narrowed is not None and case.verdict is None:
        yield Content.styled("Narrowed down to", "bold $primary")
        yield from (Content(f"  {case.wording.fault(str(f))}") for f in case.narrowed.get("faults") or ())
        if because := one_line(str(case.narrowed.get("because") or "")):
            yield Content(f"  {because}")
        if settle := case.narrowed.get("settle"):
            yield Content.assemble("  ", ("The workshop settles it: ", "bold"), one_line(str(settle)))
    if case.verdict is None:
        return
    yield Content.styled("Proved", "bold $success")
    faults = [case.wording.fault(str(fault)) for fault in case.verdict.get("faults") or ()]
    yield from (Content.styled(f"  {name}", "bold") for name in faults)
    for title, items in (
        ("Repair", [one_line(str(text)) for text in case.verdict.get("repair") or ()]),
        ("Parts", [one_line(str(text)) for text in case.verdict.get("parts") or ()]),
        ("Then prove the repair with", [case.wording.test(str(t)) for t in case.verdict.get("verify") or ()]),
    ):
        if items:
            yield Content.styled(title, "bold $primary")
            yield from (Content(f"  {place}. {item}") for place, item in enumerate(items, 1))


def open_lines(case: Case) -> Iterable[Content]:
    """Yield what is still to be done before the case can be closed."""
    if case.closed is not None:
        to = case.closed.get("handed_over_to")
        yield Content.styled(f"Closed, handed over to {one_line(str(to))}" if to else "Closed", "bold")
        yield from (Content(f"  still open: {one_line(str(item))}") for item in case.closed.get("open") or ())
    elif case.open_points:
        yield Content.styled("Before the case can be closed", "bold $primary")
        yield from (Content(f"  · {point}") for point in case.open_points)
        yield Content.styled(
            "  or hand it over as it is, for example: hand over to the yard: not found yet", "italic $quiet"
        )
    elif case.open_points is not None and case.turn:
        yield Content("Nothing stands open. Type close when the job is done.")
    if case.restoring and case.closed is None:
        yield Content.styled("To be put back, where it was opened or locked", "bold $primary")
        yield from (Content(f"  · {text}") for text in case.restoring)


class OpenPoints(VerticalScroll):
    """Verdict, repair and restoration list."""

    def __init__(self) -> None:
        """Start empty."""
        super().__init__(id="open")
        self.border_title = "To do"
        self._text = Static("", markup=False)

    def on_mount(self) -> None:
        """Put the text in place."""
        self.mount(self._text)

    def show(self, case: Case) -> None:
        """Show what the case has proved and what stands open."""
        lines = [*verdict_lines(case), *open_lines(case)]
        self.border_title = "Verdict and what is left to do" if case.verdict else "To do"
        self._text.update(Hanging((line, indent_of(line.plain)) for line in lines or [Content("Nothing yet.")]))
        self.screen.set_class(case.verdict is not None, "has-verdict")
        self.set_class(case.verdict is None and case.narrowed is None and not case.open_points, "-quiet")
