"""Which sections a report has for whom."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Literal

from assistant.report.case import Case
from assistant.report.document import Block, Document
from assistant.report.sections import evidence, opening, path, work

Reader = Literal["customer", "supplier", "handover"]
Section = Callable[[Case], Iterator[Block]]

TITLES: Mapping[Reader, str] = {
    "customer": "Thruster fault: report for the customer",
    "supplier": "Thruster fault: report for the supplier, with the evidence",
    "handover": "Thruster fault: hand-over to the next technician",
}
SECTIONS: Mapping[Reader, tuple[Section, ...]] = {
    "customer": (
        opening.intact,
        work.live_hazards,
        opening.complaint,
        opening.own_names,
        opening.result,
        work.repair,
        work.open_points,
        evidence.verify,
    ),
    "supplier": (
        opening.intact,
        opening.complaint,
        opening.own_names,
        opening.result,
        opening.proof,
        opening.ruled_out,
        opening.suspects,
        evidence.readings,
        path.picture,
        work.repair,
        evidence.changed,
        evidence.safety,
        evidence.course,
        work.open_points,
        evidence.verify,
    ),
    "handover": (
        opening.intact,
        work.live_hazards,
        work.where_it_stands,
        work.open_points,
        opening.complaint,
        opening.own_names,
        opening.result,
        opening.suspects,
        opening.ruled_out,
        evidence.readings,
        path.picture,
        work.repair,
        evidence.changed,
        evidence.safety,
        evidence.course,
        evidence.verify,
    ),
}


def build(case: Case, reader: Reader) -> Document:
    """The report on a case for a reader: the same journal always gives the same report."""
    return Document(TITLES[reader], tuple(block for section in SECTIONS[reader] for block in section(case)))
