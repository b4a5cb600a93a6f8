"""The evidence: readings, course, safety, corrections, and how to check it all."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.journal.turn import Turn, mapping, texts
from assistant.report.case import Case, Told
from assistant.report.document import Block, Heading, Literal, Paragraph, Path, Points, Table
from assistant.report.sections.phrases import fate, phrase, sureness, when

CAUTION = (
    "Local codes, the manual of the unit and the judgement of a licensed professional come first, before "
    "anything that stands here."
)


def readings(case: Case) -> Iterator[Block]:
    """Every reading, and those in volts once more along the path."""
    rows = [(str(t.turn.number), case.names.fact(t.fact), sureness(t.fact), fate(t)) for t in case.told if t.is_number]
    if not rows:
        return
    yield Heading("Readings")
    yield Table(("turn", "reading", "sure", "later"), tuple(rows))
    for around in ("at_rest", "under_load"):
        for stage, told in stages(case):
            stations = _along(case, told, around)
            if len(stations) > 1:
                yield Path(f"Along the path, {around.replace('_', ' ')}{stage}", stations)


def stages(case: Case) -> tuple[tuple[str, tuple[Told, ...]], ...]:
    """What was told before and after the first repair."""
    if not case.work:
        return (("", case.told),)
    start = case.work[0].turn.number
    before = tuple(told for told in case.told if told.turn.number < start)
    return ((", before the repair", before), (", after the repair", case.told[len(before) :]))


def _along(case: Case, told: tuple[Told, ...], around: str) -> tuple[tuple[str, str], ...]:
    newest: dict[tuple[str, str], Told] = {}
    for one in told:
        stands = one.is_number and not one.taken_back
        if stands and one.fact.get("unit") == "V" and around in texts(one.fact.get("while")):
            newest[(str(one.fact.get("about")), str(one.fact.get("what")))] = one
    ordered = sorted(newest.items(), key=lambda item: case.place(item[0][0]))
    return tuple(
        (case.names.part(part), f"{what.replace('_', ' ')} {one.fact.get('value')} V") for (part, what), one in ordered
    )


def course(case: Case) -> Iterator[Block]:
    """The whole session, turn by turn."""
    rows = []
    for turn in case.turns:
        noted = "; ".join(phrase(case, fact) for fact in turn.understood)
        asked = case.names.test(str(turn.next.get("test"))) if turn.next is not None else ""
        then = f"STOP: {turn.stop.get('text')}" if turn.stop is not None else asked
        rows.append((str(turn.number), when(turn), turn.by, _came_in(case, turn), noted, then))
    if rows:
        yield Heading("Course of the session")
        yield Table(("turn", "time", "who", "said or did", "noted", "asked next"), tuple(rows))


def _came_in(case: Case, turn: Turn) -> str:
    pieces = [f"“{turn.said}”"] if turn.said else []
    answer = mapping(turn.line.get("answer"))
    if answer is not None:
        cannot = f": cannot, {answer.get('cannot')}" if "cannot" in answer else ""
        pieces.append(f"answer to {case.names.test(str(answer.get('test')))}{cannot}")
    if turn.taken_back:
        pieces.append(f"took back {', '.join(turn.taken_back)}")
    if ask := mapping(turn.line.get("ask")):
        pieces.append(f"asked: {', '.join(str(key).replace('_', ' ') for key in ask)}")
    if turn.line.get("facts"):
        pieces.append("told facts")
    return "; ".join(pieces)


def safety(case: Case) -> Iterator[Block]:
    """Every hazard with the turns in which it was live."""
    yield Heading("Safety record")
    rows = []
    for span in case.spans():
        until = f"turn {span.until.number}" if span.until is not None else "STILL LIVE"
        name = case.names.hazard(str(span.hazard.get("hazard")))
        level = str(span.hazard.get("level")).upper()
        rows.append((level, name, str(span.hazard.get("text") or ""), f"turn {span.since.number}", until))
    if rows:
        yield Table(("level", "hazard", "warned", "since", "cleared"), tuple(rows))
    else:
        yield Paragraph("No hazard was raised.")


def changed(case: Case) -> Iterator[Block]:
    """What was corrected, withdrawn, doubted or left contradictory."""
    points = []
    for told in case.told:
        if told.gone is not None and (told.taken_back or told.fact.get("what") not in case.acts):
            how = "taken back" if told.taken_back else "superseded"
            points.append(f"{phrase(case, told.fact)} (turn {told.turn.number}): {how} in turn {told.gone.number}")
    points += _contradictions(case)
    if points:
        yield Heading("Corrections and contradictions")
        yield Points(tuple(points))


def _contradictions(case: Case) -> list[str]:
    stood: dict[str, tuple[int, int]] = {}
    for turn in case.turns:
        for conflict in turn.conflicts:
            text = str(conflict.get("text"))
            stood[text] = (stood.get(text, (turn.number, 0))[0], turn.number)
    last = case.turns[-1].number if case.turns else 0
    return [
        f"Cannot both be: {text} Noticed in turn {first}, "
        + ("never settled." if until == last else f"settled in turn {until + 1}.")
        for text, (first, until) in stood.items()
    ]


def verify(case: Case) -> Iterator[Block]:
    """How anybody can check the record behind the report."""
    yield Heading("How to check this report")
    header = case.header
    yield Paragraph(
        f"Drawn from a journal of {len(case.turns)} turns, recorded by program {header.get('program')} "
        f"in the role {header.get('role')} under the rules with the fingerprint"
    )
    yield Literal(str(header.get("rules")))
    if case.worded_by and case.worded_by != header.get("rules"):
        yield Paragraph("Names and reasons are worded by other rules than those, with the fingerprint")
        yield Literal(case.worded_by)
    yield Paragraph("The head of the journal, which covers every entry before it, is")
    yield Literal(case.checked.head)
    yield Paragraph("The record was not changed if this command, given the journal, reports it as intact:")
    yield Literal(f"springline audit --head {case.checked.head} FILE")
    yield Paragraph(
        "The head proves what the journal held when this report was made; it does not prove that what people "
        "said was true."
    )
    yield Paragraph(CAUTION)
