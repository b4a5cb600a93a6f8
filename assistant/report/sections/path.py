"""The picture of the path, from the readings of the record."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.picture import describes_cable, path_read, picture_of
from assistant.report.case import Case
from assistant.report.document import Block, Drawing, Heading, Paragraph
from assistant.report.sections.evidence import stages


def picture(case: Case) -> Iterator[Block]:
    """What is lost where between battery and motor, before and after the repair; nothing when it was not read."""
    cable = [told.fact for told in case.told if not told.taken_back and describes_cable(told.fact)]
    begun = False
    for stage, told in stages(case):
        facts = [one.fact for one in told if not one.taken_back and not describes_cable(one.fact)]
        try:
            ledger = path_read([*cable, *facts])
        except ValueError:
            continue  # readings that cannot be true together are told as a contradiction
        if ledger is None or not ledger.segments:
            continue
        if not begun:
            yield Heading("Losses along the path")
            begun = True
        if stage:
            yield Paragraph(f"Worked out from the readings{stage.replace(',', '')}:")
        yield Drawing(picture_of(ledger))
