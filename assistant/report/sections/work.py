"""The work: what is dangerous now, the repair, what stands open, how to go on."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.audit.course import still_fitted
from assistant.audit.record import FITTED, REMOVED
from assistant.journal.turn import mapping, texts
from assistant.report.case import Case, Told
from assistant.report.document import Block, Heading, Paragraph, Points, Table
from assistant.report.sections.phrases import phrase, point, when


def live_hazards(case: Case) -> Iterator[Block]:
    """What is dangerous now, and what clears it."""
    if case.last is None or not (case.last.hazards or case.last.stop):
        return
    yield Heading("Dangerous now")
    if case.last.stop is not None:
        yield Paragraph(f"STOP: {case.last.stop.get('text')}", strong=True)
    points = []
    for hazard in case.last.hazards:
        clear = mapping(hazard.get("clear_by")) or {}
        cure = f" To clear it: {clear.get('text')}" if clear.get("text") else ""
        points.append(f"{str(hazard.get('level')).upper()}: {hazard.get('text')}{cure}")
    if points:
        yield Points(tuple(points))


def repair(case: Case) -> Iterator[Block]:
    """What was to be done, what was done, and the readings before and after."""
    advised = [turn.verdict for turn in case.turns if turn.verdict is not None]
    if not advised and not case.work:
        return
    yield Heading("Repair")
    told = [text for verdict in advised for text in texts(verdict.get("repair"))]
    parts = [text for verdict in advised for text in texts(verdict.get("parts"))]
    if told:
        yield Paragraph("Advised:")
        yield Points(tuple(dict.fromkeys(told)))
    if parts:
        yield Paragraph("Parts: " + ", ".join(dict.fromkeys(parts)))
    if case.work:
        yield Paragraph("Done:")
        yield Points(tuple(f"{phrase(case, t.fact)} (turn {t.turn.number}, {when(t.turn)})" for t in case.work))
        yield Paragraph(_verified(case))
        yield from _before_and_after(case)
    else:
        yield Paragraph("No repair has been reported.")


def _verified(case: Case) -> str:
    """A verdict stands until its repair is verified, so the turn in which it goes is that of the proof."""
    start = case.work[-1].turn.number
    later = [turn for turn in case.turns if turn.number >= start]
    stood = any(turn.verdict is not None for turn in case.turns if turn.number <= start)
    gone = next((turn for turn in later if turn.verdict is None), None)
    if stood and gone is not None:
        return f"The complaint was tried again and the repair is verified (turn {gone.number}, {when(gone)})."
    return "The repair has NOT been verified by trying the complaint again."


def _before_and_after(case: Case) -> Iterator[Block]:
    start = case.work[0].turn.number
    rows = []
    seen: dict[tuple[str, ...], Told] = {}
    for told in case.told:
        key = (str(told.fact.get("about")), str(told.fact.get("what")), *texts(told.fact.get("while")))
        if told.turn.number < start:
            seen[key] = told
        elif key in seen and told not in case.work and key[1] not in case.acts:
            before, after = case.names.fact(seen[key].fact), case.names.fact(told.fact)
            rows.append((before, f"turn {seen[key].turn.number}", after, f"turn {told.turn.number}"))
    if rows:
        yield Paragraph("Before and after:")
        yield Table(("before", "when", "after", "when"), tuple(rows))


def open_points(case: Case) -> Iterator[Block]:
    """What still stands open, and to whom it was handed over."""
    if case.last is None:
        return
    yield Heading("Open points")
    listed = case.last.out.get("may_close")
    points = [point(case, item) for item in listed] if isinstance(listed, list) else []
    closed = case.last.closed
    if closed is not None:
        left = closed.get("open")
        points = [point(case, item) for item in left] if isinstance(left, list) and left else points
        to = closed.get("handed_over_to")
        yield Paragraph(f"The case was handed over to: {to}." if to else "The case is closed.")
        note = _close_note(case)
        if note:
            yield Paragraph(f"Note: {note}")
    else:
        yield Paragraph("The case is not closed.")
    yield Points(tuple(points)) if points else Paragraph("Nothing stands open.")


def _close_note(case: Case) -> str:
    for turn in reversed(case.turns):
        ask = mapping(turn.line.get("ask")) or {}
        close = mapping(ask.get("close"))
        if close is not None:
            return str(close.get("note") or "")
    return ""


def where_it_stands(case: Case) -> Iterator[Block]:
    """For the next person: the test asked for, the tests that could not be done, what is off or bridged."""
    yield Heading("Where it stands")
    if case.last is not None and case.last.next is not None:
        step = case.last.next
        yield Paragraph(f"Next test: {step.get('text')}", strong=True)
        steps = step.get("setup")
        setup = [point(case, item) for item in steps] if isinstance(steps, list) else []
        yield from [Points(tuple(setup))] if setup else []
        back = step.get("restore")
        if isinstance(back, list) and back:
            yield Paragraph("Afterwards:")
            yield Points(tuple(point(case, item) for item in back))
    else:
        yield Paragraph("No test is asked for.")
    refused = [f"{case.names.test(test)}: {reason} (turn {t.number})" for t, test, reason in case.refused_tests()]
    if refused:
        yield Paragraph("Could not be done:")
        yield Points(tuple(refused))
    fitted = still_fitted(case.turns)
    if fitted:
        yield Paragraph("Bridges reported fitted and not reported removed:", strong=True)
        yield Points(tuple(phrase(case, fact) for _, fact in fitted.values()))
    standing = [
        told
        for told in case.told
        if told.gone is None and not told.is_number and told.fact.get("what") not in (FITTED, REMOVED)
    ]
    if standing:
        yield Paragraph("Told and still standing:")
        yield Table(("turn", "what"), tuple((str(t.turn.number), phrase(case, t.fact)) for t in standing))
