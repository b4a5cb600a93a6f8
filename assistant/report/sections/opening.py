"""Who, what and how it came out: complaint, result, proof, what was ruled out, what is open."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.journal.turn import Turn, mapping, number, texts
from assistant.report.case import Case
from assistant.report.document import Block, Heading, Paragraph, Points, Table
from assistant.report.sections.phrases import phrase, sentences, when


def intact(case: Case) -> Iterator[Block]:
    """A warning at the head of a report when the journal is not whole."""
    if not case.checked.problems:
        return
    first = case.checked.problems[0]
    yield Paragraph(
        f"WARNING: the journal is not intact. Line {first.line}: {first.text}. This report uses only the "
        f"{case.checked.good_entries} entries before that.",
        strong=True,
    )


def complaint(case: Case) -> Iterator[Block]:
    """What was told first, and what is known of the boat."""
    yield Heading("Boat and complaint")
    first = next((turn for turn in case.turns if turn.understood or turn.said), None)
    if first is None:
        yield Paragraph("Nothing was told.")
        return
    if first.said:
        yield Paragraph(f"First words ({when(first)}): “{first.said}”")
    told = tuple(phrase(case, fact) for fact in first.understood if fact.get("about") != "boat")
    if told:
        yield Points(told)
    boat = [told for told in case.told if told.fact.get("about") == "boat" and told.gone is None]
    if boat:
        yield Paragraph("Known of the boat:")
        yield Points(tuple(dict.fromkeys(phrase(case, told.fact) for told in boat)))


def own_names(case: Case) -> Iterator[Block]:
    """What the people on board call the parts; nobody else's words."""
    if not case.own_names:
        return
    yield Paragraph("Names of parts in the words of the people on board:")
    yield Points(tuple(f"{case.names.part(str(n.get('about')))}: “{n.get('name')}”" for n in case.own_names))


def result(case: Case) -> Iterator[Block]:
    """What was proved, or how far it was narrowed down."""
    yield Heading("Result")
    if case.verdicts:
        yield Paragraph("Proved to have failed:")
        yield Points(tuple(f"{case.names.fault(f)} (turn {turn.number})" for turn, f in case.verdicts))
    narrowed = mapping(case.last.out.get("narrowed_to")) if case.last is not None else None
    if narrowed is not None:
        yield Paragraph("Nothing that can be done on board tells these apart:")
        yield Points(tuple(case.names.fault(fault) for fault in texts(narrowed.get("faults"))))
        yield from (Paragraph(text) for text in sentences(narrowed, "because", "settle"))
    if not case.verdicts and narrowed is None:
        yield Paragraph("No fault has been proved.")


def proof(case: Case) -> Iterator[Block]:
    """Each proof: when, from what was told in that turn, by which rules, and what stood before."""
    if not case.verdicts:
        return
    yield Heading("Proof")
    for turn, fault in case.verdicts:
        yield Paragraph(f"{case.names.fault(fault)}: proved in turn {turn.number}, {when(turn)}.", strong=True)
        rules = [r for s in turn.suspects if s.get("fault") == fault for r in texts(s.get("because"))]
        points = [f"Rule {rule}: {case.names.rule(rule)}" for rule in rules]
        points += [f"Told in that turn: {phrase(case, fact)}" for fact in turn.understood]
        if points:
            yield Points(tuple(points))


def ruled_out(case: Case) -> Iterator[Block]:
    """What was ruled out by the last proof, or by now, when first, and by which rules."""
    judged = case.verdicts[-1][0] if case.verdicts else case.last
    if judged is None:
        return
    rows = []
    for suspect in judged.suspects:
        if suspect.get("state") == "ruled_out":
            fault = str(suspect.get("fault"))
            since = _ruled_out_since(case, fault, judged)
            by = "; ".join(case.names.rule(rule) for rule in texts(suspect.get("because")))
            rows.append((case.names.fault(fault), f"turn {since}", by))
    if rows:
        yield Heading(f"Ruled out by turn {judged.number}")
        yield Table(("fault", "since", "by"), tuple(rows))


def _ruled_out_since(case: Case, fault: str, judged: Turn) -> int:
    """The turn since which a fault has been ruled out without a break."""
    since = judged.number
    for turn in reversed([turn for turn in case.turns if turn.number <= judged.number]):
        if not any(s.get("fault") == fault and s.get("state") == "ruled_out" for s in turn.suspects):
            break
        since = turn.number
    return since


def suspects(case: Case) -> Iterator[Block]:
    """What is still open, most likely first."""
    if case.last is None:
        return
    rows = tuple(
        (case.names.fault(str(s.get("fault"))), f"{100 * number(s.get('probability')):.1f} %")
        for s in case.last.suspects
        if s.get("state") == "open" and number(s.get("probability")) >= 0.005
    )
    if rows:
        yield Heading("Still open")
        yield Table(("possible cause", "probability"), rows)
