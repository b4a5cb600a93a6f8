"""All that can be done now, as the palette lists it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rapidfuzz import fuzz, process, utils

from assistant.terminal.answers import choices_of
from assistant.terminal.case import Case
from assistant.terminal.plain import one_line, shortened

_MOST_SUSPECTS = 5
_FIT = 60
"""How alike the words looked for and a deed must be, of 100."""


@dataclass(frozen=True)
class Deed:
    """One thing that can be done."""

    name: str
    typed: str
    """What a person would type for it."""
    key: str = ""
    begins: bool = False
    """True when the person has to finish the line."""


def deeds(case: Case, plays: bool = False) -> list[Deed]:
    """Return what makes sense now, the nearest at hand first.

    Args:
        case: the case.
        plays: whether lines of a demo are still to be played.
    """
    found = [Deed("Play the next line of the demo", "", "Enter")] if plays else []
    found += _answers(case)
    if case.stop is None:
        found += [*_views(case), *_reasons(case), *_changes(case), *_ending(case)]
    else:
        found.append(Deed("Show the hazards and what clears each", "safety", "F2"))
    return [*found, *_always(case)]


def _answers(case: Case) -> Iterator[Deed]:
    for number, choice in enumerate(choices_of(case), 1):
        yield Deed(f"Answer: {choice.text}", f"#{number}", str(number))
    if case.stop is None and case.next is not None:
        yield Deed("I cannot do this test here …", "cannot: ", begins=True)


def _reasons(case: Case) -> Iterator[Deed]:
    if case.next is not None:
        yield Deed("Why this question", "why")
    for number, row in enumerate(case.suspects[:_MOST_SUSPECTS], 1):
        name = shortened(row.name, 60)
        yield Deed(f"Why {name}", f"why {number}")
        yield Deed(f"Why not {name}", f"why not {number}")


def _views(case: Case) -> Iterator[Deed]:
    yield Deed("Show the suspects", "suspects", "F3")
    if case.next is not None:
        yield Deed("Show the test in full, with its set-up steps", "test", "F4")
    yield Deed("Show what is known, to put right or take back", "known", "F5")
    yield Deed("Show verdict, repair and what keeps the case open", "to do", "F6")
    yield Deed("Show the path of the current", "path", "F10")
    yield Deed("Show the hazards and what clears each", "safety", "F2")
    yield Deed("Read all that was said, and search in it", "transcript", "F8")


def _changes(case: Case) -> Iterator[Deed]:
    if case.closed is not None:
        return
    yield Deed("Boat data, to fill in", "boat")
    if case.done:
        yield Deed("Take back what the last line told", "undo", "Ctrl+Z")
    if case.undone:
        yield Deed("Tell again what was taken back", "redo", "Ctrl+Y")


def _ending(case: Case) -> Iterator[Deed]:
    if not case.turn:
        return
    yield Deed("Read the report of the case, and save it", "report")
    if case.closed is None:
        yield Deed("Close the case", "close")
        yield Deed("Hand the case over to somebody …", "hand over to ", begins=True)


def _always(case: Case) -> Iterator[Deed]:
    yield Deed("Wording to read aloud, on or off", "plain", "F7")
    if any(turn.number and turn.reply for turn in case.turns):
        yield Deed("Copy the last reply", "copy")
    for name, words in (("dark", "dark"), ("light", "light"), ("without colour", "mono"), ("contrast", "contrast")):
        yield Deed(f"Colours: {name}", f"theme {words}")
    yield Deed("Help: what can be said here", "help", "F1")
    yield Deed("Leave; the case is kept", "quit", "Ctrl+Q")


def matching(wanted: str, among: Sequence[Deed]) -> list[Deed]:
    """Return the deeds that hold all words looked for, else those most like them."""
    words = one_line(wanted).lower().split()
    exact = [deed for deed in among if all(word in f"{deed.name} {deed.typed}".lower() for word in words)]
    if exact or not words:
        return exact
    names = [deed.name for deed in among]
    near = process.extract(
        wanted, names, scorer=fuzz.partial_ratio, processor=utils.default_process, score_cutoff=_FIT, limit=8
    )
    return [among[place] for _, _, place in near]
